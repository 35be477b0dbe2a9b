#include "words.hpp"

#include <algorithm>
#include <map>
#include <set>

#include "armwise/teach/pointing.hpp"

namespace armwise::teach {

Tokens tokens_of(std::string_view line) {
  Tokens tokens;
  std::size_t done = 0;
  const auto between_words = [&](std::size_t end) {
    for (; done < end; ++done) {
      if (!is_white(line[done])) {
        tokens.push_back({std::string(1, line[done]), false});
      } else if (!tokens.empty() && tokens.back().text != " ") {
        tokens.push_back({" ", false});
      }
    }
  };
  for (const Span& word : words_of(line)) {
    between_words(word.begin);
    tokens.push_back({std::string(line.substr(word.begin, word.end - word.begin)), true});
    done = word.end;
  }
  between_words(line.size());
  if (!tokens.empty() && tokens.back().text == " ") tokens.pop_back();
  return tokens;
}

std::optional<std::size_t> end_of_arrow(std::string_view line, std::size_t at) {
  if (at > 0 && !is_white(line[at - 1])) return std::nullopt;
  const std::size_t end = std::min(line.find_first_not_of("<>-=~", at), line.size());
  const bool alone = end == line.size() || is_white(line[end]);
  const bool points = line.substr(at, end - at).find_first_of("<>") != std::string_view::npos;
  return alone && points ? std::optional(end) : std::nullopt;
}

bool is_cut_wrong(std::string_view value) {
  const bool bracket = value.find_first_of("\"'{}[]()<>") != std::string_view::npos;
  return bracket && end_of_arrow(value, 0) != value.size();
}

std::string shape_of(const Tokens& tokens) {
  std::string shape;
  for (const Token& token : tokens) shape += token.word ? "w" : token.text;
  return shape;
}

bool has_letter(std::string_view text) {
  return std::any_of(text.begin(), text.end(), is_letter);
}

bool is_whole_number(std::string_view text) {
  if (text.starts_with('-') || text.starts_with('+')) text.remove_prefix(1);
  return !text.empty() && std::all_of(text.begin(), text.end(), is_digit);
}

bool is_number(std::string_view text) {
  const std::size_t point = text.find('.');
  if (point == std::string_view::npos) return is_whole_number(text);
  const std::string_view before = text.substr(0, point), after = text.substr(point + 1);
  const bool before_fits = before.empty() || before == "-" || before == "+" || is_whole_number(before);
  return before_fits && !after.empty() && std::all_of(after.begin(), after.end(), is_digit);
}

std::string build_of(std::string_view word) {
  std::string build;
  for (const char c : word) {
    const bool letter = (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z');
    const char kind = is_digit(c) ? '9' : letter ? 'a' : c;
    if (build.empty() || build.back() != kind) build += kind;
  }
  return build;
}

bool are_hex(const std::vector<std::string>& values) {
  const auto is_digit_of_it = [](char c) {
    return is_digit(c) || (c >= 'a' && c <= 'f') || (c >= 'A' && c <= 'F');
  };
  bool digits = false;
  for (const std::string& value : values) {
    if (value.size() < 2 || value.size() != values.front().size()) return false;
    if (!std::all_of(value.begin(), value.end(), is_digit_of_it)) return false;
    digits = digits || std::any_of(value.begin(), value.end(), is_digit);
  }
  return digits;
}

bool all_different(const std::vector<std::string>& values) {
  std::set<std::string> seen;
  return std::all_of(values.begin(), values.end(),
                     [&](const std::string& value) { return seen.insert(lower_case(value)).second; });
}

std::optional<std::string> empty_word(const std::vector<std::string>& values) {
  if (are_hex(values)) return std::nullopt;
  std::map<std::string, std::set<std::string>> by_build;
  std::map<std::string, std::size_t> count;
  for (const std::string& value : values) {
    by_build[build_of(value)].insert(lower_case(value));
    ++count[build_of(value)];
  }
  if (by_build.size() < 2) return std::nullopt;
  std::string odd;
  for (const auto& [build, words] : by_build) {
    const bool has_digit = build.find('9') != std::string::npos;
    if (words.size() == 1 && !has_digit) odd = *words.begin();
  }
  if (odd.empty()) return std::nullopt;
  for (const std::string& value : values) {
    if (lower_case(value) == odd) return value;
  }
  return std::nullopt;
}

std::vector<std::string> without(const std::vector<std::string>& values, const std::string& word) {
  std::vector<std::string> left;
  for (const std::string& value : values) {
    if (lower_case(value) != lower_case(word)) left.push_back(value);
  }
  return left;
}

}  // namespace armwise::teach
