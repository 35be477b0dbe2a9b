#include "armwise/solve/mount_from_poses.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "armwise/base/text.hpp"
#include "mount_likelihood.hpp"

namespace armwise::solve {
namespace {

using craft::Degrees;
using craft::InBoard;
using craft::InCraft;

std::string as_sentence(const std::string& words) {
  return words + ".";
}

Pose opposite(Pose pose) {
  switch (pose) {
    case Pose::level:
      return Pose::inverted;
    case Pose::inverted:
      return Pose::level;
    case Pose::nose_down:
      return Pose::nose_up;
    case Pose::nose_up:
      return Pose::nose_down;
    case Pose::right_down:
      return Pose::left_down;
    case Pose::left_down:
      return Pose::right_down;
  }
  return pose;
}

// What, done wrong once, would make a real mount of the readings. Left and right are mixed up most often
// (Corballis & Corballis 1993, by way of the check values), so they are tried first.
std::vector<std::string> likely_mix_ups(std::span<const PoseReading> readings, const MountLimits& limits) {
  std::vector<std::string> likely;
  for (const Pose pose :
       {Pose::right_down, Pose::left_down, Pose::nose_down, Pose::nose_up, Pose::level, Pose::inverted}) {
    std::vector<PoseReading> changed(readings.begin(), readings.end());
    bool any = false;
    for (PoseReading& r : changed) {
      if (r.pose != pose) continue;
      r.pose = opposite(pose);
      any = true;
    }
    if (!any || worst_misfit(best_of(changed, false).first, changed) > limits.disagreement) continue;
    likely.push_back(as_sentence("Asked for " + std::string(in_words(pose)) +
                                 ", the craft may have been held " + std::string(in_words(opposite(pose)))));
  }
  likely.emplace_back("The profile may give one of the sensor's axes the wrong sign (sense.axes).");
  return likely;
}

std::vector<Pose> poses_of(std::span<const PoseReading> readings) {
  std::vector<Pose> poses;
  for (const PoseReading& r : readings) {
    if (std::ranges::find(poses, r.pose) == poses.end()) poses.push_back(r.pose);
  }
  return poses;
}

MountNotFound mirrored(std::span<const PoseReading> readings, const MountLimits& limits) {
  MountNotFound answer = not_found(MountNotFound::Why::mirrored,
                                   "No board can be mounted so: the readings are the mirror image of a "
                                   "mount. Hold the poses once more, and "
                                   "mind left and right, nose and tail.",
                                   poses_of(readings));
  answer.likely = likely_mix_ups(readings, limits);
  return answer;
}

MountNotFound contradiction(const Candidate& best, std::span<const PoseReading> readings) {
  const auto worst = std::ranges::max_element(
      readings, {}, [&](const PoseReading& r) { return misfit_under(best, r).value; });
  return not_found(MountNotFound::Why::contradiction,
                   "The poses contradict each other: " + std::string(in_words(worst->pose)) + " is " +
                       degrees_text(misfit_under(best, *worst).value, 0) +
                       " away from what the others say. Hold that pose again.",
                   {worst->pose});
}

std::string words_for(const MountFound& found) {
  std::string words = "The board is mounted: " + found.nearest.words + " (measured " +
                      degrees_text(found.off.value, 0) + " off that). The next nearest is " +
                      found.second.words + ", " + degrees_text(found.second_off.value, 0) + " off.";
  const PoseResidual& worst = found.residuals[found.worst];
  words += " The pose that fits worst is " + std::string(in_words(worst.pose)) + ", " +
           degrees_text(worst.from_named.value, 0) + " away from what it should read.";
  if (found.between_names) {
    words += " No named mount is near, and the poses agree with one another: hold the craft " +
             std::string(in_words(worst.pose)) + " once more, and if it stays so, take the exact angles.";
  } else if (found.next_pose) {
    words += " That is too close to call; holding the craft " + std::string(in_words(*found.next_pose)) +
             " would decide most.";
  }
  return words;
}

MountFound found_mount(const FreeFit& free, const Ranking& proper, const Candidate& best_mirrored,
                       std::span<const PoseReading> readings, const MountLimits& limits) {
  const double mirrored_odds = log_odds(proper.first, best_mirrored, limits);
  MountFound found;
  found.free = free.craft_from_board;
  found.free_angles = found.free.yaw_pitch_roll();
  found.nearest = *proper.first.mount;
  found.second = *proper.second.mount;
  found.off = angle_between(found.free, found.nearest.rotation);
  found.second_off = angle_between(found.free, found.second.rotation);
  found.margin = log_odds(proper.first, proper.second, limits);
  found.between_names = worst_misfit(proper.first, readings) > limits.disagreement;
  found.certain =
      !found.between_names && found.margin >= limits.certainty && mirrored_odds >= limits.certainty;
  for (const PoseReading& r : readings) {
    found.residuals.push_back(
        {r.pose, misfit_under(proper.first, r), misfit(r.pose, found.free * r.reading)});
  }
  const auto worst = std::ranges::max_element(found.residuals, {}, &PoseResidual::from_named);
  found.worst = static_cast<std::size_t>(worst - found.residuals.begin());
  if (found.between_names) {
    found.next_pose = found.residuals[found.worst].pose;
  } else if (!found.certain) {
    const Candidate& rival = found.margin < mirrored_odds ? proper.second : best_mirrored;
    found.next_pose = most_telling_pose(proper.first, rival, readings);
  }
  found.words = words_for(found);
  return found;
}

}  // namespace

MountAnswer mount_from_poses(std::span<const PoseReading> readings, const MountLimits& limits) {
  if (const auto refused = not_usable(readings, limits)) return *refused;
  const FreeFit free = fit_freely(readings);
  const Ranking proper = best_of(readings, false);
  const Candidate best_mirrored = best_of(readings, true).first;
  const bool proper_fits = worst_misfit(proper.first, readings) <= limits.disagreement;
  const bool mirror_fits = worst_misfit(best_mirrored, readings) <= limits.disagreement;
  const bool mirror_likelier = log_odds(best_mirrored, proper.first, limits) >= limits.certainty;
  if (free.mirrored && mirror_fits && (!proper_fits || mirror_likelier)) return mirrored(readings, limits);
  if (!proper_fits && free.worst > limits.disagreement) return contradiction(proper.first, readings);
  return found_mount(free, proper, best_mirrored, readings, limits);
}

craft::Mount mount_from_arrow(Degrees heading, bool upside_down) {
  return craft::mount(heading, upside_down ? craft::BoardSide::upside_down : craft::BoardSide::right_way_up);
}

}  // namespace armwise::solve
