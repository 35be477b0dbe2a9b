// Which motor ends up on which pad when the board that carries the pads is turned and every wire goes to the
// pad that lies nearest. Pure.
#pragma once

#include <vector>

#include "armwise/craft/frame.hpp"
#include "armwise/craft/rotation.hpp"

namespace armwise::solve {

struct NearestPads {
  std::vector<craft::PlaceIndex> place_of_pad;  // element i: the place whose motor goes to pad i+1
  // Another choice lies just as near: a board on edge, or turned halfway between two arms.
  bool tie = false;
};

// Pad i+1 lies on its board where the place `numbering.place_of_motor[i]` is on the craft. Of all choices the
// one with the least sum of squared distances.
NearestPads nearest_pads(const craft::Frame& frame, const craft::Numbering& numbering,
                         const craft::CraftFromBoard& pads);

}  // namespace armwise::solve
