// How well each named mount, the mirror image of each, and a free one explain what was read. Private to this
// layer.
#pragma once

#include <optional>
#include <span>

#include "armwise/craft/mounts.hpp"
#include "armwise/solve/mount_from_poses.hpp"
#include "armwise/solve/pose.hpp"

namespace armwise::solve {

struct Candidate {
  const craft::Mount* mount = nullptr;
  bool mirrored = false;  // the board's right and left changed over, which no screwdriver can do
  double squares = 0;     // sum of weighted squared misfits, square degrees
};

struct Ranking {
  Candidate first, second;
};

// What the accelerometer adds to every reading, and by how much it exaggerates all of them.
struct SensorOffset {
  craft::InBoard offset;  // g
  double scale = 0;       // 0.01: a g reads 1.01
};
// From the lengths of three readings and more; none from fewer.
SensorOffset sensor_offset(std::span<const PoseReading> readings);
std::vector<PoseReading> without(const SensorOffset& error, std::span<const PoseReading> readings);

// The mount as measured, named or not.
struct FreeFit {
  craft::CraftFromBoard craft_from_board;
  bool mirrored = false;  // the headings of the tilts run the wrong way round
  craft::Degrees worst;   // misfit of the worst pose
};
FreeFit fit_freely(std::span<const PoseReading> readings);
// Readings that no mount can be made of, and why. `raw`: with the sensor's offset.
std::optional<MountNotFound> not_one_g(std::span<const PoseReading> raw, const SensorOffset& error,
                                       const MountLimits& limits);
std::optional<MountNotFound> not_usable(std::span<const PoseReading> readings, const MountLimits& limits);

Ranking best_of(std::span<const PoseReading> readings, bool mirrored);
craft::Degrees misfit_under(const Candidate& candidate, const PoseReading& reading);
craft::Degrees worst_misfit(const Candidate& candidate, std::span<const PoseReading> readings);
// Natural logarithm of how much likelier `a` is than `b`, for normally distributed pose errors.
double log_odds(const Candidate& a, const Candidate& b, const MountLimits& limits);
// The pose whose reading would differ most between the two, one not held yet where there is one.
Pose most_telling_pose(const Candidate& a, const Candidate& b, std::span<const PoseReading> held);

inline MountNotFound not_found(MountNotFound::Why why, std::string sentence, std::vector<Pose> hold_again) {
  return {why, std::move(sentence), std::move(hold_again), {}};
}

}  // namespace armwise::solve
