#include "mount_likelihood.hpp"

#include <algorithm>
#include <limits>

namespace armwise::solve {
namespace {

using craft::Degrees;
using craft::InBoard;
using craft::InCraft;

// How far people tip a craft when asked to, for reckoning what a further pose would tell.
constexpr Degrees usual_tilt{60};

// Mirroring swaps right and left on the board; each mirrored mount is one of the mounts after it.
InBoard as_seen_by(const Candidate& candidate, const InBoard& reading) {
  return candidate.mirrored ? InBoard{reading.x, -reading.y, reading.z} : reading;
}

InCraft in_craft(const Candidate& candidate, const InBoard& reading) {
  return candidate.mount->rotation * as_seen_by(candidate, reading);
}

InBoard expected(const Candidate& candidate, Pose pose) {
  return as_seen_by(candidate, candidate.mount->rotation.inverse() * up_in(pose, usual_tilt));
}

double separation(const Candidate& a, const Candidate& b, Pose pose) {
  const double from_a = misfit(pose, in_craft(b, expected(a, pose))).value;
  const double from_b = misfit(pose, in_craft(a, expected(b, pose))).value;
  return from_a * from_a + from_b * from_b;
}

}  // namespace

Degrees misfit_under(const Candidate& candidate, const PoseReading& reading) {
  return misfit(reading.pose, in_craft(candidate, reading.reading));
}

Degrees worst_misfit(const Candidate& candidate, std::span<const PoseReading> readings) {
  Degrees worst;
  for (const PoseReading& r : readings) worst = std::max(worst, misfit_under(candidate, r));
  return worst;
}

Ranking best_of(std::span<const PoseReading> readings, bool mirrored) {
  constexpr double endless = std::numeric_limits<double>::infinity();
  Ranking best{{nullptr, mirrored, endless}, {nullptr, mirrored, endless}};
  for (const craft::Mount& mount : craft::mounts()) {
    Candidate candidate{&mount, mirrored, 0};
    for (const PoseReading& r : readings) {
      const double off = misfit_under(candidate, r).value;
      candidate.squares += r.weight * off * off;
    }
    if (candidate.squares < best.first.squares) {
      best.second = best.first;
      best.first = candidate;
    } else if (candidate.squares < best.second.squares) {
      best.second = candidate;
    }
  }
  return best;
}

double log_odds(const Candidate& a, const Candidate& b, const MountLimits& limits) {
  return (b.squares - a.squares) / (2 * limits.pose_error.value * limits.pose_error.value);
}

Pose most_telling_pose(const Candidate& a, const Candidate& b, std::span<const PoseReading> held) {
  const auto times_held = [&](Pose pose) { return std::ranges::count(held, pose, &PoseReading::pose); };
  Pose best = Pose::level;
  double most = -1;
  for (const Pose pose : all_poses) {
    // A pose held again tells less: the same hand makes the same error.
    const double tells = separation(a, b, pose) / static_cast<double>(1 + times_held(pose));
    if (tells > most + 1e-6) {
      most = tells;
      best = pose;
    }
  }
  return best;
}

}  // namespace armwise::solve
