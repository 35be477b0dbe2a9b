// The time as the machine tells it.
#pragma once

#include <boost/asio/any_io_executor.hpp>
#include <utility>

#include "armwise/base/clock.hpp"

namespace armwise::link {

class RealClock : public Clock {
 public:
  explicit RealClock(boost::asio::any_io_executor loop) : loop_(std::move(loop)) {}

  Instant now() const override;
  Task<void> sleep(Duration duration) override;
  std::string date_and_time() const override;  // local time, to the second

 private:
  boost::asio::any_io_executor loop_;
};

}  // namespace armwise::link
