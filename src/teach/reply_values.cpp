// Turns, single words and numbers out of a reply.
#include <algorithm>
#include <map>
#include <set>

#include "armwise/base/fault.hpp"
#include "armwise/base/text.hpp"
#include "armwise/teach/guesses.hpp"
#include "armwise/teach/pointing.hpp"
#include "armwise/teach/reply_table.hpp"
#include "number_line.hpp"
#include "sites.hpp"
#include "words.hpp"

namespace armwise::teach {
namespace {

using console::Template;
using console::Values;

// In tokens; what is longer is a whole configuration on one line, not a row or a list of motors.
constexpr std::size_t longest_row = 80;

bool contains(const std::vector<std::string>& words, const std::string& word) {
  return std::any_of(words.begin(), words.end(),
                     [&](const std::string& each) { return lower_case(each) == lower_case(word); });
}

// A row whose key is known: which words of it may be the value is tried one after the other.
struct TurnFinder {
  const Lines& reply;
  const std::vector<std::string>& keys;
  solve::TurnKey key;
  std::vector<TurnReading>& found;

  void try_with(const std::string& source, const std::optional<std::string>& line_source,
                const std::string& between, bool of_the_sentence = false) {
    TurnReading reading;
    reading.key = key;
    try {
      if (line_source) {
        reading.list.item = Template::parse(source);
        reading.list.lines.push_back(Template::parse(*line_source));
        reading.list.between_items = between;
      } else {
        reading.list.lines.push_back(Template::parse(source));
      }
    } catch (const Fault&) {
      return;
    }
    reading.rows = rows_read(reading.list, reply, false);
    if (!complete(reading)) return;
    // What differs from row to row is no part of the sentence.
    reading.doubtful = of_the_sentence && reading.codes.size() == 1;
    const auto is_same = [&](const TurnReading& each) {
      return each.key == key && each.rows == reading.rows;
    };
    if (std::none_of(found.begin(), found.end(), is_same)) found.push_back(std::move(reading));
  }

