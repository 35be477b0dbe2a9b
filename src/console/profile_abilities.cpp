// What bench can do with a profile, and what the person will be asked instead.
#include <algorithm>
#include <cstdio>

#include "armwise/base/text.hpp"
#include "armwise/console/profile.hpp"

namespace armwise::console {
namespace {

std::string at_strength(const SpinAbility& spin) {
  std::array<char, 32> text{};
  std::snprintf(text.data(), text.size(), "%.3g %%", spin.per_cent(spin.standard));
  return text.data();
}

std::string map_sentence(const Profile& profile) {
  if (!profile.map) return "map: cannot be read, so bench cannot do its job with this profile";
  if (!profile.map->put) return "map: read; which motor drives which pin must be set by hand";
  return profile.map->rules.shared_meanwhile
             ? "map: read and set, one write for each motor that moves"
             : "map: read and set; a pin is freed first, as this console refuses one that is taken";
}

std::string props_sentence(const Profile& profile) {
  if (!profile.props) return "prop direction: not known to this console; props are chosen by the turns alone";
  return profile.props->set ? "prop direction: read and set" : "prop direction: read; must be set by hand";
}

std::string turn_sentence(const Profile& profile) {
  if (!profile.turn) {
    return "turn: cannot be set from here; a motor that turns the wrong way is reversed in its speed "
           "controller or by swapping two of its three wires";
  }
  const std::string key = profile.turn->key == solve::TurnKey::pin ? "pin" : "motor";
  return profile.turn->set ? "turn: read and set, by " + key
                           : "turn: read, by " + key + "; must be set by hand";
}

std::string mount_sentence(const Profile& profile) {
  if (!profile.mount) return "mount: cannot be read; it is said what to set, and set by hand";
  const MountAbility& mount = *profile.mount;
  const bool settable = mount.settable();
  using craft::RotationForm;
  const std::string how = mount.form == RotationForm::quaternion ? "as a quaternion"
                          : mount.form == RotationForm::matrix   ? "as a rotation matrix"
                          : mount.codes.empty()
                              ? "as yaw, pitch and roll"
                              : "as one of " + std::to_string(mount.codes.size()) + " codes";
  return settable ? "mount: read and set, " + how : "mount: read, " + how + "; must be set by hand";
}

std::string spin_sentence(const Profile& profile) {
  if (!profile.spin)
    return "spin: motors cannot be spun from here, so bench cannot do its job with this profile";
  const std::string bound = profile.spin->bounded()
                                ? "; the console itself ends each spin"
                                : "; the console does not end a spin by itself, only the stop does";
  return "spin: at " + at_strength(*profile.spin) + bound;
}

std::string sense_sentence(const Profile& profile) {
  if (!profile.sense) return "sense: no readings; you say how the board is mounted";
  return profile.sense->per_dps > 0 ? "sense: accelerometer and gyro" : "sense: accelerometer";
}

std::string keep_sentence(const Profile& profile) {
  if (!profile.keep) return "keep: not from here; you make the settings last by hand";
  if (profile.keep->restarts) return "keep: yes; the controller then restarts by itself";
  return profile.keep->restart ? "keep: yes, and restarted from here"
                               : "keep: yes; you are asked to restart the controller by hand";
}

bool something_waits_for_restart(const Profile& profile) {
  const auto waits = [](const auto& ability) {
    return ability && ability->takes_effect == TakesEffect::after_restart;
  };
  return waits(profile.map) || waits(profile.props) || waits(profile.turn) || waits(profile.mount);
}

std::string numbering_sentence(const Profile& profile) {
  if (profile.numbering.empty()) {
    return "numbering: none; you are asked where this controller's diagram puts each motor";
  }
  std::vector<std::string> names;
  for (const auto& [frame, places] : profile.numbering) names.push_back(frame);
  return "numbering: known for " + joined(names, ", ");
}

}  // namespace

std::vector<std::string> abilities(const Profile& profile) {
  std::vector<std::string> said{
      profile.identify ? "identify: reads which board and firmware it is"
                       : "identify: cannot; the port's own identity is used",
      profile.whole_configuration ? "whole configuration: saved before anything is written"
                                  : "whole configuration: cannot be read; only the settings below are saved",
      map_sentence(profile),
      props_sentence(profile),
      turn_sentence(profile),
      mount_sentence(profile),
      spin_sentence(profile),
      sense_sentence(profile),
      keep_sentence(profile),
      numbering_sentence(profile)};
  if (something_waits_for_restart(profile)) {
    said.emplace_back("restart: some settings take effect only after one, so they are proven after it");
  }
  if (!profile.open.barrier) {
    said.emplace_back("barrier: none; after a time-out the tool waits longer to get back into step");
  }
  return said;
}

}  // namespace armwise::console
