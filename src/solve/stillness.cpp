#include "armwise/solve/stillness.hpp"

#include <algorithm>
#include <cmath>

#include "armwise/base/text.hpp"

namespace armwise::solve {
namespace {

using craft::InBoard;

InBoard mean(std::span<const SenseSample> samples) {
  InBoard sum;
  for (const SenseSample& sample : samples) sum = sum + sample.acceleration;
  return (1.0 / static_cast<double>(samples.size())) * sum;
}

double worst_axis(const InBoard& v) {
  return std::max({std::abs(v.x), std::abs(v.y), std::abs(v.z)});
}

double spread_about(std::span<const SenseSample> samples, const InBoard& centre) {
  InBoard squares;
  for (const SenseSample& sample : samples) {
    const InBoard off = sample.acceleration - centre;
    squares = squares + InBoard{off.x * off.x, off.y * off.y, off.z * off.z};
  }
  return std::sqrt(worst_axis(squares) / static_cast<double>(samples.size()));
}

double drift_across(std::span<const SenseSample> samples) {
  const std::size_t half = samples.size() / 2;
  return worst_axis(mean(samples.first(half)) - mean(samples.subspan(half)));
}

// Degrees a second, the worst axis; 0 where there is no gyro.
double turning_rate(std::span<const SenseSample> samples) {
  std::array<double, 3> sum{};
  double counted = 0;
  for (const SenseSample& sample : samples) {
    if (!sample.gyro) continue;
    for (std::size_t i = 0; i < 3; ++i) sum[i] += (*sample.gyro)[i];
    ++counted;
  }
  if (counted == 0) return 0;
  return std::max({std::abs(sum[0]), std::abs(sum[1]), std::abs(sum[2])}) / counted;
}

NotStill moved(const std::string& measured) {
  return {NotStill::Why::moving, "The craft was moving while it was measured (" + measured +
                                     "). Rest it against something and hold it still for half a second."};
}

}  // namespace

std::variant<StillReading, NotStill> held_still(std::span<const SenseSample> samples, double seconds,
                                                const StillnessLimits& limits) {
  if (samples.size() < std::max<std::size_t>(limits.fewest_samples, 2) || seconds < limits.least_seconds) {
    return NotStill{NotStill::Why::too_few,
                    "Only " + std::to_string(samples.size()) + " readings over " + number_text(seconds, 2) +
                        " s came, too few to tell whether the craft was held still. Measure again."};
  }
  const StillReading still{mean(samples), spread_about(samples, mean(samples))};
  if (!(still.spread <= limits.spread))
    return moved("readings spread by " + number_text(still.spread, 2) + " g");
  const double drift = drift_across(samples);
  if (!(drift <= limits.drift)) return moved("readings drifted by " + number_text(drift, 2) + " g");
  const double turning = turning_rate(samples);
  if (!(turning <= limits.turning))
    return moved("turning at " + number_text(turning, 0) + " degrees a second");
  const double norm = length(still.average);
  if (!(std::abs(norm - 1) <= limits.norm_off)) {
    return NotStill{NotStill::Why::not_one_g,
                    "At rest the accelerometer should read 1 g in all, but it read " + number_text(norm, 2) +
                        " g. Either the craft was moving, or the profile's scale (sense.per_g) is wrong."};
  }
  return still;
}

}  // namespace armwise::solve
