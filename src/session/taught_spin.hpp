// One spin while the commands are being taught, and its stop.
#pragma once

#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "armwise/base/fault.hpp"
#include "armwise/base/task_fwd.hpp"
#include "armwise/console/line.hpp"
#include "armwise/console/profile.hpp"
#include "armwise/console/profile_console.hpp"
#include "armwise/console/sentry.hpp"
#include "armwise/session/ceremony.hpp"
#include "armwise/session/person.hpp"
#include "ear.hpp"
#include "said.hpp"

namespace armwise::session {

class TaughtSpin {
 public:
  // All outlive it. `profile` has the stop; `suspended` (may be empty): see TeachOptions.
  TaughtSpin(Ear& ear, console::Plug& plug, Person& person, const console::Profile& profile,
             Understanding& understanding, console::Sentry& sentry, const std::function<bool()>& suspended)
      : ear_(ear),
        plug_(plug),
        person_(person),
        profile_(profile),
        understanding_(understanding),
        sentry_(sentry),
        suspended_(suspended) {}

  // Sends these lines, of which the one at `from` (counted from 0) and those behind it may turn the motor
  // that was asked for, and stops it after a second or at a key. Whatever happens once they are on their way,
  // the stop comes next, and is made sure of. Throws Fault(unsafe) where a motor may be turning;
  // Fault(line_lost) where the stop was acknowledged on a line that had to be opened anew.
  Task<Said> once(teach::Typed lines, std::size_t from, Go go);

 private:
  Task<Ear::Heard> say_with_care(const std::string& step, Duration turns_for);
  Task<Said> say_spin(teach::Typed typed, std::size_t from, bool& late);
  Task<void> hear_late_answer(Said& spun);
  Task<void> stop(console::ProfileConsole::Left left);
  void tell(const console::Unstopped& unstopped);
  Duration overdue() const;

  Ear& ear_;
  console::Plug& plug_;
  Person& person_;
  const console::Profile& profile_;
  Understanding& understanding_;
  console::Sentry& sentry_;
  const std::function<bool()>& suspended_;
  bool told_ = false;  // that the stop is not acknowledged
};

}  // namespace armwise::session
