// The turn, asked without the words left, right and clockwise: a strip of paper is held at the outside of
// the bell and is flicked away. Pure.
//
// Craft axes (x to the nose, y to the right, z down): a bell that turns clockwise from above turns about +z,
// so that a point of it at r from its axis moves along z x r = (-r_y, r_x). At the side away from the
// craft's nose-to-tail line r = (0, +-1): clockwise moves it toward the tail on the right half of the craft
// and toward the nose on the left half. A motor on that line has no such side: there the strip is held at the
// far end of the arm, r along the arm, and clockwise moves it toward the next arm clockwise.
#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "armwise/craft/frame.hpp"
#include "armwise/craft/turn.hpp"

namespace armwise::craft {

struct StripTest {
  std::string hold;                   // where, as a part of a sentence
  double hold_x = 0, hold_y = 0;      // from the bell's axis, craft axes, unit length
  std::string cw_toward, ccw_toward;  // "nose", "tail", or an arm's name
};

// Throws std::out_of_range where there is no such place.
StripTest strip_test(const Frame& frame, PlaceIndex place);

// `toward`: nose, tail, or one of the two arms that the test names. Absent: it says nothing.
std::optional<Turn> turn_by_strip(const Frame& frame, PlaceIndex place, std::string_view toward);
}  // namespace armwise::craft
