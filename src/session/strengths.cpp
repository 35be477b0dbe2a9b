#include "strengths.hpp"

#include <algorithm>
#include <cmath>

#include "armwise/teach/number_ways.hpp"
#include "armwise/teach/units.hpp"

namespace armwise::session {
namespace {

// Of full strength: a spin check is to be seen, not felt.
constexpr double most_standard = 25, most_highest = 50;

// The standard lies a quarter of the way up. False where the three do not rise.
bool take_scale(const std::vector<std::string>& numbers, console::SpinAbility& spin) {
  if (numbers.size() != 3) return false;
  spin.lowest = teach::number_of(numbers[0]);
  spin.highest = teach::number_of(numbers[1]);
  spin.full = teach::number_of(numbers[2]);
  spin.zero = 0;
  spin.decimals = 0;
  for (const std::string& number : numbers)
    spin.decimals = std::max(spin.decimals, teach::decimals_of(number));
  spin.unit = spin.full == 100 ? "per cent" : spin.full == 1 ? "of full throttle" : "counts";
  // A servo pulse: 1 to 2 ms (common practice, no source).
  if (spin.lowest >= 900 && spin.full >= 1500 && spin.full <= 2500) {
    spin.zero = 1000;
    spin.unit = "us";
  }
  const double step = std::pow(10.0, -spin.decimals);
  const double quarter = spin.lowest + (spin.highest - spin.lowest) / 4;
  spin.standard = std::max(spin.lowest, std::round(quarter / step) * step);
  return spin.zero < spin.lowest && spin.lowest < spin.highest && spin.highest < spin.full;
}

}  // namespace

Strengths take_strengths(const std::string& typed, console::SpinAbility& spin) {
  Strengths taken;
  for (const auto& way : teach::number_ways(typed)) {
    if (way.size() != 3 || !taken.numbers.empty()) continue;
    taken.notation = way.front().notation;
    for (const teach::NumberAt& number : way) {
      // No strength is below zero.
      const auto like = console::Template::parse(
          "{strength:" + (taken.notation.empty() ? "decimal" : taken.notation) + "}");
      const auto read = like.match(number.at.of(typed));
      taken.numbers.push_back(read ? read->at("strength") : number.value);
    }
  }
  if (!take_scale(taken.numbers, spin)) {
    taken.trouble = "Type three numbers, smallest first.";
    return taken;
  }
  if (spin.per_cent(spin.standard) > most_standard || spin.per_cent(spin.highest) > most_highest)
    taken.trouble = "That is too strong for a spin check: 25 % at most, 50 % for the highest.";
  return taken;
}

}  // namespace armwise::session
