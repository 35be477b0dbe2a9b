// The restart that the tool cannot make: asked of the person, and seen to have happened.
#pragma once

#include <string>

#include "armwise/base/task.hpp"
#include "armwise/console/console.hpp"
#include "armwise/session/person.hpp"

namespace armwise::session {

// True once a restart has been seen; false where the person cannot, or none was seen however often they
// tried. Throws Fault(not_back), StoppedByPerson.
Task<bool> restart_by_hand(console::Console& console, Person& person);

// "The settings are saved", or less, where less is known; and the same as how a session ended.
std::string in_words(console::Saved saved);
std::string unverified(console::Saved saved);

}  // namespace armwise::session
