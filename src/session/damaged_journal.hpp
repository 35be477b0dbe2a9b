// What a person is told and asked about a session whose journal is damaged.
#pragma once

#include <string>

#include "armwise/console/console.hpp"
#include "armwise/record/store.hpp"
#include "armwise/session/consent.hpp"
#include "armwise/session/person.hpp"
#include "cut_off.hpp"

namespace armwise::session {

// Says what is damaged, what is known all the same, and returns what is chosen: "back" (offered only where
// the journal says what was before), "aside" or "later". `now`: what the controller reads.
Task<Recovering> ask_about_damage(Person& person, const CutOff& cut, const solve::Snapshot& now);

// Says which lines of the configuration saved in `file` read otherwise now: a line that cannot be read may
// have been about any of them. An empty name: none was saved.
Task<void> tell_what_else_differs(console::Console& console, Person& person, record::Store& store,
                                  const std::string& file);

}  // namespace armwise::session
