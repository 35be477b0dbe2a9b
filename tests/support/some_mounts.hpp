// Some of craft::mounts().
#pragma once

#include <algorithm>
#include <cmath>
#include <iterator>
#include <vector>

#include "armwise/craft/mounts.hpp"

namespace armwise::craft::testing {

// The 24 whose edges lie along the craft's axes.
inline std::vector<Mount> axis_aligned_mounts() {
  std::vector<Mount> chosen;
  std::ranges::copy_if(mounts(), std::back_inserter(chosen),
                       [](const Mount& m) { return std::fmod(m.angles.yaw, 90) == 0; });
  return chosen;
}

// The 16 that lie flat, upright or upside down.
inline std::vector<Mount> flat_mounts() {
  std::vector<Mount> chosen;
  std::ranges::copy_if(mounts(), std::back_inserter(chosen), [](const Mount& m) {
    return m.side == BoardSide::right_way_up || m.side == BoardSide::upside_down;
  });
  return chosen;
}

}  // namespace armwise::craft::testing
