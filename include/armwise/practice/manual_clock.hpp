// Time that is wound by hand: a sleep is over at once and moves the clock on by its length.
#pragma once

#include <string>

#include "armwise/base/clock.hpp"

namespace armwise::practice {

class ManualClock : public Clock {
 public:
  Instant now() const override { return now_; }
  Task<void> sleep(Duration duration) override;
  // The same date always (records of a test compare equal), with the wound time as its time of day.
  std::string date_and_time() const override;

  // Never winds back.
  void wind_to(Instant when) {
    if (when > now_) now_ = when;
  }
  void wind(Duration by) { wind_to(now_ + by); }

 private:
  Instant now_{0};
};

}  // namespace armwise::practice
