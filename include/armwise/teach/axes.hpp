// What an accelerometer's numbers mean, from how they read while the board is held in three ways. Pure.
#pragma once

#include <array>
#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "armwise/console/profile.hpp"
#include "armwise/craft/rotation.hpp"

namespace armwise::teach {

using Numbers = std::array<double, 3>;  // in the order and unit of the console

using NumberNames = std::array<const char*, 3>;
constexpr NumberNames accelerometer_names{"x", "y", "z"}, gyro_names{"gx", "gy", "gz"};

// As they stand in the reply; absent where one is missing.
std::optional<Numbers> numbers_read(const console::Query& query, const std::vector<std::string>& reply,
                                    const NumberNames& names = accelerometer_names);

struct SenseAxes {
  std::array<std::string, 3> axes{"x", "y",
                                  "z"};  // which of ours each number is, with sign: "-y", as in SenseAbility
  bool specific_force = true;            // level reads -1 g on z (down); false: gravity, +1 g
  double per_g = 1;                      // console units for 1 g

  // The same numbers on our axes (x forward, y right, z down), still in the console's unit and sense.
  Numbers on_ours(const Numbers& numbers) const;
  // The same with gravity turned round: upwards at rest.
  Numbers force_on_ours(const Numbers& numbers) const;
};

// Of the 48 ways to name three axes that which fits best, by how far off the readings are on each. Those that
// are mirrored are named as right-handed ones in the opposite sense. Absent where the best is off by more
// than `most_off`, or the next by not so much more.
std::optional<SenseAxes> fitting_axes(const std::function<craft::Degrees(const SenseAxes&)>& off_on,
                                      craft::Degrees most_off, craft::Degrees least_apart);

// Held level, nose down, right edge down: of the board, by its arrow; how far it is tipped does not matter.
// `set_mount`: what the readings have been turned by already; nothing where they are the board's own.
// Accelerometers at rest cannot tell mirrored axes from the opposite sense; an odd number of mirrored axes
// counts as gravity. Absent where no axes fit, or several do.
std::optional<SenseAxes> axes_from_holds(const std::array<Numbers, 3>& readings,
                                         const craft::ToldFromBoard& set_mount = {});

}  // namespace armwise::teach
