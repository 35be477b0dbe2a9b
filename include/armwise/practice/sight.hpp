// What the person at the bench sees of the craft, and what their hands can do to it.
#pragma once

#include <string>
#include <vector>

#include "armwise/base/duration.hpp"
#include "armwise/base/task_fwd.hpp"
#include "armwise/practice/craft.hpp"

namespace armwise::practice {

class Sight {
 public:
  virtual ~Sight() = default;

  // What turns now.
  virtual std::vector<Turning> turning() = 0;

  // Waits until something else turns than turned when it was called, or until `within` is over; what
  // turns then.
  virtual Task<std::vector<Turning>> change(Duration within) = 0;

  // The craft is held so: a name of poses(). Throws Fault(usage) where there is no such pose.
  virtual Task<void> hold(std::string pose) = 0;

  // Two wires of this place's motor are swapped. Throws Fault(usage) where there is no such place.
  virtual Task<void> reverse(std::string place) = 0;

  // The craft is unplugged, its battery too, and plugged in again.
  virtual Task<void> replug() = 0;
};

// Every sight refuses in the same words.
[[noreturn]] void no_such_pose(const std::string& pose);
[[noreturn]] void no_such_place(const std::string& place);

}  // namespace armwise::practice
