// Directions, single words and numbers out of a reply: each guess points at something, as a person would.
#include <algorithm>
#include <map>
#include <set>
#include <utility>

#include "armwise/base/fault.hpp"
#include "armwise/base/text.hpp"
#include "armwise/teach/guesses.hpp"
#include "armwise/teach/number_ways.hpp"
#include "armwise/teach/pointing.hpp"
#include "armwise/teach/reply_table.hpp"
#include "words.hpp"

namespace armwise::teach {
namespace {

using console::Values;

// In words and signs; what is longer is a whole configuration on one line, not a row or a list of motors.
constexpr std::size_t longest_row = 400, most_tried = 400, most_parts = 80;
// Each try is held against the whole reply; of a listing of many thousand lines only so many are.
constexpr std::size_t most_lines_read = 200'000, least_tried = 20;

std::size_t tries_for(const Lines& reply) {
  return std::clamp(most_lines_read / std::max<std::size_t>(reply.size(), 1), least_tried, most_tried);
}

bool contains(const std::vector<std::string>& words, const std::string& word) {
  return std::any_of(words.begin(), words.end(),
                     [&](const std::string& each) { return lower_case(each) == lower_case(word); });
}

// Not a piece of one, nor one with the comma of a sentence.
bool is_whole_word(const std::string& line, const Part& part) {
  const std::vector<Span> words = words_of(line);
  const bool all_signs = std::all_of(part.key.begin(), part.key.end(), is_digit) &&
                         std::none_of(words.begin(), words.end(), [&](const Span& word) {
                           return part.span.begin <= word.begin && word.end <= part.span.end;
                         });
  return all_signs || std::find(words.begin(), words.end(), part.span) != words.end();
}

bool is_hex_digit(char c) {
  return is_digit(c) || (lower_case({&c, 1}) >= "a" && lower_case({&c, 1}) <= "f");
}

// Not the "1" of "output1".
bool stands_alone(const std::string& line, const Span& span) {
  const bool before = span.begin > 0 && is_letter_or_digit(line[span.begin - 1]);
  return !before && (span.end == line.size() || !is_letter_or_digit(line[span.end]));
}

struct Keys {
  solve::TurnKey key;
  const std::vector<std::string>& codes;
  const std::vector<std::string>& others;
  bool as_numbers = false;  // which hold the turn
  const char* blank() const { return key == solve::TurnKey::motor ? "motor" : "pin"; }
};

// One row for each key, and no more than two words in all.
bool complete(TurnReading& reading, const Keys& keys) {
  std::set<std::string> seen, codes;
  for (const Values& row : reading.rows) {
    if (!row.contains(keys.blank()) || !row.contains("turn")) return false;
    if (is_cut_wrong(row.at("turn"))) return false;
    // A pin that no motor is on may have a turn, too; a motor that is not in the map may not.
    const bool known = contains(keys.codes, row.at(keys.blank()));
    if (!known && keys.key == solve::TurnKey::motor) return false;
    if (!seen.insert(lower_case(row.at(keys.blank()))).second) return false;
    if (codes.insert(lower_case(row.at("turn"))).second) reading.codes.push_back(row.at("turn"));
    const std::string& turn = row.at("turn");
    if (keys.as_numbers && (turn.size() < 2 || !std::all_of(turn.begin(), turn.end(), is_hex_digit)))
      return false;
  }
  const bool all = std::all_of(keys.codes.begin(), keys.codes.end(),
                               [&](const std::string& each) { return seen.contains(lower_case(each)); });
  return all && !codes.empty() && (keys.as_numbers || codes.size() <= 2);
}

// A piece of a pin's name: the "left" of "left:1".
bool is_in_a_name(const std::string& line, const Span& span, const Keys& keys) {
  const std::string small = lower_case(line);
  for (const auto* names : {&keys.codes, &keys.others}) {
    for (const std::string& name : *names) {
      for (std::size_t at = small.find(lower_case(name)); at != std::string::npos;
           at = small.find(lower_case(name), at + 1)) {
        if (at <= span.begin && span.end <= at + name.size() && name.size() > span.end - span.begin)
          return true;
      }
    }
  }
  return false;
}

// A word that a line would have whichever way the motor turns: the name of a field; what stands before the
// key, or before a word that is known for a turn, or between a motor and a pin.
bool is_of_the_sentence(const std::string& line, const Span& key, const Part& value, const Keys& keys) {
  const std::string word = value.span.of(line);
  if (!opposite_word(word).empty() && stands_alone(line, value.span)) return false;
  const bool mark = std::none_of(word.begin(), word.end(), is_letter_or_digit);
  if (mark || !is_whole_word(line, value) || value.span.begin < key.begin) return true;
  bool first_sign = true;
  for (const Token& token : tokens_of(std::string_view(line).substr(value.span.end))) {
    if (!token.word && first_sign && (token.text == ":" || token.text == "=")) return true;
    if (token.word) first_sign = false;
    if (token.word && (contains(keys.others, token.text) || !opposite_word(token.text).empty())) return true;
  }
  return false;
}

std::optional<TurnReading> turns_like(const std::vector<Pointed>& examples, const Lines& reply,
                                      const Keys& keys) {
  for (const Between between : {Between::text, Between::anything}) {
    const auto query = query_like(examples, reply, between);
    if (!query) continue;
    TurnReading reading;
    reading.key = keys.key;
    reading.list = *query;
    reading.rows = rows_read(*query, reply, false);
    if (complete(reading, keys)) return reading;
  }
  return std::nullopt;
}

class TurnFinder {
 public:
  TurnFinder(const Lines& reply, Keys keys, std::vector<TurnReading>& found)
      : reply_(reply),
        keys_(keys),
        pointed_at_(
            keys.codes.begin(),
            keys.codes.begin() + static_cast<std::ptrdiff_t>(std::min<std::size_t>(keys.codes.size(), 2))),
        found_(found),
        tries_(tries_for(reply)) {}

