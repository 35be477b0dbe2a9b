#include "armwise/record/compare.hpp"

#include <iostream>
#include <memory>
#include <nlohmann/json.hpp>

#include "armwise/base/task.hpp"
#include "armwise/base/text.hpp"
#include "armwise/record/shelf.hpp"
#include "armwise/solve/difference.hpp"
#include "commands.hpp"
#include "exit_status.hpp"
#include "session_setup.hpp"

namespace armwise::app {
namespace {

struct CompareOptions {
  std::string older, newer;
  bool controller = false, json = false;
  SessionOptions session;
};

void tell(const std::vector<record::Difference>& differences, const std::string& heading, bool as_json) {
  if (as_json) {
    nlohmann::json out = nlohmann::json::array();
    for (const record::Difference& difference : differences)
      out.push_back({{"about", difference.about}, {"words", difference.words}});
    std::cout << out.dump(2, ' ', false, nlohmann::json::error_handler_t::replace) << "\n";
    return;
  }
  std::cout << heading << ":\n";
  if (differences.empty()) std::cout << "  Nothing that matters differs.\n";
  for (const record::Difference& difference : differences)
    std::cout << "  " << difference.about << ": " << difference.words << ".\n";
}

std::string named(const record::CraftRecord& record) {
  return printable(record.craft_name) + " of " + printable(record.made_at);
}

int compare_records(const CompareOptions& options, const record::CraftRecord& older) {
  const record::Shelved newer = record::find_record(record::Folders::from_environment(), options.newer);
  tell(record::compare(older, *newer.record), named(*newer.record) + " against " + named(older),
       options.json);
  return done;
}

// Reads, and writes nothing. What the controller cannot tell stays as the record has it.
Task<int> compare_controller(Session& session, const CompareOptions& options,
                             const record::CraftRecord& record) {
  const craft::Frame* frame = craft::frame_named(record.frame);
  const int motors = frame != nullptr ? frame->size() : record.after.map.size();
  co_await session.prepare();
  co_await session.find_fitting_profile(motors);
  console::Console& console = session.console();
  record::CraftRecord now = record;
  now.identity = co_await console.identify();
  now.profile_name = console.profile().name;
  now.after = co_await console.snapshot(motors);
  co_await console.leave();
  tell(record::compare(record, now), "The controller as it is now against " + named(record), options.json);
  co_return done;
}

int compare(CompareOptions& options, const Common& common) {
  const record::Shelved older = record::find_record(record::Folders::from_environment(), options.older);
  if (!options.controller && options.newer.empty()) {
    throw Fault(FaultKind::usage, "There is nothing to compare the record with", {},
                "Name a second record, or say --controller to compare it with what is plugged in");
  }
  if (!options.controller) return compare_records(options, *older.record);
  if (options.session.profile.empty()) options.session.speak_as(profile_called(older.record->profile_name));
  Session session(options.session, common);
  return session.runtime().run(compare_controller(session, options, *older.record), session.person_slot());
}

}  // namespace

CommandSpec compare_command() {
  return {"compare", "compare two records, or a record with the controller",
          "armwise compare \"my quad\" --controller", [](CLI::App& command, Chosen& chosen) {
            auto options = std::make_shared<CompareOptions>();
            command.add_option("OLDER", options->older, "a record's file, or a craft's name on the shelf")
                ->required();
            auto* newer = command.add_option("NEWER", options->newer, "the record to compare it with");
            auto* controller =
                command.add_flag("--controller", options->controller,
                                 "compare with the controller that is plugged in; nothing is written");
            controller->excludes(newer);
            command.add_option("--port", options->session.port, "with --controller: this port")
                ->type_name("PORT");
            add_console_options(command, options->session);
            // All of these are about the controller: two records need none.
            for (CLI::Option* option : command.get_options([&](const CLI::Option* o) {
                   return !o->get_positional() && o != controller && o->get_name() != "--help";
                 }))
              option->needs(controller);
            command.add_flag("--json", options->json, "as JSON");
            return [options, &chosen] { return compare(*options, chosen.common); };
          }};
}

}  // namespace armwise::app
