// The props-off ceremony and the question before each spin, the same in every command: the only place where a
// SpinPermit is made, and the only one where a Go is.
#pragma once

#include <optional>
#include <string>
#include <utility>

#include "armwise/base/fault.hpp"
#include "armwise/base/permit.hpp"
#include "armwise/base/task_fwd.hpp"
#include "armwise/console/console.hpp"
#include "armwise/craft/motor.hpp"
#include "armwise/session/person.hpp"

namespace armwise::session {

// What must be known before the question is put.
void say_cautions(Person& person);

struct Sworn {
  bool back = false;                 // the person would rather go back
  std::optional<SpinPermit> permit;  // only where the word itself was typed
};
// Question id: `props-off`. `frame`: whose arms will be asked about after it; null: none will. Both outlive
// the call. Throws StoppedByPerson.
Task<Sworn> swear_props_off(Person& person, const craft::Frame* frame);
// Question id: `battery`. Yes, no, or back.
Task<Answer> ask_for_battery(Person& person);
// Once more, after this many spins of one motor. False where the word was not typed.
Task<bool> swear_props_off_again(Person& person, int spins);

struct BeforeSpin {
  std::string hands = "Eyes on the craft.";  // what to do with them
  int seen = 0, of = 0;                      // motors of this round; 0: of none
};

// One spin of one motor, which the person has asked for a moment ago. A spin uses it up.
class Go {
 public:
  Go(Go&&) = default;
  Go& operator=(Go&&) = default;
  Go(const Go&) = delete;
  Go& operator=(const Go&) = delete;

  craft::Motor motor() const { return motor_; }  // the number that the console is given
  const SpinPermit& permit() const { return permit_; }

 private:
  friend Task<std::optional<Go>> ask_for_go(Person& person, craft::Motor commanded, craft::Motor shown,
                                            craft::Pin pin, SpinPermit permit, BeforeSpin before);
  Go(craft::Motor motor, SpinPermit permit) : motor_(motor), permit_(std::move(permit)) {}
  craft::Motor motor_;
  SpinPermit permit_;
};
// Question id: `go`. `pin` and `shown` are what the person is told. Absent: the person wants to go back.
// Throws StoppedByPerson.
Task<std::optional<Go>> ask_for_go(Person& person, craft::Motor commanded, craft::Motor shown, craft::Pin pin,
                                   SpinPermit permit, BeforeSpin before);
// With nothing in the hands, and of no round. Not by a default argument: g++ 12 destroys that one twice where
// the call is awaited.
Task<std::optional<Go>> ask_for_go(Person& person, craft::Motor commanded, craft::Motor shown, craft::Pin pin,
                                   SpinPermit permit);

// Where a stop was not acknowledged, in every command alike.
void say_unstopped(Person& person, const console::Unstopped& unstopped, bool again);  // at once, and again
Fault line_lost_in_a_spin();  // where it is back, and the motors are stopped

}  // namespace armwise::session
