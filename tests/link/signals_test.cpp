#include "armwise/link/signals.hpp"

#include <gtest/gtest.h>
#include <signal.h>
#include <sys/wait.h>
#include <unistd.h>

#include <boost/asio/any_io_executor.hpp>
#include <boost/asio/io_context.hpp>
#include <boost/asio/post.hpp>
#include <functional>

namespace armwise::link::signals_test {
namespace {

// Runs `play` in a process of its own, in a group of its own as a shell would.
pid_t in_a_process(const std::function<void()>& play) {
  const pid_t child = fork();
  if (child == 0) {
    setpgid(0, 0);
    play();
    _exit(0);
  }
  return child;
}

int status_of(pid_t child, int options = 0) {
  int status = 0;
  waitpid(child, &status, options);
  return status;
}

void raise_from_loop(int number) {
  boost::asio::io_context loop;
  int came = 0;
  std::unique_ptr<Signals> signals;
  signals = std::make_unique<Signals>(loop.get_executor(), [&](int which) {
    came = which;
    signals->ignore();
  });
  boost::asio::post(loop, [number] { raise(number); });
  loop.run();  // ends: nothing listens any more
  if (came != number) _exit(99);
}

TEST(Signals, ComeThroughTheLoopAndEndTheProcessAfterwards) {
  for (const int number : {SIGINT, SIGTERM, SIGHUP}) {
    const pid_t child = in_a_process([number] {
      raise_from_loop(number);
      end_by_signal(number);
    });
    const int status = status_of(child);
    EXPECT_TRUE(WIFSIGNALED(status)) << number;
    EXPECT_EQ(WTERMSIG(status), number);
  }
}

TEST(Signals, SuspendAndGoOn) {
  const pid_t child = in_a_process([] {
    boost::asio::io_context loop;
    int times = 0;
    std::unique_ptr<Signals> signals;
    signals = std::make_unique<Signals>(loop.get_executor(), [&](int which) {
      if (which != SIGTSTP) _exit(99);
      signals->suspend();
      if (++times == 2) return signals->ignore();
      raise(SIGTSTP);  // is heard again after the first
    });
    boost::asio::post(loop, [] { raise(SIGTSTP); });
    loop.run();
    _exit(times == 2 ? 0 : 98);
  });
  for (int time = 0; time < 2; ++time) {
    const int stopped = status_of(child, WUNTRACED);
    ASSERT_TRUE(WIFSTOPPED(stopped));
    EXPECT_EQ(WSTOPSIG(stopped), SIGTSTP);
    kill(child, SIGCONT);
  }
  EXPECT_EQ(status_of(child), 0);
}

TEST(Signals, DoWhatTheyDoByThemselvesOnceIgnored) {
  const pid_t child = in_a_process([] {
    boost::asio::io_context loop;
    Signals signals(loop.get_executor(), [](int) { _exit(99); });
    signals.ignore();
    raise(SIGTERM);
  });
  const int status = status_of(child);
  EXPECT_TRUE(WIFSIGNALED(status));
  EXPECT_EQ(WTERMSIG(status), SIGTERM);
}

TEST(EndBySignal, EndsAlsoWhereTheSignalWasBlockedOrIgnored) {
  const pid_t child = in_a_process([] {
    signal(SIGTERM, SIG_IGN);
    sigset_t all;
    sigfillset(&all);
    sigprocmask(SIG_BLOCK, &all, nullptr);
    end_by_signal(SIGTERM);
  });
  EXPECT_EQ(WTERMSIG(status_of(child)), SIGTERM);
}

}  // namespace
}  // namespace armwise::link::signals_test
