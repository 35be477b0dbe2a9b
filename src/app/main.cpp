// armwise: which arm, which way.
#include <malloc.h>

#include <CLI/App.hpp>
#include <csignal>
#include <exception>
#include <string>

#include "armwise/base/fault.hpp"
#include "armwise/link/guard.hpp"
#include "commands.hpp"
#include "exit_status.hpp"
#include "runtime.hpp"

namespace {

// Where memory runs out while a motor turns, there is enough left to stop it, to take back and to say so: the
// heap is always that much larger than what is used of it, and never made smaller.
void keep_memory_in_reserve() {
  constexpr int reserve = 8 << 20;
  mallopt(M_TOP_PAD, reserve);
  mallopt(M_TRIM_THRESHOLD, 64 << 20);
  mallopt(M_MMAP_THRESHOLD, reserve);
}

}  // namespace

int main(int argc, char** argv) {
  using namespace armwise::app;
  armwise::link::no_core_dumps();
  keep_memory_in_reserve();
  // A file that must not grow any more is a fault in words, as a full disk is.
  std::signal(SIGXFSZ, SIG_IGN);
  try {
    CLI::App app(
        "armwise: a bench companion for people who build multirotors. It finds out which motor sits on "
        "which arm and which way each one turns, and makes the controller know it.",
        "armwise");
    app.set_version_flag("--version", "armwise " ARMWISE_VERSION);
    app.footer("Examples:\n  armwise ports\n  armwise bench --practice\nProps off for every spin.");
    Chosen chosen;
    chosen.common.about = "armwise " ARMWISE_VERSION;
    for (int i = 1; i < argc; ++i) chosen.common.about += std::string(" ") + argv[i];
    build(app, chosen,
          {ports_command(), bench_command(), predict_command(), recover_command(), backup_command(),
           practice_command(), teach_command(), profile_check_command(), profile_show_command(),
           profile_try_command(), profile_list_command(), reapply_command(), sheet_command(),
           crafts_command(), compare_command(), completion_command()});
    const int parsed = parse(app, argc, argv);
    return parsed >= 0 ? parsed : chosen.run();
  } catch (const armwise::Fault& fault) {
    say_fault(fault, nullptr);
    return exit_status(fault.kind());
  } catch (const std::exception& error) {
    say_fault(unexpected(error), nullptr);
    return failed;
  }
}
