#include "armwise/craft/sensor_orientation.hpp"

#include <algorithm>
#include <array>

namespace armwise::craft {
namespace {

constexpr std::array<SensorOrientation, 41> table{{
    {0, "MAV_SENSOR_ROTATION_NONE", {0, 0, 0}},
    {1, "MAV_SENSOR_ROTATION_YAW_45", {45, 0, 0}},
    {2, "MAV_SENSOR_ROTATION_YAW_90", {90, 0, 0}},
    {3, "MAV_SENSOR_ROTATION_YAW_135", {135, 0, 0}},
    {4, "MAV_SENSOR_ROTATION_YAW_180", {180, 0, 0}},
    {5, "MAV_SENSOR_ROTATION_YAW_225", {225, 0, 0}},
    {6, "MAV_SENSOR_ROTATION_YAW_270", {270, 0, 0}},
    {7, "MAV_SENSOR_ROTATION_YAW_315", {315, 0, 0}},
    {8, "MAV_SENSOR_ROTATION_ROLL_180", {0, 0, 180}},
    {9, "MAV_SENSOR_ROTATION_ROLL_180_YAW_45", {45, 0, 180}},
    {10, "MAV_SENSOR_ROTATION_ROLL_180_YAW_90", {90, 0, 180}},
    {11, "MAV_SENSOR_ROTATION_ROLL_180_YAW_135", {135, 0, 180}},
    {12, "MAV_SENSOR_ROTATION_PITCH_180", {0, 180, 0}},
    {13, "MAV_SENSOR_ROTATION_ROLL_180_YAW_225", {225, 0, 180}},
    {14, "MAV_SENSOR_ROTATION_ROLL_180_YAW_270", {270, 0, 180}},
    {15, "MAV_SENSOR_ROTATION_ROLL_180_YAW_315", {315, 0, 180}},
    {16, "MAV_SENSOR_ROTATION_ROLL_90", {0, 0, 90}},
    {17, "MAV_SENSOR_ROTATION_ROLL_90_YAW_45", {45, 0, 90}},
    {18, "MAV_SENSOR_ROTATION_ROLL_90_YAW_90", {90, 0, 90}},
    {19, "MAV_SENSOR_ROTATION_ROLL_90_YAW_135", {135, 0, 90}},
    {20, "MAV_SENSOR_ROTATION_ROLL_270", {0, 0, 270}},
    {21, "MAV_SENSOR_ROTATION_ROLL_270_YAW_45", {45, 0, 270}},
    {22, "MAV_SENSOR_ROTATION_ROLL_270_YAW_90", {90, 0, 270}},
    {23, "MAV_SENSOR_ROTATION_ROLL_270_YAW_135", {135, 0, 270}},
    {24, "MAV_SENSOR_ROTATION_PITCH_90", {0, 90, 0}},
    {25, "MAV_SENSOR_ROTATION_PITCH_270", {0, 270, 0}},
    {26, "MAV_SENSOR_ROTATION_PITCH_180_YAW_90", {90, 180, 0}},
    {27, "MAV_SENSOR_ROTATION_PITCH_180_YAW_270", {270, 180, 0}},
    {28, "MAV_SENSOR_ROTATION_ROLL_90_PITCH_90", {0, 90, 90}},
    {29, "MAV_SENSOR_ROTATION_ROLL_180_PITCH_90", {0, 90, 180}},
    {30, "MAV_SENSOR_ROTATION_ROLL_270_PITCH_90", {0, 90, 270}},
    {31, "MAV_SENSOR_ROTATION_ROLL_90_PITCH_180", {0, 180, 90}},
    {32, "MAV_SENSOR_ROTATION_ROLL_270_PITCH_180", {0, 180, 270}},
    {33, "MAV_SENSOR_ROTATION_ROLL_90_PITCH_270", {0, 270, 90}},
    {34, "MAV_SENSOR_ROTATION_ROLL_180_PITCH_270", {0, 270, 180}},
    {35, "MAV_SENSOR_ROTATION_ROLL_270_PITCH_270", {0, 270, 270}},
    {36, "MAV_SENSOR_ROTATION_ROLL_90_PITCH_180_YAW_90", {90, 180, 90}},
    {37, "MAV_SENSOR_ROTATION_ROLL_90_YAW_270", {270, 0, 90}},
    {38, "MAV_SENSOR_ROTATION_ROLL_90_PITCH_68_YAW_293", {293, 68, 90}},
    {39, "MAV_SENSOR_ROTATION_PITCH_315", {0, 315, 0}},
    {40, "MAV_SENSOR_ROTATION_ROLL_90_PITCH_315", {0, 315, 90}},
}};

}  // namespace

std::span<const SensorOrientation> sensor_orientations() {
  return table;
}

const SensorOrientation* sensor_orientation_valued(int value) {
  const auto found = std::ranges::find(table, value, &SensorOrientation::value);
  return found == table.end() ? nullptr : &*found;
}

const SensorOrientation* sensor_orientation_named(std::string_view name) {
  const auto found = std::ranges::find(table, name, &SensorOrientation::name);
  return found == table.end() ? nullptr : &*found;
}

NearestOrientation nearest_sensor_orientation(const CraftFromBoard& mount) {
  NearestOrientation best{nullptr, Degrees{361}};
  for (const SensorOrientation& entry : table) {
    const Degrees off = angle_between(entry.rotation(), mount);
    // A later entry must be truly nearer, not by rounding, so that of two duplicates the lower value wins.
    if (off.value < best.off.value - 1e-6) best = {&entry, off};
  }
  return best;
}

std::vector<std::pair<int, int>> duplicate_sensor_orientations() {
  std::vector<std::pair<int, int>> same;
  for (std::size_t i = 0; i < table.size(); ++i) {
    for (std::size_t j = i + 1; j < table.size(); ++j) {
      if (angle_between(table[i].rotation(), table[j].rotation()).value < 1e-6) {
        same.emplace_back(table[i].value, table[j].value);
      }
    }
  }
  return same;
}

}  // namespace armwise::craft
