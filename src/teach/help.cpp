#include "armwise/teach/help.hpp"

#include <algorithm>
#include <map>
#include <nlohmann/json.hpp>
#include <optional>
#include <set>
#include <utility>

#include "armwise/base/text.hpp"
#include "hint_table.hpp"
#include "words.hpp"

namespace armwise::teach {
namespace {

using Kind = UsagePiece::Kind;
using Usage = std::vector<UsagePiece>;
using Blanks = std::vector<std::string>;

constexpr std::size_t longest_usage = 80, most_help_lines = 400, most_alternatives = 16;

bool is_capital(char c) {
  return c >= 'A' && c <= 'Z';
}
// Letters of other alphabets, too.
bool is_of_a_word(char c) {
  return is_letter_or_digit(c) || c == '_' || static_cast<unsigned char>(c) > 0x7F;
}
bool is_all(std::string_view text, bool (*kind)(char)) {
  return !text.empty() && std::all_of(text.begin(), text.end(), kind);
}
bool is_value(const UsagePiece& piece) {
  return piece.kind != Kind::text;
}
std::size_t slots_in(const Usage& usage) {
  return static_cast<std::size_t>(std::count_if(usage.begin(), usage.end(), is_value));
}
bool is_listed(const UsagePiece& piece, const std::string& value) {
  // It may stand there in capitals.
  return std::any_of(piece.choices.begin(), piece.choices.end(),
                     [&](const std::string& choice) { return lower_case(choice) == lower_case(value); });
}

Lines words_parted(std::string_view text) {
  Lines words;
  for (const Span& word : words_of(std::string(text), "")) words.push_back(word.of(std::string(text)));
  return words;
}

// A usage, from left to right.
class UsageReader {
 public:
  // `shouts`: the console's commands are in capitals.
  UsageReader(std::string_view usage, bool shouts) : usage_(usage), shouts_(shouts) {}

  Usage pieces() {
    while (at_ < usage_.size()) {
      const char c = usage_[at_];
      if (c == '[' || c == ']') {
        ++at_;
        optional_ = c == '[' ? ++groups_ : 0;
      } else if (c == '<' || c == '{') {
        bracketed(c == '<' ? '>' : '}');
      } else if (const std::size_t end = end_of_choice(); end > at_) {
        choice(std::string(usage_.substr(at_, end - at_)));
        at_ = end;
      } else if (is_of_a_word(c)) {
        word();
      } else if (c == '%' && !touches_a_word()) {
        slot("%");
        ++at_;
      } else {
        if (c == '(' && at_ > 0 && is_of_a_word(usage_[at_ - 1])) ++calls_;
        if (c == ')' && calls_ > 0) --calls_;
        const bool dots = usage_.substr(at_).starts_with("...");
        if (!dots) text(std::string(1, c));
        at_ += dots ? 3 : 1;
      }
    }
    return std::move(pieces_);
  }

