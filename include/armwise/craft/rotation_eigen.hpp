// Our matrices as Eigen's, for sources that solve something with them. Apart, since Eigen is slow to compile.
#pragma once

#include <Eigen/Core>

#include "armwise/craft/rotation.hpp"

namespace armwise::craft {

inline Eigen::Matrix3d to_eigen(const Matrix3& matrix) {
  return Eigen::Map<const Eigen::Matrix<double, 3, 3, Eigen::RowMajor>>(matrix.element.data());
}

inline Matrix3 from_eigen(const Eigen::Matrix3d& matrix) {
  Matrix3 ours;
  Eigen::Map<Eigen::Matrix<double, 3, 3, Eigen::RowMajor>>(ours.element.data()) = matrix;
  return ours;
}

template <class Axes>
Eigen::Vector3d to_eigen(const Vector<Axes>& v) {
  return {v.x, v.y, v.z};
}

}  // namespace armwise::craft
