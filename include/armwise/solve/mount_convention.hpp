// In which convention a console takes the angles of a mount, by experiment: the craft is held still, the
// controller is told another mount, and its accelerometer reads otherwise, or does not. Pure.
#pragma once

#include <array>
#include <span>
#include <variant>
#include <vector>

#include "armwise/craft/angle_convention.hpp"

namespace armwise::solve {

// One hold of the craft, read twice. Any unit; axes: x forward, y right, z down, of the board.
struct MovedReading {
  std::array<double, 3> unturned{};  // while the controller was told no turn at all
  std::array<double, 3> turned{};    // while it was told the trial mount
};

// All by judgement: a hand trembles by two degrees or so, and trial angles of 20, 30 and 40 degrees turn two
// conventions at least ten degrees apart.
struct ConventionLimits {
  craft::Degrees still{8};      // root mean square: less has not moved
  craft::Degrees tolerance{4};  // root mean square about the convention that fits
  craft::Degrees apart{4};      // by which the next convention fits worse
};

struct ReadingsDoNotMove {};  // they are taken before the set mount is applied
struct ConventionFound {
  craft::AngleConvention convention;
  craft::Degrees off;  // root mean square of what is left
};
// They move, and no convention says how; or several do.
struct ConventionUnclear {
  craft::Degrees off;  // of the best
};
using ConventionAnswer = std::variant<ReadingsDoNotMove, ConventionFound, ConventionUnclear>;

// `told`: the trial mount in the console's numbers. `assumed` gives the unit; its signs, order and direction
// are what is found. Every convention is tried that differs in these: two that mean the same rotation for all
// angles count as one, and it is told with craft_to_board false. Needs
// three holds, with the up direction along three different axes; fewer are unclear.
ConventionAnswer convention_from_readings(std::span<const MovedReading> readings,
                                          const craft::ConsoleAngles& told,
                                          const craft::AngleConvention& assumed,
                                          const ConventionLimits& limits = {});

// Which of these mounts the readings were turned by, with how much is left.
struct MountFollowed {
  std::size_t which = 0;
  craft::Degrees off;
  bool clear = false;  // it fits, and no other does
};
MountFollowed mount_followed(std::span<const MovedReading> readings,
                             const std::vector<craft::CraftFromBoard>& mounts,
                             const ConventionLimits& limits = {});

// How far the readings are from having been turned by this mount; root mean square.
craft::Degrees off_from(std::span<const MovedReading> readings, const craft::CraftFromBoard& mount);

// A mount found by poses while the controller was told that one.
struct MountSeen {
  craft::CraftFromBoard found;  // from readings taken as the profile says
  craft::YawPitchRoll set;
};
// True where the two mounts found are one only if the profile is wrong about when the readings are taken:
// before the set mount is applied, or after (`after_mount`, as the profile says). False, too, where nothing
// tells.
bool readings_are_the_other_way(const MountSeen& first, const MountSeen& second, bool after_mount,
                                craft::Degrees tolerance = craft::Degrees{22.5});

}  // namespace armwise::solve
