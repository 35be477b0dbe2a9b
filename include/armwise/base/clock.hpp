// Time is handed in, so that tests run in no time at all and practice can be paced like the real thing.
#pragma once

#include <string>

#include "armwise/base/duration.hpp"
#include "armwise/base/task_fwd.hpp"

namespace armwise {

class Clock {
 public:
  virtual ~Clock() = default;
  virtual Instant now() const = 0;
  virtual Task<void> sleep(Duration duration) = 0;
  // Date and time with offset, ISO 8601, for records: "2026-11-25T07:10:00+01:00".
  virtual std::string date_and_time() const = 0;
};

}  // namespace armwise