 private:
  bool touches_a_word() const {
    return (at_ > 0 && is_of_a_word(usage_[at_ - 1])) ||
           (at_ + 1 < usage_.size() && is_of_a_word(usage_[at_ + 1]));
  }
  // "fwd|rev", "+1|-1"
  std::size_t end_of_choice() const {
    std::size_t end = at_;
    bool several = false;
    for (; end < usage_.size(); ++end) {
      const char c = usage_[end];
      several = several || c == '|';
      if (!is_of_a_word(c) && std::string_view("|+-").find(c) == std::string_view::npos) break;
    }
    return several ? end : at_;
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
    if (piece.choices.empty()) return text(all);
    if (is_all(piece.choices.front(), is_capital) && piece.choices.front().size() > 1) {
      piece.kind = Kind::slot;  // "PIN|none"
      piece.text = piece.choices.front();
      piece.choices.erase(piece.choices.begin());
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
    const std::size_t begin = at_;
    while (at_ < usage_.size() && is_of_a_word(usage_[at_])) ++at_;
    const std::string all(usage_.substr(begin, at_ - begin));
    const bool first = begin == 0 && (shouts_ || !is_all(all, is_capital));
    const bool letters = is_all(all, is_letter);
    const bool numbered = all.size() == 2 && is_digit(all[1]) && is_capital(all[0]);
    const bool one_letter = letters && all.size() == 1;
    const bool short_word = letters && all.size() < 5 && all.size() > 1;
    // "Tms", which has its unit behind it; "mN".
    const bool with_unit = short_word && begin > 0 && usage_[begin - 1] == '=' && is_capital(all[0]) &&
                           std::none_of(all.begin() + 1, all.end(), is_capital);
    const bool with_letter =
        short_word && is_capital(all.back()) && std::none_of(all.begin(), all.end() - 1, is_capital);
    if (with_letter) {
      text(all.substr(0, all.size() - 1));
      slot(all.substr(all.size() - 1));
    } else if (!first && with_unit) {
      slot(all.substr(0, 1));
      text(all.substr(1));
    } else if (!first && (one_letter || numbered || is_all(all, is_capital) || (calls_ > 0 && letters))) {
      slot(all);
    } else {
      text(all);
    }
  }

  std::string_view usage_;
  bool shouts_;
  std::size_t at_ = 0;
  int calls_ = 0;
  int optional_ = 0, groups_ = 0;
  Usage pieces_;
};

// Layouts.

// What nearly every line has before or behind what it says: a clock, a sum over its bytes.
Lines without_frame(Lines lines) {
  std::erase_if(lines, [](const std::string& line) { return trimmed(line).empty(); });
  const auto all = [&](auto same) {
    const auto fit = static_cast<std::size_t>(std::count_if(lines.begin(), lines.end(), same));
    return fit > 2 && fit + 1 >= lines.size();
  };
  const auto first_word = [](const std::string& line) {
    const std::string_view text = trimmed(line);
    return std::string(text.substr(0, text.find(' ')));
  };
  bool changing = false;
  while (lines.size() > 2) {
    const std::string word = first_word(lines[1]);
    const bool counts = is_all(build_of(word), [](char c) { return !is_letter(c); }) && word.size() > 2 &&
                        word.find_first_of("0123456789") != std::string::npos;
    if (!counts && !changing) break;
    if (!all([&](const std::string& line) {
          return build_of(first_word(line)) == build_of(word) && (counts || first_word(line) == word);
        }))
      break;
    changing = true;
    for (std::string& line : lines) {
      const std::string_view text = trimmed(line);
      line = std::string(text.substr(std::min(text.find(' '), text.size())));
    }
  }
  const auto begins_sum = [](const std::string& line) {
    const std::string_view text = trimmed(line);
    const std::size_t at = text.rfind(' ');
    const std::string_view last = text.substr(at == std::string_view::npos ? 0 : at + 1);
    return last.size() > 2 && !is_of_a_word(last[0]) && is_all(last.substr(1), is_letter_or_digit)
               ? std::string(1, last[0]) + std::to_string(last.size())
               : std::string();
  };
  const std::string sum = lines.empty() ? std::string() : begins_sum(lines.front());
  if (!sum.empty() && all([&](const std::string& line) { return begins_sum(line) == sum; })) {
    for (std::string& line : lines)
      if (begins_sum(line) == sum) line.resize(line.find_last_of(sum[0]));
  }
  for (std::string& line : lines) {
    // "214-" before each line.
    const std::size_t digits = std::min(line.find_first_not_of("0123456789"), line.size());
    if (digits > 1 && digits < line.size() && line[digits] == '-') line.erase(0, digits + 1);
  }
  return lines;
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

class HelpReader {
 public:
  HelpReader(const Lines& reply, std::string typed) : lines_(without_frame(reply)), typed_(std::move(typed)) {
    const auto shouted = std::count_if(lines_.begin(), lines_.end(), [](const std::string& line) {
      const auto text = trimmed(line);
      return text.size() > 1 && is_capital(text[0]) && is_capital(text[1]);
    });
    shouts_ = 2 * static_cast<std::size_t>(shouted) > lines_.size();
    std::map<std::size_t, int> columns;
    for (const std::string& line : lines_) {
      const std::size_t gap = line.find("  ", std::min(line.find_first_not_of(' '), line.size()));
      const std::size_t next = gap == std::string::npos ? gap : line.find_first_not_of(' ', gap);
      if (next != std::string::npos && ++columns[next] > columns[column_]) column_ = next;
    }
  }

  std::vector<HelpLine> read() {
    for (const std::string& line : lines_) {
      if (help_.size() >= most_help_lines) break;
      if (!json(line) && !in_brackets(line)) in_columns(line);
    }
    loosen_words_around_the_verb();
    return std::move(help_);
  }

 private:
  void add(std::string_view usage, const std::string& about) {
    if (usage.empty() || usage.size() > longest_usage) return;
    add_read(UsageReader(usage, shouts_).pieces(), about);
  }
  void add_read(Usage usage, const std::string& about) {
    if (usage.empty()) return;
    const bool starts = usage.front().kind == Kind::text || usage.size() > 1;
    if (!starts || usage.front().kind == Kind::choice) return;
    help_.push_back({usage, about});
    // "sys id|dump|save": each may be a command of its own.
    for (std::size_t i = 0; i < usage.size(); ++i) {
      if (usage[i].kind != Kind::choice || usage[i].choices.size() > most_alternatives) continue;
      for (const std::string& one : usage[i].choices) {
        Usage single = usage;
        single[i] = {Kind::text, one, {}, 0};
        help_.push_back({single, "", one});
      }
    }
  }

  // {"cmd": "motor", "keys": ["n", "pin"]}, where help is {"cmd": "help"}.
  bool json(const std::string& line) {
    const auto asked = nlohmann::ordered_json::parse(typed_, nullptr, false);
    const auto told = nlohmann::ordered_json::parse(line, nullptr, false);
    if (!asked.is_object() || asked.size() != 1 || !told.is_object()) return false;
    const std::string key = asked.begin().key();
    if (!told.contains(key) || !told[key].is_string()) return true;
    Usage usage{{Kind::text, "{\"" + key + "\": \"" + told[key].get<std::string>() + "\"", {}, 0}};
    std::string about;
    int groups = 0;
    for (const auto& [name, value] : told.items()) {
      if (value.is_string() && name != key) about += value.get<std::string>() + " ";
      if (!value.is_array()) continue;
      for (const auto& slot : value) {
        if (!slot.is_string()) continue;
        usage.push_back({Kind::text, ", \"" + slot.get<std::string>() + "\": ", {}, ++groups});
        usage.push_back({Kind::slot, slot.get<std::string>(), {}, groups, true});
      }
    }
    usage.push_back({Kind::text, "}", {}, 0});
    add_read(std::move(usage), about);
    return true;
  }

  // (rest) (rest N)   stops all, or one
  bool in_brackets(const std::string& line) {
    std::string_view rest = trimmed(line);
    Lines usages;
    while (rest.starts_with('(')) {
      std::size_t end = 0;
      for (int depth = 0; end < rest.size(); ++end) {
        depth += rest[end] == '(' ? 1 : rest[end] == ')' ? -1 : 0;
        if (depth == 0) break;
      }
      if (end == rest.size()) return false;
      usages.emplace_back(rest.substr(0, end + 1));
      rest = trimmed(rest.substr(end + 1));
    }
    for (const std::string& usage : usages) add(usage, std::string(rest));
    return !usages.empty();
  }

  void in_columns(std::string line) {
    for (std::size_t at = line.find(" | "); at != std::string::npos; at = line.find(" | "))
      line.replace(at, 3, "|");
    auto [usage, about] = parted(line);
    const bool is_wide =
        column_ > 1 && line.size() > column_ && line[column_ - 1] == ' ' && line[column_] != ' ';
    if (is_wide && trimmed(line.substr(0, column_)).empty()) {  // more of what was said before
      help_.push_back({{{Kind::text, {}, {}, 0}}, line.substr(column_)});
      return;
    }
    if (is_wide && trimmed(line).find("  ") == std::string_view::npos) {
      usage = trimmed(line.substr(0, column_));
      about = line.substr(column_);
    }
    const Lines words = words_parted(usage);
    const bool lists = about.empty() && words.size() > 1 && words.front() != typed_ &&
                       std::find(words.begin(), words.end(), typed_) != words.end();
    if (lists) {  // "who all words"
      for (const std::string& word : words) add(word, "");
      return;
    }
    const std::string name(usage.begin(), std::find_if_not(usage.begin(), usage.end(), is_of_a_word));
    const auto goes_on = [&](const std::string& text, std::size_t at) {
      const std::size_t end = at + name.size();
      return !name.empty() && text.compare(at, name.size(), name) == 0 && end < text.size() &&
             !is_of_a_word(text[end]);
    };
    // "b  b,I  b,O    blades in, blades out": further columns of the same name, or sign.
    Lines usages{usage};
    for (auto [next, rest] = parted(about);
         !rest.empty() && (goes_on(next, 0) || (name.empty() && !usage.empty() && next[0] == usage[0]));
         std::tie(next, rest) = parted(about)) {
      usages.push_back(next);
      about = rest;
    }
    Lines said = in_what_is_said(name, usage, about);
    // An example of a usage with several slots tells more than that.
    const bool first = slots_in(UsageReader(usage, shouts_).pieces()) > 1;
    usages.insert(first ? usages.begin() : usages.end(), said.begin(), said.end());
    for (std::size_t i = 0; i + 1 < usages.size(); ++i) {
      // "b,I  b,O" is "b,I|O".
      const auto own = words_of(usages[i]), next = words_of(usages[i + 1]);
      const bool alike = own.size() > 1 && own.size() == next.size() && own.back().end == usages[i].size() &&
                         is_all(own.back().of(usages[i]), is_of_a_word) &&
                         usages[i].substr(0, own.back().begin) == usages[i + 1].substr(0, next.back().begin);
      if (!alike) continue;
      usages[i] += "|" + next.back().of(usages[i + 1]);
      usages.erase(usages.begin() + static_cast<std::ptrdiff_t>(i + 1));
    }
    for (const std::string& each : usages) add(each, about);
  }

  // "WAY      ways of the pins; WAY p +|-", "runs one: spin motor1 10 500", "fans in! and fans out! set it"
  static Lines in_what_is_said(const std::string& name, const std::string& usage, const std::string& about) {
    Lines all;
    const std::string marks = usage.find_last_of("?!") == usage.size() - 1 ? "?!" : "";
    for (std::size_t at = name.empty() ? std::string::npos : about.find(name); at != std::string::npos;
         at = about.find(name, at + 1)) {
      const std::size_t end = std::min(about.find_first_of(marks.empty() ? ";,(" : "?!;", at), about.size());
      const bool is_apart =
          (at == 0 && !marks.empty()) ||
          (at > 1 && about[at - 1] == ' ' &&
           (!marks.empty() || std::string_view(";:,").find(about[at - 2]) != std::string_view::npos));
      const bool whole = end < about.size() && !marks.empty() && about[end] != ';';
      const std::string found(trimmed(about.substr(at, end + (whole ? 1 : 0) - at)));
      if (is_apart && marks.empty() != whole && found.size() > name.size() && found[name.size()] == ' ')
        all.push_back(found);
    }
    return all;
  }

  // "motor pad wire", "wire motor pad": all words but the verb are called as values are.
  void loosen_words_around_the_verb() {
    const auto bare_words = [](const HelpLine& line) {
      const bool bare = line.usage.size() == 1 && line.usage.front().kind == Kind::text;
      return bare ? words_parted(line.usage.front().text) : Lines();
    };
    const auto loosen = [&](HelpLine& line, const Lines& words, bool last) {
      const std::string verb = last ? words.back() : words.front();
      Usage usage;
      for (std::size_t i = 0; i < words.size(); ++i) {
        const bool is_verb = i == (last ? words.size() - 1 : 0);
        if (i > 0) usage.push_back({Kind::text, " ", {}, 0});
        usage.push_back({is_verb ? Kind::text : Kind::slot, words[i], {}, 0});
      }
      line.usage = std::move(usage);
    };
    int last = 0;
    for (HelpLine& line : help_) {
      const Lines words = bare_words(line);
      const auto values = static_cast<std::size_t>(std::count_if(words.begin(), words.end(), names_any));
      if (words.size() < 3 || values + 1 != words.size()) continue;
      if (!names_any(words.back())) ++last;
      if (names_any(words.front()) == names_any(words.back())) continue;
      loosen(line, words, !names_any(words.back()));
    }
    if (last < 2) return;
    for (HelpLine& line : help_) {
      const Lines words = bare_words(line);
      if (words.size() > 1) loosen(line, words, true);
    }
  }

  Lines lines_;
  std::string typed_;
  bool shouts_ = false;
  std::size_t column_ = 0;  // in which most lines say what a usage does
  std::vector<HelpLine> help_;
};

// Filling.

bool is_for(const UsagePiece& piece, const std::string& blank, const console::Values& values) {
  const auto value = values.find(blank);
  return (value != values.end() && is_listed(piece, value->second)) ||
         (piece.kind == Kind::slot && names(piece.text, blank));
}
bool has_place_for(const Usage& usage, const std::string& blank, const console::Values& values) {
  return std::any_of(usage.begin(), usage.end(),
                     [&](const UsagePiece& piece) { return is_for(piece, blank, values); });
}

// The blank that stands in each piece: by its name, and what no name tells in the order of the blanks.
std::optional<Blanks> placed(const Usage& usage, Blanks left, const console::Values& values) {
  Blanks at(usage.size());
  const auto take = [&](std::size_t i, Blanks::iterator blank) {
    if (blank == left.end() || !values.contains(*blank)) return false;
    at[i] = *blank;
    left.erase(blank);
    return true;
  };
  for (std::size_t i = 0; i < usage.size(); ++i) {
    const auto fits = [&](const std::string& blank) { return is_for(usage[i], blank, values); };
    if (!is_value(usage[i])) continue;
    const bool one = std::count_if(left.begin(), left.end(), fits) == 1;
    const bool taken =
        (one || usage[i].kind == Kind::choice) && take(i, std::find_if(left.begin(), left.end(), fits));
    if (!taken && (one || usage[i].kind == Kind::choice)) return std::nullopt;
  }
  for (std::size_t i = 0; i < usage.size(); ++i) {
    if (is_value(usage[i]) && at[i].empty() && !take(i, left.begin())) return std::nullopt;
  }
  return at;
}

// Slots with a label of their own (":wind WAY", "dir=WAY") that nobody asked for are left out, where all that
// is asked for has its place.
Usage without_others(const Usage& usage, const Blanks& blanks, const console::Values& values) {
  const auto has_place = [&](const std::string& blank) { return has_place_for(usage, blank, values); };
  if (blanks.empty() || !std::all_of(blanks.begin(), blanks.end(), has_place)) return usage;
  Usage kept;
  for (const UsagePiece& piece : usage) {
    const bool wanted = !is_value(piece) ||
                        std::any_of(blanks.begin(), blanks.end(),
                                    [&](const std::string& blank) { return is_for(piece, blank, values); });
    if (wanted) {
      kept.push_back(piece);
      continue;
    }
    if (kept.empty()) return usage;
    std::string& label = kept.back().text;
    if (kept.back().kind != Kind::text || label.find_first_of(":=-") == std::string::npos) return usage;
    const std::size_t start = label.find_last_of(' ', label.find_last_not_of(' '));
    label.resize(start == std::string::npos ? 0 : start);
  }
  return kept;
}

// Too few slots: words that are called as what is asked for, or else the numbers of an example, are some too.
Usage loosened(const Usage& usage, const Blanks& blanks, const console::Values& values, bool numbers) {
  Usage loose;
  for (const UsagePiece& piece : usage) {
    if (is_value(piece)) {
      loose.push_back(piece);
      continue;
    }
    const auto is_part = [&](char c) { return numbers ? is_digit(c) : is_of_a_word(c); };
    for (std::size_t at = 0; at < piece.text.size();) {
      std::size_t end = at;
      const bool part = is_part(piece.text[at]);
      while (end < piece.text.size() && is_part(piece.text[end]) == part) ++end;
      const std::string text = piece.text.substr(at, end - at);
      const bool first = loose.empty();
      const bool slot =
          part && !first &&
          (numbers || std::any_of(blanks.begin(), blanks.end(), [&](const std::string& blank) {
             return text.size() > 1 && names(text, blank) && !has_place_for(usage, blank, values);
           }));
      loose.push_back({slot ? Kind::slot : Kind::text, text, {}, piece.optional});
      at = end;
    }
  }
  return loose;
}

bool is_angle(const std::string& blank) {
  return blank == "yaw" || blank == "pitch" || blank == "roll";
}

std::string text_in(const UsagePiece& piece, const std::string& before, const std::string& blank,
                    std::string value, int parts_of_degree, const std::string& prefix) {
  if (piece.json) return is_number(value) ? value : "\"" + value + "\"";
  value = in_unit_of(piece.text, blank, value);
  if (is_angle(blank) && parts_of_degree > 1 && value.size() < 5 && is_whole_number(value))
    value = std::to_string(std::stoi(value) * parts_of_degree);
  const bool apart = before.empty() || before.back() == ' ' || before.back() == '(' || before.back() == ',';
  if (value.empty() || (blank == "motor" && apart)) return prefix + value;
  // "mN", where the motor is called "m2".
  std::size_t known = std::min(value.size() - 1, before.size());
  while (known > 0 && !(before.ends_with(value.substr(0, known)) && is_letter(value[0]) &&
                        (before.size() == known || !is_of_a_word(before[before.size() - known - 1]))))
    --known;
  return value.substr(known);
}

// In the order of the blanks; a spin need not take a time.
std::optional<std::string> usage_filled(const HelpLine& line, const Usage& usage, Blanks blanks,
                                        const console::Values& values, const Setting& setting) {
  const bool no_time = std::none_of(usage.begin(), usage.end(), [](const UsagePiece& piece) {
    return is_value(piece) && names(piece.text, "milliseconds");
  });
  if (no_time && slots_in(usage) + 1 == blanks.size() && blanks.back() == "milliseconds") blanks.pop_back();
  const auto at = slots_in(usage) == blanks.size() ? placed(usage, blanks, values) : std::nullopt;
  if (!at) return std::nullopt;
  const int parts = parts_of_a_degree(line.about);
  std::string text;
  for (std::size_t i = 0; i < usage.size(); ++i)
    text += is_value(usage[i])
                ? text_in(usage[i], text, (*at)[i], values.at((*at)[i]), parts, setting.spoken.motor)
                : usage[i].text;
  return line.before + squeezed(text) + line.behind;
}

// With those parts that may be left out in which something asked for has its place; with none, one, or all.
std::vector<Usage> optional_parts(const HelpLine& line, const Blanks& blanks, const console::Values& values) {
  std::set<int> groups, asked;
  for (const UsagePiece& piece : line.usage) {
    if (piece.optional != 0) groups.insert(piece.optional);
    if (std::any_of(blanks.begin(), blanks.end(),
                    [&](const std::string& blank) { return is_for(piece, blank, values); }))
      asked.insert(piece.optional);
  }
  std::vector<std::set<int>> with{asked, {}};
  for (const int group : groups) with.push_back({group});
  with.push_back(groups);
  std::vector<Usage> parts;
  for (const std::set<int>& kept : with) {
    Usage usage = line.usage;
    std::erase_if(usage, [&](const UsagePiece& piece) {
      const bool consent = piece.kind == Kind::text && is_consent(piece.text);
      return piece.optional != 0 && !consent && !kept.contains(piece.optional);
    });
    parts.push_back(std::move(usage));
  }
  return parts;
}

// Absent where it does not take these blanks.
std::optional<std::string> usage_filled(const HelpLine& line, const Blanks& blanks,
                                        const console::Values& values, const Setting& setting) {
  const std::vector<Usage> parts = optional_parts(line, blanks, values);
  const bool is_spin = !blanks.empty() && blanks.back() == "milliseconds";
  std::optional<std::string> text;
  for (const Usage& usage : parts)
    if (!text) text = usage_filled(line, usage, blanks, values, setting);
  for (const Usage& usage : parts)
    if (!text) text = usage_filled(line, without_others(usage, blanks, values), blanks, values, setting);
  for (const Usage& usage : parts) {
    if (!text) text = usage_filled(line, loosened(usage, blanks, values, false), blanks, values, setting);
    if (!text && is_spin)
      text = usage_filled(line, loosened(usage, blanks, values, true), blanks, values, setting);
  }
  // "r   reverse a motor", where the map's is "p ; 3 ; P4".
  const std::vector<std::string>& between = setting.spoken.between;
  if (!text && !blanks.empty() && !between.empty() && slots_in(line.usage) == 0) {
    text = line.before + squeezed(line.usage.front().text);
    for (std::size_t i = 0; i < blanks.size(); ++i)
      *text += between[std::min(i, between.size() - 1)] + values.at(blanks[i]);
  }
  return text;
}

// Choosing.

std::string words_of_usage(const HelpLine& line) {
  std::string text;
  for (const UsagePiece& piece : line.usage)
    if (piece.optional == 0) text += is_value(piece) ? std::string(" ") : piece.text;
  return text;
}

bool has_slot_for(const HelpLine& line, const std::string& blank) {
  return std::any_of(line.usage.begin(), line.usage.end(), [&](const UsagePiece& piece) {
    return piece.kind == Kind::slot && piece.text.size() > (blank == "milliseconds" ? 1U : 0U) &&
           names(piece.text, blank);
  });
}

bool says_word(const HelpLine& line, const std::string& word) {
  const std::string text = words_of_usage(line);
  const auto words = words_of(text, " ./,;:=()");
  return std::any_of(words.begin(), words.end(),
                     [&](const Span& each) { return lower_case(each.of(text)) == word; });
}

// What is said of it tells more than its name, and the names of its slots nothing.
int points_of(Topic topic, const HelpLine& line) {
  if (!line.one_of.empty()) return 2 * hits(topic, line.one_of);
  const int in_shell = topic > Topic::leave ? hits(topic, line.shell) : 0;
  return 2 * hits(topic, words_of_usage(line)) + 3 * hits(topic, line.about) + in_shell;
}

// None where it speaks of nothing that is asked for here, or of more than anybody would risk; several where
// it speaks alike of each. What speaks of stopping or spinning motors is about that, however much it says of
// motors and pins besides.
std::vector<Topic> topics_of(const HelpLine& line) {
  const std::string usage = words_of_usage(line), all = usage + " " + line.about;
  if (is_never_hinted(usage, line.about)) return {};
  if (hits(Topic::stop, all) > 0) return {Topic::stop};
  if (has_slot_for(line, "milliseconds")) return {Topic::spin};
  if (hits(Topic::spin, all) > 0 && !speaks_of_a_way(all)) return {Topic::spin};
  std::vector<Topic> topics;
  int most = 1;
  for (int each = 0; each <= static_cast<int>(Topic::everything); ++each) {
    const int points = points_of(static_cast<Topic>(each), line);
    if (points > most) topics.clear();
    if (points >= most) topics.push_back(static_cast<Topic>(each));
    most = std::max(most, points);
  }
  return topics;
}

bool acts(const std::vector<Topic>& topics) {
  return topics.size() == 1 && topics.front() <= Topic::leave;
}

// A word of the setting's that stands in the usage, in a choice or by itself ("b,I"): it is left as it is.
bool says_value(const HelpLine& line, Blanks& blanks, const console::Values& values) {
  const auto value = blanks.empty() ? values.end() : values.find(blanks.back());
  const bool is_setting = value != values.end() &&
                          (blanks.back() == "turn" || blanks.back() == "props" || blanks.back() == "mount");
  // "PROP 1 (in), PROP 2 (out)": a number says less than a word.
  const bool is_number = is_setting && is_all(value->second, is_digit);
  if (!is_setting ||
      (is_number && (slots_in(line.usage) > 0 || line.about.find(value->second) == std::string::npos)))
    return false;
  const auto lists = [&](const UsagePiece& piece) { return is_listed(piece, value->second); };
  if (std::any_of(line.usage.begin(), line.usage.end(), lists)) return true;
  const std::string text = words_of_usage(line);
  const auto words = words_of(text, ",;:=()[]{}<>|\"'!?");
  for (const Span& word : words) {
    if (word.begin == 0 || word.of(text) != value->second || !line.one_of.empty()) continue;
    blanks.pop_back();
    return true;
  }
  return false;
}

// The question beside an order: "lie" beside "lie Y/P/R", "(show craft)" beside "(set craft :blades WAY)". A
// word that many share joins nothing.
std::string question_beside(const std::vector<HelpLine>& help, Topic topic, const Blanks& named) {
  constexpr int most_shared = 3;
  std::map<std::string, int> shared;
  const auto words = [](const HelpLine& line) {
    const std::string text = words_of_usage(line);
    Lines all;
    for (const Span& word : words_of(text, ",;:=()[]{}<>|\"'!?")) all.push_back(word.of(text));
    return all;
  };
  for (const HelpLine& line : help) {
    if (!line.one_of.empty()) continue;
    for (const std::string& word : words(line)) ++shared[word];
  }
  for (const HelpLine& order : help) {
    const std::vector<Topic> topics = topics_of(order);
    const bool is_named =
        !named.empty() && std::all_of(named.begin(), named.end(),
                                      [&](const std::string& blank) { return has_slot_for(order, blank); });
    const bool about = is_named || std::find(topics.begin(), topics.end(), topic) != topics.end();
    if (acts(topics) || !about || slots_in(order.usage) == 0) continue;
    Lines rare = words(order);
    std::stable_sort(rare.begin(), rare.end(),
                     [&](const std::string& a, const std::string& b) { return shared[a] < shared[b]; });
    for (const std::string& word : rare) {
      for (const HelpLine& line : help) {
        const Lines own = words(line);
        const bool is_beside = shared[word] <= most_shared && slots_in(line.usage) == 0 &&
                               line.one_of.empty() && std::find(own.begin(), own.end(), word) != own.end() &&
                               !acts(topics_of(line));
        if (is_beside) return line.before + squeezed(words_of_usage(line)) + line.behind;
      }
    }
  }
  return {};
}

bool is_a_name(const std::string& slot) {
  static const Blanks names{"name", "path", "key", "setting", "n", "number", "register"};
  return std::find(names.begin(), names.end(), slot) != names.end();
}

// "set NAME VALUE", where the row reads "NAME VALUE …".
std::string set_by_its_name(const HelpLine& line, const std::string& row, const std::string& value) {
  const Lines words = words_parted(row);
  if (words.size() < 2 || slots_in(line.usage) != 2) return {};
  std::string text;
  bool named = false;
  for (const UsagePiece& piece : line.usage) {
    const std::string slot = lower_case(piece.text);
    const bool name = is_value(piece) && !named && is_a_name(slot);
    if (is_value(piece) && !name && (!named || !slot.starts_with("val"))) return {};
    named = named || name;
    text += name ? words[0] : is_value(piece) ? words[1] : piece.text;
  }
  std::string bare = words[1];
  const int parts = parts_of_a_degree(row);
  if (parts > 1 && bare == value && value.size() < 5 && is_whole_number(value))
    text = text.substr(0, text.rfind(value)) + std::to_string(std::stoi(value) * parts);
  std::erase_if(bare, [](char c) { return c == '"' || c == '\''; });
  return bare == value ? line.before + squeezed(text) + line.behind : std::string();
}

}  // namespace

std::vector<HelpLine> help_lines(const Lines& reply, const std::string& typed) {
  return HelpReader(reply, typed).read();
}

Shells shells_in(const std::vector<HelpLine>& help, const std::string& typed) {
  Shells shells;
  for (const HelpLine& line : help) {
    const std::string usage = words_of_usage(line);
    const bool is_word = line.usage.size() == 1 && is_all(usage, is_of_a_word) && usage != typed;
    if (is_word && is_way_back(usage, line.about)) shells.back = usage;
    bool may = is_word && !is_way_back(usage, line.about);
    for (int each = 0; each <= static_cast<int>(Topic::leave); ++each)
      may = may && hits(static_cast<Topic>(each), usage) == 0;
    if (may && !is_never_hinted(usage, line.about)) shells.names.push_back(usage);
    if (may && !is_never_hinted(usage, line.about)) shells.about.push_back(line.about);
  }
  if (shells.back.empty()) shells.names.clear();
  return shells;
}

Spoken spoken_like(const std::vector<HelpLine>& help, const std::string& source, const std::string& typed,
                   const console::Values& values, const std::string& row) {
  Spoken spoken;
  std::size_t at = source.find("{motor");
  // "B2=P4" is no motor called B2.
  if (source.compare(std::min(source.find('}', at), source.size() - 1) + 1, 1, "=") == 0)
    at = std::string::npos;
  while (at != std::string::npos && at > 0 &&
         std::string_view(" (,=").find(source[at - 1]) == std::string_view::npos)
    spoken.motor = source[--at] + spoken.motor;
  Setting plain{row, {}};
  plain.spoken.motor = spoken.motor;
  const std::string usage = hinted(help, "assign-pin", values, plain);
  const std::size_t there = usage.empty() ? std::string::npos : typed.find(usage);
  if (there != std::string::npos) {
    spoken.before = typed.substr(0, there);
    spoken.behind = typed.substr(there + usage.size());
  }
  const std::size_t first = source.find('{'), last = source.rfind('{');
  const std::size_t end = std::min(source.find('}'), source.size() - 1);
  for (const HelpLine& line : help) {
    const std::string bare = squeezed(words_of_usage(line));
    if (there != std::string::npos || slots_in(line.usage) > 0 || first == std::string::npos ||
        first == last || !source.starts_with(bare) || is_of_a_word(source[bare.size()]) ||
        source.find(' ') < bare.size())
      continue;
    spoken.between = {source.substr(bare.size(), first - bare.size()),
                      source.substr(end + 1, last - end - 1)};
  }
  return spoken;
}

std::string hinted(const std::vector<HelpLine>& help, const std::string& ability,
                   const console::Values& values, const Setting& setting) {
  const Wanted* wanted = wanted_by(ability);
  if (wanted == nullptr) return {};
  const Topic topic = wanted->topic;
  const bool is_setting = topic == Topic::props || topic == Topic::turn || topic == Topic::mount;
  Blanks all = wanted->blanks;
  // A direction is kept by motor or by pin.
  std::replace(all.begin(), all.end(), std::string("key"),
               std::string(values.contains("pin") ? "pin" : "motor"));
  if (topic == Topic::mount && values.contains("mount")) all = {"mount"};
  for (const HelpLine& line : help) {
    const auto value = setting.row.empty() || all.empty()
                           ? values.end()
                           : values.find(is_angle(all[0]) ? all[0] : all.back());
    const std::string by_name = value == values.end() || acts(topics_of(line))
                                    ? std::string()
                                    : set_by_its_name(line, setting.row, value->second);
    if (!by_name.empty())
      return is_setting ? setting.spoken.before + by_name + setting.spoken.behind : by_name;
  }
  std::string best;
  int most = 0;
  for (const HelpLine& line : help) {
    Blanks blanks = all;
    const std::vector<Topic> topics = topics_of(line);
    const bool may = !acts(topics) && !is_never_hinted(words_of_usage(line), line.about);
    const bool named =
        may && blanks.size() > 1 && std::all_of(blanks.begin(), blanks.end(), [&](const std::string& blank) {
          return has_place_for(line.usage, blank, values);
        });
    const bool says = may && says_value(line, blanks, values);
    const bool about = std::find(topics.begin(), topics.end(), topic) != topics.end() &&
                       (line.one_of.empty() || (!is_setting && hits(topic, line.one_of) > 0));
    if (!named && !says && !about) continue;
    const bool changes = speaks_of_a_change(line.about);
    if (all.empty() && topic > Topic::leave && changes) continue;
    // The map may show it as well, which is known better than by half a word.
    if (all.empty() && topic == Topic::turn && topics.size() > 1) continue;
    const int points = 2 * points_of(topic, line) + (topics.size() == 1 ? 1 : 0) + (named ? 20 : 0) +
                       (says ? 10 : 0) + (blanks.empty() && slots_in(line.usage) == 0 ? 1 : 0) +
                       (!all.empty() && changes ? 4 : 0);
    if (points <= most) continue;
    const auto is_angle_here = [&](const Blanks& one) {
      return one.size() != 1 || !is_angle(one[0]) || says_word(line, one[0]) ||
             has_place_for(line.usage, one[0], values);
    };
    if (!is_angle_here(blanks)) continue;
    auto text = usage_filled(line, blanks, values, setting);
    if (!text && blanks.size() == 3 && is_angle(blanks[0]) && is_angle_here({blanks[0]}))
      text = usage_filled(line, {blanks[0]}, values, setting);
    const bool of_one =
        (topic == Topic::stop || topic == Topic::turn) && all.empty() && values.contains("motor");
    if (!text && of_one) text = usage_filled(line, {"motor"}, values, setting);
    if (!text || text->empty()) continue;
    // After a restart nothing is left to be typed.
    if (topic == Topic::restart) text->resize(text->size() - line.behind.size());
    best = is_setting && !all.empty() ? setting.spoken.before + *text + setting.spoken.behind : *text;
    most = points;
  }
  if (best.empty() && all.empty() && is_setting)
    best = question_beside(help, topic, topic == Topic::mount ? Blanks{"yaw", "pitch", "roll"} : Blanks());
  return best;
}

std::string word_against(const std::vector<HelpLine>& help, const std::string& word) {
  for (const HelpLine& line : help) {
    for (const UsagePiece& piece : line.usage) {
      if (piece.kind == Kind::choice && piece.choices.size() == 2 && is_listed(piece, word))
        return piece.choices[piece.choices.front() == word ? 1 : 0];
    }
  }
  // "inward, outward"
  for (const HelpLine& line : help) {
    const auto words = words_of(line.about, ",;:()");
    for (std::size_t i = 0; i + 1 < words.size(); ++i) {
      const std::string gap = line.about.substr(words[i].end, words[i + 1].begin - words[i].end);
      if (gap != ", " || has_letter(word) != has_letter(words[i].of(line.about))) continue;
      if (words[i].of(line.about) == word) return words[i + 1].of(line.about);
      if (words[i + 1].of(line.about) == word) return words[i].of(line.about);
    }
  }
  return {};
}

std::string word_for_no_pin(const std::vector<HelpLine>& help) {
  for (const HelpLine& line : help) {
    for (const UsagePiece& piece : line.usage) {
      if (piece.kind == Kind::slot && piece.choices.size() == 1) return piece.choices.front();
    }
    for (const std::string_view says : {" is no p", " takes it off", " is none"}) {
      const std::size_t at = line.about.find(says);
      if (at == std::string::npos) continue;
      const std::size_t from = line.about.find_last_of(' ', at - 1);
      std::string word = line.about.substr(from == std::string::npos ? 0 : from + 1,
                                           at - (from == std::string::npos ? 0 : from + 1));
      std::erase(word, '"');
      return word;
    }
  }
  return {};
}

std::string name_in(const Lines& configuration, const std::string& ability) {
  const Wanted* wanted = wanted_by(ability);
  if (wanted == nullptr) return {};
  std::map<std::string, int> points;
  for (const std::string& line : configuration) {
    const std::size_t begin = std::min(line.find_first_of(" =:"), line.size());
    const std::string path = line.substr(0, begin);
    const auto begins = std::find_if(path.begin(), path.end(), is_of_a_word);
    const auto end = std::find_if(begins, path.end(), [](char c) { return !is_of_a_word(c) || is_digit(c); });
    if (end == begins) continue;
    points[(path.starts_with('/') ? "/" : "") + std::string(begins, end)] += hits(wanted->topic, path);
  }
  const auto best = std::max_element(points.begin(), points.end(),
                                     [](const auto& a, const auto& b) { return a.second < b.second; });
  return best == points.end() || best->second == 0 ? std::string() : best->first;
}

std::string asked_by_name(const std::vector<HelpLine>& help, const Lines& questions,
                          const std::string& name) {
  if (name.empty()) return {};
  for (const HelpLine& line : help) {
    const auto slot = std::find_if(line.usage.begin(), line.usage.end(), is_value);
    if (slots_in(line.usage) != 1 || acts(topics_of(line)) || line.usage.front().kind != Kind::text ||
        !is_a_name(lower_case(slot->text)))
      continue;
    std::string text;
    for (const UsagePiece& piece : line.usage) text += is_value(piece) ? name : piece.text;
    return text;
  }
  for (std::size_t i = 0; i < questions.size(); ++i) {
    for (std::size_t k = i + 1; k < questions.size(); ++k) {
      const std::string &a = questions[i], &b = questions[k];
      std::size_t front = 0, back = 0;
      const std::size_t most = std::min(a.size(), b.size());
      while (front < most && a[front] == b[front]) ++front;
      while (back < most - front && a[a.size() - 1 - back] == b[b.size() - 1 - back]) ++back;
      while (front > 0 && is_of_a_word(a[front - 1])) --front;
      while (back > 0 && is_of_a_word(a[a.size() - back])) --back;
      const std::string one = a.substr(front, a.size() - back - front),
                        other = b.substr(front, b.size() - back - front);
      if (!is_all(one, is_of_a_word) || !is_all(other, is_of_a_word) || is_digit(one[0])) continue;
      std::string asked = a.substr(0, front) + name + a.substr(a.size() - back);
      // What was asked already would have been read.
      if (std::find(questions.begin(), questions.end(), asked) == questions.end()) return asked;
    }
  }
  return {};
}

}  // namespace armwise::teach
