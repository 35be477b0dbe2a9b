// Which place, which way: what was seen, what is soldered, what is to be shown.
#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "armwise/craft/frame.hpp"

namespace armwise::craft {

struct PlacedTurn {
  PlaceIndex place = 0;
  Turn turn = Turn::cw;
  bool operator==(const PlacedTurn&) const = default;
};

// Its one form as text, "front-left cw", in records too; and back. Absent: no such place, or no turn.
std::string text(const Frame& frame, const PlacedTurn& at);
std::optional<PlacedTurn> placed_turn_named(const Frame& frame, std::string_view text);

}  // namespace armwise::craft
