#include "guard_process.hpp"

#include <fcntl.h>
#include <sched.h>
#include <signal.h>
#include <sys/mman.h>
#include <sys/prctl.h>
#include <sys/resource.h>
#include <sys/syscall.h>
#include <unistd.h>

#include <algorithm>
#include <utility>
#include <vector>

#include "guard_speaker.hpp"
#include "guard_watch.hpp"
#include "holders.hpp"

namespace armwise::link {
namespace {

void ignore_signals() {
  for (const int number :
       {SIGINT, SIGQUIT, SIGTERM, SIGHUP, SIGTSTP, SIGTTIN, SIGTTOU, SIGPIPE, SIGUSR1, SIGUSR2}) {
    signal(number, SIG_IGN);
  }
  sigset_t none;
  sigemptyset(&none);
  sigprocmask(SIG_SETMASK, &none, nullptr);
}

// On a busy machine others would run first, and what was paged out would have to be read in first. Not
// everybody is allowed this; without it the stop may come some milliseconds later.
void come_first() {
  sched_param lowest_of_the_urgent{};
  lowest_of_the_urgent.sched_priority = sched_get_priority_min(SCHED_RR);
  if (sched_setscheduler(0, SCHED_RR | SCHED_RESET_ON_FORK, &lowest_of_the_urgent) != 0) {
    constexpr int most_urgent = -20;
    setpriority(PRIO_PROCESS, 0, most_urgent);
  }
  mlockall(MCL_CURRENT | MCL_ONFAULT);
}

// Also the tool's own: an inherited end of a pipe would keep its reader waiting for as long as the guard
// lives.
void close_all_but(std::vector<int> kept) {
  const int nothing = open("/dev/null", O_RDWR | O_CLOEXEC);
  for (int standard = 0; standard <= 2; ++standard) dup2(nothing, standard);
  std::sort(kept.begin(), kept.end());
  unsigned next = 3;
  for (const int each : kept) {
    const auto number = static_cast<unsigned>(each);
    if (number > next) syscall(SYS_close_range, next, number - 1U, 0U);
    next = number + 1U;
  }
  syscall(SYS_close_range, next, ~0U, 0U);
}

}  // namespace

void run_guard(int socket, int tool, const GuardTiming& timing) {
  setsid();
  ignore_signals();
  prctl(PR_SET_NAME, guard_process_name);
  const GuardSpeaker speaker = GuardSpeaker::of_this_process();
  std::vector<int> kept = speaker.descriptors();
  kept.insert(kept.end(), {socket, tool});
  close_all_but(std::move(kept));
  come_first();
  Watch(socket, tool, timing, speaker).run();
}

}  // namespace armwise::link
