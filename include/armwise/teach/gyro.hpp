// A gyro's numbers in the reply that shows the accelerometer's: where they stand, and what they mean, from
// how they read while the craft is turned to the right about the vertical, held in three ways. Pure.
#pragma once

#include <array>
#include <cstddef>
#include <variant>
#include <vector>

#include "armwise/console/profile.hpp"
#include "armwise/teach/axes.hpp"
#include "armwise/teach/pointing.hpp"

namespace armwise::teach {

// Ways to read three more numbers out of the reply: the accelerometer's lines, and {gx} {gy} {gz} in the
// order in which they stand there; which is which axis, nobody knows yet. Three in a line, or one in each of
// three lines that follow each other and are built alike.
std::vector<console::Query> with_three_more(const Lines& reply, const console::Query& accelerometer,
                                            std::size_t most = 24);

// One answer, as the console writes it.
struct RateSample {
  double seconds = 0;  // since the turn began
  Numbers acceleration{}, rate{};
};
// A turn to the right (clockwise, seen from above) by about a quarter; the craft lay still before it began.
using Turning = std::vector<RateSample>;

// How long a turn takes; what is read later does not count.
constexpr double turn_seconds = 2;

struct GyroFound {
  std::array<std::size_t, 3> stands{};  // for gx, gy and gz: which of the three numbers, as they stand
  // The accelerometer's axes and its sense are the other way round, both of them. At rest that reads the
  // same; the gyro tells.
  bool mirrored = false;
  double per_dps = 1;       // console units for 1 degree a second
  bool usual_unit = false;  // false: as it was measured, by hand
};
// Of several ways to read it, what stands further down here says more about it.
enum class NoGyro {
  did_not_turn,    // no number moved
  no_axes,         // fit, or several do
  not_alike,       // the three turns, in how far they went
  too_few,         // answers in the time of a turn
  not_zero,        // at rest, by more than bench takes for standing still
  not_to_be_said,  // some axes are the other way round than the accelerometer's, and others are not
};
// `still`: how the numbers read while the craft lay still, averaged. `axes`: the accelerometer's. The ways in
// which the craft is held need not be known, only that they differ well: the accelerometer tells the
// vertical.
std::variant<GyroFound, NoGyro> gyro_from_turns(const SenseAxes& axes, const Numbers& still,
                                                const std::array<Turning, 3>& turns);

// `read`: one of with_three_more(), of which that was found.
void take_gyro(console::SenseAbility& sense, const console::Query& read, const GyroFound& found);

}  // namespace armwise::teach
