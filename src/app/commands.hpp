// The commands of the program, one file each.
#pragma once

#include <vector>

#include "command_line.hpp"

namespace armwise::link {
class Guard;
}

namespace armwise::app {

// What main made before anything else could get in the way.
struct Process {
  link::Guard* guard = nullptr;  // forked before threads and event loops existed
  std::string program;           // this program's own file, to start a practice craft with
};

CommandSpec ports_command(Process& process);
CommandSpec bench_command(Process& process);
CommandSpec recover_command(Process& process);
CommandSpec backup_command(Process& process);
CommandSpec practice_command(Process& process);
CommandSpec profile_check_command(Process& process);

}  // namespace armwise::app
