// Three angles about three different axes, in any order (Tait-Bryan), each about the axes as turned so far.
// Private to this layer.
#pragma once

#include <array>
#include <cstddef>

#include "armwise/craft/rotation.hpp"

namespace armwise::craft::detail {

using AxisOrder = std::array<std::size_t, 3>;  // 0: x, 1: y, 2: z
inline constexpr AxisOrder zyx{2, 1, 0};

// Radians throughout. R = R_i(a) R_j(b) R_k(c).
Matrix3 euler_matrix(const AxisOrder& order, const std::array<double, 3>& angles);
// The middle angle within [-pi/2, pi/2]; where it is at an end, the last is 0 and the first carries both.
std::array<double, 3> euler_angles(const AxisOrder& order, const Matrix3& matrix);
bool middle_angle_locked(const AxisOrder& order, const Matrix3& matrix);

}  // namespace armwise::craft::detail
