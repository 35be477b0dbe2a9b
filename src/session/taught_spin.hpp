// One spin while the commands are being taught, and its stop.
#pragma once

#include <functional>
#include <optional>
#include <set>
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
#include "teach_dialogue.hpp"

namespace armwise::session {

class TaughtSpin {
 public:
  // All outlive it. `profile` has the stop and the strengths; `suspended` (may be empty): see TeachOptions.
  TaughtSpin(Dialogue& talk, console::Plug& plug, Person& person, const console::Profile& profile,
             console::Sentry& sentry, const std::function<bool()>& suspended)
      : talk_(talk),
        plug_(plug),
        person_(person),
        profile_(profile),
        sentry_(sentry),
        suspended_(suspended) {}

  // What is typed, the step from which on (counted from 0) it may turn the motor, and the values in it.
  // `asked`: the last but one asked for the last, and nothing turned.
  struct Order {
    teach::Typed lines;
    std::size_t from = 0;
    console::Values values;
    bool asked = false;
  };
  // Sends it, by the one way in which armwise spins, and stops it after a second or at a key. Whatever
  // happens once it is on its way, the stop comes next, and is made sure of. An answer that tells of a number
  // one byte from what was sent stops it at once (Said::otherwise), unless it is one of `known_answers`.
  // Throws as OneSpin::run().
  Task<Said> once(Order order, Go go, const std::set<std::string>& known_answers);

 private:
  console::Profile spoken(const Order& order) const;
  Task<void> walk(const Order& order, const SpinPermit& permit, Said& said);
  Task<Ear::Heard> say_with_care(const Order& order, std::size_t at, const SpinPermit& permit);
  Task<void> take_answer(const Order& order, const console::ProfileConsole& console, Said& said);

  Dialogue& talk_;
  console::Plug& plug_;
  Person& person_;
  const console::Profile& profile_;
  console::Sentry& sentry_;
  const std::function<bool()>& suspended_;
};

}  // namespace armwise::session
