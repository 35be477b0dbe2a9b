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
    left_open       // the person wants to decide later
  };
  Ending ending = Ending::nothing_to_do;
};

// Questions: `recover` (finish, back or later). Throws as bench() does; Fault(mismatch) where the cut-off
// sessions belong to other controllers than the one that answers.
Task<RecoverResult> recover(console::Console& console, Person& person, record::Store& store, Clock& clock);

}  // namespace armwise::session
