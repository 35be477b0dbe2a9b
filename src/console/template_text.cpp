#include "template_text.hpp"

#include <algorithm>

namespace armwise::console {

std::size_t sign_end(std::string_view text, std::size_t at) {
  if (at < text.size() && (text[at] == '-' || text[at] == '+')) return at + 1;
  return text.substr(std::min(at, text.size())).starts_with(minus_sign) ? at + minus_sign.size() : at;
}

std::size_t whole_end(std::string_view text, std::size_t at) {
  std::size_t end = sign_end(text, at);
  const std::size_t digits = end;
  while (end < text.size() && is_digit(text[end])) ++end;
  return end == digits ? at : end;
}

std::size_t mark_end(std::string_view text, std::size_t at) {
  if (at >= text.size() || is_blank(text[at]) || is_of_a_name(text[at])) return at;
  std::size_t end = at + 1;
  while (end < text.size() && (static_cast<unsigned char>(text[end]) & 0xC0U) == 0x80U) ++end;
  return end;
}

std::size_t decimal_end(std::string_view text, std::size_t at, char mark) {
  std::size_t end = whole_end(text, at);
  const auto digit_at = [&](std::size_t i) { return i < text.size() && is_digit(text[i]); };
  const std::size_t point = end == at ? sign_end(text, at) : end;
  if (point < text.size() && text[point] == mark && digit_at(point + 1)) {
    end = point + 1;
    while (digit_at(end)) ++end;
  }
  if (end == at) return at;
  if (end < text.size() && lower(text[end]) == 'e') {
    const std::size_t exponent = end + 1;
    const bool has_sign = exponent < text.size() && (text[exponent] == '-' || text[exponent] == '+');
    if (digit_at(exponent + (has_sign ? 1U : 0U))) end = whole_end(text, exponent);
  }
  return end;
}

}  // namespace armwise::console
