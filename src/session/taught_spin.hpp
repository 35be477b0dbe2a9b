// One spin while the commands are being taught, and its stop.
#pragma once

#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "armwise/base/fault.hpp"
#include "armwise/base/task.hpp"
#include "armwise/console/line.hpp"
#include "armwise/console/profile.hpp"
#include "armwise/console/sentry.hpp"
#include "armwise/session/person.hpp"
#include "ceremony.hpp"
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
  enum class Stop { plainly, before_late_answer, from_anywhere };
  Task<Said> say_spin(teach::Typed typed, std::size_t from, bool& late);
  Task<Said> say_stop();
  Task<std::optional<Fault>> try_stop(Said& spun, Stop how);
  Task<std::optional<Fault>> stop_on_a_new_line(Said& spun);
  Task<void> stop_for_sure(Said& spun, Stop how);
  Task<void> stop_before_late_answer(Said& spun);
  Task<void> stop_from_anywhere();
  Duration overdue() const;
  void say_not_acknowledged(const std::string& why);
  std::optional<Fault> why_not_acknowledged(const Said& stopped) const;

  Ear& ear_;
  console::Plug& plug_;
  Person& person_;
  const console::Profile& profile_;
  Understanding& understanding_;
  console::Sentry& sentry_;
  const std::function<bool()>& suspended_;
  bool warned_ = false;  // of this stop
};

}  // namespace armwise::session
