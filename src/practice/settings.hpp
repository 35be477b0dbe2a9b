// What a controller remembers: the same settings in three copies. `saved` survives a restart, `running` is
// what is read back, `in_force` is what the outputs do (it lags behind where a profile says that a setting
// takes effect after the restart only).
#pragma once

#include <array>
#include <map>
#include <string>
#include <vector>

#include "armwise/console/profile.hpp"
#include "armwise/craft/turn.hpp"
#include "armwise/practice/craft.hpp"

namespace armwise::practice {

constexpr int nothing = -1;

struct Settings {
  // Only one of the two is kept, as the profile says; the other is left empty.
  std::vector<int> pin_of_motor;  // index of a pin, by index of a motor; `nothing` for none
  std::vector<int> motor_of_pin;  // index of a motor, by index of a pin
  craft::PropScheme props = craft::PropScheme::in;
  std::vector<craft::Turn> turns;              // by motor or by pin, as the profile says
  std::array<double, 3> mount{};               // yaw, pitch, roll as the console tells them
  std::string mount_code;                      // where the mount is one code out of a list
  std::map<std::string, std::string> entries;  // of the rest of the configuration, those that were set
  bool operator==(const Settings&) const = default;

  // The pins that this motor's output goes to.
  std::vector<int> pins_driven_by(int motor) const;
};

// Default settings, with what the craft starts with instead.
Settings starting_settings(const console::Profile& profile, const PracticeCraft& craft);

// The board's set mount as the console's numbers say it: v as the board feels it, turned into craft axes.
Vector turned_by_mount(const console::MountAbility& ability, const Settings& settings, const Vector& v);

}  // namespace armwise::practice
