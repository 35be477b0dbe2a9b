// A strip of paper (craft/strip.hpp) answered by an arrow key. Pure.
#pragma once

#include <optional>

#include "armwise/craft/strip.hpp"
#include "armwise/ui/keys.hpp"

namespace armwise::ui {

// The arrow that points, in the picture, the way the strip went.
std::optional<craft::Turn> turn_by_strip(const craft::Frame& frame, craft::PlaceIndex place, const Key& key,
                                         NoseSide nose);

}  // namespace armwise::ui
