// The props-off ceremony, the same in every command: the only place where a SpinPermit is made.
#pragma once

#include <optional>

#include "armwise/base/permit.hpp"
#include "armwise/base/task.hpp"
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

}  // namespace armwise::session
