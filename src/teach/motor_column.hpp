// The column of a table that may be its motors, and how its values may be read.
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

namespace armwise::teach {

constexpr std::size_t fewest_motors = 3;
constexpr std::size_t most_motors = 32;

// A motor column, understood.
struct MotorColumn {
  std::string prefix;  // taken out of the value and made text of the template
  int first = 1;
  std::vector<std::string> codes;
  std::string empty;
  int likely = 0;
};
// As numbers, the text before them left to the template; and as codes, where that text may be part of them.
// None where these are no motors.
std::vector<MotorColumn> motor_columns(const std::vector<std::string>& values);

bool all_different(const std::vector<std::string>& values);
// The one word among the values that is built unlike the others: how an empty place is shown.
std::optional<std::string> empty_word(const std::vector<std::string>& values);
std::vector<std::string> without(const std::vector<std::string>& values, const std::string& word);

}  // namespace armwise::teach