  // One row for each key, and no more than two words in all.
  bool complete(TurnReading& reading) const {
    const char* blank = key == solve::TurnKey::motor ? "motor" : "pin";
    std::set<std::string> seen, codes;
    for (const Values& row : reading.rows) {
      if (!row.contains(blank) || !row.contains("turn")) return false;
      // A pin that no motor is on may have a turn, too; a motor that is not in the map may not.
      // A quotation mark or bracket in a value is a cut in the wrong place.
      if (row.at("turn").find_first_of("\"'{}[]()<>") != std::string::npos) return false;
      const bool known = contains(keys, row.at(blank));
      if (!known && key == solve::TurnKey::motor) return false;
      if (!seen.insert(lower_case(row.at(blank))).second) return false;
      if (codes.insert(lower_case(row.at("turn"))).second) reading.codes.push_back(row.at("turn"));
    }
    const bool all = std::all_of(keys.begin(), keys.end(),
                                 [&](const std::string& each) { return seen.contains(lower_case(each)); });
    return all && !codes.empty() && codes.size() <= 2;
  }
};

// What stands before a key in this word: "direction." of "direction.A1", "m" of "m1", nothing of "A1".
std::set<std::string> prefixes_of(const std::string& word, const std::vector<std::string>& keys) {
  std::set<std::string> prefixes;
  for (const std::string& key : keys) {
    if (key.empty() || !lower_case(word).ends_with(lower_case(key))) continue;
    std::string prefix = word.substr(0, word.size() - key.size());
    const bool cut_in_a_name =
        !prefix.empty() && build_of(prefix.substr(prefix.size() - 1) + key.front()).size() == 1;
    if (!cut_in_a_name) prefixes.insert(std::move(prefix));
  }
  return prefixes;
}

// A word that a line would have whichever way the motor turns: the name of a field; what stands before the
// key, or before a word that is known for a turn, or between a motor and a pin.
bool is_of_the_sentence(const Tokens& tokens, std::size_t key, std::size_t word,
                        const std::vector<std::string>& other_keys) {
  if (!opposite_word(tokens[word].text).empty()) return false;
  std::size_t next = word + 1;
  while (next < tokens.size() && !tokens[next].word && tokens[next].text != ":" && tokens[next].text != "=")
    ++next;
  const bool names_a_field = next < tokens.size() && !tokens[next].word;
  const auto from = tokens.begin() + static_cast<std::ptrdiff_t>(word) + 1;
  const bool leads_on = std::any_of(from, tokens.end(), [&](const Token& token) {
    return token.word && (contains(other_keys, token.text) || !opposite_word(token.text).empty());
  });
  return names_a_field || word < key || leads_on;
}

void find_turns_in_lines(const Lines& reply, TurnFinder& finder, const char* blank,
                         const std::vector<std::string>& other_keys) {
  // The rows are all built like the one that names the first key.
  std::set<std::string> tried;
  for (const std::string& line : reply) {
    const Tokens tokens = tokens_of(line);
    if (tokens.size() > longest_row) continue;
    for (std::size_t k = 0; k < tokens.size(); ++k) {
      if (!tokens[k].word) continue;
      for (const std::string& prefix : prefixes_of(tokens[k].text, finder.keys)) {
        for (std::size_t v = tokens.size(); v-- > 0;) {
          if (!tokens[v].word || v == k) continue;
          std::string source;
          for (std::size_t i = 0; i < tokens.size(); ++i) {
            source += i == k   ? as_literal(prefix) + "{" + blank + "}"
                      : i == v ? "{turn}"
                               : as_literal(tokens[i].text);
          }
          if (tried.insert(source).second)
            finder.try_with(source, std::nullopt, " ", is_of_the_sentence(tokens, k, v, other_keys));
        }
      }
    }
    if (tried.size() > 200) return;
  }
}

}  // namespace

std::vector<TurnReading> turn_readings(const Lines& reply, const std::vector<std::string>& motors,
                                       const std::vector<std::string>& pins, std::size_t most) {
  std::vector<TurnReading> found;
  TurnFinder by_motor{reply, motors, solve::TurnKey::motor, found};
  TurnFinder by_pin{reply, pins, solve::TurnKey::pin, found};
  find_turns_in_lines(reply, by_motor, "motor", pins);
  find_turns_in_lines(reply, by_pin, "pin", motors);
  // Items of one line: `1:F 2:F 3:B`.
  for (const std::string& line : reply) {
    const Tokens tokens = tokens_of(line);
    if (tokens.size() > longest_line) continue;
    for (TurnFinder* finder : {&by_motor, &by_pin}) {
      const char* blank = finder->key == solve::TurnKey::motor ? "motor" : "pin";
      for (std::size_t k = 0; k + 2 < tokens.size(); ++k) {
        if (!tokens[k].word || !contains(finder->keys, tokens[k].text)) continue;
        for (std::size_t v = k + 1; v < std::min(tokens.size(), k + 16); ++v) {
          if (!tokens[v].word) continue;
          std::string between_two;
          for (std::size_t i = k + 1; i < v; ++i) between_two += as_literal(tokens[i].text);
          if (between_two.empty()) continue;
          std::string before, gap;
          for (std::size_t i = 0; i < k; ++i) before += as_literal(tokens[i].text);
          for (std::size_t i = v + 1; i < tokens.size() && !tokens[i].word; ++i) gap += tokens[i].text;
          const bool of_it =
              is_of_the_sentence(tokens, k, v, finder == &by_motor ? by_pin.keys : by_motor.keys);
          finder->try_with(std::string("{") + blank + "}" + between_two + "{turn}", before + "{items}",
                           gap.empty() ? " " : gap, of_it);
        }
        break;
      }
    }
  }
  if (std::any_of(found.begin(), found.end(), [](const TurnReading& each) { return !each.doubtful; }))
    std::erase_if(found, [](const TurnReading& each) { return each.doubtful; });
  std::stable_sort(found.begin(), found.end(), [](const TurnReading& a, const TurnReading& b) {
    return a.codes.size() > b.codes.size();
  });
  if (found.size() > most) found.resize(most);
  return found;
}

std::vector<WordReading> word_readings(const Lines& reply, const std::string& blank, std::size_t most) {
  std::vector<WordReading> found;
  for (const std::string& line : reply) {
    const Tokens tokens = tokens_of(line);
    for (std::size_t i = tokens.size(); i-- > 0 && found.size() < most;) {
      if (!tokens[i].word) continue;
      const auto like = line_with(tokens, {{i, blank}});
      if (!like) continue;
      const auto values = like->match(line);
      if (values && values->at(blank) == tokens[i].text) found.push_back({*like, tokens[i].text});
    }
  }
  return found;
}

std::vector<TurnReading> turns_of_each(const std::vector<Lines>& answers,
                                       const std::vector<std::string>& motors) {
  std::vector<TurnReading> found;
  if (answers.empty() || answers.size() != motors.size()) return found;
  for (const WordReading& word : word_readings(answers.front(), "turn")) {
    TurnReading reading;
    reading.list.lines.push_back(word.line);
    std::set<std::string> codes;
    for (std::size_t i = 0; i < answers.size(); ++i) {
      const Values read = values_read(reading.list, answers[i]);
      if (!read.contains("turn")) break;
      reading.rows.push_back({{"motor", motors[i]}, {"turn", read.at("turn")}});
      if (codes.insert(lower_case(read.at("turn"))).second) reading.codes.push_back(read.at("turn"));
    }
    if (reading.rows.size() == motors.size() && codes.size() <= 2) found.push_back(std::move(reading));
  }
  std::stable_sort(found.begin(), found.end(), [](const TurnReading& a, const TurnReading& b) {
    return a.codes.size() > b.codes.size();
  });
  return found;
}

namespace {

// The name of a blank that stands before the number at `at`, in the same line.
std::optional<std::string> name_before(const Tokens& tokens, std::size_t at,
                                       const std::vector<std::string>& blanks) {
  for (std::size_t i = at; i-- > 0;) {
    if (!tokens[i].word) continue;
    if (is_number(tokens[i].text)) return std::nullopt;
    const std::string word = lower_case(tokens[i].text);
    for (const std::string& blank : blanks) {
      const bool ends_so =
          word.size() > blank.size() && word.ends_with(blank) &&
          std::string_view("._-/").find(word[word.size() - blank.size() - 1]) != std::string_view::npos;
      if (word == blank || ends_so) return blank;
    }
    return std::nullopt;
  }
  return std::nullopt;
}

std::optional<NumbersReading> named_numbers(const Lines& reply, const std::vector<std::string>& blanks) {
  NumbersReading reading;
  reading.named = true;
  for (const std::string& line : reply) {
    const Tokens tokens = tokens_of(line);
    BlankPlaces places;
    for (std::size_t i = 0; i < tokens.size(); ++i) {
      if (!tokens[i].word || !is_number(tokens[i].text)) continue;
      const auto name = name_before(tokens, i, blanks);
      if (!name || reading.values.contains(*name)) continue;
      places[i] = *name;
      reading.values[*name] = tokens[i].text;
    }
    if (places.empty()) continue;
    const auto like = line_with(tokens, passing_over_numbers(tokens, places));
    if (!like) return std::nullopt;
    reading.lines.push_back(*like);
  }
  if (reading.values.size() != blanks.size()) return std::nullopt;
  return reading;
}

}  // namespace

namespace {

// In the order of the blanks, where a line has just so many of them.
std::optional<NumbersReading> glued_reading(const std::string& line, const std::vector<std::string>& blanks) {
  const std::vector<Span> numbers = numbers_touched(line);
  if (numbers.size() != blanks.size()) return std::nullopt;
  NumbersReading reading;
  std::string source;
  std::size_t done = 0;
  for (std::size_t i = 0; i < numbers.size(); ++i) {
    source +=
        as_literal(std::string_view(line).substr(done, numbers[i].begin - done)) + "{" + blanks[i] + "}";
    done = numbers[i].end;
  }
  try {
    reading.lines.push_back(Template::parse(source + as_literal(std::string_view(line).substr(done))));
  } catch (const Fault&) {
    return std::nullopt;
  }
  const auto values = reading.lines.front().match(line);
  if (!values) return std::nullopt;
  reading.values = *values;
  return reading;
}

}  // namespace

std::vector<NumbersReading> number_readings(const Lines& reply, const std::vector<std::string>& blanks,
                                            std::size_t most) {
  std::vector<NumbersReading> found;
  if (const auto named = named_numbers(reply, blanks)) found.push_back(*named);
  for (const std::string& line : reply) {
    const Tokens tokens = tokens_of(line);
    std::vector<std::size_t> numbers;
    for (std::size_t i = 0; i < tokens.size(); ++i) {
      if (tokens[i].word && is_number(tokens[i].text)) numbers.push_back(i);
    }
    for (std::size_t first = 0; first + blanks.size() <= numbers.size() && found.size() < most; ++first) {
      NumbersReading reading;
      BlankPlaces places;
      for (std::size_t k = 0; k < blanks.size(); ++k) {
        places[numbers[first + k]] = blanks[k];
        reading.values[blanks[k]] = tokens[numbers[first + k]].text;
      }
      const auto like = line_with(tokens, passing_over_numbers(tokens, places));
      if (!like) continue;
      reading.lines.push_back(*like);
      found.push_back(std::move(reading));
    }
  }
  if (!found.empty()) return found;
  for (const std::string& line : reply) {
    if (const auto reading = glued_reading(line, blanks)) found.push_back(*reading);
  }
  return found;
}

}  // namespace armwise::teach
