#include "readiness.hpp"

#include <boost/asio/redirect_error.hpp>
#include <boost/asio/use_awaitable.hpp>
#include <boost/system/system_error.hpp>

#include "armwise/base/task.hpp"

namespace armwise::link {

Task<bool> ready(Descriptor& descriptor, Descriptor::wait_type what, Deadline deadline) {
  // A timer that has gone off may have its handler queued behind the descriptor's own: it must then cancel
  // nothing, and touch nothing that may be gone.
  struct Wait {
    bool over = false, expired = false;
  };
  const auto wait = std::make_shared<Wait>();
  boost::asio::steady_timer timer(descriptor.get_executor(), deadline);
  timer.async_wait([wait, &descriptor](const boost::system::error_code& error) {
    if (error || wait->over) return;
    wait->expired = true;
    descriptor.cancel();
  });
  // Also when the coroutine is destroyed in mid-wait.
  const std::shared_ptr<Wait> at_end(wait.get(), [wait](Wait* ended) { ended->over = true; });
  boost::system::error_code error;
  co_await descriptor.async_wait(what, boost::asio::redirect_error(boost::asio::use_awaitable, error));
  wait->over = true;
  if (!error) co_return true;
  if (wait->expired) co_return false;
  throw boost::system::system_error(error);
}

}  // namespace armwise::link
