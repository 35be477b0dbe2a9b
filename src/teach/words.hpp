// A line as words and what stands between them.
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "armwise/base/text.hpp"

namespace armwise::teach {

// A line of more tokens is not looked into.
inline constexpr std::size_t longest_line = 400;

inline bool is_white(char c) {
  return c == ' ' || c == '\t';
}

struct Token {
  std::string text;
  bool word = false;  // otherwise a blank or one sign
  bool operator==(const Token&) const = default;
};
using Tokens = std::vector<Token>;

// Words end at blanks and at , ; : = ( ) [ ] { } < > | and quotes; so "x.1", "PA-3" and "-0.5" are words.
Tokens tokens_of(std::string_view line);
// Where an arrow ends that stands there by itself, as "->" and "<" do: it is a word. Absent: none does.
std::optional<std::size_t> end_of_arrow(std::string_view line, std::size_t at);
// A quotation mark or bracket in a value is a cut in the wrong place, but for arrows.
bool is_cut_wrong(std::string_view value);
// Alike in everything but their words.
std::string shape_of(const Tokens& tokens);

bool has_letter(std::string_view text);
bool is_whole_number(std::string_view text);
bool is_number(std::string_view text);
// "P12" and "B3" are built alike, "none" is not: letters and digits as classes, runs as one.
std::string build_of(std::string_view word);

constexpr std::size_t fewest_motors = 3, most_motors = 32;

// Of one width, as 0E, EC and F4 are: letters among them are digits.
bool are_hex(const std::vector<std::string>& values);
bool all_different(const std::vector<std::string>& values);
// The one word among the values that is built unlike the others: how an empty place is shown.
std::optional<std::string> empty_word(const std::vector<std::string>& values);
std::vector<std::string> without(const std::vector<std::string>& values, const std::string& word);

}  // namespace armwise::teach
