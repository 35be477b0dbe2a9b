#include "hint_table.hpp"

#include <algorithm>
#include <array>
#include <cstdlib>
#include <utility>

#include "armwise/base/text.hpp"

namespace armwise::teach {
namespace {

using Words = std::vector<std::string_view>;

// Beginnings of words; with a full stop behind it, the whole word.
const Words& words_of_topic(Topic topic) {
  static const std::array<Words, 12> all{
      Words{"stop", "halt", "rest.", "calm", "quiet", "hush", "peace"},
      Words{"spin", "run", "test", "pulse", "whirl"},
      Words{"save", "keep", "store", "last", "permanent", "commit", "write", "burn", "remember"},
      Words{"restart", "reboot", "boot", "anew", "cold start", "start again", "starts again"},
      Words{"leave", "exit", "quit", "bye", "close"},
      Words{"who", "version", "firmware", "board", "about", "ident", "id.", "info", "serial"},
      Words{"prop", "blade", "sweep", "rotor pattern", "in or out", "inward"},
      Words{"acc.", "accel", "gravit", "weigh", "imu", "sensor"},
      Words{"turn", "direction", "revers", "flip", "way", "cross", "invert"},
      Words{"mount", "orient", "align", "sit.", "sits", "seat", "board", "rotate", "rotation", "yaw",
            "pitch.", "roll."},
      Words{"motor", "pin", "pad", "put", "assign", "map", "wir", "output"},
      Words{"everything", "all", "dump", "whole", "config", "set", "export"}};
  return all.at(static_cast<std::size_t>(topic));
}

bool speaks_of(std::string_view in, std::string_view word) {
  const bool whole = word.ends_with('.');
  if (whole) word.remove_suffix(1);
  for (std::size_t at = in.find(word); at != std::string_view::npos; at = in.find(word, at + 1)) {
    const std::size_t end = at + word.size();
    if (at > 0 && is_letter(in[at - 1])) continue;
    if (!whole || end == in.size() || !is_letter_or_digit(in[end])) return true;
  }
  return false;
}

bool holds_any(std::string_view text, const Words& words) {
  const std::string in = lower_case(text);
  return std::any_of(words.begin(), words.end(), [&](std::string_view word) { return speaks_of(in, word); });
}

bool is_among(std::string_view text, const Words& words) {
  return std::find(words.begin(), words.end(), text) != words.end();
}

}  // namespace

const Wanted* wanted_by(std::string_view ability) {
  static const std::vector<Wanted> all{{"identify", Topic::identity, {}},
                                       {"whole-configuration", Topic::everything, {}},
                                       {"list-map", Topic::map, {}},
                                       {"assign-pin", Topic::map, {"motor", "pin"}},
                                       {"read-props", Topic::props, {}},
                                       {"props-in-command", Topic::props, {"props"}},
                                       {"props-out-command", Topic::props, {"props"}},
                                       {"read-turn", Topic::turn, {}},
                                       {"set-turn-cw", Topic::turn, {"key", "turn"}},
                                       {"set-turn-ccw", Topic::turn, {"key", "turn"}},
                                       {"read-mount", Topic::mount, {}},
                                       {"set-yaw", Topic::mount, {"yaw", "pitch", "roll"}},
                                       {"set-numbers", Topic::mount, {"name", "number"}},
                                       {"set-pitch", Topic::mount, {"pitch"}},
                                       {"set-roll", Topic::mount, {"roll"}},
                                       {"sense", Topic::sense, {}},
                                       {"stop-command", Topic::stop, {}},
                                       {"spin-command", Topic::spin, {"motor", "strength", "milliseconds"}},
                                       {"keep", Topic::keep, {}},
                                       {"restarts", Topic::restart, {}},
                                       {"leave", Topic::leave, {}}};
  const auto found =
      std::find_if(all.begin(), all.end(), [&](const Wanted& each) { return each.ability == ability; });
  return found == all.end() ? nullptr : &*found;
}

int hits(Topic topic, std::string_view text) {
  const std::string in = lower_case(text);
  const Words& words = words_of_topic(topic);
  return static_cast<int>(
      std::count_if(words.begin(), words.end(), [&](std::string_view word) { return speaks_of(in, word); }));
}

// To reset may be to start anew, and to lose all settings; what is kept in flash is no new firmware.
bool is_never_hinted(std::string_view usage, std::string_view about) {
  const Words anywhere{"factory", "default", "erase", "wipe", "delete", "format", "loader", "update"};
  return holds_any(std::string(usage) + " " + std::string(about), anywhere) || holds_any(usage, {"flash"}) ||
         holds_any(about, {"flash new", "flashes", "reset"}) ||
         (holds_any(usage, {"reset"}) && hits(Topic::restart, about) == 0);
}

bool speaks_of_a_way(std::string_view text) {
  return holds_any(text, {"direction", "revers", "flip"});
}

bool speaks_of_a_change(std::string_view about) {
  const std::string in = lower_case(about);
  const Words verbs{"put", "set", "change", "give", "move", "reverse", "turns a", "tells it"};
  return std::any_of(verbs.begin(), verbs.end(), [&](std::string_view verb) {
    const bool begins = in.starts_with(verb);
    const std::size_t end =
        verb.size() + (begins && in.size() > verb.size() && in[verb.size()] == 's' ? 1 : 0);
    return begins && (end >= in.size() || in[end] == ' ');
  });
}

bool is_way_back(std::string_view usage, std::string_view about) {
  return holds_any(usage, {"back", "up", "exit", "leave"}) &&
         holds_any(about, {"shell", "menu", "level", "mode"});
}

bool is_consent(std::string_view word) {
  return is_among(lower_case(trimmed(word)), {"yes", "y", "confirm", "sure", "now"});
}

// Beside the blank's own name and its beginning.
bool names(std::string_view slot, std::string_view blank) {
  static const std::vector<std::pair<std::string_view, Words>> others{
      {"motor", {"number", "n", "output", "out", "index", "channel"}},
      {"pin", {"pad", "port", "output", "timer"}},
      {"strength", {"percent", "part", "power", "level", "throttle", "us", "duty", "value", "%", "l"}},
      {"milliseconds", {"ms", "time", "t", "millis", "duration", "seconds", "sec", "s"}},
      {"mount", {"side", "facing", "seat", "orientation", "code"}},
      {"turn", {"way", "direction", "dir", "sense"}}};
  const std::string name = lower_case(slot);
  if (name == blank || (!name.empty() && blank.starts_with(name))) return true;
  const auto known =
      std::find_if(others.begin(), others.end(), [&](const auto& each) { return each.first == blank; });
  return known != others.end() && is_among(name, known->second);
}

bool names_any(std::string_view word) {
  static const Words blanks{"motor", "pin", "strength", "milliseconds", "mount",
                            "turn",  "yaw", "pitch",    "roll"};
  const std::string name = lower_case(word);
  return is_among(name, {"flag", "value", "code", "path", "name"}) ||
         std::any_of(blanks.begin(), blanks.end(), [&](std::string_view blank) {
           return (name.size() > 1 || name == "n") && names(name, blank);
         });
}

std::string in_unit_of(std::string_view slot, const std::string& blank, const std::string& value) {
  if (blank != "milliseconds" || !is_among(lower_case(slot), {"seconds", "sec", "s"})) return value;
  std::string seconds = number_text(std::strtod(value.c_str(), nullptr) / 1000, 3);
  while (seconds.ends_with('0')) seconds.pop_back();
  if (seconds.ends_with('.')) seconds.pop_back();
  return seconds;
}

int parts_of_a_degree(std::string_view text) {
  if (holds_any(text, {"tenth", "0.1 deg"})) return 10;
  return holds_any(text, {"hundredth", "0.01 deg"}) ? 100 : 1;
}

}  // namespace armwise::teach
