#include "armwise/session/teach.hpp"

#include <filesystem>
#include <memory>
#include <utility>

#include "armwise/base/task.hpp"
#include "armwise/base/text.hpp"
#include "armwise/practice/rehearsal.hpp"
#include "armwise/record/files.hpp"
#include "armwise/record/paths.hpp"
#include "armwise/record/store.hpp"
#include "checks.hpp"
#include "commands.hpp"
#include "exit_status.hpp"
#include "session_setup.hpp"

namespace armwise::app {
namespace {

namespace fs = std::filesystem;

struct TeachArguments {
  SessionOptions session;
  std::string name = "my-console", output, from, from_log, frame;
  bool no_spin = false;
};

// `data`: of what is practised, a folder of its own.
fs::path file_for(const TeachArguments& arguments, const fs::path& data) {
  if (!arguments.output.empty()) return arguments.output;
  if (!arguments.from.empty()) return arguments.from;
  return data / "profiles" / (record::file_name_for(arguments.name) + ".json");
}

// What was taught before is not written over by a name that is used twice, unless it was practice.
void require_unused(const fs::path& file, const TeachArguments& arguments) {
  std::error_code error;
  const bool taken_up = !arguments.from.empty() && fs::equivalent(file, arguments.from, error);
  const bool practised = arguments.session.practice.wanted && arguments.output.empty();
  if (taken_up || practised || !fs::exists(file, error)) return;
  throw Fault(FaultKind::usage, "There is a profile in " + printable(file.string()) + " already",
              "It would be written over",
              "Take it up with --from " + printable(file.string()) + ", or give another --name or -o");
}

// A folder that goes when it is done with.
struct Scratch {
  Scratch() {
    std::string name = (fs::temp_directory_path() / "armwise-rehearsal-XXXXXX").string();
    if (::mkdtemp(name.data()) != nullptr) folder = name;
  }
  ~Scratch() {
    std::error_code ignored;
    if (!folder.empty()) fs::remove_all(folder, ignored);
  }
  Scratch(const Scratch&) = delete;
  Scratch& operator=(const Scratch&) = delete;
  fs::path folder;
};

// Who it is, nobody knows yet: only on which port.
std::unique_ptr<record::Journal> begin_journal(record::Store& store, Session& session) {
  record::JournalEntry began;
  began.what = record::JournalEntry::What::began;
  began.when = session.runtime().clock().date_and_time();
  began.text = session.port();
  began.identity.emplace().port_identity = session.plug().identity();
  std::unique_ptr<record::Journal> journal = store.start_journal("teach", began.when);
  journal->append(began);
  return journal;
}

Task<int> run_teach(Session& session, const TeachArguments& arguments) {
  const fs::path file = file_for(arguments, session.folders().data);
  require_unused(file, arguments);
  session::TeachOptions options;
  options.name = arguments.name;
  options.frame = arguments.frame;
  options.keep_draft = [file](const console::Profile& draft) {
    record::write_whole(file, console::profile_text(draft));
  };
  if (!arguments.from_log.empty()) options.log = record::read_whole(arguments.from_log);
  if (!arguments.from.empty()) options.from = console::load_profile_file(arguments.from);
  co_await session.prepare_to_teach();
  if (!arguments.no_spin) {
    options.watched_by = [&session](const console::Profile& profile) -> console::Sentry& {
      return session.watched_by(profile);
    };
  }
  options.suspended = [&session] { return session.runtime().suspended(); };
  record::DiskStore store(session.folders());
  std::unique_ptr<record::Journal> journal;
  options.journal = [&]() -> record::Journal& {
    if (!journal) journal = begin_journal(store, session);
    return *journal;
  };
  const Scratch scratch;
  options.rehearse = [&scratch](const console::Profile& profile) {
    return practice::rehearse(profile, scratch.folder);
  };
  const std::string practice = session.practice() == nullptr ? "" : " --practice";
  bool begun = false;
  const auto keep = options.keep_draft;
  options.keep_draft = [&begun, keep](const console::Profile& draft) {
    keep(draft);
    begun = true;
  };
  try {
    co_await session::teach(session.plug(), session.person(), session.runtime().clock(), options);
  } catch (...) {
    std::string again = practice;
    if (!again.empty() && !arguments.session.profile.empty())
      again += " --profile " + arguments.session.profile;
    if (begun) session.person().tell("draft-written", {{"file", file.string()}, {"options", again}});
    throw;
  }
  session.person().tell("profile-taught", {{"file", file.string()}, {"options", practice}});
  co_return done;
}

}  // namespace

CommandSpec teach_command() {
  return {"teach", "learn a console by example, write a profile",
          "armwise teach /dev/ttyACM0 --name my-console", [](CLI::App& command, Chosen& chosen) {
            auto arguments = std::make_shared<TeachArguments>();
            add_session_options(command, arguments->session);
            command.add_option("--name", arguments->name, "what the profile is called")->type_name("NAME");
            command.add_option("-o,--output", arguments->output, "where the profile goes")->type_name("FILE");
            command.add_option("--from", arguments->from, "take up a half-taught profile")
                ->type_name("FILE")
                ->check(existing_file());
            command
                .add_option("--from-log", arguments->from_log,
                            "propose what was typed in a saved session with this console")
                ->type_name("FILE")
                ->check(existing_file());
            command
                .add_option("--frame", arguments->frame, "whose numbering is asked for; without it, asked")
                ->type_name("FRAME")
                ->check(known_frame());
            command.add_flag("--no-spin", arguments->no_spin, "teach nothing that turns a motor");
            add_practice_options(command, arguments->session);
            // The craft cannot play a person who knows its console by heart, and what is to be taught needs
            // none.
            command.remove_option(command.get_option("--play"));
            command.remove_option(command.get_option("--practice-console"));  // that is --profile here
            command.get_option("--profile")
                ->description("with --practice: the console that the craft speaks")
                ->needs(command.get_option("--practice"));
            return [arguments, &chosen] {
              Session session(arguments->session, chosen.common);
              return session.runtime().run(run_teach(session, *arguments), session.person_slot());
            };
          }};
}

}  // namespace armwise::app