  void look_into(const std::string& line) {
    const std::vector<Part> parts = parts_of(line, most_parts);
    const auto key = key_among(line, parts);
    if (!key) return;
    for (auto value = parts.rbegin(); value != parts.rend() && tried_ < tries_; ++value) {
      const bool apart = value->span.end <= key->span.begin || value->span.begin >= key->span.end;
      const bool with_comma = value->span.end - value->span.begin > 1 && line[value->span.end - 1] == ',';
      if (apart && !with_comma)
        try_reading({line, {{keys_.blank(), key->span}, {"turn", value->span}}}, line, key->span, *value);
    }
  }

  // The word stands on a line below the key's.
  void look_below(std::size_t heading) {
    const std::string& line = reply_[heading];
    const auto key = key_among(line, parts_of(line, most_parts));
    const std::size_t end = end_of_section(reply_, heading);
    for (std::size_t i = heading + 1; key && i < end; ++i) {
      const std::vector<Part> parts = parts_of(reply_[i], most_parts);
      for (auto value = parts.rbegin(); value != parts.rend() && tried_ < tries_; ++value) {
        Pointed example{line, {{keys_.blank(), key->span}}};
        example.below.push_back({reply_[i], {{"turn", value->span}}});
        try_reading(example, reply_[i], {}, *value);
      }
    }
  }

 private:
  // The rows are all built alike. A word of its own is likelier than a piece of one: "output1 3".
  std::optional<Part> key_among(const std::string& line, const std::vector<Part>& parts) const {
    if (tokens_of(line).size() > longest_row) return std::nullopt;
    const auto is_key = [&](const Part& part) { return contains(pointed_at_, part.span.of(line)); };
    auto key = std::find_if(parts.begin(), parts.end(),
                            [&](const Part& part) { return is_whole_word(line, part) && is_key(part); });
    if (key == parts.end()) key = std::find_if(parts.begin(), parts.end(), is_key);
    return key == parts.end() ? std::nullopt : std::optional(*key);
  }

