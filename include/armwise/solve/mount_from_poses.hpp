// How the board is mounted, from accelerometer readings in a few poses. Pure.
//
// People tip a craft by 30 or by 80 degrees when asked to hold its nose down. So the level pose gives the
// vertical, and a tilt gives a direction, never an angle: its reading must lie in the plane of the vertical
// and that direction, wherever in it. A mount is named by likelihood: of the 48 named mounts, the one that
// the readings fit best, taken for certain only where the runner-up fits much worse.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <variant>
#include <vector>

#include "armwise/craft/mounts.hpp"
#include "armwise/solve/pose.hpp"

namespace armwise::solve {

struct MountLimits {
  craft::Degrees pose_error{10};  // standard deviation for each axis: how well people hold a pose
  // A mount counts as found where the runner-up is this much less likely (natural logarithm). Wald's bound
  // (1945, Ann. Math. Statist. 16:117 [from memory]) then puts a wrong one below about exp(-certainty).
  double certainty = 11;
  craft::Degrees disagreement{40};  // a pose that misses the best mount by more contradicts the others
  craft::Degrees least_tilt{20};    // less is no direction
  double norm_off = 0.15;           // g, once the sensor's own offset is taken off
  double greatest_offset = 0.35;    // g: more is a wrong scale
  // A named mount fits where the board is turned by less than this off it; it does not where the mount as
  // measured is this much likelier, by how far the poses scatter (natural logarithm; p about 0.005).
  craft::Degrees turned_off{10};
  double between = 4;
  // A board that leans by more, the craft standing on a table, is no named mount held badly.
  craft::Degrees lean{5};
};

struct PoseResidual {
  Pose pose = Pose::level;
  craft::Degrees from_named;  // how far the reading is from what the named mount allows
  craft::Degrees from_free;   // the same for the free mount
};

struct MountFound {
  craft::CraftFromBoard free;  // as measured
  craft::YawPitchRoll free_angles;
  craft::Mount nearest;  // the likeliest named mount
  craft::Degrees off;    // from free to nearest
  craft::Mount second;   // the runner-up
  craft::Degrees second_off;
  craft::Degrees lean;       // of the level pose, from what the nearest would read
  bool leans = false;        // by more than MountLimits::lean
  double margin = 0;         // log odds of nearest against second
  bool certain = false;      // the nearest fits, and the margin is large enough
  bool poses_agree = false;  // on `free`: a tilt of the nose and one to a side, each near it
  // The poses agree, and no named mount fits: ask whether `free` is the answer.
  bool between_names = false;
  std::optional<Pose> next_pose;        // where it is not: the pose that would decide most, held once more
  std::vector<PoseResidual> residuals;  // one for each reading, in their order
  std::size_t worst = 0;                // index into residuals
  std::string words;                    // what was found, in sentences
};

struct MountNotFound {
  enum class Why { no_level, too_few_directions, not_one_g, tipped_too_little, mirrored, contradiction };
  Why why = Why::too_few_directions;
  std::string sentence;             // what is wrong and what to do
  std::vector<Pose> hold_again;     // never empty; in place of their earlier readings
  std::vector<std::string> likely;  // mirrored: what may have happened, likeliest first
};

using MountAnswer = std::variant<MountFound, MountNotFound>;

// Several readings of one pose are welcome. Readings in board axes: see before_mount(). A constant offset of
// the sensor is estimated from their lengths and taken off.
MountAnswer mount_from_poses(std::span<const PoseReading> readings, const MountLimits& limits = {});

// The mount from the person's own eyes, where there is no sensor: the heading in which the board's arrow
// points (0: to the nose, 90: to the right), and which side is up.
craft::Mount mount_from_arrow(craft::Degrees heading, bool upside_down);

}  // namespace armwise::solve
