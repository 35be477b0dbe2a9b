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

bool is_capital(char c) {
  return c >= 'A' && c <= 'Z';
}

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

// "214-" before each line.
std::size_t end_of_status(const std::string& line) {
  const std::size_t digits = std::min(line.find_first_not_of("0123456789"), line.size());
  return digits > 1 && digits < line.size() && line[digits] == '-' ? digits + 1 : 0;
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
        optional_ = c == '[' ? ++groups_ : 0;
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
    // "p"; "Tms", which has its unit behind it.
    const bool one_letter = !first && letters && all.size() == 1;
    const bool with_unit = !first && letters && all.size() < 5 && all.size() > 1 && is_capital(all[0]) &&
                           std::none_of(all.begin() + 1, all.end(), is_capital) &&
                           usage_[at_ - all.size() - 1] == '=';
    const std::size_t bar = all.find('|');
    if (several && std::all_of(all.begin(), all.begin() + static_cast<std::ptrdiff_t>(bar), is_capital)) {
      slot(all.substr(0, bar));  // "PIN|none"
    } else if (several) {
      choice(all);
    } else if (with_unit) {
      slot(all.substr(0, 1));
      text(all.substr(1));
    } else if (one_letter || capitals || (numbered && !first) || (calls_ > 0 && letters)) {
      slot(all);
    } else {
      text(all);
    }
  }
  bool is_choice_at(std::size_t at) const { return at + 1 < usage_.size() && usage_[at + 1] == '|'; }

  std::string_view usage_;
  std::size_t at_ = 0;
  int calls_ = 0;
  int optional_ = 0, groups_ = 0;
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
      {"everything", "all", "dump", "whole", "config", "setting", "set", "export"}};
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
                                     {"set-numbers", Topic::mount, {"name", "number"}},
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

// One of its words, which may stand there in capitals.
bool may_be(const UsagePiece& piece, const std::string& value) {
  return std::any_of(piece.choices.begin(), piece.choices.end(),
                     [&](const std::string& choice) { return lower_case(choice) == lower_case(value); });
}

