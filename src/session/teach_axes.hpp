// What the lesson about the accelerometer shares with the trial mount in it.
#pragma once

#include <array>
#include <optional>
#include <string>
#include <vector>

#include "armwise/craft/angle_convention.hpp"
#include "armwise/solve/mount_convention.hpp"
#include "armwise/teach/axes.hpp"
#include "armwise/teach/reply_table.hpp"
#include "teach_lessons.hpp"

namespace armwise::session {

// The ways to read the accelerometer's answer that nothing contradicts yet.
class SenseWays {
 public:
  explicit SenseWays(std::vector<teach::NumbersReading> ways) : ways_(std::move(ways)) {}

  // The numbers of the accelerometer, by the first way that reads this and all before, which `read` is from
  // then on; absent where none does.
  std::optional<teach::Numbers> numbers_in(const teach::Lines& lines, console::Query& read);
  // By the first way by which these three ways of holding it fit together, as gravity does; false where the
  // way that is used does so, or none.
  bool take_another_that_fits(const std::array<teach::Lines, 3>& held, console::Query& read);

 private:
  void take_first(console::Query& read) const;

  std::vector<teach::NumbersReading> ways_;
  std::vector<teach::Lines> all_;
};

// A way in which the board was held, and what it read.
struct Hold {
  teach::Lines lines;  // an answer with the board's own readings, as it came
  teach::Numbers unturned{};
  std::optional<teach::Numbers> turned;  // under the trial
  std::optional<teach::Numbers> turned_in_finer;
};
using Holds = std::array<Hold, 3>;

// Another mount for a moment, to see how the readings follow.
struct MountTrial {
  std::optional<WritePermit> agreed;
  Writes none, other, back;
  teach::Lines before;
  std::size_t readings = 1;   // of each mount in a hold
  std::string words;          // "yaw 20, pitch 30 and roll 40 degrees"
  craft::ConsoleAngles told;  // where it is told by angles
  double per_degree = 1;      // their unit
  std::optional<craft::YawPitchRoll> code_means;
  // The same angles in the next finer unit, where there is one: whoever typed 10 for ten tenths of a degree
  // would see nothing move.
  Writes in_finer;
  craft::ConsoleAngles told_in_finer;
  double finer_per_degree = 0;
};
// Absent: the mount cannot be set, or the person would rather not.
Task<std::optional<MountTrial>> agreed_mount_trial(Teaching& t);
enum class HeldUnderTrial { read, moved, not_possible };
Task<HeldUnderTrial> hold_under_trial(Teaching& t, SenseWays& ways, const MountTrial& trial, Hold& hold);

std::string axes_in_words(const console::Values& values);
Task<void> learn_axes(Teaching& t, SenseWays ways);
// Where nothing shows whether the readings follow the mount.
Task<bool> ask_whether_mounted(Teaching& t);
void leave_out_sense(Teaching& t, StatementId why);
constexpr const char* order_assumed_note =
    "Mount: the order in which the angles are applied was not tested; yaw, pitch, roll is assumed. bench "
    "proves the mount by poses before it is kept.";

}  // namespace armwise::session
