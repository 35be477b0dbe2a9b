// Rotations between board axes and craft axes.
//
// Both axes triads: x forward, y right, z down. Yaw, pitch, roll in degrees, applied in that order
// (intrinsic Z-Y'-X''): R(craft<-board) = Rz(yaw) Ry(pitch) Rx(roll). Positive: nose to the right, nose
// up, right side down. Formula: ISO 1151-1 sequence; matrix as in Corke, robotics-toolbox uav.py.
//
// A rotation's type says from what to what: Rotation<CraftAxes, BoardAxes> takes a vector in board axes and
// gives it in craft axes. Only matching axes compose; the rest does not compile.
#pragma once

#include <array>
#include <cstddef>
#include <string>

#include "armwise/craft/angle.hpp"

namespace armwise::craft {

// Degrees.
struct YawPitchRoll {
  double yaw = 0;
  double pitch = 0;
  double roll = 0;
  bool operator==(const YawPitchRoll&) const = default;
};

// Row-major.
struct Matrix3 {
  std::array<double, 9> element{1, 0, 0, 0, 1, 0, 0, 0, 1};
  double operator()(std::size_t row, std::size_t column) const { return element[3 * row + column]; }
  double& operator()(std::size_t row, std::size_t column) { return element[3 * row + column]; }
  Matrix3 transposed() const;
  double determinant() const;
  bool operator==(const Matrix3&) const = default;
};
Matrix3 operator*(const Matrix3& a, const Matrix3& b);

// Unit length; the scalar part last.
struct Quaternion {
  double x = 0, y = 0, z = 0, w = 1;
};

// Axes. `ToldAxes` are what the controller takes for the craft's: board axes turned by the set mount.
struct CraftAxes;
struct BoardAxes;
struct ToldAxes;

template <class Axes>
struct Vector {
  double x = 0, y = 0, z = 0;
  bool operator==(const Vector&) const = default;
};
using InCraft = Vector<CraftAxes>;
using InBoard = Vector<BoardAxes>;
using InTold = Vector<ToldAxes>;

template <class Axes>
double dot(const Vector<Axes>& a, const Vector<Axes>& b) {
  return a.x * b.x + a.y * b.y + a.z * b.z;
}
template <class Axes>
Vector<Axes> operator+(const Vector<Axes>& a, const Vector<Axes>& b) {
  return {a.x + b.x, a.y + b.y, a.z + b.z};
}
template <class Axes>
Vector<Axes> operator-(const Vector<Axes>& a, const Vector<Axes>& b) {
  return {a.x - b.x, a.y - b.y, a.z - b.z};
}
template <class Axes>
Vector<Axes> operator*(double factor, const Vector<Axes>& a) {
  return {factor * a.x, factor * a.y, factor * a.z};
}
double length(double x, double y, double z);
template <class Axes>
double length(const Vector<Axes>& a) {
  return length(a.x, a.y, a.z);
}
// The zero vector stays as it is.
template <class Axes>
Vector<Axes> unit(const Vector<Axes>& a) {
  const double norm = length(a);
  return norm > 0 ? (1 / norm) * a : a;
}
// Exact near 0 and 180 too, where the arc cosine is not.
template <class Axes>
Degrees angle_between(const Vector<Axes>& a, const Vector<Axes>& b);

// The untyped mathematics beneath Rotation.
Matrix3 matrix_of(const YawPitchRoll& angles);
Matrix3 matrix_of(const Quaternion& quaternion);
// Pitch within [-90, 90], yaw and roll within (-180, 180]. At gimbal lock (pitch +-90) yaw and roll turn
// about the same axis: roll is then 0 and yaw carries all of it.
YawPitchRoll yaw_pitch_roll_of(const Matrix3& matrix);
Quaternion quaternion_of(const Matrix3& matrix);
Degrees turned_by(const Matrix3& matrix);  // 0 to 180
// Throws Fault(bad_data) where the matrix is no rotation (not orthonormal to 1e-6, or a mirror image).
void check_rotation(const Matrix3& matrix);

template <class To, class From>
class Rotation {
 public:
  Rotation() = default;  // identity
  explicit Rotation(const YawPitchRoll& angles) : matrix_(matrix_of(angles)) {}
  explicit Rotation(const Quaternion& quaternion) : matrix_(matrix_of(quaternion)) {}
  explicit Rotation(const Matrix3& matrix) : matrix_(matrix) { check_rotation(matrix); }

  const Matrix3& matrix() const { return matrix_; }
  YawPitchRoll yaw_pitch_roll() const { return yaw_pitch_roll_of(matrix_); }
  Quaternion quaternion() const { return quaternion_of(matrix_); }
  Degrees angle() const { return turned_by(matrix_); }
  Rotation<From, To> inverse() const {
    return Rotation<From, To>(matrix_.transposed(), typename Rotation<From, To>::Trusted{});
  }

  Vector<To> operator*(const Vector<From>& v) const {
    const Matrix3& m = matrix_;
    return {m(0, 0) * v.x + m(0, 1) * v.y + m(0, 2) * v.z, m(1, 0) * v.x + m(1, 1) * v.y + m(1, 2) * v.z,
            m(2, 0) * v.x + m(2, 1) * v.y + m(2, 2) * v.z};
  }
  template <class Start>
  Rotation<To, Start> operator*(const Rotation<From, Start>& first) const {
    return Rotation<To, Start>(matrix_ * first.matrix(), typename Rotation<To, Start>::Trusted{});
  }

 private:
  template <class, class>
  friend class Rotation;
  struct Trusted {};  // made of rotations, so not checked again
  Rotation(const Matrix3& matrix, Trusted) : matrix_(matrix) {}
  Matrix3 matrix_;
};

// The true mount, how the board is screwed down; and the set mount, what the controller is told.
using CraftFromBoard = Rotation<CraftAxes, BoardAxes>;
using ToldFromBoard = Rotation<ToldAxes, BoardAxes>;
using ToldFromCraft = Rotation<ToldAxes, CraftAxes>;

// The smallest turn that takes one to the other.
template <class To, class From>
Degrees angle_between(const Rotation<To, From>& a, const Rotation<To, From>& b) {
  return (a.inverse() * b).angle();
}

Degrees angle_between(const std::array<double, 3>& a, const std::array<double, 3>& b);
template <class Axes>
Degrees angle_between(const Vector<Axes>& a, const Vector<Axes>& b) {
  return angle_between(std::array{a.x, a.y, a.z}, std::array{b.x, b.y, b.z});
}

}  // namespace armwise::craft
