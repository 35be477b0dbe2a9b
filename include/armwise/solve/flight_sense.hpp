// Will it hold itself? From where each motor really is and how the board really sits: what the craft does
// when its controller asks for a roll, a pitch or a turn, and whether that answers a disturbance or feeds it.
// Pure.
//
// A motor at (x, y) in craft axes (z down) pushes up with force f: roll -y f, pitch x f, and its drag turns
// the craft against its own turn: yaw +k f for ccw, -k f for cw (rows as in Corke, robotics-toolbox uav.py),
// k being `drag_of_arm`. The controller mixes with the pseudo-inverse of the matrix that it believes in.
//
// A feedback loop with sense matrix L settles for some gains only if every eigenvalue of L has a positive
// real part (Grosdidier, Morari & Holt 1985, Ind. Eng. Chem. Fundam. 24:221 [from memory]). Motors lag, so a
// real loop also needs phase to spare, an answer that is not too weak, and motors that can hold the craft
// straight in hover without stopping; where each of these ends is measured by tests/solve/confusion_test.cpp
// on a craft with such motors.
#pragma once

#include <array>
#include <complex>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "armwise/craft/frame.hpp"
#include "armwise/craft/rotation.hpp"
#include "armwise/solve/identify.hpp"

namespace armwise::solve {

enum class FlightAxis { roll, pitch, yaw };
inline constexpr std::array all_flight_axes{FlightAxis::roll, FlightAxis::pitch, FlightAxis::yaw};
std::string_view name(FlightAxis axis);  // "roll"

struct ConfiguredCraft {
  const craft::Frame* frame = nullptr;
  // Element i: where motor i+1 really is, and how it really turns: wiring(map(i)).
  std::vector<Wired> motors;
  craft::CraftFromBoard true_mount;
  bool mount_known = true;  // false: nobody looked; `true_mount` is then the one that is set

  // What the controller believes.
  const craft::Frame* believed_frame = nullptr;  // none: the true one
  craft::Numbering numbering;                    // places of the believed frame
  craft::PropScheme believed_scheme = craft::PropScheme::in;
  // How the craft is to fly, for the words; none: as the controller believes.
  std::optional<craft::PropScheme> wanted_scheme;
  craft::ToldFromBoard set_mount;
};

// Throws Fault(mismatch) where a motor's pin is not in the wiring.
std::vector<Wired> motors_of(const craft::MotorMap& map, const Wiring& wiring, int motors);

struct AxisSense {
  enum class Kind { right, reversed, swapped, dead };
  FlightAxis axis = FlightAxis::roll;
  Kind kind = Kind::right;
  double strength = 1;                    // as designed: 1
  std::optional<FlightAxis> answered_by;  // swapped: the axis that answers instead
  std::string words;                      // a sentence: what a disturbance is answered with
};
std::string_view name(AxisSense::Kind kind);  // "right"

struct FlightSense {
  // unsteady: it answers the right way, but too late or too weakly: it would swing itself up and flip.
  enum class Verdict { as_designed, holds_but_not_as_designed, unsteady, will_not_hold };
  Verdict verdict = Verdict::will_not_hold;
  // Column: what the controller asks for (roll, pitch, yaw). Row: what its own gyro then reports.
  craft::Matrix3 gyro_from_asked;
  // The same in craft axes: column: a disturbance, row: what answers it, with 1 on the diagonal as designed.
  craft::Matrix3 answer_from_disturbance;
  std::array<std::complex<double>, 3> eigenvalues;  // of either, by falling real part
  std::array<AxisSense, 3> axes;
  craft::Degrees mount_off;      // between true and set mount
  craft::Degrees leaning;        // between true and believed vertical; over 90: thrust points the wrong way
  craft::Degrees phase_lost;     // phase margin given away on the worst axis, by the worst of usual tunes
  craft::Degrees stick_forward;  // heading in which it flies with the stick forward; right is positive
  double unbalanced_turns = 0;   // all motors ccw: 1, all cw: -1, as designed: 0
  // The weakest motor's thrust when the controller holds the craft straight in hover, 1 as designed; below
  // 0: no thrusts do it, and it turns or tips for ever.
  double least_thrust = 1;
  bool mount_known = true;
  std::vector<std::string> deviations;  // what is not as designed, a sentence each
  std::string words;                    // the verdict with its reasons, in sentences
};
std::string_view name(FlightSense::Verdict verdict);  // "as-designed"

// Yaw torque of a motor against what its thrust gives at the end of an arm, each by its moment of inertia:
// drag of 18 mm of thrust, an arm of 110 mm, Izz = 1.8 Ixx (common practice, no source). It decides how large
// an answer on yaw is against one on roll or pitch, never which way: eigenvalues do not depend on it.
inline constexpr double drag_of_arm = 0.1;

struct SenseTolerance {
  craft::Degrees mount{5};  // a mount that is off by less counts as designed
  double matrix = 1e-6;
  // Beyond these a craft with motors that lag swings itself up.
  craft::Degrees phase_lost{35};
  double weakest = 0.4;       // real part of the smallest eigenvalue
  double least_thrust = 0.3;  // of hover thrust
};

// How far a craft that holds itself level by a board that leans drifts in the first seconds, in metres:
// g tan(lean) t^2 / 2, with standard gravity (CGPM 1901), without drag.
double drift(craft::Degrees lean, double seconds = 2);

// Throws Fault(mismatch) where motors or numbering do not cover every place of their frame once.
FlightSense flight_sense(const ConfiguredCraft& configured, const SenseTolerance& tolerance = {});

}  // namespace armwise::solve
