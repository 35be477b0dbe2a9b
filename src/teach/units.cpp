#include "armwise/teach/units.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <numbers>

#include "armwise/teach/number_ways.hpp"
#include "words.hpp"

namespace armwise::teach {

const std::vector<std::string>& angle_names() {
  static const std::vector<std::string> names{"yaw", "pitch", "roll"};
  return names;
}

double number_of(const std::string& text) {
  return std::strtod(text.c_str(), nullptr);
}

namespace {

bool is_it(double value, double wanted, const std::string& text) {
  const double rounding = decimals_of(text) > 0 ? 0.51 * std::pow(10.0, -decimals_of(text)) : 1e-9;
  return std::abs(value - wanted) <= rounding;
}

std::optional<AngleUnit> with_unit(const std::vector<std::string>& numbers,
                                   const std::array<double, 3>& degrees, double per_degree) {
  AngleUnit unit;
  unit.per_degree = per_degree;
  for (std::size_t axis = 0; axis < degrees.size(); ++axis) {
    for (const std::string& text : numbers) {
      for (const int sign : {1, -1}) {
        if (!unit.texts.at(axis).empty() ||
            !is_it(number_of(text), sign * degrees.at(axis) * per_degree, text))
          continue;
        unit.texts.at(axis) = text;
        unit.signs.at(axis) = sign;
      }
    }
  }
  const bool all = !unit.texts[0].empty() && !unit.texts[1].empty() && !unit.texts[2].empty();
  const bool first_only = !unit.texts[0].empty() && unit.texts[1].empty() && unit.texts[2].empty();
  if (!all && !first_only) return std::nullopt;
  return unit;
}

constexpr std::array<double, 4> units_of_angle{1.0, 10.0, 100.0, std::numbers::pi / 180};

bool same_unit(double a, double b) {
  return std::abs(a / b - 1) < 0.01;
}

}  // namespace

std::vector<double> angle_units(double first) {
  std::vector<double> all{first};
  for (const double unit : units_of_angle) {
    if (!same_unit(unit, first)) all.push_back(unit);
  }
  return all;
}

double finer_angle_unit(double per_degree) {
  if (same_unit(per_degree, 100)) return 0;
  return per_degree < 0.9 ? 1 : 10 * per_degree;
}

std::optional<AngleUnit> angle_unit(const Typed& typed, const std::array<double, 3>& degrees) {
  std::vector<std::vector<std::vector<NumberAt>>> lines;
  std::size_t ways = 0;
  for (const std::string& line : typed) {
    lines.push_back(number_ways(line));
    ways = std::max(ways, lines.back().size());
  }
  std::optional<AngleUnit> found;
  // Two units fit nothing; the same unit in two notations is the likelier of them.
  for (std::size_t way = 0; way < ways && !found; ++way) {
    std::vector<std::string> numbers;
    for (const auto& its : lines) {
      if (its.empty()) continue;
      for (const NumberAt& number : its[std::min(way, its.size() - 1)]) numbers.push_back(number.value);
    }
    for (const double per_degree : units_of_angle) {
      const auto unit = with_unit(numbers, degrees, per_degree);
      if (!unit) continue;
      if (found) return std::nullopt;
      found = unit;
    }
  }
  return found;
}

double units_per_g(double length) {
  double nearest = length;
  double off = 0.06;
  for (const double usual : {1.0, 9.80665, 100.0, 980.665, 1000.0, 512.0, 2048.0, 4096.0, 8192.0, 16384.0}) {
    if (std::abs(length / usual - 1) >= off) continue;
    off = std::abs(length / usual - 1);
    nearest = usual;
  }
  return nearest;
}

RateUnit rate_unit(double measured) {
  // As near as people come to a quarter turn, by judgement. Degrees, radians, tenths, thousandths; counts of
  // the usual ranges, 250 to 2000 degrees a second in 16 bits (from memory of data sheets, no source at
  // hand).
  double off = 0.15;
  RateUnit unit;
  for (const double usual : {1.0, std::numbers::pi / 180, 10.0, 1000.0, 131.0, 65.5, 32.8, 16.4}) {
    const double its = std::abs(std::log(measured / usual));
    if (its >= off) continue;
    off = its;
    unit = {usual, true};
  }
  if (unit.usual) return unit;
  std::array<char, 32> two_digits{};
  std::snprintf(two_digits.data(), two_digits.size(), "%.2g", measured);
  unit.per_dps = number_of(two_digits.data());
  return unit;
}

int decimals_of(const std::string& number) {
  const std::size_t point = number.find('.');
  return point == std::string::npos ? 0 : static_cast<int>(number.size() - point - 1);
}

std::vector<std::string> numbers_in(const std::string& text) {
  std::vector<std::string> numbers;
  for (const Token& token : tokens_of(text)) {
    if (!token.word) continue;
    // With its unit behind it, as in "2500ms": what stands behind has no digit of its own.
    std::size_t end = token.text.find_last_of("0123456789");
    end = end == std::string::npos ? 0 : end + 1;
    const std::string number = token.text.substr(0, end);
    if (is_number(number)) numbers.push_back(number);
  }
  return numbers;
}

}  // namespace armwise::teach