  // `line`, `key`: where the value stands, and what stands before it there.
  void try_reading(const Pointed& example, const std::string& line, const Span& key, const Part& value) {
    if (is_in_a_name(line, value.span, keys_)) return;
    ++tried_;
    auto reading = turns_like({example}, reply_, keys_);
    if (!reading) return;
    // What differs from row to row is no part of the sentence.
    std::set<std::string> codes;
    for (const Values& row : reading->rows) {
      if (contains(keys_.codes, row.at(keys_.blank()))) codes.insert(lower_case(row.at("turn")));
    }
    reading->doubtful =
        codes.size() == 1 && (reading->codes.size() > 1 || is_of_the_sentence(line, key, value, keys_));
    const auto is_same = [&](const TurnReading& each) {
      return each.key == reading->key && each.rows == reading->rows;
    };
    if (std::none_of(found_.begin(), found_.end(), is_same)) found_.push_back(std::move(*reading));
  }

  const Lines& reply_;
  Keys keys_;
  // Every one has a row, and what one row is made into reads the others: two, where one of them is odd.
  std::vector<std::string> pointed_at_;
  std::vector<TurnReading>& found_;
  std::size_t tries_, tried_ = 0;
};

// Points at as many numbers as are asked for, one way after the other.
class NumbersFinder {
 public:
  NumbersFinder(const Lines& reply, const std::vector<std::string>& blanks, std::vector<Pointed> known)
      : reply_(reply),
        blanks_(blanks),
        known_(std::move(known)),
        beside_(!known_.empty()),
        tries_(tries_for(reply) / 4) {
    for (std::size_t i = 0; i < reply.size(); ++i) {
      if (known_.size() == i) known_.push_back({reply[i], {}});
      lines_.push_back(number_ways(reply[i]));
      for (Way& way : lines_.back())
        std::erase_if(way, [&](const NumberAt& number) { return is_pointed_at(known_[i], number.at); });
      std::erase_if(lines_.back(), [](const Way& way) { return way.empty(); });
    }
  }

  std::vector<NumbersReading> all(std::size_t most) {
    std::size_t ways = 0;
    for (const std::vector<Way>& its : lines_) ways = std::max(ways, its.size());
    // Line by line the likeliest way, then all of them the next.
    for (std::size_t way = 0; way < ways && found_.size() < most; ++way) {
      Places there;
      for (std::size_t i = 0; i < lines_.size(); ++i) {
        for (const NumberAt& number : of_way(i, way)) there.push_back({i, number});
      }
      by_name(there);
      for (auto first = there.begin(); there.end() - first >= count() && found_.size() < most; ++first) {
        const Places some(first, first + count());
        if (are_in_a_row(some, way, some.size() == there.size())) take(some, false);
      }
      for (std::size_t i = 0; i + blanks_.size() <= lines_.size(); ++i) one_below_the_other(i, way, most);
    }
    return std::move(found_);
  }

 private:
  using Way = std::vector<NumberAt>;
  struct Place {
    std::size_t line = 0;
    NumberAt number;
  };
  using Places = std::vector<Place>;

  std::ptrdiff_t count() const { return static_cast<std::ptrdiff_t>(blanks_.size()); }

  Way of_way(std::size_t line, std::size_t way) const {
    const std::vector<Way>& ways = lines_[line];
    return ways.empty() ? Way() : ways[std::min(way, ways.size() - 1)];
  }

  // One for each blank.
  void take(const Places& places, bool named) {
    if (places.size() != blanks_.size() || ++tried_ > tries_) return;
    std::vector<Pointed> examples = known_;
    for (std::size_t k = 0; k < places.size(); ++k)
      point_at(examples[places[k].line], blanks_[k], places[k].number);
    std::erase_if(examples, [](const Pointed& each) { return each.at.empty(); });
    auto reading = numbers_like(examples, reply_);
    if (!reading) return;
    for (std::size_t k = 0; k < places.size(); ++k) {
      if (reading->values.at(blanks_[k]) != places[k].number.value) return;
    }
    reading->named = named;
    const auto is_same = [&](const NumbersReading& each) {
      return each.list == reading->list && each.values == reading->values;
    };
    if (std::none_of(found_.begin(), found_.end(), is_same)) found_.push_back(std::move(*reading));
  }

  // The letters in front of a number, with nothing but signs between.
  std::string word_before(const Place& place) const {
    const std::string& line = reply_[place.line];
    std::size_t end = place.number.at.begin;
    while (end > 0 && !is_letter_or_digit(line[end - 1])) --end;
    std::size_t begin = end;
    while (begin > 0 && is_letter(line[begin - 1])) --begin;
    return lower_case(std::string_view(line).substr(begin, end - begin));
  }

