// What the members of a section, or of two, must say together. All throw Fault(bad_profile) with the JSON
// path.
#pragma once

#include "armwise/base/json.hpp"
#include "armwise/console/profile.hpp"

namespace armwise::console {

template <class Section>
void check(const JsonNode& /*node*/, const Section& /*section*/) {}  // nothing to fit together

void check(const JsonNode& node, const Open& open);
void check(const JsonNode& node, const Codes& codes);
void check(const JsonNode& node, const MapAbility& map);
void check(const JsonNode& node, const MountAbility& mount);
void check(const JsonNode& node, const SpinAbility& spin);
void check(const JsonNode& node, const SenseAbility& sense);
void check(const JsonNode& node, const Profile& profile);

}  // namespace armwise::console
