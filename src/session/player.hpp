// Plays a saved whole configuration back, a line at a time, and forgets it again. The only place in the
// flows that sends a line which armwise did not make itself.
#pragma once

#include <string>
#include <vector>

#include "armwise/base/permit.hpp"
#include "armwise/base/task_fwd.hpp"
#include "armwise/console/console.hpp"
#include "armwise/session/person.hpp"

namespace armwise::session {

class Player {
 public:
  Player(console::Console& console, Person& person) : console_(console), person_(person) {}

  struct Line {
    std::string text;
    std::string why;  // it was refused, or stays out; empty: taken
  };
  // The lines that may be sent, and those that stay out with the reason.
  struct Sorted {
    std::vector<std::string> to_send;
    std::vector<Line> left_out;
  };
  Sorted sort(const std::vector<std::string>& saved) const;

  // Sends them in order; a refused line stops nothing. Returns the refused ones. Throws Fault(line_lost,
  // no_reply, unreadable).
  Task<std::vector<Line>> play(const std::vector<std::string>& to_send, const MayPlay& permit);

  // For a console that cannot be restarted, which would forget what was played and not kept: plays what was
  // saved `before` back. The settings that armwise knows itself are to be back already: a console may refuse
  // a line that another setting is in the way of. Throws Fault(left_changed) where lines then read otherwise.
  Task<void> play_before(const std::vector<std::string>& before, const MayPlay& permit);

 private:
  console::Console& console_;
  Person& person_;
};

// The lines of `wanted` that `now` does not have, in their order.
std::vector<std::string> lines_missing(const std::vector<std::string>& wanted,
                                       const std::vector<std::string>& now);

}  // namespace armwise::session