  // "x=", or all with the same letters in front: "ax=". Those of a gyro come behind, where there are both.
  void by_name(const Places& there) {
    std::vector<std::string> prefixes{""};
    for (const Place& place : there) {
      std::string word = word_before(place);
      if (!word.ends_with(blanks_.front())) continue;
      word.resize(word.size() - blanks_.front().size());
      if (std::find(prefixes.begin(), prefixes.end(), word) == prefixes.end()) prefixes.push_back(word);
    }
    for (const std::string& prefix : prefixes) {
      Places named;
      for (const std::string& blank : blanks_) {
        const auto its = std::find_if(there.begin(), there.end(), [&](const Place& place) {
          return word_before(place) == prefix + blank;
        });
        if (its != there.end()) named.push_back(*its);
      }
      take(named, true);
    }
  }

  // On one line; or as many on each, where there are just so many; or each on a line of its own, where they
  // are built alike and others are known beside them.
  bool are_in_a_row(const Places& places, std::size_t way, bool all_there) const {
    const std::size_t line = places.front().line;
    const std::vector<Way>& its = lines_[line];
    // Of numbers that something touches, only where there are just so many.
    if (places.back().line == line)
      return way + 1 < its.size() || (way + 1 == its.size() && its[way].size() == blanks_.size());
    const std::size_t on_each = of_way(line, way).size();
    const std::string shape = shape_of(tokens_of(reply_[line]));
    return (beside_ ? on_each == 1 : all_there) &&
           std::all_of(places.begin(), places.end(), [&](const Place& place) {
             return of_way(place.line, way).size() == on_each &&
                    (!beside_ || shape_of(tokens_of(reply_[place.line])) == shape);
           });
  }

  // In lines that follow each other, each in the same place.
  void one_below_the_other(std::size_t first, std::size_t way, std::size_t most) {
    const std::size_t columns = of_way(first, way).size();
    for (std::size_t column = 0; columns > 1 && column < columns && found_.size() < most; ++column) {
      Places places;
      for (std::size_t i = first; i < first + blanks_.size(); ++i) {
        const Way numbers = of_way(i, way);
        if (numbers.size() == columns) places.push_back({i, numbers[column]});
      }
      take(places, false);
    }
  }

