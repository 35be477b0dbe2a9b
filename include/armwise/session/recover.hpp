// Finishing or taking back a session that was cut off while it was changing a controller's settings.
//
// What the controller reads back now decides, not what the journal hoped. Spins are never resumed.
#pragma once

#include <string>

#include "armwise/base/clock.hpp"
#include "armwise/base/task_fwd.hpp"
#include "armwise/console/console.hpp"
#include "armwise/record/store.hpp"
#include "armwise/session/person.hpp"

namespace armwise::session {

struct RecoverResult {
  enum class Ending {
    nothing_to_do,  // no session was cut off
    all_old,        // the controller is as it was before that session
    all_new,        // the controller holds, and keeps, what that session had proven
    left_open,      // the person wants to decide later
    set_aside  // its journal was damaged, and is kept under another name; the settings are as they were left
  };
  Ending ending = Ending::nothing_to_do;
};

// Says of each teach() that was cut off while it was trying another value. Throws Fault(file).
void tell_trials(Person& person, record::Store& store, const Clock& clock);
// Of each of them: says what to type to put it back, and asks whether that has been done (`put-back`: done or
// later). Needs no controller.
Task<void> settle_trials(Person& person, record::Store& store, Clock& clock);
// Whether a session was cut off that recover() has to see to.
bool needs_recovery(record::Store& store);

// Questions: `recover` (finish, back, aside or later). Where any part of the journal is damaged, nothing is
// finished: it is taken back as far as that can be read, or set aside. Throws as bench() does;
// Fault(mismatch) where the cut-off sessions belong to other controllers than the one that answers.
Task<RecoverResult> recover(console::Console& console, Person& person, record::Store& store, Clock& clock);

}  // namespace armwise::session
