#include <algorithm>
#include <map>
#include <set>

#include "armwise/base/text.hpp"
#include "armwise/teach/reply_table.hpp"
#include "number_line.hpp"
#include "words.hpp"

namespace armwise::teach {
namespace {

// "1.4.2": numbers with points between.
bool looks_like_version(const std::string& word) {
  const std::string digits = word.starts_with('v') ? word.substr(1) : word;
  return std::count(digits.begin(), digits.end(), '.') >= 1 && build_of(digits).starts_with("9.") &&
         std::all_of(digits.begin(), digits.end(), [](char c) { return c == '.' || (c >= '0' && c <= '9'); });
}

std::string named_by(const std::string& word) {
  static const std::map<std::string, std::string> names{
      {"board", "board"},       {"target", "board"},     {"controller", "board"},
      {"firmware", "firmware"}, {"running", "firmware"}, {"version", "version"},
      {"release", "version"},   {"serial", "serial"},    {"with", "firmware"}};
  const std::string lower = lower_case(word);
  const std::size_t last = lower.find_last_of("._-/");
  const auto found = names.find(last == std::string::npos ? lower : lower.substr(last + 1));
  return found == names.end() ? std::string() : found->second;
}

}  // namespace

std::optional<console::Template> identity_line(const std::string& line) {
  const Tokens tokens = tokens_of(line);
  BlankPlaces places;
  std::set<std::string> used;
  std::string name;
  const auto take = [&](std::size_t at, const std::string& blank) {
    if (used.insert(blank).second) places[at] = blank;
  };
  std::vector<std::size_t> words;
  for (std::size_t i = 0; i < tokens.size(); ++i) {
    if (!tokens[i].word) continue;
    words.push_back(i);
    const std::string next = named_by(tokens[i].text);
    if (looks_like_version(tokens[i].text)) {
      take(i, "version");
    } else if (!name.empty()) {
      take(i, name);
    }
    name = places.contains(i) ? std::string() : next;
  }
  // Without a word of its own, the firmware's name stands before its version and the board's before that.
  for (std::size_t k = 0; k < words.size(); ++k) {
    const auto place = places.find(words[k]);
    if (place == places.end() || place->second != "version") continue;
    const auto free = [&](std::size_t w) {
      return !places.contains(words[w]) && named_by(tokens[words[w]].text).empty();
    };
    if (k >= 1 && free(k - 1)) take(words[k - 1], "firmware");
    if (k >= 2 && free(k - 2)) take(words[k - 2], "board");
    if (k >= 3 && used.contains("firmware") && !used.contains("board") && free(k - 3))
      take(words[k - 3], "board");
    if (k + 1 < words.size() && free(k + 1)) take(words[k + 1], "serial");
    break;
  }
  if (places.empty()) return std::nullopt;
  const auto like = line_with(tokens, places);
  return like && like->match(line) ? like : std::nullopt;
}

}  // namespace armwise::teach
