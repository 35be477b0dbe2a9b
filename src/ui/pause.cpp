#include "pause.hpp"

#include <boost/asio/steady_timer.hpp>
#include <boost/asio/use_awaitable.hpp>

#include "armwise/base/task.hpp"

namespace armwise::ui {

Task<void> pause(boost::asio::any_io_executor executor, Duration duration) {
  boost::asio::steady_timer timer(executor, duration);
  co_await timer.async_wait(boost::asio::use_awaitable);
}

}  // namespace armwise::ui