  const Lines& reply_;
  const std::vector<std::string>& blanks_;
  std::vector<Pointed> known_;
  const bool beside_;
  std::vector<std::vector<Way>> lines_;
  std::vector<NumbersReading> found_;
  std::size_t tries_, tried_ = 0;
};

}  // namespace

std::vector<TurnReading> turn_readings(const Lines& reply, const std::vector<std::string>& motors,
                                       const std::vector<std::string>& pins, std::size_t most) {
  std::vector<TurnReading> found;
  enum class Layout { lines, sections, columns };
  for (const Layout layout : {Layout::lines, Layout::sections, Layout::columns}) {
    if (std::any_of(found.begin(), found.end(), [](const TurnReading& each) { return !each.doubtful; }))
      break;
    if (layout != Layout::lines && reply.size() > longest_laid_out) break;
    const Lines rows = console::rows_of(layout == Layout::columns, reply);
    const std::size_t before = found.size();
    TurnFinder by_motor{rows, {solve::TurnKey::motor, motors, pins}, found};
    TurnFinder by_pin{rows, {solve::TurnKey::pin, pins, motors}, found};
    for (TurnFinder* finder : {&by_motor, &by_pin}) {
      for (std::size_t i = 0; i < rows.size(); ++i)
        layout == Layout::sections ? finder->look_below(i) : finder->look_into(rows[i]);
    }
    for (std::size_t i = before; i < found.size(); ++i) found[i].list.columns = layout == Layout::columns;
  }
  if (std::any_of(found.begin(), found.end(), [](const TurnReading& each) { return !each.doubtful; }))
    std::erase_if(found, [](const TurnReading& each) { return each.doubtful; });
  std::stable_sort(found.begin(), found.end(), [](const TurnReading& a, const TurnReading& b) {
    return a.codes.size() > b.codes.size();
  });
  if (found.size() > most) found.resize(most);
  return found;
}

std::vector<TurnReading> turn_numbers(const Lines& reply, const std::vector<std::string>& motors,
                                      const std::vector<std::string>& pins) {
  std::vector<TurnReading> found;
  TurnFinder by_motor{reply, {solve::TurnKey::motor, motors, pins, true}, found};
  TurnFinder by_pin{reply, {solve::TurnKey::pin, pins, motors, true}, found};
  for (TurnFinder* finder : {&by_motor, &by_pin}) {
    for (const std::string& line : reply) finder->look_into(line);
  }
  return found;
}

std::optional<TurnReading> turn_like(const std::vector<Pointed>& examples, const Lines& reply,
                                     const std::vector<std::string>& motors,
                                     const std::vector<std::string>& pins) {
  auto reading = turns_like(examples, reply, {solve::TurnKey::motor, motors, pins});
  if (!reading) reading = turns_like(examples, reply, {solve::TurnKey::pin, pins, motors});
  return reading;
}

std::vector<WordReading> word_readings(const Lines& reply, const std::string& blank, std::size_t most) {
  std::vector<WordReading> found;
  for (const bool whole : {true, false}) {
    for (std::size_t number = 0; number < reply.size(); ++number) {
      const std::string& line = reply[number];
      std::vector<Part> parts;
      if (whole) {
        for (const Span& word : words_of(line)) parts.push_back({"1", word});
      } else {
        parts = parts_of(line, most_parts);
        std::erase_if(parts, [&](const Part& part) {
          constexpr std::string_view between_words = ".,:;=()[]{}<>|\"'/";
          return std::all_of(part.key.begin(), part.key.end(), is_digit) ||
                 between_words.find(part.span.of(line)) != std::string_view::npos;
        });
      }
      for (auto part = parts.rbegin(); part != parts.rend() && found.size() < most; ++part) {
        const auto like = line_of_its_own({line, {{blank, part->span}}});
        const auto values = like ? like->match(line) : std::nullopt;
        const auto is_same = [&](const WordReading& each) { return each.line == *like; };
        if (!values || values->at(blank) != part->span.of(line) ||
            std::any_of(found.begin(), found.end(), is_same))
          continue;
        found.push_back({*like, values->at(blank), number, part->span.begin, part->span.end});
      }
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

// Of lines that are built alike each is read by a template of its own, in their order: of those that nobody
// pointed at, nothing.
std::vector<console::Template> with_those_alike(const std::vector<Pointed>& examples,
                                                const std::vector<console::Template>& likes,
                                                const Lines& reply) {
  std::vector<console::Template> all;
  std::vector<bool> used(likes.size());
  for (const std::string& line : reply) {
    std::optional<console::Template> like;
    for (std::size_t i = 0; i < likes.size(); ++i) {
      const bool is_it = !used[i] && examples[i].line == line;
      if (is_it || (!like && likes[i].match(line))) like = is_it ? likes[i] : passed_over(likes[i]);
      if (is_it) used[i] = true;
      if (is_it) break;
    }
    if (like) all.push_back(*like);
  }
  return all;
}

}  // namespace

std::optional<NumbersReading> numbers_like(const std::vector<Pointed>& examples, const Lines& reply) {
  constexpr std::size_t most_alike = 12;
  NumbersReading reading;
  for (const Pointed& example : examples) {
    const auto like = line_of_its_own(example);
    const auto values = like ? like->match(example.line) : std::nullopt;
    if (!values) return std::nullopt;
    for (const auto& [blank, at] : example.at) reading.values[blank] = values->at(blank);
    reading.list.lines.push_back(*like);
  }
  if (values_read(reading.list, reply) == reading.values) return reading;
  if (reply.size() > most_alike) return std::nullopt;
  reading.list.lines = with_those_alike(examples, reading.list.lines, reply);
  if (values_read(reading.list, reply) != reading.values) return std::nullopt;
  return reading;
}

std::vector<NumbersReading> number_readings(const Lines& reply, const std::vector<std::string>& blanks,
                                            std::size_t most, std::vector<Pointed> known) {
  return NumbersFinder(reply, blanks, std::move(known)).all(most);
}

}  // namespace armwise::teach
