// Characters and numbers as templates know them.
#pragma once

#include <cstddef>
#include <string>
#include <string_view>

#include "armwise/base/text.hpp"

namespace armwise::console {

inline bool is_blank(char c) {
  return c == ' ' || c == '\t';
}
inline bool is_of_a_name(char c) {
  return is_letter_or_digit(c) || c == '_';
}
inline char lower(char c) {
  return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
}
inline bool is_digit_of(int base, char c) {
  return is_digit(c) ? c - '0' < base : base == 16 && lower(c) >= 'a' && lower(c) <= 'f';
}

// The minus sign outside ASCII (U+2212). A number is read with it, and has a hyphen from then on.
inline constexpr std::string_view minus_sign = "\xE2\x88\x92";

// Where a number that starts at `at` ends; `at` itself where none stands there.
std::size_t whole_end(std::string_view text, std::size_t at);
std::size_t decimal_end(std::string_view text, std::size_t at, char point = '.');
// Of one mark that is no letter, digit or blank; outside ASCII all its bytes.
std::size_t mark_end(std::string_view text, std::size_t at);

}  // namespace armwise::console
