// A craft that flies with what a real one has between command and thrust: motors that lag, limits, a filtered
// gyro, unequal motors, a centre of mass that is off. It shares no formula with solve/flight_sense but the
// controller's belief, which it mixes with as any controller does.
//
// Figures of a light five-inch quadrotor (common practice, no source): drag is 18 mm of thrust on an arm of
// 110 mm, Izz = 1.8 Ixx, hover at a quarter of full thrust, 35 ms of motor lag, 5 ms of filter, a PI rate
// loop of 15/15/8 per second with about 60 degrees of margin, self-level at 5 per second.
#pragma once

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>
#include <numbers>
#include <random>

#include "armwise/craft/rotation_eigen.hpp"
#include "armwise/solve/flight_sense.hpp"

namespace armwise::solve {

struct RateGains {
  double roll = 15, pitch = 15, yaw = 8;  // 1/s
};

enum class Flown { holds, wobbles_or_turns, flips };

class LaggingCraft {
 public:
  explicit LaggingCraft(const ConfiguredCraft& c, const RateGains& gains = {}, unsigned seed = 1)
      : count_(static_cast<Eigen::Index>(c.motors.size())), gains_(gains.roll, gains.pitch, gains.yaw) {
    const craft::Frame& believed = c.believed_frame ? *c.believed_frame : *c.frame;
    Eigen::MatrixXd belief(4, count_);
    truth_.resize(3, count_);
    strength_.resize(count_);
    std::mt19937 random(seed);
    std::normal_distribution<double> normal;
    for (Eigen::Index i = 0; i < count_; ++i) {
      const auto motor = static_cast<std::size_t>(i);
      const craft::PlaceIndex place = c.numbering.place_of_motor[motor];
      belief.col(i) << lever(believed.places[place], 0, 0),
          sign(believed.wanted(place, c.believed_scheme)) * drag, 1;
      truth_.col(i) << lever(c.frame->places[c.motors[motor].place], 0.03, 0.02),
          sign(c.motors[motor].turn) * drag;
      strength_(i) = 1 + 0.03 * normal(random);
    }
    mixer_ = belief.completeOrthogonalDecomposition().pseudoInverse();
    const double inertia = 0.0155 * static_cast<double>(count_) / 4;  // s^2, in hover thrusts times arms
    inertia_ = {inertia, inertia, 1.8 * inertia};
    board_from_craft_ = craft::to_eigen(c.true_mount.inverse().matrix());
    told_from_craft_ = craft::to_eigen(c.set_mount.matrix()) * board_from_craft_;
    lean_ = angle(told_from_craft_.transpose() * Eigen::Vector3d(0, 0, -1));
  }

  // Six seconds from 5 degrees of tilt, in the air from the first moment.
  Flown fly() {
    constexpr double step = 0.001;
    constexpr double seconds = 6;
    Eigen::VectorXd thrust = Eigen::VectorXd::Ones(count_);
    Eigen::Vector3d rate = Eigen::Vector3d::Zero(), seen = rate, wound_up = rate;
    Eigen::Vector3d up(0.06, -0.063, -1);
    up.normalize();
    double fastest = 0, least_tilt = 180, most_tilt = 0;
    for (double time = 0; time < seconds; time += step) {
      const Eigen::Vector3d told_up = told_from_craft_ * up;
      const Eigen::Vector3d wanted = 5 * Eigen::Vector3d(0, 0, -1).cross(told_up);
      seen += step / 0.005 * (told_from_craft_ * rate - seen);
      const Eigen::Vector3d error = wanted * tilt_by_sine(told_up) - seen;
      wound_up = (wound_up + step * 2 * gains_.cwiseProduct(error)).cwiseMax(-40).cwiseMin(40);
      const Eigen::Vector3d torque = inertia_.cwiseProduct(gains_.cwiseProduct(error) + wound_up);
      Eigen::Vector4d asked;
      asked << torque, static_cast<double>(count_);
      const Eigen::VectorXd command = (mixer_ * asked).cwiseMax(0).cwiseMin(4);
      thrust += step / 0.035 * (command - thrust);
      const Eigen::Vector3d moment = truth_ * strength_.cwiseProduct(thrust);
      const Eigen::Vector3d spin = inertia_.cwiseProduct(rate);
      rate += step * (moment - rate.cross(spin)).cwiseQuotient(inertia_);
      up = (up - step * rate.cross(up)).normalized();
      const double tilt = angle(up);
      if (tilt > 85 && tilt > lean_ + 40) return Flown::flips;
      if (rate.norm() > 60) return Flown::flips;
      if (time < seconds - 1.5) continue;
      fastest = std::max(fastest, rate.norm());
      least_tilt = std::min(least_tilt, tilt);
      most_tilt = std::max(most_tilt, tilt);
    }
    if (most_tilt > lean_ + 40) return Flown::flips;
    return fastest < 0.2 && most_tilt - least_tilt < 2 ? Flown::holds : Flown::wobbles_or_turns;
  }

 private:
  static constexpr double drag = 18.0 / 110;

  static Eigen::Vector2d lever(const craft::Place& place, double centre_x, double centre_y) {
    return {-(place.y - centre_y), place.x - centre_x};
  }
  static double sign(craft::Turn turn) { return turn == craft::Turn::ccw ? 1 : -1; }
  // Degrees from upright.
  static double angle(const Eigen::Vector3d& up) {
    return std::atan2(std::hypot(up.x(), up.y()), -up.z()) * 180 / std::numbers::pi;
  }
  // What makes an angle of a cross product.
  static double tilt_by_sine(const Eigen::Vector3d& up) {
    const double sine = std::hypot(up.x(), up.y());
    return sine < 1e-9 ? 1 : std::atan2(sine, -up.z()) / sine;
  }

  Eigen::Index count_;
  Eigen::Vector3d gains_, inertia_;
  Eigen::MatrixXd truth_, mixer_;
  Eigen::VectorXd strength_;
  Eigen::Matrix3d board_from_craft_, told_from_craft_;
  double lean_ = 0;
};

}  // namespace armwise::solve
