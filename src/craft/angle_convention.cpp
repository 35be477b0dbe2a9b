#include "armwise/craft/angle_convention.hpp"

#include <algorithm>
#include <utility>

#include "euler.hpp"

namespace armwise::craft {
namespace {

using enum AngleAxis;

constexpr std::array<std::pair<AngleAxis, std::string_view>, 3> names{
    {{yaw, "yaw"}, {pitch, "pitch"}, {roll, "roll"}}};

std::size_t matrix_axis(AngleAxis axis) {
  return axis == roll ? 0 : axis == pitch ? 1 : 2;
}

detail::AxisOrder matrix_order(const AngleConvention& convention) {
  return {matrix_axis(convention.order[0]), matrix_axis(convention.order[1]),
          matrix_axis(convention.order[2])};
}

// One console unit of this angle, in radians of ours.
double radians_per_unit(const AngleConvention& convention, AngleAxis axis) {
  return convention.signs[static_cast<std::size_t>(axis)] *
         Degrees{1 / convention.per_degree}.radians().value;
}

double& angle_of(ConsoleAngles& angles, AngleAxis axis) {
  return axis == yaw ? angles.yaw : axis == pitch ? angles.pitch : angles.roll;
}

}  // namespace

std::optional<std::array<AngleAxis, 3>> angle_order_named(std::string_view text) {
  std::array order{yaw, pitch, roll};
  do {
    if (text == angle_order_name(order)) return order;
  } while (std::ranges::next_permutation(order).found);
  return std::nullopt;
}

std::string angle_order_name(const std::array<AngleAxis, 3>& order) {
  std::string text;
  for (const AngleAxis axis : order) {
    if (!text.empty()) text += '-';
    text += names[static_cast<std::size_t>(axis)].second;
  }
  return text;
}

CraftFromBoard craft_from_board(const AngleConvention& convention, const ConsoleAngles& told) {
  ConsoleAngles copy = told;
  std::array<double, 3> angles{};
  for (std::size_t i = 0; i < 3; ++i) {
    const AngleAxis axis = convention.order[i];
    angles[i] = angle_of(copy, axis) * radians_per_unit(convention, axis);
  }
  const Matrix3 matrix = detail::euler_matrix(matrix_order(convention), angles);
  return CraftFromBoard(convention.craft_to_board ? matrix.transposed() : matrix);
}

ConsoleAngles console_angles(const AngleConvention& convention, const CraftFromBoard& mount) {
  const Matrix3 matrix = convention.craft_to_board ? mount.matrix().transposed() : mount.matrix();
  const auto angles = detail::euler_angles(matrix_order(convention), matrix);
  ConsoleAngles told;
  for (std::size_t i = 0; i < 3; ++i) {
    const AngleAxis axis = convention.order[i];
    // Adding zero turns -0 into 0, which is what a person would write.
    angle_of(told, axis) = angles[i] / radians_per_unit(convention, axis) + 0.0;
  }
  return told;
}

YawPitchRoll ours_from(const AngleConvention& convention, const ConsoleAngles& told) {
  return craft_from_board(convention, told).yaw_pitch_roll();
}

ConsoleAngles theirs_from(const AngleConvention& convention, const YawPitchRoll& ours) {
  // Where the console's convention is ours, the angles are kept as they are, gimbal lock or not.
  AngleConvention own = convention;
  own.per_degree = 1;
  if (own == AngleConvention{}) {
    return {ours.yaw * convention.per_degree, ours.pitch * convention.per_degree,
            ours.roll * convention.per_degree};
  }
  return console_angles(convention, CraftFromBoard(ours));
}

}  // namespace armwise::craft
