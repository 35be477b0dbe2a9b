// What must still be done once a signal has cancelled a flow.
#pragma once

#include <boost/asio/cancellation_state.hpp>
#include <boost/asio/this_coro.hpp>

#include "armwise/base/task.hpp"

namespace armwise {

// A signal cancels the flow: whatever it waits for ends with an exception, and so does every later wait, even
// one for a coroutine that has not begun. What must be done all the same (stop the motors, take back what was
// written) begins with `co_await in_spite_of_cancellation();`, in the very coroutine that goes on waiting.
inline auto in_spite_of_cancellation() {
  return boost::asio::this_coro::reset_cancellation_state(boost::asio::enable_terminal_cancellation());
}

// The same, and no further signal cuts it short: for what has limits of its own. What may be cancelled again
// after it begins with `in_spite_of_cancellation()`.
inline auto in_spite_of_every_signal() {
  return boost::asio::this_coro::reset_cancellation_state(boost::asio::disable_cancellation());
}

}  // namespace armwise