// What a slot is called by consoles, beside the blank's own name and its beginning.
bool names(const std::string& slot, const std::string& blank) {
  static const std::vector<std::pair<std::string_view, HintWords>> others{
      {"motor", {"number", "n", "output", "out", "index", "channel"}},
      {"pin", {"pad", "port", "output", "timer"}},
      {"strength", {"percent", "part", "power", "level", "throttle", "us", "duty", "value"}},
      {"milliseconds", {"ms", "time", "t", "millis", "duration"}},
      {"mount", {"side", "facing", "seat", "orientation"}},
      {"turn", {"way", "direction", "dir", "sense"}}};
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
        return value != values.end() && may_be(usage[i], value->second);
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

// What makes sure of it beforehand.
bool is_consent(const UsagePiece& piece) {
  static const HintWords words{"yes", "y", "confirm", "sure", "now"};
  return piece.kind == Kind::text &&
         std::find(words.begin(), words.end(), lower_case(trimmed(piece.text))) != words.end();
}

// With one of what is optional (`group`), with none of it (0) or all (-1). Absent where it does not take
// these blanks.
std::optional<std::string> filled(const HelpLine& line, const std::vector<std::string>& blanks,
                                  const console::Values& values, int group) {
  std::vector<UsagePiece> usage = line.usage;
  std::erase_if(usage, [&](const UsagePiece& piece) {
    return piece.optional != 0 && group >= 0 && piece.optional != group && !is_consent(piece);
  });
  const auto slots = static_cast<std::size_t>(std::count_if(usage.begin(), usage.end(), is_value));
  // A spin need not take a time.
  const bool fits = slots == blanks.size() ||
                    (!blanks.empty() && blanks.back() == "milliseconds" && slots + 1 == blanks.size());
  if (!fits) return std::nullopt;
  const auto at = placed(usage, blanks, values);
  if (!at) return std::nullopt;
  std::string text;
  for (std::size_t i = 0; i < usage.size(); ++i) text += is_value(usage[i]) ? (*at)[i] : usage[i].text;
  return squeezed(text);
}

bool is_for(const UsagePiece& piece, const std::string& blank, const console::Values& values) {
  const auto value = values.find(blank);
  const bool listed = value != values.end() && may_be(piece, value->second);
  return listed || (piece.kind == Kind::slot && names(piece.text, blank));
}

// Those first in which something that is asked for is called by its name.
std::vector<int> groups_of(const HelpLine& line, const std::vector<std::string>& blanks,
                           const console::Values& values) {
  std::vector<int> groups{0};
  for (const UsagePiece& piece : line.usage) {
    if (piece.optional == 0 || piece.optional == groups.back()) continue;
    const bool named = std::any_of(blanks.begin(), blanks.end(),
                                   [&](const std::string& blank) { return is_for(piece, blank, values); });
    if (named) groups.insert(groups.begin(), piece.optional);
    if (is_value(piece)) groups.push_back(piece.optional);
  }
  groups.push_back(-1);
  return groups;
}

// Each of these has a place that is called after it, or that lists its value.
bool names_all(const HelpLine& line, const std::vector<std::string>& blanks, const console::Values& values) {
  return blanks.size() > 1 && std::all_of(blanks.begin(), blanks.end(), [&](const std::string& blank) {
           return std::any_of(line.usage.begin(), line.usage.end(),
                              [&](const UsagePiece& piece) { return is_for(piece, blank, values); });
         });
}

// What is said of it tells more than its name, and the names of its slots nothing.
int points_of(Topic topic, const std::string& usage, const std::string& about) {
  return 2 * hits(topic_words(topic), usage) + 3 * hits(topic_words(topic), about);
}

// None where it speaks of nothing that is asked for here, or of more than anybody would risk; several where
// it speaks alike of each. What speaks of stopping or spinning motors is about that, however much it says of
// motors and pins besides; but which way they spin is a setting.
std::vector<Topic> topics_of(const std::string& usage, const std::string& about) {
  static const HintWords way{"direction", "revers", "flip"};
  const std::string all = usage + " " + about;
  if (hits(never_hinted(), all) > 0) return {};
  if (hits(topic_words(Topic::stop), all) > 0) return {Topic::stop};
  if (hits(topic_words(Topic::spin), all) > 0 && hits(way, all) == 0) return {Topic::spin};
  std::vector<Topic> topics;
  int most = 1;
  for (int each = 0; each <= static_cast<int>(Topic::everything); ++each) {
    const int points = points_of(static_cast<Topic>(each), usage, about);
    if (points > most) topics.clear();
    if (points >= most) topics.push_back(static_cast<Topic>(each));
    most = std::max(most, points);
  }
  return topics;
}

std::string words_in(const HelpLine& line) {
  std::string text;
  for (const UsagePiece& piece : line.usage) text += is_value(piece) ? std::string() : piece.text;
  return text;
}

}  // namespace

std::vector<HelpLine> help_lines(const Lines& reply) {
  std::vector<HelpLine> help;
  const auto add = [&](std::string_view usage, const std::string& about) {
    if (usage.empty() || usage.size() > longest_usage) return;
    HelpLine one{UsageReader(usage).pieces(), about};
    if (!one.usage.empty() && one.usage.front().kind == Kind::text) help.push_back(std::move(one));
  };
  for (const std::string& line : reply) {
    if (help.size() >= most_help_lines) break;
    const auto [usage, about] = parted(std::string_view(line).substr(end_of_status(line)));
    add(usage, about);
    // "WAY      ways of the pins; WAY p +|-"
    const std::size_t again = usage.empty() ? std::string::npos : about.find("; " + usage + " ");
    if (again != std::string::npos) add(std::string_view(about).substr(again + 2), about);
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
  if (hint->topic == Topic::mount && values.contains("mount")) blanks = {"mount"};
  std::string best;
  int most = 0;
  for (const HelpLine& line : help) {
    const std::string usage = words_in(line);
    const std::vector<Topic> topics = topics_of(usage, line.about);
    const bool acts = topics.size() == 1 && topics.front() <= Topic::leave;
    const bool named = !acts && !topics.empty() && names_all(line, blanks, values);
    if (!named && std::find(topics.begin(), topics.end(), hint->topic) == topics.end()) continue;
    const int points =
        2 * points_of(hint->topic, usage, line.about) + (topics.size() == 1 ? 1 : 0) + (named ? 20 : 0);
    if (points <= most) continue;
    std::optional<std::string> text;
    for (const int group : groups_of(line, blanks, values)) {
      if (!text) text = filled(line, blanks, values, group);
    }
    if (!text || text->empty()) continue;
    best = *text;
    most = points;
  }
  return best;
}

}  // namespace armwise::teach
