// Will it hold itself? From where each motor really is and how the board really sits: what the craft does
// when its controller asks for a roll, a pitch or a turn, and whether that answers a disturbance or feeds it.
// Pure.
//
// A motor at (x, y) in craft axes (z down) pushes up with force f: roll -y f, pitch x f, and its drag turns
// the craft against its own turn: yaw +f for ccw, -f for cw (rows as in Corke, robotics-toolbox uav.py). The
// controller mixes with the pseudo-inverse of the matrix that it believes in. Unit inertia and gains.
//
// A feedback loop with sense matrix L settles for some gains only if every eigenvalue of L has a positive
// real part (Grosdidier, Morari & Holt 1985, Ind. Eng. Chem. Fundam. 24:221 [from memory]), and for any gains
// of the three axes if L + L^T is positive definite (Horn & Johnson 1991, ch. 2 [from memory]).
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
  enum class Verdict { as_designed, holds_but_not_as_designed, will_not_hold };
  Verdict verdict = Verdict::will_not_hold;
  // Column: what the controller asks for (roll, pitch, yaw). Row: what its own gyro then reports.
  craft::Matrix3 gyro_from_asked;
  // The same in craft axes: column: a disturbance, row: what answers it, with 1 on the diagonal as designed.
  craft::Matrix3 answer_from_disturbance;
  std::array<std::complex<double>, 3> eigenvalues;  // of either, by falling real part
  bool for_any_gains = false;
  std::array<AxisSense, 3> axes;
  craft::Degrees mount_off;     // between true and set mount
  craft::Degrees leaning;       // between true and believed vertical; over 90: thrust points the wrong way
  craft::Degrees phase_lost;    // phase margin given away on the worst axis
  double unbalanced_turns = 0;  // all motors ccw: 1, all cw: -1, as designed: 0
  std::vector<std::string> deviations;  // what is not as designed, a sentence each
  std::string words;                    // the verdict with its reasons, in sentences
};
std::string_view name(FlightSense::Verdict verdict);  // "as-designed"

struct SenseTolerance {
  craft::Degrees mount{5};  // a mount that is off by less counts as designed
  double matrix = 1e-6;
};

// Throws Fault(mismatch) where motors or numbering do not cover every place of their frame once.
FlightSense flight_sense(const ConfiguredCraft& configured, const SenseTolerance& tolerance = {});

}  // namespace armwise::solve
