#include <filesystem>
#include <memory>
#include <utility>

#include "armwise/base/fault.hpp"
#include "armwise/base/task.hpp"
#include "armwise/base/text.hpp"
#include "armwise/console/whole_configuration.hpp"
#include "armwise/record/files.hpp"
#include "armwise/record/store.hpp"
#include "commands.hpp"
#include "exit_status.hpp"
#include "session_setup.hpp"

namespace armwise::app {
namespace {

namespace fs = std::filesystem;

struct BackupArguments {
  SessionOptions session;
  std::string output;
  bool force = false;
};

[[noreturn]] void refuse_to_overwrite(const std::string& file) {
  throw Fault(FaultKind::usage, "There is a file " + printable(file) + " already", "It would be written over",
              "Choose another -o, or overwrite it with --force");
}

void require_unused(const BackupArguments& arguments) {
  std::error_code ignored;
  if (arguments.output.empty() || arguments.force) return;
  if (fs::exists(fs::symlink_status(arguments.output, ignored))) refuse_to_overwrite(arguments.output);
}

std::string save(const BackupArguments& arguments, const std::string& text, const std::string& board,
                 const std::string& when) {
  if (arguments.output.empty())
    return record::DiskStore(record::Folders::from_environment()).save_configuration(board, when, text);
  if (arguments.force) {
    record::write_whole(arguments.output, text);
  } else if (!record::write_new(arguments.output, text)) {
    refuse_to_overwrite(arguments.output);
  }
  return arguments.output;
}

Task<int> run_backup(Session& session, const BackupArguments& arguments) {
  co_await session.prepare();
  console::Console& console = session.console();
  co_await console.open();
  const console::Identity identity = co_await console.identify();
  if (!console.profile().whole_configuration) {
    throw Fault(FaultKind::bad_profile,
                "The profile does not say which command prints the whole configuration", {},
                "Add whole_configuration to it");
  }
  const std::string text = co_await console.whole_configuration();
  const std::string file = save(arguments, text, identity.board, session.runtime().clock().date_and_time());
  session.person().tell(
      "configuration-backed-up",
      {{"lines", std::to_string(console::configuration_lines(text).size())}, {"file", file}});
  co_await console.leave();
  co_return done;
}

}  // namespace

CommandSpec backup_command() {
  return {"backup", "the whole configuration, to a file", "armwise backup -o before.txt",
          [](CLI::App& command, Chosen& chosen) {
            auto arguments = std::make_shared<BackupArguments>();
            add_session_options(command, arguments->session);
            auto* output = command.add_option("-o,--output", arguments->output, "where it goes");
            output->type_name("FILE");
            command.add_flag("--force", arguments->force, "with -o: write over a file that is there")
                ->needs(output);
            return [arguments, &chosen] {
              require_unused(*arguments);
              Session session(arguments->session, chosen.common);
              return session.runtime().run(run_backup(session, *arguments), session.person_slot());
            };
          }};
}

}  // namespace armwise::app
