#include "armwise/console/template.hpp"

#include <algorithm>
#include <array>
#include <utility>

#include "armwise/base/fault.hpp"
#include "armwise/base/text.hpp"

namespace armwise::console {
namespace {

constexpr std::size_t longest_source = 500;
// Inside a longer text each start is tried, so a blank must not run to the text's end from each of them.
constexpr std::size_t longest_blank_inside = 256;

bool is_blank(char c) {
  return c == ' ' || c == '\t';
}
bool is_digit(char c) {
  return c >= '0' && c <= '9';
}
bool is_name_character(char c) {
  return (c >= 'a' && c <= 'z') || is_digit(c) || c == '_';
}
bool is_letter_or_digit(char c) {
  return is_digit(c) || (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || c == '_';
}
bool is_separator(char c) {
  return is_blank(c) || std::string_view(",;()[]{}").find(c) != std::string_view::npos;
}
char lower(char c) {
  return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
}

[[noreturn]] void refuse(std::size_t at, const std::string& what) {
  throw Fault(FaultKind::bad_profile, "character " + std::to_string(at + 1) + ": " + what);
}

BlankType usual_type(std::string_view name) {
  constexpr std::array<std::string_view, 10> decimals{"yaw", "pitch", "roll", "strength", "x",
                                                      "y",   "z",     "gx",   "gy",       "gz"};
  if (std::find(decimals.begin(), decimals.end(), name) != decimals.end()) return BlankType::decimal;
  if (name == "milliseconds") return BlankType::whole;
  if (name == "rest") return BlankType::rest;
  if (name == "items") return BlankType::text;
  return BlankType::word;
}

std::optional<BlankType> type_named(std::string_view name) {
  if (name == "int") return BlankType::whole;
  if (name == "decimal") return BlankType::decimal;
  if (name == "word") return BlankType::word;
  if (name == "rest") return BlankType::rest;
  if (name == "text") return BlankType::text;
  return std::nullopt;
}

// Reads one template source, character by character.
class SourceReader {
 public:
  explicit SourceReader(std::string_view source) : source_(source) {}

  std::vector<Piece> read() {
    if (source_.size() > longest_source) refuse(longest_source, "longer than 500 characters");
    if (!is_printable(source_)) throw Fault(FaultKind::bad_profile, "holds a control character");
    while (at_ < source_.size()) {
      const char c = source_[at_];
      const bool doubled = at_ + 1 < source_.size() && source_[at_ + 1] == c;
      if ((c == '{' || c == '}') && doubled) {
        add_literal(c);
        at_ += 2;
      } else if (c == '{') {
        read_blank();
      } else if (c == '}') {
        refuse(at_, "a closing brace that nothing opened; write }} for the brace itself");
      } else {
        add_literal(c);
        ++at_;
      }
    }
    return std::move(pieces_);
  }

 private:
  void add_literal(char c) {
    if (pieces_.empty() || pieces_.back().blank) {
      refuse_ambiguous_follower(c);
      pieces_.push_back({});
    }
    pieces_.back().text += c;
  }

  // A number is read as far as it goes, so its next character must not look like more of it.
  void refuse_ambiguous_follower(char c) const {
    if (pieces_.empty()) return;
    const BlankType type = pieces_.back().type;
    if (type == BlankType::rest) refuse(at_, "text after {" + pieces_.back().text + "}, which takes it all");
    if ((type == BlankType::whole || type == BlankType::decimal) && is_digit(c)) {
      refuse(at_, "a digit right after the number {" + pieces_.back().text + "}");
    }
  }

  void read_blank() {
    const std::size_t start = at_;
    const std::size_t end = source_.find('}', start);
    if (end == std::string_view::npos) {
      refuse(start, "an opening brace that is never closed; write {{ for the brace itself");
    }
    const std::string_view inside = source_.substr(start + 1, end - start - 1);
    const std::size_t colon = inside.find(':');
    const std::string_view name = inside.substr(0, colon);
    if (name.empty() || !std::all_of(name.begin(), name.end(), is_name_character)) {
      refuse(start, "{" + std::string(inside) + "} is no blank: a name is made of a-z, 0-9 and _");
    }
    BlankType type = usual_type(name);
    if (colon != std::string_view::npos) {
      const auto named = type_named(inside.substr(colon + 1));
      if (!named) refuse(start, "{" + std::string(inside) + "}: a type is int, decimal, word, rest or text");
      type = *named;
    }
    if (!pieces_.empty() && pieces_.back().blank) {
      refuse(start, "{" + std::string(name) + "} follows {" + pieces_.back().text +
                        "} with nothing between to tell where one ends");
    }
    pieces_.push_back({true, std::string(name), type});
    at_ = end + 1;
  }

  std::string_view source_;
  std::size_t at_ = 0;
  std::vector<Piece> pieces_;
};

std::size_t whole_end(std::string_view text, std::size_t at) {
  std::size_t end = at;
  if (end < text.size() && (text[end] == '-' || text[end] == '+')) ++end;
  const std::size_t digits = end;
  while (end < text.size() && is_digit(text[end])) ++end;
  return end == digits ? at : end;
}

// `at` itself where no number stands there.
std::size_t decimal_end(std::string_view text, std::size_t at) {
  std::size_t end = whole_end(text, at);
  const auto digit_at = [&](std::size_t i) { return i < text.size() && is_digit(text[i]); };
  std::size_t point = end;
  if (end == at && point < text.size() && (text[point] == '-' || text[point] == '+')) ++point;
  if (point < text.size() && text[point] == '.' && digit_at(point + 1)) {
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

// White space as it counts: runs are one blank, none at either end.
std::string squeezed(std::string_view text) {
  std::string out;
  for (const char c : text) {
    if (!is_blank(c)) {
      out += c;
    } else if (!out.empty() && out.back() != ' ') {
      out += ' ';
    }
  }
  if (!out.empty() && out.back() == ' ') out.pop_back();
  return out;
}

// A line end inside a line is no blank: a word made of it would end up empty.
std::string_view without_outer_blanks(std::string_view text) {
  const std::size_t first = text.find_first_not_of(' ');
  if (first == std::string_view::npos) return {};
  return text.substr(first, text.find_last_not_of(' ') - first + 1);
}

// Matches the pieces of one template against one squeezed text.
class Matcher {
 public:
  Matcher(const std::vector<Piece>& pieces, std::string_view text, bool case_sensitive, bool inside)
      : pieces_(pieces), text_(text), case_sensitive_(case_sensitive), inside_(inside) {}

  // Where the match that starts at `at` ends.
  std::optional<std::size_t> match_at(std::size_t at, Values& values) const {
    for (std::size_t i = 0; i < pieces_.size(); ++i) {
      const Piece& piece = pieces_[i];
      if (!piece.blank) {
        const auto end = literal_end(piece.text, at);
        if (!end) return std::nullopt;
        at = *end;
        continue;
      }
      const std::string* next = i + 1 < pieces_.size() ? &pieces_[i + 1].text : nullptr;
      const auto end = blank_end(piece.type, next, at);
      if (!end) return std::nullopt;
      if (!keep_value(piece.text, text_.substr(at, *end - at), values)) return std::nullopt;
      at = *end;
    }
    return at;
  }

  bool may_start_at(std::size_t at) const {
    if (at == 0) return true;
    const char before = text_[at - 1];
    if (pieces_.front().blank) return is_separator(before);
    return !is_letter_or_digit(before) || !is_letter_or_digit(pieces_.front().text.front());
  }

 private:
  static bool keep_value(const std::string& name, std::string_view raw, Values& values) {
    const std::string_view value = without_outer_blanks(raw);
    const auto [kept, is_new] = values.emplace(name, value);
    return is_new || name == "skip" || kept->second == value;
  }

  std::optional<std::size_t> literal_end(std::string_view literal, std::size_t at) const {
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

  bool same(char a, char b) const { return case_sensitive_ ? a == b : lower(a) == lower(b); }

  std::optional<std::size_t> blank_end(BlankType type, const std::string* next, std::size_t at) const {
    switch (type) {
      case BlankType::whole:
        return number_end(whole_end(text_, at), at, next);
      case BlankType::decimal:
        return number_end(decimal_end(text_, at), at, next);
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
  std::optional<std::size_t> number_end(std::size_t end, std::size_t at, const std::string* next) const {
    if (end == at || end - at > limit()) return std::nullopt;
    if (next == nullptr && end < text_.size() && is_letter_or_digit(text_[end])) return std::nullopt;
    return end;
  }

  bool ends_word(char c) const { return inside_ ? is_separator(c) : is_blank(c); }

  std::optional<std::size_t> word_end(const std::string* next, std::size_t at) const {
    for (std::size_t end = at; end - at <= limit(); ++end) {
      if (end > at && next != nullptr && literal_end(*next, end)) return end;
      if (end < text_.size() && !ends_word(text_[end])) continue;
      if (next == nullptr && end > at) return end;
      return std::nullopt;
    }
    return std::nullopt;
  }

  std::optional<std::size_t> text_end(const std::string* next, std::size_t at) const {
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

  std::size_t limit() const { return inside_ ? longest_blank_inside : text_.size(); }

  const std::vector<Piece>& pieces_;
  std::string_view text_;
  bool case_sensitive_;
  bool inside_;
};

bool fits(BlankType type, std::string_view value) {
  switch (type) {
    case BlankType::whole:
      return !value.empty() && whole_end(value, 0) == value.size();
    case BlankType::decimal:
      return !value.empty() && decimal_end(value, 0) == value.size();
    case BlankType::word:
      return !value.empty() && std::none_of(value.begin(), value.end(), is_blank);
    case BlankType::rest:
    case BlankType::text:
      return true;
  }
  return false;
}

std::string_view in_words(BlankType type) {
  switch (type) {
    case BlankType::whole:
      return "a whole number";
    case BlankType::decimal:
      return "a number";
    case BlankType::word:
      return "one word";
    case BlankType::rest:
    case BlankType::text:
      return "text";
  }
  return "text";
}

}  // namespace

Template Template::parse(std::string_view source) {
  Template parsed;
  parsed.source_ = source;
  parsed.pieces_ = SourceReader(source).read();
  return parsed;
}

Template Template::literal(std::string_view text) {
  std::string source;
  for (const char c : text) {
    source += c;
    if (c == '{' || c == '}') source += c;
  }
  return parse(source);
}

bool Template::has(std::string_view blank) const {
  return std::any_of(pieces_.begin(), pieces_.end(),
                     [&](const Piece& piece) { return piece.blank && piece.text == blank; });
}

std::string Template::format(const Values& values) const {
  std::string out;
  for (const Piece& piece : pieces_) {
    if (!piece.blank) {
      out += piece.text;
      continue;
    }
    const auto found = values.find(piece.text);
    if (found == values.end()) {
      throw Fault(FaultKind::internal, "nothing to put into {" + piece.text + "} of \"" + source_ + "\"");
    }
    if (!is_printable(found->second) || !fits(piece.type, found->second)) {
      throw Fault(
          FaultKind::bad_data,
          "\"" + printable(found->second) + "\" cannot stand for {" + piece.text + "} in \"" + source_ + "\"",
          "It takes " + std::string(in_words(piece.type)) + " without control characters");
    }
    out += found->second;
  }
  return out;
}

std::optional<Values> Template::match(std::string_view line, bool case_sensitive) const {
  const std::string text = squeezed(line);
  Values values;
  const auto end = Matcher(pieces_, text, case_sensitive, false).match_at(0, values);
  if (!end || *end != text.size()) return std::nullopt;
  return values;
}

std::vector<Values> Template::match_all(std::string_view text, bool case_sensitive) const {
  std::vector<Values> found;
  if (pieces_.empty()) return found;
  const std::string line = squeezed(text);
  const Matcher matcher(pieces_, line, case_sensitive, true);
  for (std::size_t at = 0; at < line.size();) {
    Values values;
    const auto end = matcher.may_start_at(at) ? matcher.match_at(at, values) : std::nullopt;
    if (!end || *end == at) {
      ++at;
      continue;
    }
    found.push_back(std::move(values));
    at = *end;
  }
  return found;
}

}  // namespace armwise::console
