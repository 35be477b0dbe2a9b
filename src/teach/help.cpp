#include "armwise/teach/help.hpp"

#include <algorithm>
#include <array>
#include <optional>
#include <utility>

#include "armwise/base/text.hpp"
#include "words.hpp"

namespace armwise::teach {
namespace {

using Kind = UsagePiece::Kind;
using HintWords = std::vector<std::string>;

constexpr std::size_t longest_usage = 80, most_help_lines = 400;

bool is_of_a_word(char c) {
  return is_letter_or_digit(c) || c == '_';
}

// Where a usage ends and what it does begins: at two blanks, a tab, or a sign between blanks.
std::pair<std::string, std::string> parted(std::string_view line) {
  const std::string_view text = trimmed(line);
  std::size_t end = text.size(), next = text.size();
  for (const std::string_view sign : {"  ", "\t", " - ", " -- ", ": ", " : ", " \xE2\x80\x94 "}) {
    const std::size_t at = text.find(sign);
    if (at == std::string_view::npos || at >= end) continue;
    end = at;
    next = at + sign.size();
  }
  return {std::string(trimmed(text.substr(0, end))), std::string(trimmed(text.substr(next)))};
}

// A usage, from left to right.
class UsageReader {
 public:
  explicit UsageReader(std::string_view usage) : usage_(usage) {}

  std::vector<UsagePiece> pieces() {
    while (at_ < usage_.size()) {
      const char c = usage_[at_];
      if (c == '[' || c == ']') {
        ++at_;
        optional_ = c == '[';
      } else if (c == '<' || c == '{') {
        bracketed(c == '<' ? '>' : '}');
      } else if (is_of_a_word(c) || is_choice_of_signs()) {
        word();
      } else {
        if (c == '(') ++calls_;
        if (c == ')' && calls_ > 0) --calls_;
        if (!usage_.substr(at_).starts_with("...")) text(std::string(1, c));
        at_ += usage_.substr(at_).starts_with("...") ? 3 : 1;
      }
    }
    return std::move(pieces_);
  }

 private:
  // "+|-"
  bool is_choice_of_signs() const {
    return at_ + 1 < usage_.size() && !is_white(usage_[at_]) && usage_[at_ + 1] == '|';
  }

  void text(const std::string& literal) {
    if (pieces_.empty() || pieces_.back().kind != Kind::text || pieces_.back().optional != optional_)
      pieces_.push_back({Kind::text, {}, {}, optional_});
    pieces_.back().text += literal;
  }

  void slot(std::string name) { pieces_.push_back({Kind::slot, std::move(name), {}, optional_}); }

  void choice(const std::string& all) {
    UsagePiece piece{Kind::choice, all, {}, optional_};
    for (std::size_t at = 0; at <= all.size();) {
      const std::size_t end = std::min(all.find('|', at), all.size());
      if (end > at) piece.choices.push_back(all.substr(at, end - at));
      at = end + 1;
    }
    pieces_.push_back(std::move(piece));
  }

  void bracketed(char closing) {
    const std::size_t end = std::min(usage_.find(closing, at_), usage_.size());
    const std::string inside(trimmed(usage_.substr(at_ + 1, end - at_ - 1)));
    at_ = std::min(end + 1, usage_.size());
    if (inside.find('|') != std::string::npos) return choice(inside);
    slot(inside);
  }

  void word() {
    std::size_t end = at_;
    bool several = false;
    for (; end < usage_.size(); ++end) {
      const char c = usage_[end];
      several = several || c == '|';
      const bool sign_of_a_choice = (c == '+' || c == '-') && (is_choice_at(end) || usage_[end - 1] == '|');
      if (!is_of_a_word(c) && c != '|' && !sign_of_a_choice) break;
    }
    const std::string all(usage_.substr(at_, end - at_));
    const bool first = at_ == 0;
    at_ = end;
    const bool letters = std::all_of(all.begin(), all.end(), is_letter);
    const bool capitals = !first && letters && all != lower_case(all) &&
                          std::none_of(all.begin(), all.end(), [](char c) { return c >= 'a' && c <= 'z'; });
    const bool numbered = all.size() == 2 && is_digit(all[1]) && all[0] >= 'A' && all[0] <= 'Z';
    if (several) {
      choice(all);
    } else if (capitals || (numbered && !first) || (calls_ > 0 && letters)) {
      slot(all);
    } else {
      text(all);
    }
  }
  bool is_choice_at(std::size_t at) const { return at + 1 < usage_.size() && usage_[at + 1] == '|'; }

