#include "mount_codes.hpp"

#include "armwise/craft/sensor_orientation.hpp"

namespace armwise::console {

std::map<std::string, craft::YawPitchRoll> mavlink_mount_codes() {
  std::map<std::string, craft::YawPitchRoll> codes;
  for (const craft::SensorOrientation& entry : craft::sensor_orientations()) {
    codes[std::to_string(entry.value)] = entry.angles;
  }
  return codes;
}

}  // namespace armwise::console
