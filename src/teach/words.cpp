#include "words.hpp"

#include <algorithm>

namespace armwise::teach {
namespace {

bool ends_word(char c) {
  return is_white(c) || std::string_view(",;:=()[]{}<>|\"'").find(c) != std::string_view::npos;
}

}  // namespace

Tokens tokens_of(std::string_view line) {
  Tokens tokens;
  for (std::size_t at = 0; at < line.size();) {
    if (is_white(line[at])) {
      while (at < line.size() && is_white(line[at])) ++at;
      if (!tokens.empty() && at < line.size()) tokens.push_back({" ", false});
    } else if (ends_word(line[at])) {
      tokens.push_back({std::string(1, line[at++]), false});
    } else {
      const std::size_t start = at;
      while (at < line.size() && !ends_word(line[at])) ++at;
      // A full stop at a word's end belongs to the sentence.
      std::size_t end = at;
      if (end - start > 1 && line[end - 1] == '.') --end;
      tokens.push_back({std::string(line.substr(start, end - start)), true});
      if (end < at) tokens.push_back({".", false});
    }
  }
  return tokens;
}

std::string shape_of(const Tokens& tokens) {
  std::string shape;
  for (const Token& token : tokens) shape += token.word ? "w" : token.text;
  return shape;
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

}  // namespace armwise::teach
