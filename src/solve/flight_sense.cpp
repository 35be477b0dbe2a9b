#include "armwise/solve/flight_sense.hpp"

#include <Eigen/Dense>
#include <Eigen/Eigenvalues>
#include <algorithm>
#include <cmath>
#include <numbers>

#include "armwise/base/fault.hpp"
#include "armwise/craft/rotation_eigen.hpp"
#include "flight_sense_words.hpp"

namespace armwise::solve {
namespace {

using craft::Degrees;
using craft::InCraft;
using craft::PlaceIndex;
using craft::Radians;
using craft::Turn;

// Rows roll, pitch, yaw, thrust; a column for each motor.
using Allocation = Eigen::MatrixXd;  // 4 rows; matrices of fixed size would take twice as long to compile

Eigen::Vector4d column_of(const craft::Place& place, Turn turn) {
  return {-place.y, place.x, turn == Turn::ccw ? drag_of_arm : -drag_of_arm, 1.0};
}

void check_covered(const craft::Frame& frame, const std::vector<PlaceIndex>& places, std::string_view what) {
  std::vector<PlaceIndex> sorted = places;
  std::ranges::sort(sorted);
  bool covered = sorted.size() == frame.places.size();
  for (std::size_t i = 0; covered && i < sorted.size(); ++i) covered = sorted[i] == i;
  if (covered) return;
  throw Fault(FaultKind::mismatch,
              std::string(what) + " does not put one motor on each place of " + frame.name,
              "without that it cannot be told what the craft would do",
              "identify the motors again, or give the numbering of this frame");
}

const craft::Frame& believed_frame(const ConfiguredCraft& c) {
  return c.believed_frame ? *c.believed_frame : *c.frame;
}

Allocation true_allocation(const ConfiguredCraft& c) {
  Allocation matrix(4, static_cast<Eigen::Index>(c.motors.size()));
  for (std::size_t i = 0; i < c.motors.size(); ++i) {
    matrix.col(static_cast<Eigen::Index>(i)) =
        column_of(c.frame->places[c.motors[i].place], c.motors[i].turn);
  }
  return matrix;
}

Allocation believed_allocation(const ConfiguredCraft& c) {
  const craft::Frame& frame = believed_frame(c);
  Allocation matrix(4, static_cast<Eigen::Index>(c.motors.size()));
  for (std::size_t i = 0; i < c.motors.size(); ++i) {
    const PlaceIndex place = c.numbering.place_of_motor[i];
    matrix.col(static_cast<Eigen::Index>(i)) =
        column_of(frame.places[place], frame.wanted(place, c.believed_scheme));
  }
  return matrix;
}

struct Answer {
  Eigen::Matrix3d of_craft;  // what is asked for in craft axes to what the craft does
  double least_thrust = 1;   // of FlightSense
};

Answer answer_of(const ConfiguredCraft& c) {
  const Eigen::MatrixXd mixer = believed_allocation(c).completeOrthogonalDecomposition().pseudoInverse();
  const Eigen::MatrixXd truth = true_allocation(c);
  Answer answer{(truth * mixer).topLeftCorner<3, 3>(), 1};
  // Hover as the controller begins it turns the craft; what it adds until that stops is what it can ask for.
  const Eigen::VectorXd hover = static_cast<double>(c.motors.size()) * mixer.col(3);
  const Eigen::Vector3d asked =
      -answer.of_craft.fullPivLu().solve(Eigen::Vector3d((truth * hover).head<3>()));
  answer.least_thrust = (hover + mixer.leftCols(3) * asked).minCoeff();
  return answer;
}

// Rounding noise to zero, so that a sign is a sign.
Eigen::Matrix3d cleaned(const Eigen::Matrix3d& matrix) {
  return (matrix.array().abs() < 1e-12).select(0.0, matrix.array()).matrix();
}

std::array<std::complex<double>, 3> eigenvalues_of(const Eigen::Matrix3d& matrix) {
  const Eigen::EigenSolver<Eigen::MatrixXd> solver(Eigen::MatrixXd(matrix), false);
  std::array<std::complex<double>, 3> values{solver.eigenvalues()[0], solver.eigenvalues()[1],
                                             solver.eigenvalues()[2]};
  std::ranges::sort(values, [](const auto& a, const auto& b) {
    return a.real() != b.real() ? a.real() > b.real() : a.imag() > b.imag();
  });
  return values;
}

Degrees phase_of(const std::array<std::complex<double>, 3>& eigenvalues) {
  Degrees most;
  for (const auto& value : eigenvalues) {
    if (std::abs(value) > 1e-9) most = std::max(most, Degrees{Radians{std::abs(std::arg(value))}});
  }
  return most.value < 1e-6 ? Degrees{0} : most;
}

// What a tune may make of it: roll against pitch by half as much again, yaw down to a third.
Degrees phase_lost_by_any_tune(const Eigen::Matrix3d& matrix) {
  Degrees most;
  for (const double roll : {2.0 / 3, 1.0, 1.5}) {
    for (const double yaw : {1.0 / 3, 0.5, 1.0}) {
      const Eigen::Matrix3d tuned = matrix * Eigen::Vector3d(roll, 1, yaw).asDiagonal();
      most = std::max(most, phase_of(eigenvalues_of(tuned)));
    }
  }
  return most;
}

double sum_of_turns(const ConfiguredCraft& c) {
  double sum = 0;
  for (const Wired& motor : c.motors) sum += motor.turn == Turn::ccw ? 1 : -1;
  for (PlaceIndex place = 0; place < c.frame->places.size(); ++place) {
    sum -= c.frame->wanted(place, c.believed_scheme) == Turn::ccw ? 1 : -1;
  }
  return sum / static_cast<double>(c.motors.size());
}

bool every_motor_as_believed(const ConfiguredCraft& c) {
  if (&believed_frame(c) != c.frame) return false;
  for (std::size_t i = 0; i < c.motors.size(); ++i) {
    const PlaceIndex place = c.numbering.place_of_motor[i];
    if (c.motors[i].place != place || c.motors[i].turn != c.frame->wanted(place, c.believed_scheme))
      return false;
  }
  return true;
}

FlightSense::Verdict verdict_of(const FlightSense& sense, const ConfiguredCraft& c, const SenseTolerance& t) {
  // A craft that takes down for up turns over as soon as it levels itself, whatever its rates do.
  const bool thrust_up = std::cos(sense.leaning.radians().value) > t.matrix;
  const double weakest = sense.eigenvalues[2].real();
  if (!thrust_up || weakest <= t.matrix) return FlightSense::Verdict::will_not_hold;
  if (sense.phase_lost >= t.phase_lost || weakest < t.weakest || sense.least_thrust < t.least_thrust)
    return FlightSense::Verdict::unsteady;
  if (every_motor_as_believed(c) && sense.mount_off <= t.mount) return FlightSense::Verdict::as_designed;
  return FlightSense::Verdict::holds_but_not_as_designed;
}

}  // namespace

double drift(Degrees lean, double seconds) {
  constexpr double gravity = 9.80665;
  return gravity * std::tan(lean.radians().value) * seconds * seconds / 2;
}

std::vector<Wired> motors_of(const craft::MotorMap& map, const Wiring& wiring, int motors) {
  std::vector<Wired> found;
  for (int number = 1; number <= motors; ++number) {
    const auto at = number <= map.size() ? wiring.at.find(map.pin_of(craft::Motor{number})) : wiring.at.end();
    if (at == wiring.at.end()) {
      throw Fault(FaultKind::mismatch,
                  "nothing is known about what motor " + std::to_string(number) + " drives",
                  "its pin was never spun", "spin it and say which arm moves");
    }
    found.push_back(at->second);
  }
  return found;
}

FlightSense flight_sense(const ConfiguredCraft& c, const SenseTolerance& tolerance) {
  std::vector<PlaceIndex> places;
  for (const Wired& motor : c.motors) places.push_back(motor.place);
  check_covered(*c.frame, places, "the wiring");
  check_covered(believed_frame(c), c.numbering.place_of_motor, "the numbering");

  FlightSense sense;
  const craft::ToldFromCraft told_from_craft = c.set_mount * c.true_mount.inverse();
  sense.mount_known = c.mount_known;
  const Answer answers = answer_of(c);
  const Eigen::Matrix3d& answer = answers.of_craft;
  const Eigen::Matrix3d turned = craft::to_eigen(told_from_craft.matrix());
  sense.gyro_from_asked = craft::from_eigen(cleaned(turned * answer));
  // Feedback answers with the opposite of what the gyro sees; the sign is left out, so that 1 is right.
  sense.answer_from_disturbance = craft::from_eigen(cleaned(answer * turned));
  sense.eigenvalues = eigenvalues_of(craft::to_eigen(sense.gyro_from_asked));
  sense.least_thrust = answers.least_thrust;
  sense.mount_off = told_from_craft.angle();
  sense.leaning = angle_between(told_from_craft * InCraft{0, 0, -1}, craft::InTold{0, 0, -1});
  sense.phase_lost = phase_of(sense.eigenvalues);
  if (sense.eigenvalues[2].real() > tolerance.matrix)
    sense.phase_lost = phase_lost_by_any_tune(craft::to_eigen(sense.gyro_from_asked));
  sense.unbalanced_turns = sum_of_turns(c);
  for (const FlightAxis axis : all_flight_axes) {
    sense.axes[static_cast<std::size_t>(axis)] = axis_sense(axis, sense.answer_from_disturbance);
  }
  sense.verdict = verdict_of(sense, c, tolerance);
  const InCraft stick_forward = told_from_craft.inverse() * craft::InTold{1, 0, 0};
  sense.stick_forward = Degrees{Radians{std::atan2(stick_forward.y, stick_forward.x)}};
  sense.deviations = deviations_in_words(sense, c, tolerance);
  sense.words = verdict_in_words(sense, tolerance);
  return sense;
}

}  // namespace armwise::solve
