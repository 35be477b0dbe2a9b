#include "armwise/link/real_clock.hpp"

#include <time.h>

#include <array>
#include <boost/asio/steady_timer.hpp>
#include <boost/asio/use_awaitable.hpp>

#include "armwise/base/task.hpp"

namespace armwise::link {

Instant RealClock::now() const {
  return std::chrono::duration_cast<Instant>(std::chrono::steady_clock::now().time_since_epoch());
}

Task<void> RealClock::sleep(Duration duration) {
  boost::asio::steady_timer timer(loop_, duration);
  co_await timer.async_wait(boost::asio::use_awaitable);
}

std::string RealClock::date_and_time() const {
  const time_t now = time(nullptr);
  tm local{};
  localtime_r(&now, &local);
  std::array<char, 32> text{};
  const std::size_t length = strftime(text.data(), text.size(), "%Y-%m-%dT%H:%M:%S%z", &local);
  std::string out(text.data(), length);
  // strftime writes the offset as +0100, ISO 8601's extended form wants +01:00.
  if (out.size() > 2) out.insert(out.size() - 2, ":");
  return out;
}

}  // namespace armwise::link
