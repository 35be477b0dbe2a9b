// Rotations between board axes and craft axes.
//
// Both axes triads: x forward, y right, z down. Yaw, pitch, roll in degrees, applied in that order
// (intrinsic Z-Y'-X''): R(craft<-board) = Rz(yaw) Ry(pitch) Rx(roll). Positive: nose to the right, nose
// up, right side down. Formula: ISO 1151-1 sequence; matrix as in Corke, robotics-toolbox uav.py.
#pragma once

#include <string>

namespace armwise::craft {

// Degrees.
struct YawPitchRoll {
  double yaw = 0;
  double pitch = 0;
  double roll = 0;
  bool operator==(const YawPitchRoll&) const = default;
};

}  // namespace armwise::craft
