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

// The ways to read the accelerometer's answer that nothing contradicts yet, the likeliest first.
using SenseWays = std::vector<teach::NumbersReading>;
using Answers = std::vector<teach::Lines>;

// A way in which the board was held, and what was answered there.
struct Hold {
  Answers unturned;
  std::vector<Answers> turned;  // under each mount of the trial; empty where the console refused it
};
using Holds = std::vector<Hold>;

// The way to read all this by which three holds fit together, as gravity does; else by which most is read.
const console::Query& likeliest(const SenseWays& ways, const Holds& holds);
// In the middle of what these read, since one may have been garbled. Absent where none is read.
std::optional<teach::Numbers> middle_of(const Answers& answers, const console::Query& read);

// Another mount for a moment, to see how the readings follow.
struct OtherMount {
  Writes writes;
  craft::ConsoleAngles told = {};  // where it is told by angles
  double per_degree = 1;           // their unit
};
struct MountTrial {
  std::optional<WritePermit> agreed;
  Writes none, back;
  // The second is the same angles in the next finer unit, where there is one: whoever typed 10 for ten tenths
  // of a degree would see nothing move.
  std::vector<OtherMount> others;
  teach::Lines before;
  std::size_t readings = 1;  // of each mount in a hold
  std::string words;         // "yaw 20, pitch 30 and roll 40 degrees"
  std::optional<craft::YawPitchRoll> code_means;
  console::Values numbers;  // where it is told by a quaternion or a matrix
};
// Absent: the mount cannot be set, or the person would rather not.
Task<std::optional<MountTrial>> agreed_mount_trial(Teaching& t);
enum class HeldUnderTrial { read, moved, not_possible };
Task<HeldUnderTrial> hold_under_trial(Teaching& t, const SenseWays& ways, const MountTrial& trial,
                                      Hold& hold);

std::string axes_in_words(const console::Values& values);
Task<void> learn_axes(Teaching& t, SenseWays ways);
// Where nothing shows whether the readings follow the mount.
Task<bool> ask_whether_mounted(Teaching& t);
void leave_out_sense(Teaching& t, StatementId why);
constexpr const char* signs_assumed_note =
    "Mount: that its numbers turn from the board to the craft, about forward, right and down, was not "
    "tested. "
    "bench proves the mount by poses before it is kept.";
constexpr const char* order_assumed_note =
    "Mount: the order in which the angles are applied was not tested; yaw, pitch, roll is assumed. bench "
    "proves the mount by poses before it is kept.";

}  // namespace armwise::session
