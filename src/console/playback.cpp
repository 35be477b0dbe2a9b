#include "armwise/console/playback.hpp"

#include <algorithm>
#include <array>
#include <cctype>
#include <cstdlib>
#include <utility>

#include "armwise/base/text.hpp"

namespace armwise::console {
namespace {

constexpr std::size_t longest_line = 500;

bool is_word(char c) {
  return std::isalnum(static_cast<unsigned char>(c)) != 0 || c == '_';
}

// Without spaces at the ends, any others as one, and letters without case: a console may not care.
std::string plain(std::string_view text) {
  std::string out;
  for (const char c : trimmed(text)) {
    const bool space = c == ' ' || c == '\t';
    if (space && !out.empty() && out.back() == ' ') continue;
    out += space ? ' ' : static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
  }
  return out;
}

// What a command starts with, up to its first blank.
struct Opening {
  std::string words;
  bool glued = false;  // the blank follows without a space: "M{motor}"
};

Opening opening_of(const Template& sent) {
  std::string literal;
  bool blank_follows = false;
  for (const Piece& piece : sent.pieces()) {
    if (piece.blank) {
      blank_follows = true;
      break;
    }
    literal += piece.text;
  }
  const bool spaced = !literal.empty() && (literal.back() == ' ' || literal.back() == '\t');
  return {plain(literal), blank_follows && !spaced};
}

bool starts_as(const std::string& line, const Opening& opening) {
  if (opening.words.empty() || !line.starts_with(opening.words)) return false;
  if (line.size() == opening.words.size() || opening.glued) return true;
  // "save" opens "save now", not "saved_at = 3" nor "save_delay = 3".
  return !is_word(opening.words.back()) || !is_word(line[opening.words.size()]);
}

bool starts_as(const Profile& profile, std::string_view line, const Command& command) {
  const std::string asked = plain(line);
  return std::any_of(command.steps.begin(), command.steps.end(), [&](const Step& step) {
    return starts_as(asked, opening_of(step.send)) ||
           step.send.match(trimmed(line), profile.case_sensitive).has_value();
  });
}

bool has_menus(const Profile& profile) {
  const auto several = [](const Command& command) { return command.steps.size() > 1; };
  return !profile.open.home.empty() || (profile.map && profile.map->put && several(*profile.map->put)) ||
         (profile.keep && several(profile.keep->keep));
}

}  // namespace

bool is_a_spin(const Profile& profile, const std::vector<std::string>& lines) {
  if (!profile.spin || profile.spin->spin.steps.empty()) return false;
  const Steps& steps = profile.spin->spin.steps;
  for (std::size_t first = 0; first + steps.size() <= lines.size(); ++first) {
    Values read;
    bool fits = true;
    for (std::size_t i = 0; i < steps.size() && fits; ++i) {
      const auto values = steps[i].send.match(trimmed(lines[first + i]), profile.case_sensitive);
      fits = values.has_value();
      if (values) read.insert(values->begin(), values->end());
    }
    const auto motor = read.find("motor"), strength = read.find("strength");
    if (!fits || motor == read.end() || strength == read.end()) continue;
    char* end = nullptr;
    std::strtod(strength->second.c_str(), &end);
    if (end != strength->second.c_str() && *end == 0 && profile.motor_coded(motor->second)) return true;
  }
  return false;
}

std::string why_no_playback(const Profile& profile) {
  if (!profile.whole_configuration) {
    return "The profile has no command that prints the whole configuration, so what it prints cannot be "
           "compared";
  }
  if (has_menus(profile)) {
    return "This console has menus: a line of its configuration would be taken for a choice in one of them";
  }
  return {};
}

std::string why_left_out(const Profile& profile, std::string_view line) {
  if (trimmed(line).empty()) return "it is empty";
  if (line.size() > longest_line) return "it is too long for a line that was typed";
  if (printable(line) != line) return "it holds control characters";
  using Rule = std::pair<const Command*, const char*>;
  std::vector<Rule> rules;
  if (profile.spin) {
    rules.emplace_back(&profile.spin->spin, "it turns a motor");
    rules.emplace_back(&profile.spin->stop_all, "it is about spinning motors");
    if (profile.spin->stop) rules.emplace_back(&*profile.spin->stop, "it is about spinning motors");
  }
  if (profile.keep) {
    rules.emplace_back(&profile.keep->keep, "it keeps, and nothing is kept before every arm is proven");
    if (profile.keep->restart) rules.emplace_back(&*profile.keep->restart, "it restarts the controller");
  }
  if (profile.leave) rules.emplace_back(&*profile.leave, "it leaves the console");
  for (const auto& [command, why] : rules) {
    if (starts_as(profile, line, *command)) return why;
  }
  return {};
}

}  // namespace armwise::console
