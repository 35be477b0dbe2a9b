// What a console says unasked, beside what it answers: neither may be taken for the other.
#pragma once

#include <string_view>

#include "armwise/console/profile.hpp"

namespace armwise::console {

// Whether some line of `open.unasked` can hold these words, so that they confirm nothing where no lines are
// seen.
bool may_be_said_unasked(std::string_view words, const Open& open);

}  // namespace armwise::console
