// Text from strangers (a console, a profile, a record) made safe for a person's terminal.
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace armwise {

// Of ASCII, whatever the locale.
inline bool is_digit(char c) {
  return c >= '0' && c <= '9';
}
inline bool is_letter(char c) {
  return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z');
}
inline bool is_letter_or_digit(char c) {
  return is_digit(c) || is_letter(c);
}

// Escape sequences and control characters removed, broken UTF-8 replaced by U+FFFD, tabs made spaces.
std::string printable(std::string_view raw);

// Escape sequences (colours and the like) removed, every other byte as it is.
std::string without_escapes(std::string_view raw);

// True where the text is valid UTF-8 without control characters.
bool is_printable(std::string_view text);

std::string_view trimmed(std::string_view text);
// White space as a console takes it: runs of blanks and tabs are one blank, none at either end.
bool is_squeezed(std::string_view text);
std::string squeezed(std::string_view text);
std::string lower_case(std::string_view text);  // ASCII letters only
std::string upper_case(std::string_view text);  // likewise
// Where these words stand, but not within longer ones: "ok" is not in "token". npos: nowhere.
std::size_t find_alone(std::string_view text, std::string_view words, std::size_t from = 0);
std::string capital(std::string text);  // its first letter, where it is one of ASCII
// "line 3, column 5": where the byte stands, both counted from 1.
std::string line_and_column(std::string_view text, std::size_t byte);
// Up to the first full stop that ends one; all of it where none does.
std::string first_sentence(std::string_view text);
std::string joined(const std::vector<std::string>& parts, std::string_view between);

// With so many digits behind the point; never "-0".
std::string number_text(double number, int decimals);
// "1 degree", "2 degrees", "1.5 degrees".
std::string degrees_text(double degrees, int decimals);

// The candidate with the smallest edit distance, or empty where none is near.
std::string nearest(std::string_view typed, const std::vector<std::string>& candidates);

}  // namespace armwise
