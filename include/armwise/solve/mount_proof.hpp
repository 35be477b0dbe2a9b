// The proof of a mount after it was written: the same poses again, as the controller now reads them. Pure.
#pragma once

#include <array>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "armwise/craft/angle_convention.hpp"
#include "armwise/solve/mount_from_poses.hpp"
#include "armwise/solve/pose.hpp"

namespace armwise::solve {

// As the controller reports it, turned by the mount that it was told.
struct ProofReading {
  Pose pose = Pose::level;
  craft::InTold reading;  // g, averaged
};

struct WrittenMount {
  craft::CraftFromBoard true_mount;   // as found, and as it was to be told
  craft::AngleConvention convention;  // in which it was told
  craft::ConsoleAngles told;          // the console's own numbers, as read back
  craft::Degrees lean{};              // of the level pose when the mount was found
};

struct ProofLimits {
  craft::Degrees tolerance{22.5};  // of a tilt: half of the 45 degrees between named mounts
  craft::Degrees level{3};         // of level, beyond the lean that was found: the craft stands on a table
  MountLimits mount;
};

struct PoseProof {
  Pose pose = Pose::level;
  craft::Degrees off;
  bool passes = false;
  std::string words;  // "Level reads level, within 3 degrees." "Nose down reads right side down."
};

// What to tell the console instead, if the cause is what it seems to be.
struct MountCandidate {
  std::string cause;                  // a sentence
  craft::AngleConvention convention;  // what the console's convention then is
  craft::ConsoleAngles tell;          // the true mount in that convention
};

struct MountProof {
  bool proven = false;
  std::vector<PoseProof> poses;
  // Not proven, and not disproven: hold the craft so too.
  std::optional<Pose> next_pose;
  // Disproven: what to try, the simplest cause first. Empty where no mount can put it right.
  std::vector<MountCandidate> candidates;
  std::string words;
};

// Proven needs level, a tilt of the nose and a tilt to a side, each within the tolerance.
MountProof prove_mount(std::span<const ProofReading> readings, const WrittenMount& written,
                       const ProofLimits& limits = {});

// The nose was turned to the right, the craft held level: does the yaw gyro agree?
struct TurnCheck {
  enum class Result { right, reversed, other_axis, too_little };
  Result result = Result::too_little;
  std::string words;
};
// Samples in told axes, degrees a second.
TurnCheck check_turn_to_the_right(std::span<const std::array<double, 3>> gyro);

}  // namespace armwise::solve
