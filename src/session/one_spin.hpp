// One spin of one motor, and its stop: the same while a console is used and while it is taught.
#pragma once

#include <exception>
#include <functional>

#include "armwise/base/duration.hpp"
#include "armwise/base/task_fwd.hpp"
#include "armwise/console/console.hpp"
#include "armwise/session/ceremony.hpp"
#include "armwise/session/person.hpp"

namespace armwise::session {

class OneSpin {
 public:
  // All outlive it. `suspended` (may be empty) is asked after a spin that ended by an exception, once the
  // motor is stopped: true where that was Ctrl-Z, and it is over.
  OneSpin(console::Console& console, Person& person, const std::function<bool()>& suspended)
      : console_(console), person_(person), suspended_(suspended) {}

  // `turn` has the motor turn; then the stop comes, after so long or at a key, or because of whatever else
  // happened. The motor has been stopped by the time this returns or throws; Fault(unsafe) where that is not
  // certain, Fault(line_lost) where the stop was acknowledged on a line that had to be opened anew. True
  // where Ctrl-Z ended it.
  Task<bool> run(const std::function<Task<void>()>& turn, craft::Motor motor, Duration length);

  // The stop alone. Throws as run().
  Task<void> stop();

 private:
  Task<void> stop_in_spite_of_everything(std::exception_ptr& trouble);

  console::Console& console_;
  Person& person_;
  const std::function<bool()>& suspended_;
};

}  // namespace armwise::session
