#include "armwise/solve/mount_from_poses.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "armwise/base/text.hpp"
#include "mount_likelihood.hpp"
#include "words.hpp"

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
                                   "No board can sit like that: the readings are a mirror image. Hold the "
                                   "poses again, and mind left and right, nose and tail.",
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
  const PoseResidual& worst = found.residuals[found.worst];
  if (found.certain) {
    return "The board: " + found.nearest.words + ". Sure: within " + degrees_text(worst.from_named.value, 0) +
           ".";
  }
  if (found.between_names) {
    return "The board sits at no usual angle: measured " + words::mount_rounded(found.free_angles) +
           ". The nearest usual one is " + found.nearest.words + ", " + degrees_text(found.off.value, 0) +
           " off.";
  }
  return "These poses fit two mounts (" + found.nearest.words + "; " + found.second.words +
         "): another one tells.";
}

bool held(std::span<const PoseReading> readings, Pose pose) {
  return std::ranges::find(readings, pose, &PoseReading::pose) != readings.end();
}

bool both_ways_tipped(std::span<const PoseReading> readings) {
  return (held(readings, Pose::nose_down) || held(readings, Pose::nose_up)) &&
         (held(readings, Pose::right_down) || held(readings, Pose::left_down));
}

bool every_tilt_held(std::span<const PoseReading> readings) {
  return std::ranges::all_of(all_poses, [&](Pose pose) { return !is_tilt(pose) || held(readings, pose); });
}

Degrees lean_of(const Candidate& named, std::span<const PoseReading> readings) {
  Degrees lean;
  for (const PoseReading& r : readings) {
    if (!is_tilt(r.pose)) lean = std::max(lean, misfit_under(named, r));
  }
  return lean;
}

// How far the board is turned off a name, apart from its lean.
Degrees turned_off(const MountFound& found) {
  return Degrees{
      std::sqrt(std::max(0.0, found.off.value * found.off.value - found.lean.value * found.lean.value))};
}

// How much likelier the mount as measured is than the nearest name, by how far the tilts scatter about it.
double evidence_against_names(const MountFound& found, std::span<const PoseReading> readings) {
  constexpr double steady_hand = 3;  // degrees: no hand is surer, by judgement
  double named = 0;
  double measured = 0;
  int tilts = 0;
  for (std::size_t i = 0; i < readings.size(); ++i) {
    if (!is_tilt(readings[i].pose)) continue;
    const PoseResidual& r = found.residuals[i];
    named += r.from_named.value * r.from_named.value;
    measured += r.from_free.value * r.from_free.value;
    ++tilts;
  }
  const double scatter = std::max(steady_hand * steady_hand, measured / std::max(1, tilts - 1));
  return (named - measured) / (2 * scatter);
}

bool between_names(const MountFound& found, bool near, std::span<const PoseReading> readings,
                   const MountLimits& limits) {
  if (found.certain || !found.poses_agree) return false;
  if (!near) return true;
  return every_tilt_held(readings) && turned_off(found) > limits.turned_off &&
         evidence_against_names(found, readings) >= limits.between;
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
  found.lean = lean_of(proper.first, readings);
  found.leans = found.lean > limits.lean;
  found.margin = log_odds(proper.first, proper.second, limits);
  const bool near = worst_misfit(proper.first, readings) <= limits.disagreement;
  found.certain = near && turned_off(found) <= limits.turned_off && found.margin >= limits.certainty &&
                  mirrored_odds >= limits.certainty;
  found.poses_agree = !free.mirrored && free.worst <= limits.disagreement && both_ways_tipped(readings);
  for (const PoseReading& r : readings) {
    found.residuals.push_back(
        {r.pose, misfit_under(proper.first, r), misfit(r.pose, found.free * r.reading)});
  }
  found.between_names = between_names(found, near, readings, limits);
  const auto worst = std::ranges::max_element(found.residuals, {}, &PoseResidual::from_named);
  found.worst = static_cast<std::size_t>(worst - found.residuals.begin());
  if (!found.certain && !found.between_names) {
    const Candidate& rival = found.margin < mirrored_odds ? proper.second : best_mirrored;
    found.next_pose = most_telling_pose(proper.first, rival, readings);
  }
  found.words = words_for(found);
  return found;
}

}  // namespace

MountAnswer mount_from_poses(std::span<const PoseReading> raw, const MountLimits& limits) {
  const SensorOffset error = sensor_offset(raw);
  if (const auto refused = not_one_g(raw, error, limits)) return *refused;
  const std::vector<PoseReading> readings = without(error, raw);
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
