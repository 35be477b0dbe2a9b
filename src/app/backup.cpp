#include <memory>

#include "armwise/base/task.hpp"
#include "armwise/base/text.hpp"
#include "armwise/record/files.hpp"
#include "armwise/record/store.hpp"
#include "commands.hpp"
#include "exit_status.hpp"
#include "session_setup.hpp"

namespace armwise::app {
namespace {

Task<int> run_backup(Session& session, const std::string& output) {
  co_await session.prepare();
  console::Console& console = session.console();
  co_await console.open();
  const console::Identity identity = co_await console.identify();
  if (!console.profile().whole_configuration) {
    throw Fault(FaultKind::bad_profile,
                "The profile does not say which command prints the whole configuration", {},
                "Add whole_configuration to it");
  }
  const std::vector<std::string> lines = co_await console.whole_configuration();
  std::string file = output;
  if (file.empty()) {
    record::DiskStore store(record::Folders::from_environment());
    file = store.save_configuration(identity.board, session.runtime().clock().date_and_time(), lines);
  } else {
    record::write_whole(file, joined(lines, "\n") + "\n");
  }
  session.person().say("The whole configuration (" + std::to_string(lines.size()) + " lines) is saved in " +
                       file + ".");
  co_await console.leave();
  co_return done;
}

}  // namespace

CommandSpec backup_command() {
  return {"backup", "the whole configuration, to a file", "armwise backup -o before.txt",
          [](CLI::App& command, Chosen& chosen) {
            auto options = std::make_shared<SessionOptions>();
            auto output = std::make_shared<std::string>();
            add_session_options(command, *options);
            command.add_option("-o,--output", *output, "where it goes")->type_name("FILE");
            return [options, output, &chosen] {
              Session session(*options, chosen.common);
              return session.runtime().run(run_backup(session, *output), session.person_slot());
            };
          }};
}

}  // namespace armwise::app
