#include "armwise/base/task.hpp"

#include <boost/asio/this_coro.hpp>

namespace armwise {

Task<void> wait_in_spite_of_cancellation() {
  co_await boost::asio::this_coro::reset_cancellation_state(boost::asio::enable_terminal_cancellation());
}

}  // namespace armwise
