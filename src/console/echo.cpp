#include "echo.hpp"

#include <algorithm>
#include <iterator>
#include <optional>

#include "armwise/base/text.hpp"
#include "prompts.hpp"

namespace armwise::console {
namespace {

// How many lines of its own a console may push into an echo before it is given up.
constexpr std::size_t most_interruptions = 8;

std::string without_blanks(std::string_view text) {
  std::string out;
  std::copy_if(text.begin(), text.end(), std::back_inserter(out),
               [](char c) { return c != ' ' && c != '\t'; });
  return out;
}

std::size_t common_start(std::string_view a, std::string_view b) {
  const auto [end, unused] = std::mismatch(a.begin(), a.end(), b.begin(), b.end());
  return static_cast<std::size_t>(end - a.begin());
}

// The line without its first `count` characters that are no blanks.
std::string behind(std::string_view line, std::size_t count) {
  std::size_t at = 0;
  for (; at < line.size() && count > 0; ++at) {
    if (line[at] != ' ' && line[at] != '\t') --count;
  }
  return std::string(trimmed(line.substr(at)));
}

// One way to find the whole echo: which lines are (parts of) it, and what is left of each.
struct Found {
  std::vector<std::string> lines;
  bool whole = false;
  std::size_t start = 0;  // the line on which the echo began
};

// Reads the rest of an echo from line `at` on, lines of the console's own passed over.
Found follow(std::vector<std::string> lines, std::string_view rest, std::string_view prompt,
             EchoKnown known) {
  std::size_t interruptions = 0;
  std::optional<std::size_t> start;
  for (std::size_t at = 0; at < lines.size() && interruptions <= most_interruptions;) {
    const std::string_view visible = behind_prompts(lines[at], prompt);
    const std::string line = without_blanks(visible);
    const std::size_t common = common_start(line, rest);
    const auto limit = std::min(lines.size(), at + 1 + most_interruptions);
    const auto is_later = [&](std::string_view part) {
      return std::any_of(lines.begin() + static_cast<std::ptrdiff_t>(at + 1),
                         lines.begin() + static_cast<std::ptrdiff_t>(limit),
                         [&](const std::string& later) { return without_blanks(later) == part; });
    };
    const bool goes_on = common == rest.size() && common < line.size();
    // An answer may start like the command; only a console that is known to echo glues the two together.
    if (goes_on && (known == EchoKnown::no || is_later(rest))) {
      ++interruptions;
      ++at;
      continue;
    }
    if (common > 0 && !start && (common == rest.size() || common == line.size())) start = at;
    if (common == rest.size()) {
      lines[at] = behind(visible, common);
      if (lines[at].empty()) lines.erase(lines.begin() + static_cast<std::ptrdiff_t>(at));
      return {std::move(lines), true, start.value_or(at)};
    }
    if (common == line.size()) {
      rest.remove_prefix(common);
      lines.erase(lines.begin() + static_cast<std::ptrdiff_t>(at));
      continue;
    }
    // "map liLOW BATTERY", "st": broken into in mid-line. Only believed where the rest follows.
    if (common > 0 && is_later(rest.substr(common))) {
      if (!start) start = at;
      lines[at] = behind(visible, common);
      rest.remove_prefix(common);
    }
    ++interruptions;
    ++at;
  }
  return {std::move(lines), false, 0};
}

}  // namespace

bool take_out_echo(std::vector<std::string>& lines, std::string_view sent, std::string_view prompt,
                   EchoKnown known, std::vector<std::string>* before) {
  // A command that begins like the prompt loses that as its echo does.
  const std::string whole = without_blanks(behind_prompts(sent, prompt));
  if (whole.empty()) return true;
  // An echo stands at the top, each line of it with one of its characters at least.
  const std::size_t looked_at = std::min(lines.size(), whole.size() + 2 * (most_interruptions + 1));
  const auto rest = lines.begin() + static_cast<std::ptrdiff_t>(looked_at);
  Found found = follow({lines.begin(), rest}, whole, prompt, known);
  if (!found.whole) return false;
  // What came before the echo came before the command was read: it answers something else, or nothing.
  const auto echo = found.lines.begin() + static_cast<std::ptrdiff_t>(found.start);
  if (before != nullptr) before->assign(found.lines.begin(), echo);
  lines.erase(lines.begin(), rest);
  lines.insert(lines.begin(), echo, found.lines.end());
  return true;
}

}  // namespace armwise::console
