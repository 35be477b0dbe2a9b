#include "markup.hpp"

#include <array>
#include <charconv>
#include <cmath>

#include "armwise/base/text.hpp"

namespace armwise::sheet {
namespace {

bool starts_character(char c) {
  return (static_cast<unsigned char>(c) & 0xC0U) != 0x80U;
}

std::string without_trailing_zeros(double value, int decimals) {
  // Not printf: a locale with a decimal comma would break every picture.
  std::array<char, 400> text{};
  const auto end = std::to_chars(text.begin(), text.end(), value, std::chars_format::fixed, decimals).ptr;
  std::string out(text.begin(), end);
  while (out.find('.') != std::string::npos && (out.back() == '0' || out.back() == '.')) {
    const bool point = out.back() == '.';
    out.pop_back();
    if (point) break;
  }
  return out == "-0" ? "0" : out;
}

}  // namespace

std::string escaped(std::string_view text) {
  std::string out;
  for (const char c : printable(text)) {
    switch (c) {
      case '&':
        out += "&amp;";
        break;
      case '<':
        out += "&lt;";
        break;
      case '>':
        out += "&gt;";
        break;
      case '"':
        out += "&quot;";
        break;
      case '\'':
        out += "&#39;";
        break;
      default:
        out += c;
    }
  }
  return out;
}

std::string shortened(std::string_view text, std::size_t longest) {
  std::size_t characters = 0;
  std::size_t cut = 0;  // where the last kept character but one ends
  for (std::size_t i = 0; i < text.size(); ++i) {
    if (!starts_character(text[i])) continue;
    if (characters + 1 == longest) cut = i;
    ++characters;
  }
  return characters <= longest ? std::string(text) : std::string(text.substr(0, cut)) + "…";
}

double width_of(std::string_view text) {
  double width = 0;
  for (const char c : text) {
    if (!starts_character(c)) continue;
    width += static_cast<unsigned char>(c) >= 0xE0U ? 2 : 1;
  }
  return width;
}

std::string number(double value) {
  return without_trailing_zeros(value, 2);
}

std::string plain_number(double value) {
  return without_trailing_zeros(value, std::abs(value) < 10 ? 1 : 0);
}

std::string shell_word(std::string_view text) {
  constexpr std::string_view harmless = "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789._-/";
  if (!text.empty() && text.front() != '-' && text.find_first_not_of(harmless) == std::string_view::npos)
    return std::string(text);
  std::string out = text.starts_with('-') ? "./'" : "'";
  for (const char c : text) {
    if (c == '\'') {
      out += "'\\''";
    } else {
      out += c;
    }
  }
  return out + "'";
}

}  // namespace armwise::sheet
