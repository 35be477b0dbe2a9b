// What changed from one record of a craft to another, in the trade's words. Pure.
#pragma once

#include <string>
#include <vector>

#include "armwise/record/craft_record.hpp"

namespace armwise::record {

struct Difference {
  std::string about;  // "frame", "wiring", "settings", "proof", ...
  std::string words;  // a sentence without its full stop
};

// In the order in which it matters at the bench: who it is, what is wired where, what is set, what was
// proven. Empty: nothing that matters differs (dates, ports and the answers on the way there do not).
std::vector<Difference> compare(const CraftRecord& older, const CraftRecord& newer);

}  // namespace armwise::record
