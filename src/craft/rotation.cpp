#include "armwise/craft/rotation.hpp"

#include <Eigen/Geometry>
#include <cmath>

#include "armwise/base/fault.hpp"
#include "armwise/craft/rotation_eigen.hpp"
#include "euler.hpp"

namespace armwise::craft {

Degrees wrapped(Degrees angle) {
  const double turned = std::remainder(angle.value, 360);
  // Radians to degrees and back leave -180 a hair above itself.
  return Degrees{turned < -180 + 1e-9 ? 180 : turned};
}

Matrix3 Matrix3::transposed() const {
  const auto& e = element;
  return {{e[0], e[3], e[6], e[1], e[4], e[7], e[2], e[5], e[8]}};
}

double Matrix3::determinant() const {
  return to_eigen(*this).determinant();
}

Matrix3 operator*(const Matrix3& a, const Matrix3& b) {
  Matrix3 product;
  for (std::size_t row = 0; row < 3; ++row) {
    for (std::size_t column = 0; column < 3; ++column) {
      product(row, column) = a(row, 0) * b(0, column) + a(row, 1) * b(1, column) + a(row, 2) * b(2, column);
    }
  }
  return product;
}

double length(double x, double y, double z) {
  return std::sqrt(x * x + y * y + z * z);
}

Degrees angle_between(const std::array<double, 3>& a, const std::array<double, 3>& b) {
  const Eigen::Vector3d first(a[0], a[1], a[2]);
  const Eigen::Vector3d second(b[0], b[1], b[2]);
  return Degrees{Radians{std::atan2(first.cross(second).norm(), first.dot(second))}};
}

Matrix3 matrix_of(const YawPitchRoll& angles) {
  return detail::euler_matrix(detail::zyx,
                              {Degrees{angles.yaw}.radians().value, Degrees{angles.pitch}.radians().value,
                               Degrees{angles.roll}.radians().value});
}

Matrix3 matrix_of(const Quaternion& quaternion) {
  return from_eigen(Eigen::Quaterniond(quaternion.w, quaternion.x, quaternion.y, quaternion.z)
                        .normalized()
                        .toRotationMatrix());
}

YawPitchRoll yaw_pitch_roll_of(const Matrix3& matrix) {
  const auto angles = detail::euler_angles(detail::zyx, matrix);
  return {wrapped(Degrees{Radians{angles[0]}}).value, Degrees{Radians{angles[1]}}.value,
          wrapped(Degrees{Radians{angles[2]}}).value};
}

Quaternion quaternion_of(const Matrix3& matrix) {
  const Eigen::Quaterniond q(to_eigen(matrix));
  const double sign = q.w() < 0 ? -1 : 1;
  return {sign * q.x(), sign * q.y(), sign * q.z(), sign * q.w()};
}

Degrees turned_by(const Matrix3& matrix) {
  // |sin| from the skew part, cos from the trace: exact at both ends of the range.
  const double sine =
      length(matrix(2, 1) - matrix(1, 2), matrix(0, 2) - matrix(2, 0), matrix(1, 0) - matrix(0, 1)) / 2;
  const double cosine = (matrix(0, 0) + matrix(1, 1) + matrix(2, 2) - 1) / 2;
  return Degrees{Radians{std::atan2(sine, cosine)}};
}

void check_rotation(const Matrix3& matrix) {
  const Eigen::Matrix3d m = to_eigen(matrix);
  const double worst = (m * m.transpose() - Eigen::Matrix3d::Identity()).cwiseAbs().maxCoeff();
  if (!(worst < 1e-6)) {
    throw Fault(FaultKind::bad_data, "a matrix is no rotation",
                "its rows are not of length one at right angles to each other");
  }
  if (m.determinant() < 0) {
    throw Fault(FaultKind::bad_data, "a matrix is no rotation",
                "it is a mirror image: left and right change places");
  }
}

}  // namespace armwise::craft
