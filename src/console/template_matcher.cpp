#include "template_matcher.hpp"

#include <string>

#include "notation.hpp"
#include "template_text.hpp"

namespace armwise::console {
namespace {

// Inside a longer text each start is tried, so a blank must not run to the text's end from each of them.
constexpr std::size_t longest_blank_inside = 256;

bool is_separator(char c) {
  return is_blank(c) || std::string_view(",;()[]{}").find(c) != std::string_view::npos;
}

// A line end inside a line is no blank: a word made of it would end up empty.
std::string_view without_outer_blanks(std::string_view text) {
  const std::size_t first = text.find_first_not_of(' ');
  if (first == std::string_view::npos) return {};
  return text.substr(first, text.find_last_not_of(' ') - first + 1);
}

bool keep_value(const Piece& blank, std::string_view raw, Values& values) {
  auto value = as_value(blank, without_outer_blanks(raw));
  if (!value) return false;
  if (blank.bits) {
    const auto [whole, is_first] = values.emplace(held_with(blank.text), *value);
    if (!is_first && whole->second != *value) return false;
    value = bits_of(blank, *value);
    if (!value) return false;
  }
  const auto [kept, is_new] = values.emplace(blank.text, *value);
  return is_new || blank.text == "skip" || kept->second == *value;
}

}  // namespace

std::optional<std::size_t> TemplateMatcher::match_at(std::size_t at, Values& values) const {
  for (std::size_t i = 0; i < pieces_.size(); ++i) {
    const Piece& piece = pieces_[i];
    if (!piece.blank) {
      const auto end = literal_end(piece.text, at);
      if (!end) return std::nullopt;
      at = *end;
      continue;
    }
    const bool is_last = i + 1 == pieces_.size();
    const std::string* next = is_last || pieces_[i + 1].blank ? nullptr : &pieces_[i + 1].text;
    const auto end = blank_end(piece, next, at);
    if (!end) return std::nullopt;
    if (!keep_value(piece, text_.substr(at, *end - at), values)) return std::nullopt;
    at = *end;
  }
  return at;
}

bool TemplateMatcher::may_start_at(std::size_t at) const {
  if (at == 0) return true;
  const char before = text_[at - 1];
  if (pieces_.front().blank) return is_separator(before);
  return !is_of_a_name(before) || !is_of_a_name(pieces_.front().text.front());
}

std::optional<std::size_t> TemplateMatcher::literal_end(std::string_view literal, std::size_t at) const {
  for (std::size_t i = 0; i < literal.size(); ++i) {
    if (is_blank(literal[i])) {
      if (i > 0 && is_blank(literal[i - 1])) continue;
      if (at < text_.size() && text_[at] == ' ') {
        ++at;
      } else if (at != 0 && at != text_.size()) {
        return std::nullopt;
      }
      continue;
    }
    if (at >= text_.size() || !same(literal[i], text_[at])) return std::nullopt;
    ++at;
  }
  return at;
}

bool TemplateMatcher::same(char a, char b) const {
  return case_sensitive_ ? a == b : lower(a) == lower(b);
}

std::optional<std::size_t> TemplateMatcher::blank_end(const Piece& blank, const std::string* next,
                                                      std::size_t at) const {
  switch (blank.type) {
    case BlankType::whole:
      return number_end(whole_end(text_, at), at, next);
    case BlankType::decimal:
      return number_end(decimal_end(text_, at), at, next);
    case BlankType::comma:
      return number_end(decimal_end(text_, at, ','), at, next);
    case BlankType::number:
      return number_end(whole_end(text_, at), at, next);
    case BlankType::hex:
      return hex_end(blank, next, at);
    case BlankType::letters:
      return run_end(is_letter, at);
    case BlankType::digits:
      return run_end(is_digit, at);
    case BlankType::name:
      return run_end(is_of_a_name, at);
    case BlankType::sign:
      return mark_end(text_, at) == at ? std::nullopt : std::optional(mark_end(text_, at));
    case BlankType::word:
      return word_end(next, at);
    case BlankType::rest:
      if (text_.size() - at > limit()) return std::nullopt;
      return text_.size();
    case BlankType::text:
      return text_end(next, at);
  }
  return std::nullopt;
}

// "12" is no number in "12abc".
std::optional<std::size_t> TemplateMatcher::number_end(std::size_t end, std::size_t at,
                                                       const std::string* next) const {
  if (end == at || end - at > limit()) return std::nullopt;
  if (next == nullptr && end < text_.size() && is_of_a_name(text_[end])) return std::nullopt;
  return end;
}

std::optional<std::size_t> TemplateMatcher::run_end(bool (*of)(char), std::size_t at) const {
  std::size_t end = at;
  while (end < text_.size() && of(text_[end])) ++end;
  if (end == at || end - at > limit()) return std::nullopt;
  return end;
}

std::optional<std::size_t> TemplateMatcher::hex_end(const Piece& blank, const std::string* next,
                                                    std::size_t at) const {
  const auto digits = static_cast<std::size_t>(blank.detail);
  std::size_t end = at < text_.size() && text_[at] == '-' ? at + 1 : at;
  const std::size_t first = end;
  while (end < text_.size() && is_digit_of(blank.base, text_[end]) && (digits == 0 || end - first < digits))
    ++end;
  if (end == first || (digits > 0 && end - first != digits)) return std::nullopt;
  if (digits > 0) return end;
  return number_end(end, at, next);
}

bool TemplateMatcher::ends_word(char c) const {
  return inside_ ? is_separator(c) : is_blank(c);
}

std::optional<std::size_t> TemplateMatcher::word_end(const std::string* next, std::size_t at) const {
  for (std::size_t end = at; end - at <= limit(); ++end) {
    if (end > at && next != nullptr && literal_end(*next, end)) return end;
    if (end < text_.size() && !ends_word(text_[end])) continue;
    if (next == nullptr && end > at) return end;
    return std::nullopt;
  }
  return std::nullopt;
}

std::optional<std::size_t> TemplateMatcher::text_end(const std::string* next, std::size_t at) const {
  if (next == nullptr && text_.size() - at > limit()) return std::nullopt;
  if (next == nullptr) return text_.size();
  for (std::size_t end = at; end <= text_.size() && end - at <= limit(); ++end) {
    const auto after = literal_end(*next, end);
    // A literal of blanks alone may be missing at either end of the line; a text does not end before it for
    // that.
    if (after && (*after > end || end == text_.size())) return end;
  }
  return std::nullopt;
}

std::size_t TemplateMatcher::limit() const {
  return inside_ ? longest_blank_inside : text_.size();
}

}  // namespace armwise::console
