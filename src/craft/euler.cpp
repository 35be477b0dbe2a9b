#include "euler.hpp"

#include <cmath>

namespace armwise::craft::detail {
namespace {

// What is left of cos(b) below which the first and last axes count as one: angles would be rounding noise.
constexpr double lock_limit = 1e-9;

Matrix3 about(std::size_t axis, double angle) {
  const std::size_t next = (axis + 1) % 3;
  const std::size_t last = (axis + 2) % 3;
  Matrix3 turned;
  turned(next, next) = turned(last, last) = std::cos(angle);
  turned(last, next) = std::sin(angle);
  turned(next, last) = -turned(last, next);
  return turned;
}

double cosine_of_middle(const AxisOrder& order, const Matrix3& m) {
  const auto [i, j, k] = order;
  return std::hypot(m(i, i), m(i, j));
}

// +1 for x-y-z and its cycles, -1 for the other three orders.
double handedness(const AxisOrder& order) {
  return (order[0] + 1) % 3 == order[1] ? 1 : -1;
}

}  // namespace

Matrix3 euler_matrix(const AxisOrder& order, const std::array<double, 3>& angles) {
  return about(order[0], angles[0]) * about(order[1], angles[1]) * about(order[2], angles[2]);
}

bool middle_angle_locked(const AxisOrder& order, const Matrix3& matrix) {
  return cosine_of_middle(order, matrix) < lock_limit;
}

std::array<double, 3> euler_angles(const AxisOrder& order, const Matrix3& m) {
  const auto [i, j, k] = order;
  const double hand = handedness(order);
  const double middle = std::atan2(hand * m(i, k), cosine_of_middle(order, m));
  if (middle_angle_locked(order, m)) return {std::atan2(hand * m(k, j), m(j, j)), middle, 0};
  return {std::atan2(-hand * m(j, k), m(k, k)), middle, std::atan2(-hand * m(i, j), m(i, i))};
}

}  // namespace armwise::craft::detail
