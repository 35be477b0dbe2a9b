// How a console writes a mount: its own angle convention, as data, converted to ours and back.
#pragma once

#include <array>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "armwise/craft/rotation.hpp"

namespace armwise::craft {

// Rotation axes: yaw about z (down), pitch about y (right), roll about x (forward).
enum class AngleAxis { yaw, pitch, roll };

// Angles in a console's own unit, signs, order and direction. Which axis each belongs to is the same as ours.
struct ConsoleAngles {
  double yaw = 0, pitch = 0, roll = 0;
  bool operator==(const ConsoleAngles&) const = default;
};

struct AngleConvention {
  double per_degree = 1;              // console units for one degree: 1, 10 (tenths), pi/180 (radians)
  std::array<int, 3> signs{1, 1, 1};  // of yaw, pitch, roll against ours: +1 or -1
  // The axes in the order in which the angles are applied, each about the axes as turned so far (intrinsic).
  std::array<AngleAxis, 3> order{AngleAxis::yaw, AngleAxis::pitch, AngleAxis::roll};
  bool craft_to_board = false;  // the console tells the opposite rotation, board <- craft
  bool operator==(const AngleConvention&) const = default;
};

// A mount that is told by the numbers of a quaternion or of a matrix: x, y and z count with the convention's
// signs of roll, pitch and yaw, `one` is what the console writes for 1.
enum class RotationForm { angles, quaternion, matrix };
// "qw" "qx" "qy" "qz", or "m11" "m12" … row by row; "yaw" "pitch" "roll".
const std::vector<std::string>& number_names(RotationForm form);
// As those names say. Absent where they are no rotation, by more than rounding.
std::optional<CraftFromBoard> craft_from_numbers(RotationForm form, const AngleConvention& convention,
                                                 const std::vector<double>& told, double one);
std::vector<double> console_numbers(RotationForm form, const AngleConvention& convention,
                                    const CraftFromBoard& mount, double one);

// "yaw-pitch-roll" and its five permutations; nothing otherwise.
std::optional<std::array<AngleAxis, 3>> angle_order_named(std::string_view text);
std::string angle_order_name(const std::array<AngleAxis, 3>& order);

// Which rotation (craft <- board) the console means by these angles.
CraftFromBoard craft_from_board(const AngleConvention& convention, const ConsoleAngles& told);
// What to tell the console. The middle angle lies within [-90, 90] degrees; at gimbal lock the last is 0.
ConsoleAngles console_angles(const AngleConvention& convention, const CraftFromBoard& mount);

// The same by our own angles.
YawPitchRoll ours_from(const AngleConvention& convention, const ConsoleAngles& told);
ConsoleAngles theirs_from(const AngleConvention& convention, const YawPitchRoll& ours);

}  // namespace armwise::craft
