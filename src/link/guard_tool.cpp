#include "guard_tool.hpp"

#include <signal.h>
#include <sys/syscall.h>
#include <unistd.h>

namespace armwise::link {

void GuardTool::kill() {
  killed_ = true;
  syscall(SYS_pidfd_send_signal, process_, SIGKILL, nullptr, 0U);
}

}  // namespace armwise::link