  std::string_view usage_;
  std::size_t at_ = 0;
  int calls_ = 0;
  bool optional_ = false;
  std::vector<UsagePiece> pieces_;
};

// What speaks of an ability: beginnings of words. Where two speak alike, the first has it: a stop is never
// hinted at as a question, nor a spin as anything else.
enum class Topic { stop, spin, keep, restart, leave, identity, props, sense, turn, mount, map, everything };
const HintWords& topic_words(Topic topic) {
  static const std::vector<HintWords> words{
      {"stop", "halt"},
      {"spin", "run"},
      {"save", "keep", "store", "last", "permanent", "commit", "write"},
      {"restart", "reboot", "boot", "anew"},
      {"leave", "exit", "quit", "bye", "close"},
      {"who", "version", "firmware", "board", "about", "ident", "serial"},
      {"prop", "blade", "sweep"},
      {"accel", "gravit", "weigh", "imu", "sensor"},
      {"turn", "direction", "revers", "flip", "way"},
      {"mount", "orient", "align", "sit", "seat", "board", "rotate", "rotation", "yaw"},
      {"motor", "pin", "pad", "put", "assign", "map", "wir", "output"},
      {"everything", "all", "dump", "whole", "config", "setting", "set"}};
  return words[static_cast<std::size_t>(topic)];
}

// What a question asks for, and the blanks that it needs.
struct Hint {
  std::string_view ability;
  Topic topic = Topic::everything;
  std::vector<std::string> blanks;
};
const std::vector<Hint>& hints() {
  static const std::vector<Hint> all{{"identify", Topic::identity, {}},
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
                                     {"sense", Topic::sense, {}},
                                     {"stop-command", Topic::stop, {}},
                                     {"spin-command", Topic::spin, {"motor", "strength", "milliseconds"}},
                                     {"keep", Topic::keep, {}},
                                     {"restarts", Topic::restart, {}},
                                     {"leave", Topic::leave, {}}};
  return all;
}

// Words of commands that nobody wants by a slip. To reset may be to start anew, and to lose all settings.
const HintWords& never_hinted() {
  static const HintWords words{"factory", "default", "erase",  "wipe",   "delete",
                               "format",  "flash",   "loader", "update", "reset"};
  return words;
}

// How many of the hint's words begin a word of the text.
int hits(const HintWords& words, const std::string& text) {
  int found = 0;
  for (const std::string& word : words) {
    const std::string in = lower_case(text);
    for (std::size_t at = in.find(word); at != std::string::npos; at = in.find(word, at + 1)) {
      if (at > 0 && is_letter(in[at - 1])) continue;
      ++found;
      break;
    }
  }
  return found;
}

bool is_value(const UsagePiece& piece) {
  return piece.kind != Kind::text;
}

// What a slot is called by consoles, beside the blank's own name and its beginning.
bool names(const std::string& slot, const std::string& blank) {
  static const std::vector<std::pair<std::string_view, HintWords>> others{
      {"motor", {"number", "n", "output", "out", "index", "channel"}},
      {"pin", {"pad", "port", "output", "timer"}},
      {"strength", {"percent", "part", "power", "level", "throttle", "us", "duty", "value"}},
      {"milliseconds", {"ms", "time", "t", "millis", "duration"}},
      {"turn", {"way", "direction", "dir"}}};
  const std::string name = lower_case(slot);
  if (name == blank || (!name.empty() && blank.starts_with(name))) return true;
  const auto known =
      std::find_if(others.begin(), others.end(), [&](const auto& each) { return each.first == blank; });
  return known != others.end() &&
         std::find(known->second.begin(), known->second.end(), name) != known->second.end();
}

// The value that stands in each piece: by its name, and what no name tells in the order of the blanks.
std::optional<std::vector<std::string>> placed(const std::vector<UsagePiece>& usage,
                                               const std::vector<std::string>& blanks,
                                               const console::Values& values) {
  std::vector<std::string> at(usage.size());
  std::vector<std::string> left = blanks;
  const auto take = [&](std::size_t i, std::vector<std::string>::iterator blank) {
    const auto value = values.find(*blank);
    if (value == values.end()) return false;
    at[i] = value->second;
    left.erase(blank);
    return true;
  };
  for (std::size_t i = 0; i < usage.size(); ++i) {
    if (usage[i].kind == Kind::choice) {
      const auto one = std::find_if(left.begin(), left.end(), [&](const std::string& blank) {
        const auto value = values.find(blank);
        return value != values.end() && std::find(usage[i].choices.begin(), usage[i].choices.end(),
                                                  value->second) != usage[i].choices.end();
      });
      if (one == left.end() || !take(i, one)) return std::nullopt;
    }
    if (usage[i].kind != Kind::slot) continue;
    const auto fits = std::count_if(left.begin(), left.end(),
                                    [&](const std::string& blank) { return names(usage[i].text, blank); });
    const auto one = std::find_if(left.begin(), left.end(),
                                  [&](const std::string& blank) { return names(usage[i].text, blank); });
    if (fits == 1 && !take(i, one)) return std::nullopt;
  }
  for (std::size_t i = 0; i < usage.size(); ++i) {
    if (!is_value(usage[i]) || !at[i].empty()) continue;
    if (left.empty() || !take(i, left.begin())) return std::nullopt;
  }
  return at;
}

// With what is optional, or without it. Absent where it does not take these blanks.
std::optional<std::string> filled(const HelpLine& line, const std::vector<std::string>& blanks,
                                  const console::Values& values, bool with_optional) {
  std::vector<UsagePiece> usage = line.usage;
  if (!with_optional) std::erase_if(usage, [](const UsagePiece& piece) { return piece.optional; });
  const auto slots = static_cast<std::size_t>(std::count_if(usage.begin(), usage.end(), is_value));
  // A spin need not take a time.
  const bool fits = slots == blanks.size() ||
                    (!blanks.empty() && blanks.back() == "milliseconds" && slots + 1 == blanks.size());
  if (!fits) return std::nullopt;
  const auto at = placed(usage, blanks, values);
  if (!at) return std::nullopt;
  std::string text;
  for (std::size_t i = 0; i < usage.size(); ++i) text += is_value(usage[i]) ? (*at)[i] : usage[i].text;
  return std::string(trimmed(text));
}

// What is said of it tells more than its name, and the names of its slots nothing.
int points_of(Topic topic, const std::string& usage, const std::string& about) {
  return 2 * hits(topic_words(topic), usage) + 3 * hits(topic_words(topic), about);
}

// Absent where it speaks of nothing that is asked for here, or of more than anybody would risk. What speaks
// of stopping or spinning motors is about that, however much it says of motors and pins besides; but which
// way they spin is a setting.
std::optional<Topic> topic_of(const std::string& usage, const std::string& about) {
  static const HintWords way{"direction", "revers", "flip"};
  const std::string all = usage + " " + about;
  if (hits(never_hinted(), all) > 0) return std::nullopt;
  if (hits(topic_words(Topic::stop), all) > 0) return Topic::stop;
  if (hits(topic_words(Topic::spin), all) > 0 && hits(way, all) == 0) return Topic::spin;
  std::optional<Topic> topic;
  int most = 0;
  for (int each = 0; each <= static_cast<int>(Topic::everything); ++each) {
    const int points = points_of(static_cast<Topic>(each), usage, about);
    if (points <= most) continue;
    most = points;
    topic = static_cast<Topic>(each);
  }
  return topic;
}

std::string words_in(const HelpLine& line) {
  std::string text;
  for (const UsagePiece& piece : line.usage) text += is_value(piece) ? std::string() : piece.text;
  return text;
}

}  // namespace

std::vector<HelpLine> help_lines(const Lines& reply) {
  std::vector<HelpLine> help;
  for (const std::string& line : reply) {
    if (help.size() == most_help_lines) break;
    auto [usage, about] = parted(line);
    if (usage.empty() || usage.size() > longest_usage) continue;
    HelpLine one{UsageReader(usage).pieces(), std::move(about)};
    if (!one.usage.empty() && one.usage.front().kind == Kind::text) help.push_back(std::move(one));
  }
  return help;
}

std::string hinted(const std::vector<HelpLine>& help, const std::string& ability,
                   const console::Values& values) {
  const auto hint =
      std::find_if(hints().begin(), hints().end(), [&](const Hint& each) { return each.ability == ability; });
  if (hint == hints().end()) return {};
  std::vector<std::string> blanks = hint->blanks;
  // A direction is kept by motor or by pin.
  std::replace(blanks.begin(), blanks.end(), std::string("key"),
               std::string(values.contains("pin") ? "pin" : "motor"));
  std::string best;
  int most = 0;
  for (const HelpLine& line : help) {
    const std::string usage = words_in(line);
    if (topic_of(usage, line.about) != hint->topic) continue;
    const int points = points_of(hint->topic, usage, line.about);
    if (points <= most) continue;
    auto text = filled(line, blanks, values, false);
    if (!text) text = filled(line, blanks, values, true);
    if (!text || text->empty()) continue;
    best = *text;
    most = points;
  }
  return best;
}

}  // namespace armwise::teach
