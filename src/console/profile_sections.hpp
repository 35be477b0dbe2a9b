// The sections of a profile, one function each. All throw Fault(bad_profile) with the JSON path.
#pragma once

#include "armwise/console/profile.hpp"
#include "json_node.hpp"

namespace armwise::console {

MapAbility read_map(const JsonNode& node);
PropsAbility read_props(const JsonNode& node);
TurnAbility read_turn(const JsonNode& node);
MountAbility read_mount(const JsonNode& node);
SpinAbility read_spin(const JsonNode& node);
SenseAbility read_sense(const JsonNode& node);
KeepAbility read_keep(const JsonNode& node);

}  // namespace armwise::console
