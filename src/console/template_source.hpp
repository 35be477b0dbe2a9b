// A template as it is written in a profile.
#pragma once

#include <string_view>
#include <vector>

#include "armwise/console/template.hpp"

namespace armwise::console {

// Throws Fault(bad_profile) that names the character.
std::vector<Piece> pieces_of(std::string_view source);

}  // namespace armwise::console
