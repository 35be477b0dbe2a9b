#include "motor_column.hpp"

#include <algorithm>
#include <charconv>
#include <map>
#include <set>

#include "armwise/base/text.hpp"
#include "words.hpp"

namespace armwise::teach {
namespace {

// What stands before the number in every value, where all end in a whole number of their own.
struct Numbered {
  std::string prefix;
  std::vector<int> numbers;
};
std::optional<Numbered> numbered(const std::vector<std::string>& values) {
  Numbered result;
  for (std::size_t i = 0; i < values.size(); ++i) {
    const std::string& value = values[i];
    std::size_t digits = value.size();
    while (digits > 0 && value[digits - 1] >= '0' && value[digits - 1] <= '9') --digits;
    const std::string prefix = value.substr(0, digits);
    if (digits == value.size() || (i > 0 && lower_case(prefix) != lower_case(result.prefix)))
      return std::nullopt;
    result.prefix = prefix;
    int number = 0;
    const auto [end, error] = std::from_chars(value.data() + digits, value.data() + value.size(), number);
    // "01" would be written back as "1".
    const bool padded = value.size() - digits > 1 && value[digits] == '0';
    if (error != std::errc{} || end != value.data() + value.size() || padded) return std::nullopt;
    result.numbers.push_back(number);
  }
  return result;
}

bool counts_up(const std::vector<int>& numbers) {
  for (std::size_t i = 1; i < numbers.size(); ++i) {
    if (numbers[i] != numbers[i - 1] + 1) return false;
  }
  return true;
}

}  // namespace

bool all_different(const std::vector<std::string>& values) {
  std::set<std::string> seen;
  return std::all_of(values.begin(), values.end(),
                     [&](const std::string& value) { return seen.insert(lower_case(value)).second; });
}

std::optional<std::string> empty_word(const std::vector<std::string>& values) {
  std::map<std::string, std::set<std::string>> by_build;
  std::map<std::string, std::size_t> count;
  for (const std::string& value : values) {
    by_build[build_of(value)].insert(lower_case(value));
    ++count[build_of(value)];
  }
  if (by_build.size() < 2) return std::nullopt;
  std::string odd;
  for (const auto& [build, words] : by_build) {
    const bool has_digit = build.find('9') != std::string::npos;
    if (words.size() == 1 && !has_digit) odd = *words.begin();
  }
  if (odd.empty()) return std::nullopt;
  for (const std::string& value : values) {
    if (lower_case(value) == odd) return value;
  }
  return std::nullopt;
}

std::vector<std::string> without(const std::vector<std::string>& values, const std::string& word) {
  std::vector<std::string> left;
  for (const std::string& value : values) {
    if (lower_case(value) != lower_case(word)) left.push_back(value);
  }
  return left;
}

std::vector<MotorColumn> motor_columns(const std::vector<std::string>& values) {
  std::vector<MotorColumn> ways;
  const std::optional<std::string> odd = empty_word(values);
  const std::vector<std::string> there = odd ? without(values, *odd) : values;
  const auto numbers = numbered(there);
  if (there.size() < fewest_motors || there.size() > most_motors || !all_different(there) || !numbers)
    return ways;
  std::vector<int> sorted = numbers->numbers;
  std::sort(sorted.begin(), sorted.end());
  const int lowest = sorted.front(), highest = sorted.back();
  if (highest - lowest >= static_cast<int>(most_motors)) return ways;
  MotorColumn way;
  way.prefix = numbers->prefix;
  // Motor 1 may be the one that sits nowhere; then 2 is not the first.
  way.first = lowest == 2 && odd ? 1 : lowest;
  way.empty = odd.value_or("");
  way.likely += counts_up(numbers->numbers) ? 4 : counts_up(sorted) ? 3 : 0;
  way.likely += lowest == 0 || lowest == 1 ? 2 : 0;
  if (way.prefix.empty()) way.likely += 2;
  // With an empty place shown as a bare word, the text before the number cannot be the template's.
  if (!odd || way.prefix.empty()) ways.push_back(way);
  if (!way.prefix.empty()) {
    way.likely += odd ? 1 : -1;
    for (int n = way.first; n <= std::max(highest, way.first + 7); ++n) {
      way.codes.push_back(way.prefix + std::to_string(n));
    }
    way.prefix.clear();
    ways.push_back(way);
  }
  return ways;
}

}  // namespace armwise::teach
