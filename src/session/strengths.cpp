#include "strengths.hpp"

#include "armwise/teach/number_ways.hpp"
#include "armwise/teach/units.hpp"

namespace armwise::session {
namespace {

// Of full strength: a spin check is to be seen, not felt.
constexpr double most_standard = 25, most_highest = 50;

}  // namespace

Strengths take_strengths(const std::string& typed, console::SpinAbility& spin) {
  Strengths taken;
  taken.decimal_comma = false;
  for (const auto& way : teach::number_ways(typed)) {
    if (way.size() != 3 || !taken.numbers.empty()) continue;
    for (const teach::NumberAt& number : way) taken.numbers.push_back(number.value);
    taken.decimal_comma = way.front().notation == "comma";
  }
  const auto& numbers = taken.numbers;
  const auto scale =
      numbers.size() == 3 ? teach::strength_scale(numbers[0], numbers[1], numbers[2]) : std::nullopt;
  if (!scale) {
    taken.trouble = "Type three numbers, smallest first.";
    return taken;
  }
  spin.zero = scale->zero;
  spin.full = scale->full;
  spin.lowest = scale->lowest;
  spin.standard = scale->standard;
  spin.highest = scale->highest;
  spin.decimals = scale->decimals;
  spin.unit = scale->unit;
  if (spin.per_cent(spin.standard) > most_standard || spin.per_cent(spin.highest) > most_highest)
    taken.trouble = "That is too strong for a spin check: 25 % at most, 50 % for the highest.";
  return taken;
}

}  // namespace armwise::session
