// armwise: which arm, which way.
#include <CLI/App.hpp>
#include <exception>
#include <iostream>

#include "armwise/base/fault.hpp"
#include "armwise/link/guard.hpp"
#include "commands.hpp"
#include "exit_status.hpp"
#include "runtime.hpp"

int main(int argc, char** argv) {
  using namespace armwise::app;
  armwise::link::no_core_dumps();
  try {
    CLI::App app(
        "armwise: a bench companion for people who build multirotors. It finds out which motor sits on "
        "which arm and which way each one turns, and makes the controller know it.",
        "armwise");
    app.set_version_flag("--version", "armwise " ARMWISE_VERSION);
    app.footer("Examples:\n  armwise ports\n  armwise bench --practice\nProps off for every spin.");
    Chosen chosen;
    build(app, chosen,
          {ports_command(), bench_command(), predict_command(), recover_command(), backup_command(),
           practice_command(), teach_command(), profile_check_command(), profile_list_command(),
           reapply_command(), sheet_command(), crafts_command(), compare_command(), completion_command()});
    const int parsed = parse(app, argc, argv);
    return parsed >= 0 ? parsed : chosen.run();
  } catch (const armwise::Fault& fault) {
    say_fault(fault, nullptr);
    return exit_status(fault.kind());
  } catch (const std::exception& error) {
    std::cerr << "armwise: something went wrong inside: " << error.what() << "\n";
    return failed;
  }
}
