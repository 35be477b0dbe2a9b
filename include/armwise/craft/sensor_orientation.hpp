// The open MAVLink standard's sensor-orientation table (enum MAV_SENSOR_ORIENTATION of its common message
// set), as data. The enumeration names angles but not their order: yaw, pitch, roll (ours) is assumed, as
// for every attitude in that standard.
#pragma once

#include <optional>
#include <span>
#include <string_view>
#include <utility>
#include <vector>

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
const SensorOrientation* sensor_orientation_valued(int value);
const SensorOrientation* sensor_orientation_named(std::string_view name);

// The entry nearest to a mount, the lowest value where two are equally near, and how far off it is.
struct NearestOrientation {
  const SensorOrientation* entry = nullptr;
  Degrees off;
};
NearestOrientation nearest_sensor_orientation(const CraftFromBoard& mount);

// Values that mean the same rotation, found by computing, the lower one first.
std::vector<std::pair<int, int>> duplicate_sensor_orientations();

}  // namespace armwise::craft
