// The open MAVLink standard's sensor-orientation table (enum MAV_SENSOR_ORIENTATION of its common message
// set), as data. The enumeration names angles but not their order: yaw, pitch, roll (ours) is assumed, as
// for every attitude in that standard.
#pragma once

#include <span>
#include <string_view>

#include "armwise/craft/rotation.hpp"

namespace armwise::craft {

struct SensorOrientation {
  int value = 0;
  std::string_view name;  // "MAV_SENSOR_ROTATION_ROLL_180_YAW_45"
  YawPitchRoll angles;    // degrees, 0 to 359 as the standard writes them
  CraftFromBoard rotation() const { return CraftFromBoard(angles); }
};

// In the order of their values, without MAV_SENSOR_ROTATION_CUSTOM (100), which stands for no rotation.
std::span<const SensorOrientation> sensor_orientations();

}  // namespace armwise::craft
