#include "one_spin.hpp"

#include <utility>

#include "armwise/base/cancellation.hpp"
#include "armwise/base/fault.hpp"
#include "armwise/base/task.hpp"

namespace armwise::session {

Task<bool> OneSpin::run(const std::function<Task<void>()>& turn, craft::Motor motor, Duration length) {
  std::exception_ptr trouble;
  try {
    co_await turn();
    co_await person_.interrupted(motor, length);
  } catch (...) {
    trouble = std::current_exception();
  }
  // Whatever happened, the stop comes before anything else.
  co_await in_spite_of_cancellation();
  co_await stop_in_spite_of_everything(trouble);
  if (trouble) co_await in_spite_of_cancellation();
  // Ctrl-Z ends the spin like a signal, but not the session: once it goes on, the person is asked as always.
  if (trouble && suspended_ && suspended_()) co_return true;
  if (trouble) std::rethrow_exception(trouble);
  co_return false;
}

// A signal cancels whatever is waited for, the answer to a stop too: then the stop is said once more, and
// whoever presses Ctrl-C again and again does not cut that short.
Task<void> OneSpin::stop_in_spite_of_everything(std::exception_ptr& trouble) {
  for (int attempt = 0; attempt < 2; ++attempt) {
    if (attempt == 0) {
      co_await in_spite_of_cancellation();
    } else {
      co_await in_spite_of_every_signal();
    }
    std::exception_ptr failed;
    try {
      co_await stop();
    } catch (const Fault&) {
      throw;
    } catch (...) {
      failed = std::current_exception();
    }
    if (!failed) co_return;
    if (!trouble) trouble = failed;
  }
  throw console::motor_may_be_turning("the stop was interrupted");
}

// The person can stop a motor that no line reaches, so they are told at once.
Task<void> OneSpin::stop() {
  bool told = false;
  const console::TellUnstopped tell = [&](const console::Unstopped& unstopped) {
    say_unstopped(person_, unstopped, std::exchange(told, true));
  };
  const bool line_was_lost = co_await console_.stop_all(tell);
  if (told) person_.tell("stop-found");
  if (line_was_lost) throw line_lost_in_a_spin();
}

}  // namespace armwise::session
