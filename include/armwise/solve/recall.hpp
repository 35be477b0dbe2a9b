// A craft's wires as a record knows them, in terms of a controller as it reads now. Pure.
//
// Solder does not change with a firmware, but which way a motor is seen to turn does: the turn setting under
// which it was proven may be gone. Where both controllers have such a setting, the way in which the motor
// turns now follows from it: another value, the other way round.
#pragma once

#include <string>
#include <vector>

#include "armwise/craft/frame.hpp"
#include "armwise/solve/identify.hpp"
#include "armwise/solve/plan.hpp"

namespace armwise::solve {

struct Recalled {
  Wiring wiring;  // as it would be seen now
  // None of the recorded pins is listed by this controller: its pins have other names, and `wiring` says
  // nothing about it.
  bool other_names = false;
  // The recorded directions may not hold, as one of the two controllers has no turn setting to compare.
  bool turns_uncertain = false;
};

// `recorded` is what was proven under the settings `proven_under`. A pin that no motor is on at the moment
// keeps its recorded turn and the setting that went with it. Throws Fault(mismatch) where `recorded` is no
// wiring of every place of the frame.
Recalled recall(const craft::Frame& frame, const Wiring& recorded, const Snapshot& proven_under,
                const Snapshot& now);

// The turn setting that acts on what hangs on this pin; absent: there is none, or no motor is on the pin.
std::optional<craft::Turn> turn_setting_on(const Snapshot& settings, const craft::Pin& pin);

}  // namespace armwise::solve
