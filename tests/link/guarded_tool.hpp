// A process that plays the tool: it opens the line, is guarded, and spins a motor. Killed and stopped for
// real.
#pragma once

#include <poll.h>
#include <signal.h>
#include <sys/syscall.h>
#include <sys/wait.h>
#include <unistd.h>

#include <boost/asio/executor_work_guard.hpp>
#include <boost/asio/io_context.hpp>
#include <chrono>
#include <functional>
#include <memory>
#include <stdexcept>
#include <string>
#include <utility>

#include "armwise/link/guard.hpp"
#include "armwise/link/serial_line.hpp"
#include "pseudo_terminal.hpp"

namespace armwise::link::testing {

// What the tool's side of a play has in hand.
struct Stage {
  Guard& guard;
  boost::asio::io_context& loop;
  SerialLine& line;
  std::unique_ptr<Guard::Beats>& beats;
  int held;

  // At once, without the loop: what these plays send fits into the driver's queue.
  void write(const std::string& bytes) const {
    if (::write(line.descriptor(), bytes.data(), bytes.size()) < 0) throw std::runtime_error("write");
  }
  void run_for_ever() const {
    const auto work = boost::asio::make_work_guard(loop);
    loop.restart();
    loop.run();
  }
};

inline const StopSpeech test_speech{"\r\n", "stop all\r\n", "> ", 0, "enter\r\n"};

class GuardedTool {
 public:
  using Play = std::function<void(Stage&)>;

  GuardedTool(const PseudoTerminal& far_side, const GuardTiming& timing, const Play& play,
              const std::function<void(Stage&, const Fault&)>& on_trouble = {},
              const std::function<void()>& before_all = {}) {
    int report[2];
    if (pipe(report) != 0) throw std::runtime_error("no pipe");
    tool_ = fork();
    if (tool_ == 0) {
      close(far_side.master());
      close(report[0]);
      if (before_all) before_all();
      _exit(run_tool(far_side, timing, play, on_trouble, report[1]));
    }
    close(report[1]);
    report_ = report[0];
    if (read(report_, &guard_, sizeof guard_) != sizeof guard_)
      throw std::runtime_error("the tool did not start");
    guard_handle_ = static_cast<int>(syscall(SYS_pidfd_open, guard_, 0U));
  }
  ~GuardedTool() {
    if (tool_ > 0) {
      kill(tool_, SIGKILL);
      waitpid(tool_, nullptr, 0);
    }
    close(report_);
    close(guard_handle_);
  }
  GuardedTool(const GuardedTool&) = delete;
  GuardedTool& operator=(const GuardedTool&) = delete;

  pid_t tool() const { return tool_; }
  pid_t guard() const { return guard_; }

  // The wait status; the tool is reaped.
  int wait_for_tool() {
    int status = 0;
    waitpid(std::exchange(tool_, 0), &status, 0);
    return status;
  }
  bool guard_ends_within(std::chrono::milliseconds limit) const {
    return guard_handle_ < 0 || readable(guard_handle_, limit);  // it may have ended before it was looked for
  }
  // Ends once nobody has the report's other end open: neither tool nor guard.
  bool report_ends_within(std::chrono::milliseconds limit) const { return readable(report_, limit); }

 private:
  static bool readable(int descriptor, std::chrono::milliseconds limit) {
    pollfd wanted{descriptor, POLLIN, 0};
    return poll(&wanted, 1, static_cast<int>(limit.count())) == 1;
  }

  static int run_tool(const PseudoTerminal& far_side, const GuardTiming& timing, const Play& play,
                      const std::function<void(Stage&, const Fault&)>& on_trouble, int report) {
    const std::unique_ptr<Guard> guard = Guard::start(timing);
    boost::asio::io_context loop;
    const auto line = SerialLine::open(loop.get_executor(), far_side.node());
    const int held = guard->hold(line->descriptor());
    guard->say(test_speech);
    Stage* on_stage = nullptr;
    std::unique_ptr<Guard::Beats> beats = guard->join(loop.get_executor(), [&](const Fault& fault) {
      if (on_trouble) on_trouble(*on_stage, fault);
    });
    Stage stage{*guard, loop, *line, beats, held};
    on_stage = &stage;
    const pid_t process = guard->process();
    if (::write(report, &process, sizeof process) != sizeof process) return 1;
    play(stage);
    return 0;
  }

  pid_t tool_ = 0;
  pid_t guard_ = 0;
  int report_ = -1;
  int guard_handle_ = -1;
};

inline void spin_for_ever(Stage& stage) {
  stage.guard.turning(Duration(60'000));
  stage.write("spin 1\r\n");
  stage.run_for_ever();
}

}  // namespace armwise::link::testing
