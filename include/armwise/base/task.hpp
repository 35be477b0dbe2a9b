// The coroutine type of every flow. All flows of a session run on one thread.
#pragma once

#include <boost/asio/awaitable.hpp>

namespace armwise {

template <typename Result>
using Task = boost::asio::awaitable<Result>;

// A signal cancels the flow: whatever it waits for ends with an exception, and so does every later wait. What
// must still be done then (stop the motors, take back what was written) calls this first.
Task<void> wait_in_spite_of_cancellation();

}  // namespace armwise
