#include <Eigen/Dense>
#include <cmath>

#include "armwise/craft/rotation_eigen.hpp"
#include "mount_likelihood.hpp"

namespace armwise::solve {
namespace {

// Standard deviations, in g. Offset: check-values A5 gives 20 to 80 mg for parts in use. Scale and what is
// left of a length by noise and a hand that shakes: by judgement.
constexpr double usual_offset = 0.08, usual_scale = 0.03, usual_noise = 0.02;
constexpr std::size_t fewest_readings = 3;
constexpr int rounds = 4;

}  // namespace

// Held still in any direction, gravity is one g long; a constant offset makes it longer one way than another.
// Least squares for offset and scale, held near zero as far as parts usually are, by Gauss and Newton.
SensorOffset sensor_offset(std::span<const PoseReading> readings) {
  if (readings.size() < fewest_readings) return {};
  const Eigen::Vector4d trust(1 / (usual_offset * usual_offset), 1 / (usual_offset * usual_offset),
                              1 / (usual_offset * usual_offset), 1 / (usual_scale * usual_scale));
  Eigen::Vector4d found = Eigen::Vector4d::Zero();
  for (int round = 0; round < rounds; ++round) {
    Eigen::Matrix4d weight = trust.asDiagonal();
    Eigen::Vector4d pull = -trust.cwiseProduct(found);
    for (const PoseReading& r : readings) {
      const Eigen::Vector3d left = craft::to_eigen(r.reading) - found.head<3>();
      Eigen::Vector4d slope;
      slope << left.normalized(), 1;
      weight += slope * slope.transpose() / (usual_noise * usual_noise);
      pull += slope * (left.norm() - 1 - found(3)) / (usual_noise * usual_noise);
    }
    found += weight.ldlt().solve(pull);
  }
  return {{found(0), found(1), found(2)}, found(3)};
}

std::vector<PoseReading> without(const SensorOffset& error, std::span<const PoseReading> readings) {
  std::vector<PoseReading> clean(readings.begin(), readings.end());
  for (PoseReading& r : clean) r.reading = (1 / (1 + error.scale)) * (r.reading - error.offset);
  return clean;
}

}  // namespace armwise::solve
