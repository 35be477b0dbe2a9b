#include "armwise/solve/wahba.hpp"

#include <Eigen/LU>
#include <Eigen/SVD>
#include <cmath>

#include "armwise/craft/rotation_eigen.hpp"

namespace armwise::solve {

DirectionFit fit_directions(std::span<const DirectionPair> pairs) {
  Eigen::Matrix3d sum = Eigen::Matrix3d::Zero();
  for (const DirectionPair& pair : pairs) {
    sum += pair.weight * craft::to_eigen(pair.in_craft) * craft::to_eigen(pair.in_board).transpose();
  }
  const Eigen::JacobiSVD<Eigen::Matrix3d> svd(sum, Eigen::ComputeFullU | Eigen::ComputeFullV);
  const Eigen::Vector3d& values = svd.singularValues();
  const double hand = svd.matrixU().determinant() * svd.matrixV().determinant() < 0 ? -1 : 1;
  const Eigen::Matrix3d rotation =
      svd.matrixU() * Eigen::Vector3d(1, 1, hand).asDiagonal() * svd.matrixV().transpose();

  DirectionFit fit;
  fit.craft_from_board = craft::CraftFromBoard(craft::from_eigen(rotation));
  fit.singular_values = {values[0], values[1], values[2]};
  // With all directions in one plane the third value is rounding noise, and so is its sign.
  fit.mirrored = hand < 0 && values[2] > 1e-9 * values[0];
  fit.undetermined = !(values[1] > 1e-9 * values[0]);
  double squared = 0;
  for (const DirectionPair& pair : pairs) {
    const craft::InCraft turned = fit.craft_from_board * pair.in_board;
    const craft::InCraft miss = pair.in_craft - turned;
    squared += pair.weight * craft::dot(miss, miss);
    fit.residuals.push_back(craft::angle_between(pair.in_craft, turned));
  }
  fit.root_sum_squared = std::sqrt(squared);
  return fit;
}

}  // namespace armwise::solve
