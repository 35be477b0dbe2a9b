// Where in a session one is, told to whoever draws it.
#pragma once

#include <string>

#include "armwise/session/person.hpp"

namespace armwise::session {

enum class Phase { find, plan, write, check, save };

// `about`: "bench quad-x".
void tell_phase(Person& person, const std::string& about, Phase phase);

// By the name of a station of a lesson.
void tell_lesson(Person& person, const std::string& station);

}  // namespace armwise::session
