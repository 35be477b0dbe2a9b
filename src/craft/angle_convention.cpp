#include "armwise/craft/angle_convention.hpp"

#include <algorithm>
#include <cmath>
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

// Unit length; 0.7, 0.7 is rounded, 1, 1 is none.
constexpr double longest_rounding = 0.1;

std::vector<double> elements_of(RotationForm form, const Quaternion& q) {
  if (form == RotationForm::quaternion) return {q.w, q.x, q.y, q.z};
  const Matrix3 matrix = matrix_of(q);
  return {matrix.element.begin(), matrix.element.end()};
}

// Another sense of an axis, or the opposite rotation, is another sign of its part.
Quaternion in_convention(const AngleConvention& convention, Quaternion q) {
  const double opposite = convention.craft_to_board ? -1 : 1;
  q.x *= opposite * convention.signs[2];
  q.y *= opposite * convention.signs[1];
  q.z *= opposite * convention.signs[0];
  return q;
}

}  // namespace

const std::vector<std::string>& number_names(RotationForm form) {
  static const std::vector<std::string> angles{"yaw", "pitch", "roll"}, quaternion{"qw", "qx", "qy", "qz"},
      matrix{"m11", "m12", "m13", "m21", "m22", "m23", "m31", "m32", "m33"};
  return form == RotationForm::angles ? angles : form == RotationForm::quaternion ? quaternion : matrix;
}

std::optional<CraftFromBoard> craft_from_numbers(RotationForm form, const AngleConvention& convention,
                                                 const std::vector<double>& told, double one) {
  if (told.size() != number_names(form).size()) return std::nullopt;
  std::vector<double> numbers = told;
  for (double& each : numbers) each /= one;
  Quaternion q{numbers[1], numbers[2], numbers[3], numbers[0]};
  if (form == RotationForm::matrix) {
    Matrix3 matrix;
    std::copy(numbers.begin(), numbers.end(), matrix.element.begin());
    q = quaternion_of(matrix);
  }
  const double norm = std::sqrt(q.w * q.w + q.x * q.x + q.y * q.y + q.z * q.z);
  if (!(std::abs(norm - 1) < longest_rounding)) return std::nullopt;
  const double sign = (q.w < 0 ? -1 : 1) / norm;
  q = {sign * q.x, sign * q.y, sign * q.z, sign * q.w};
  const std::vector<double> exactly = elements_of(form, q);
  for (std::size_t i = 0; form == RotationForm::matrix && i < exactly.size(); ++i) {
    if (!(std::abs(exactly[i] - numbers[i]) < longest_rounding)) return std::nullopt;
  }
  return CraftFromBoard(in_convention(convention, q));
}

std::vector<double> console_numbers(RotationForm form, const AngleConvention& convention,
                                    const CraftFromBoard& mount, double one) {
  std::vector<double> numbers = elements_of(form, in_convention(convention, mount.quaternion()));
  for (double& each : numbers) each = each * one + 0.0;
  return numbers;
}

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
