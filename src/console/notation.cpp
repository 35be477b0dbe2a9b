#include "notation.hpp"

#include <algorithm>
#include <array>
#include <charconv>
#include <cstdint>

#include "template_text.hpp"

namespace armwise::console {
namespace {

constexpr std::int64_t base = 16;

std::optional<std::int64_t> whole(std::string_view text, int in_base = 10) {
  if (text.starts_with('+')) text.remove_prefix(1);
  std::int64_t number = 0;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), number, in_base);
  if (error != std::errc{} || end != text.data() + text.size()) return std::nullopt;
  return number;
}

std::int64_t beyond(int digits) {
  std::int64_t number = 1;
  for (int i = 0; i < digits; ++i) number *= base;
  return number;
}

std::optional<std::string> in_hex(const Piece& blank, std::string_view value) {
  auto number = whole(value);
  if (!number) return std::nullopt;
  const std::int64_t end = beyond(blank.detail);
  std::string sign;
  if (blank.detail > 0) {
    if (*number >= end || *number < -end / 2) return std::nullopt;
    if (*number < 0) *number += end;
  } else if (*number < 0) {
    sign = "-";
    number = -*number;
  }
  std::array<char, 20> digits{};
  const auto [last, error] = std::to_chars(digits.data(), digits.data() + digits.size(), *number, 16);
  if (error != std::errc{}) return std::nullopt;
  std::string text(digits.data(), last);
  if (blank.capitals)
    std::transform(text.begin(), text.end(), text.begin(),
                   [](char c) { return c >= 'a' ? static_cast<char>(c - 'a' + 'A') : c; });
  const auto width = static_cast<std::size_t>(blank.detail);
  return sign + std::string(width > text.size() ? width - text.size() : 0, '0') + text;
}

// Angles and readings may be below zero; the number of a pin is not.
bool may_be_negative(std::string_view name) {
  constexpr std::array<std::string_view, 9> signed_ones{"yaw", "pitch", "roll", "x", "y",
                                                        "z",   "gx",    "gy",   "gz"};
  return std::find(signed_ones.begin(), signed_ones.end(), name) != signed_ones.end();
}

std::optional<std::string> out_of_hex(const Piece& blank, std::string_view written) {
  auto number = whole(written, base);
  if (!number) return std::nullopt;
  const std::int64_t end = beyond(blank.detail);
  if (blank.detail > 0 && *number >= end / 2 && may_be_negative(blank.text)) *number -= end;
  return std::to_string(*number);
}

bool all(std::string_view value, bool (*of)(char)) {
  return !value.empty() && std::all_of(value.begin(), value.end(), of);
}

}  // namespace

std::optional<std::string> as_written(const Piece& blank, std::string_view value) {
  const auto as_it_is = [&](bool fits) { return fits ? std::optional(std::string(value)) : std::nullopt; };
  switch (blank.type) {
    case BlankType::whole:
      return as_it_is(!value.empty() && whole_end(value, 0) == value.size());
    case BlankType::decimal:
      return as_it_is(!value.empty() && decimal_end(value, 0) == value.size());
    case BlankType::word:
      return as_it_is(!value.empty() && std::none_of(value.begin(), value.end(), is_blank));
    case BlankType::letters:
      return as_it_is(all(value, is_letter));
    case BlankType::digits:
      return as_it_is(all(value, is_digit));
    case BlankType::name:
      return as_it_is(all(value, is_of_a_name));
    case BlankType::sign:
      return as_it_is(!value.empty() && mark_end(value, 0) == value.size());
    case BlankType::rest:
    case BlankType::text:
      return as_it_is(true);
    case BlankType::comma: {
      if (value.empty() || decimal_end(value, 0) != value.size()) return std::nullopt;
      std::string text(value);
      std::replace(text.begin(), text.end(), '.', ',');
      return text;
    }
    case BlankType::hex:
      return in_hex(blank, value);
    case BlankType::number: {
      const auto number = number_in_code(value);
      return number ? std::optional(std::to_string(*number + blank.detail)) : std::nullopt;
    }
  }
  return std::nullopt;
}

std::optional<std::int64_t> number_in_code(std::string_view code) {
  if (code.size() == 1 && is_letter(code.front())) return lower(code.front()) - 'a' + 1;
  std::size_t at = code.size();
  while (at > 0 && is_digit(code[at - 1])) --at;
  return at == code.size() ? std::nullopt : whole(code.substr(at));
}

std::optional<std::string> as_value(const Piece& blank, std::string_view written) {
  std::string value(written);
  const bool number = blank.type == BlankType::whole || blank.type == BlankType::decimal ||
                      blank.type == BlankType::comma || blank.type == BlankType::number;
  if (number && value.starts_with(minus_sign)) value.replace(0, minus_sign.size(), "-");
  if (blank.type == BlankType::comma) std::replace(value.begin(), value.end(), ',', '.');
  if (blank.type == BlankType::hex) return out_of_hex(blank, value);
  if (blank.type != BlankType::number) return value;
  const auto counted = whole(value);
  return counted ? std::optional(std::to_string(*counted - blank.detail)) : std::nullopt;
}

bool ends_by_itself(const Piece& blank) {
  return blank.type == BlankType::letters || blank.type == BlankType::digits ||
         blank.type == BlankType::name || blank.type == BlankType::sign ||
         (blank.type == BlankType::hex && blank.detail > 0);
}

}  // namespace armwise::console
