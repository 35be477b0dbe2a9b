#include <algorithm>
#include <map>

#include "armwise/base/text.hpp"
#include "armwise/teach/pointing.hpp"
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

std::optional<console::Template> identity_line(const std::string& line, bool only_by_name) {
  const std::vector<Span> words = words_of(line);
  std::vector<std::string> texts;
  texts.reserve(words.size());
  for (const Span& word : words) texts.push_back(word.of(line));
  Pointed pointed{line, {}};
  std::vector<bool> taken(words.size());
  const auto take = [&](std::size_t at, const std::string& blank) {
    taken[at] = taken[at] || pointed.at.emplace(blank, words[at]).second;
  };
  std::string name;
  for (std::size_t i = 0; i < words.size(); ++i) {
    if (looks_like_version(texts[i])) {
      take(i, "version");
    } else if (!name.empty()) {
      take(i, name);
    }
    name = taken[i] ? std::string() : named_by(texts[i]);
  }
  // Without a word of its own, the firmware's name stands before its version and the board's before that.
  const auto version = pointed.at.find("version");
  if (version != pointed.at.end() && !only_by_name) {
    const auto k =
        static_cast<std::size_t>(std::find(words.begin(), words.end(), version->second) - words.begin());
    const auto free = [&](std::size_t w) { return !taken[w] && named_by(texts[w]).empty(); };
    if (k >= 1 && free(k - 1)) take(k - 1, "firmware");
    if (k >= 2 && free(k - 2)) take(k - 2, "board");
    if (k >= 3 && pointed.at.contains("firmware") && !pointed.at.contains("board") && free(k - 3))
      take(k - 3, "board");
    if (k + 1 < words.size() && free(k + 1)) take(k + 1, "serial");
  }
  if (pointed.at.empty()) return std::nullopt;
  const auto like = line_of_its_own(pointed);
  return like && like->match(line) ? like : std::nullopt;
}

}  // namespace armwise::teach
