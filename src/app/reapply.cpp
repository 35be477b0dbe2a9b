#include "armwise/session/reapply.hpp"

#include <memory>
#include <optional>
#include <utility>

#include "armwise/base/task.hpp"
#include "armwise/base/text.hpp"
#include "armwise/record/shelf.hpp"
#include "bench_options.hpp"
#include "commands.hpp"
#include "exit_status.hpp"
#include "session_setup.hpp"

namespace armwise::app {
namespace {

struct ReapplyArguments {
  SessionOptions session;
  session::ReapplyOptions reapply;
  SpinArguments spins;
  std::string record;
  bool whole = false, leave_mount = false;
};

void add_options(CLI::App& command, ReapplyArguments& arguments) {
  command.add_option("RECORD", arguments.record, "a record's file, or a craft's name on the shelf")
      ->required();
  add_session_options(command, arguments.session);
  command.add_flag("--whole", arguments.whole, "play the saved whole configuration back first, line by line");
  command.add_flag("--leave-mount", arguments.leave_mount, "do not set how the board is mounted");
  add_spin_options(command, arguments.spins, arguments.reapply.bench);
  add_practice_options(command, arguments.session);
}

// Read before anything else: a wrong name or a damaged record needs no controller to be found out.
struct Recorded {
  record::CraftRecord record;
  std::vector<std::string> configuration;
};

Recorded read_record(const ReapplyArguments& arguments) {
  const record::Shelved found = record::find_record(record::Folders::from_environment(), arguments.record);
  Recorded recorded{*found.record, {}};
  if (craft::frame_named(recorded.record.frame) == nullptr) {
    throw Fault(FaultKind::bad_data,
                "The record is of a frame that is not known: " + printable(recorded.record.frame), {},
                "Run armwise bench on it");
  }
  if (arguments.whole) recorded.configuration = record::saved_configuration(found);
  return recorded;
}

Task<int> run_reapply(Session& session, const ReapplyArguments& arguments, const Recorded& recorded) {
  session.bench_on(craft::frame_named(recorded.record.frame)->size());
  co_await session.prepare();
  co_await session.find_fitting_profile(craft::frame_named(recorded.record.frame)->size());
  session::ReapplyOptions options = arguments.reapply;
  options.configuration = recorded.configuration;
  complete(options.bench, arguments.spins, session);
  if (arguments.leave_mount) options.bench.mount = session::MountWish::leave;
  record::DiskStore store(session.folders(), arguments.spins.output);
  co_await session.play(session::reapply(session.console(), session.person(), store,
                                         session.runtime().clock(), recorded.record, options));
  co_return done;
}

int reapply(ReapplyArguments& arguments, const Common& common) {
  const Recorded recorded = read_record(arguments);
  if (arguments.session.profile.empty())
    arguments.session.speak_as(profile_called(recorded.record.profile_name));
  PracticeOptions& practice = arguments.session.practice;
  if (practice.frame.empty()) practice.frame = recorded.record.frame;
  Session session(arguments.session, common);
  return session.runtime().run(run_reapply(session, arguments, recorded), session.person_slot());
}

}  // namespace

CommandSpec reapply_command() {
  return {"reapply", "after a new firmware: set it all again from a record, and prove it again",
          "armwise reapply \"my quad\" /dev/ttyACM0", [](CLI::App& command, Chosen& chosen) {
            auto arguments = std::make_shared<ReapplyArguments>();
            add_options(command, *arguments);
            return [arguments, &chosen] { return reapply(*arguments, chosen.common); };
          }};
}

}  // namespace armwise::app
