// What a practice controller has still to say, and when each of it is due.
#pragma once

#include <deque>
#include <optional>
#include <string>
#include <utility>

#include "armwise/base/duration.hpp"

namespace armwise::practice {

class Voice {
 public:
  // Not before what it was to say earlier.
  void say(std::string bytes, Instant due);
  // From then on it repeats this without end.
  void go_on_for_ever(std::string line, Instant from);
  // An answer that comes late: until it is let go.
  void hold(std::string answer) { held_ = std::move(answer); }
  void let_go(Instant due) { say(std::exchange(held_, {}), due); }
  // What was said and not taken is lost.
  void hush();

  std::string take(Instant now);
  std::optional<Instant> next() const;

 private:
  struct Saying {
    Instant due{0};
    std::string bytes;
  };
  std::deque<Saying> sayings_;
  std::string held_;
  std::string endless_;  // empty: it comes to its end
  Instant endless_from_{0};
};

}  // namespace armwise::practice
