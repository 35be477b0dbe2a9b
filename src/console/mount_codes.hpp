// Lists of mount codes that come with the tool.
#pragma once

#include <map>
#include <string>
#include <string_view>

#include "armwise/craft/rotation.hpp"

namespace armwise::console {

constexpr std::string_view mavlink_list_name = "mavlink-sensor-orientation";

// The open MAVLink standard's sensor-orientation table: code as decimal text -> angles (ours).
std::map<std::string, craft::YawPitchRoll> mavlink_mount_codes();

}  // namespace armwise::console
