#include "notation.hpp"

#include <algorithm>
#include <array>
#include <charconv>
#include <cstdint>

#include "template_text.hpp"

namespace armwise::console {
namespace {

std::optional<std::int64_t> whole(std::string_view text, int in_base = 10) {
  if (text.starts_with('+')) text.remove_prefix(1);
  std::int64_t number = 0;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), number, in_base);
  if (error != std::errc{} || end != text.data() + text.size()) return std::nullopt;
  return number;
}

std::int64_t beyond(const Piece& blank) {
  std::int64_t number = 1;
  for (int i = 0; i < blank.detail; ++i) number *= blank.base;
  return number;
}

std::optional<std::string> in_base(const Piece& blank, std::optional<std::int64_t> number) {
  if (!number) return std::nullopt;
  const std::int64_t end = beyond(blank);
  std::string sign;
  if (blank.detail > 0) {
    if (*number >= end || *number < -end / 2) return std::nullopt;
    if (*number < 0) *number += end;
  } else if (*number < 0) {
    sign = "-";
    number = -*number;
  }
  std::array<char, 70> digits{};
  const auto [last, error] = std::to_chars(digits.data(), digits.data() + digits.size(), *number, blank.base);
  if (error != std::errc{}) return std::nullopt;
  std::string text(digits.data(), last);
  if (blank.capitals)
    std::transform(text.begin(), text.end(), text.begin(),
                   [](char c) { return c >= 'a' ? static_cast<char>(c - 'a' + 'A') : c; });
  const auto width = static_cast<std::size_t>(blank.detail);
  return sign + std::string(width > text.size() ? width - text.size() : 0, '0') + text;
}

std::optional<std::string> out_of_base(const Piece& blank, std::string_view written) {
  auto number = whole(written, blank.base);
  if (!number) return std::nullopt;
  const std::int64_t end = beyond(blank);
  if (blank.detail > 0 && *number >= end / 2 && may_be_negative(blank.text)) *number -= end;
  return std::to_string(*number);
}

// Those bits of a number, put where they stand in it.
std::int64_t mask_of(const Piece& blank) {
  const auto [low, high] = *blank.bits;
  return ((std::int64_t{1} << (high - low + 1)) - 1) << low;
}

Piece as_many_digits_as_it_takes(Piece blank) {
  blank.detail = 0;
  return blank;
}

bool all(std::string_view value, bool (*of)(char)) {
  return !value.empty() && std::all_of(value.begin(), value.end(), of);
}

}  // namespace

// Angles and readings may be below zero; the number of a pin is not.
bool may_be_negative(std::string_view name) {
  constexpr std::array<std::string_view, 22> signed_ones{
      "yaw", "pitch", "roll", "x",   "y",   "z",   "gx",  "gy",  "gz",  "qw",  "qx",
      "qy",  "qz",    "m11",  "m12", "m13", "m21", "m22", "m23", "m31", "m32", "m33"};
  return std::find(signed_ones.begin(), signed_ones.end(), name) != signed_ones.end();
}

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
      return in_base(blank, whole(value));
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
  if (blank.type == BlankType::hex) return out_of_base(blank, value);
  if (blank.type != BlankType::number) return value;
  const auto counted = whole(value);
  return counted ? std::optional(std::to_string(*counted - blank.detail)) : std::nullopt;
}

std::optional<std::string> with_bits(const Piece& blank, std::string_view value, std::string_view held) {
  const auto bits = whole(value, blank.base), number = whole(held);
  const std::int64_t mask = mask_of(blank);
  if (!bits || !number || *number < 0 || *bits < 0 || *bits > mask >> (*blank.bits)[0]) return std::nullopt;
  return std::to_string((*number & ~mask) | (*bits << (*blank.bits)[0]));
}

std::optional<std::string> bits_of(const Piece& blank, std::string_view held) {
  const auto number = whole(held);
  if (!number || *number < 0) return std::nullopt;
  return in_base(as_many_digits_as_it_takes(blank), (*number & mask_of(blank)) >> (*blank.bits)[0]);
}

bool ends_by_itself(const Piece& blank) {
  return blank.type == BlankType::letters || blank.type == BlankType::digits ||
         blank.type == BlankType::name || blank.type == BlankType::sign ||
         (blank.type == BlankType::hex && blank.detail > 0);
}

}  // namespace armwise::console
