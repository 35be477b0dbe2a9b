// When the guard says the stop next: at once, then at growing intervals; and from the third time on for a
// console that may have to be entered anew.
#pragma once

#include <algorithm>
#include <cstdint>

#include "guard_message.hpp"

namespace armwise::link {

class StopSeries {
 public:
  // Outlives it.
  explicit StopSeries(const GuardTiming& timing) : timing_(timing) {}

  void begin(std::int64_t now) { begin_behind(0, now); }
  // On the port of a controller that came back, maybe in its start-up.
  void begin_on_found_port(std::int64_t now) { begin_behind(written_inside, now); }

  std::int64_t next() const { return next_; }
  bool enters() const { return written_ >= written_inside; }
  // `beside`: a tool that beats, which needs silence to get into step with its console.
  void count(std::int64_t now, bool beside) {
    ++written_;
    next_ = now + nanoseconds(beside ? timing_.seldom : interval_);
    interval_ = std::min(2 * interval_, timing_.repeat_at_longest);
  }

 private:
  static constexpr int written_inside = 2;
  void begin_behind(int written, std::int64_t now) {
    written_ = written;
    interval_ = timing_.repeat;
    next_ = now;
  }

  const GuardTiming& timing_;
  int written_ = 0;
  Duration interval_{0};  // to the one after the next
  std::int64_t next_ = 0;
};

}  // namespace armwise::link
