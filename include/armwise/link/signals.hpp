// SIGINT, SIGTERM, SIGHUP and SIGTSTP as events of the loop, so that the motors are stopped before anything
// ends.
//
//   asio::cancellation_signal cancel;
//   Signals signals(loop, [&](int number) { last = number; cancel.emit(asio::cancellation_type::terminal);
//   }); co_spawn(loop, flow(), asio::bind_cancellation_slot(cancel.slot(), [&](std::exception_ptr) {
//   signals.ignore(); })); loop.run();
//   ... the flow has stopped its motors on its way out, then:
//   end_by_signal(last);        // or, for SIGTSTP: signals.suspend(), and go on afterwards
//
// While it listens, the loop does not run out of work: call ignore() when the flow has ended.
#pragma once

#include <functional>
#include <memory>

#include "armwise/base/task_fwd.hpp"

namespace armwise::link {

class Signals {
 public:
  // `on_signal` is called from the loop, for each signal that comes.
  Signals(const boost::asio::any_io_executor& loop, std::function<void(int number)> on_signal);
  ~Signals();
  Signals(const Signals&) = delete;
  Signals& operator=(const Signals&) = delete;

  // No more calls; the signals are back to what they do by themselves.
  void ignore();

  // Suspends the process as Ctrl-Z would have, after its motors are stopped and its terminal is restored.
  // Returns once it is told to go on (at once where nobody could tell it to: an orphaned process group).
  void suspend();

 private:
  struct State;
  std::shared_ptr<State> state_;
};

// Ends the process by the signal, so that a shell sees 128 + n.
[[noreturn]] void end_by_signal(int number);

}  // namespace armwise::link
