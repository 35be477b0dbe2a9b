// Whether the craft was held still while it was measured. Pure.
#pragma once

#include <array>
#include <optional>
#include <span>
#include <string>
#include <variant>

#include "armwise/craft/rotation.hpp"

namespace armwise::solve {

struct SenseSample {
  craft::InBoard acceleration;                // g, specific force
  std::optional<std::array<double, 3>> gyro;  // degrees a second
};

// All by judgement, no source, but that hand-held tremor stays well below them.
struct StillnessLimits {
  std::size_t fewest_samples = 5;
  double least_seconds = 0.4;  // asked for: half a second
  double spread = 0.05;        // g, standard deviation of an axis
  double drift = 0.05;         // g, between the mean of the first and of the second half
  double turning = 10;         // degrees a second, mean of an axis
  double norm_off = 0.15;      // g: offsets to 80 mg an axis (check-values A5), scale to a few per cent
};

struct StillReading {
  craft::InBoard average;  // g
  double spread = 0;       // g, the worst axis
};
struct NotStill {
  enum class Why { too_few, moving, not_one_g };
  Why why = Why::moving;
  std::string sentence;
};

// `seconds`: between the first sample and the last.
std::variant<StillReading, NotStill> held_still(std::span<const SenseSample> samples, double seconds,
                                                const StillnessLimits& limits = {});

}  // namespace armwise::solve
