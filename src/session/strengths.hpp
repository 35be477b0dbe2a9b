// How strong a spin may be, as a person types it.
#pragma once

#include <string>
#include <vector>

#include "armwise/console/profile.hpp"

namespace armwise::session {

constexpr const char* strengths_wanted =
    "Three throttle numbers in this console's units: lowest that turns, highest for a test, full (e.g. "
    "4 12 100 where full is 100)";

struct Strengths {
  std::vector<std::string> numbers;  // the three, as armwise counts: "0.03" of "0,03" or "3" of "3%"
  std::string notation = {};         // of theirs, a template's type; empty: the usual one
  std::string trouble = {};          // a sentence; empty: they are in `spin` now
};
Strengths take_strengths(const std::string& typed, console::SpinAbility& spin);

}  // namespace armwise::session
