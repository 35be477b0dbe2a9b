// The commands of the program, one file each.
#pragma once

#include "command_line.hpp"

namespace armwise::app {

CommandSpec ports_command();
CommandSpec bench_command();
CommandSpec predict_command();
CommandSpec recover_command();
CommandSpec backup_command();
CommandSpec practice_command();
CommandSpec profile_check_command();
CommandSpec profile_show_command();
CommandSpec profile_try_command();
CommandSpec profile_list_command();
CommandSpec teach_command();
CommandSpec reapply_command();
CommandSpec sheet_command();
CommandSpec crafts_command();
CommandSpec compare_command();
CommandSpec completion_command();  // hidden

}  // namespace armwise::app
