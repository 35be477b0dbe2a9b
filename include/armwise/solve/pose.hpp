// Ways of holding the craft, and what an accelerometer reads in each. Pure.
//
// Readings are specific force in g: at rest they point up, so level reads (0, 0, -1) in craft axes.
#pragma once

#include <array>
#include <string_view>

#include "armwise/craft/rotation.hpp"

namespace armwise::solve {

enum class Pose { level, nose_down, right_down, nose_up, left_down, inverted };
inline constexpr std::array all_poses{Pose::level,   Pose::nose_down, Pose::right_down,
                                      Pose::nose_up, Pose::left_down, Pose::inverted};

std::string_view name(Pose pose);         // "nose-down"
std::string_view in_words(Pose pose);     // "nose down"
std::string_view instruction(Pose pose);  // how to hold it, a sentence

// A tilt: held by tipping from level, by an angle that is never known.
constexpr bool is_tilt(Pose pose) {
  return pose != Pose::level && pose != Pose::inverted;
}

// Which way is up, in craft axes. Of a tilt: the horizontal direction toward which up has moved (nose down:
// toward the tail), whatever the angle.
craft::InCraft up_in(Pose pose);
// Up for a tilt of that angle; for level and inverted the angle does not matter.
craft::InCraft up_in(Pose pose, craft::Degrees tipped);

// How far a reading (in craft axes) is from what the pose may give, whatever the angle of a tilt between
// `tilt_range` below. 0 to 180.
craft::Degrees misfit(Pose pose, const craft::InCraft& reading);
inline constexpr craft::Degrees least_tilt{15};
inline constexpr craft::Degrees greatest_tilt{125};

struct PoseReading {
  Pose pose = Pose::level;
  craft::InBoard reading;  // g, averaged
  double weight = 1;       // against the other poses
};

// A reading that the controller has turned by its set mount already, turned back.
PoseReading before_mount(Pose pose, const craft::InTold& reading, const craft::ToldFromBoard& set_mount);

}  // namespace armwise::solve
