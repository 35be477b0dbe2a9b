#include <algorithm>
#include <cmath>

#include "armwise/base/text.hpp"
#include "armwise/solve/wahba.hpp"
#include "mount_likelihood.hpp"

namespace armwise::solve {
namespace {

using craft::InBoard;
using craft::InCraft;

// Which way is down in board axes, or the zero vector where nothing tells.
InBoard vertical(std::span<const PoseReading> readings) {
  InBoard down;
  for (const PoseReading& r : readings) {
    if (is_tilt(r.pose)) continue;
    const double sense = r.pose == Pose::level ? -1 : 1;
    down = down + sense * r.weight * unit(r.reading);
  }
  return unit(down);
}

// How much a tilt says about the heading: its own error and the vertical's both grow as it gets shallower.
double heading_weight(double sine_of_tilt) {
  const double squared = sine_of_tilt * sine_of_tilt;
  return squared / (2 - squared);
}

}  // namespace

std::optional<MountNotFound> not_one_g(std::span<const PoseReading> raw, const SensorOffset& error,
                                       const MountLimits& limits) {
  const bool wrong_scale =
      std::abs(error.scale) > limits.norm_off || length(error.offset) > limits.greatest_offset;
  const std::vector<PoseReading> clean = without(error, raw);
  for (std::size_t i = 0; i < raw.size(); ++i) {
    const bool too_far = std::abs(length(raw[i].reading) - 1) > limits.greatest_offset;
    const bool unexplained = std::abs(length(clean[i].reading) - 1) > limits.norm_off;
    if (!wrong_scale && !too_far && !unexplained) continue;
    const PoseReading& worst = *std::ranges::max_element(
        raw, {}, [](const PoseReading& r) { return std::abs(length(r.reading) - 1); });
    return not_found(MountNotFound::Why::not_one_g,
                     "Held " + std::string(in_words(worst.pose)) + ", the accelerometer read " +
                         number_text(length(worst.reading), 2) +
                         " g in all instead of 1. Hold the craft still in that pose and measure again; if it "
                         "stays so, the profile's scale (sense.per_g) is wrong.",
                     {worst.pose});
  }
  return std::nullopt;
}

std::optional<MountNotFound> not_usable(std::span<const PoseReading> readings, const MountLimits& limits) {
  using enum MountNotFound::Why;
  const InBoard down = vertical(readings);
  if (length(down) == 0) {
    return not_found(no_level,
                     "Without the level pose nothing tells which way is down. Stand the craft level.",
                     {Pose::level});
  }
  for (const PoseReading& r : readings) {
    if (!is_tilt(r.pose)) continue;
    const double tipped = angle_between(unit(r.reading), -1.0 * down).value;
    if (tipped >= limits.least_tilt.value && tipped <= 180 - limits.least_tilt.value) continue;
    return not_found(tipped_too_little,
                     "Held " + std::string(in_words(r.pose)) + ", the craft was tipped by " +
                         degrees_text(std::min(tipped, 180 - tipped), 0) +
                         " from level only; it takes at least " + number_text(limits.least_tilt.value, 0) +
                         " to tell a direction, and the steeper the better.",
                     {r.pose});
  }
  if (std::ranges::none_of(readings, [](const PoseReading& r) { return is_tilt(r.pose); })) {
    return not_found(
        too_few_directions,
        "Level alone tells which way is down, not where the nose is. Hold the craft nose down, and "
        "then right side down.",
        {Pose::nose_down, Pose::right_down});
  }
  return std::nullopt;
}

FreeFit fit_freely(std::span<const PoseReading> readings) {
  const InBoard down = vertical(readings);
  std::vector<DirectionPair> pairs{{InCraft{0, 0, 1}, down, 1}};
  for (const PoseReading& r : readings) {
    if (!is_tilt(r.pose)) continue;
    const InBoard level_part = across(unit(r.reading), down);
    pairs.push_back({up_in(r.pose), unit(level_part), r.weight * heading_weight(length(level_part))});
  }
  const DirectionFit fit = fit_directions(pairs);
  FreeFit free{fit.craft_from_board, fit.mirrored, {}};
  for (const PoseReading& r : readings) {
    free.worst = std::max(free.worst, misfit(r.pose, free.craft_from_board * r.reading));
  }
  return free;
}

}  // namespace armwise::solve
