// What cannot be worked out, the person points at.
#include <algorithm>
#include <cstdlib>

#include "armwise/base/task.hpp"
#include "armwise/base/text.hpp"
#include "armwise/teach/number_ways.hpp"
#include "armwise/teach/units.hpp"
#include "teach_lessons.hpp"
#include "words.hpp"

namespace armwise::session {
namespace {

using console::Values;
// Blank -> the words for it that are known.
using Known = std::vector<std::pair<std::string, std::vector<std::string>>>;

constexpr std::size_t most_lines_shown = 60, most_motors_pointed = 8;

std::string pointed_in_words(const std::string& blank) {
  return blank == "motor"  ? "the motor"
         : blank == "pin"  ? "its pin"
         : blank == "turn" ? "its direction"
                           : blank;
}

// Where one of the words stands, once, or as a word of its own.
std::optional<teach::Span> only_place_of(const std::vector<std::string>& words, const std::string& line) {
  std::vector<teach::Span> all, whole;
  const std::vector<teach::Span> own = teach::words_of(line);
  for (const teach::Part& part : teach::parts_of(line)) {
    const std::string text = lower_case(part.span.of(line));
    const bool is_one = std::any_of(words.begin(), words.end(),
                                    [&](const std::string& word) { return lower_case(word) == text; });
    if (!is_one) continue;
    all.push_back(part.span);
    if (std::find(own.begin(), own.end(), part.span) != own.end()) whole.push_back(part.span);
  }
  if (whole.size() == 1) return whole.front();
  if (all.size() != 1) return std::nullopt;
  return all.front();
}

// Where it reads the same in each line that is built alike, it tells no motor from another.
bool is_alike_in_all(std::string key, const std::string& text, const std::string& line,
                     const teach::Lines& reply) {
  constexpr std::ptrdiff_t least_others = 2;
  key.erase(0, key.find('.') + 1);  // of a line below
  const std::size_t words = teach::words_of(line).size();
  std::vector<std::string> there;
  for (const std::string& other : reply) {
    if (teach::words_of(other).size() != words) continue;
    for (const teach::Part& each : teach::parts_of(other)) {
      if (each.key == key) there.push_back(each.span.of(other));
    }
  }
  const auto same = std::count(there.begin(), there.end(), text);
  return same > least_others && same == static_cast<std::ptrdiff_t>(there.size());
}

Task<std::optional<std::size_t>> point_at_line(Teaching& t, teach::Lines reply, std::string id,
                                               std::string question) {
  if (reply.size() == 1) co_return 0;
  std::vector<Choice> lines;
  for (std::size_t i = 0; i < std::min(reply.size(), most_lines_shown); ++i)
    lines.push_back({std::to_string(i + 1), reply[i], {}, PlaceInText{i, 0, reply[i].size()}});
  co_return co_await t.person.point(std::move(id), std::move(question), reply, lines);
}

// A part of a line of the reply.
struct Pointable {
  std::string key;
  std::size_t line = 0;
  teach::Span span;
};

// The line's own parts, as "2b"; where a row is several lines, those of the lines below it, too, as "+1.2b".
std::vector<Pointable> pointable(const teach::Lines& reply, std::size_t line) {
  constexpr std::size_t longest_row = 12;
  std::size_t end = teach::end_of_section(reply, line);
  if (end == reply.size() || end > line + longest_row) end = line + 1;
  std::vector<Pointable> all;
  for (std::size_t i = line; i < end; ++i) {
    const std::string before = i == line ? std::string() : "+" + std::to_string(i - line) + ".";
    for (const teach::Part& part : teach::parts_of(reply[i]))
      all.push_back({before + part.key, i, part.span});
  }
  return all;
}

// What was pointed at, by blank.
using Places = std::map<std::string, Pointable>;

// What most likely is pointed at: a part that differs from line to line, of a motor one with a number in it.
std::string likely_part(const std::vector<Pointable>& parts, const Places& pointed, const std::string& blank,
                        const teach::Lines& reply) {
  for (const bool numbered : {blank == "motor", false}) {
    for (const Pointable& part : parts) {
      const std::string& line = reply[part.line];
      const bool taken = std::any_of(pointed.begin(), pointed.end(), [&](const auto& other) {
        const teach::Span& span = other.second.span;
        return part.line == other.second.line && part.span.begin < span.end && span.begin < part.span.end;
      });
      const bool has_number = !teach::numbers_in(part.span.of(line)).empty();
      if (!taken && (!numbered || has_number) && !is_alike_in_all(part.key, part.span.of(line), line, reply))
        return part.key;
    }
  }
  return {};
}

teach::Pointed example_of(const Places& places, const teach::Lines& reply) {
  std::map<std::size_t, teach::Pointed> lines;
  for (const auto& [blank, place] : places) {
    lines.try_emplace(place.line, teach::Pointed{reply[place.line], {}});
    lines.at(place.line).at[blank] = place.span;
  }
  teach::Pointed first = lines.begin()->second;
  if (lines.size() > 1) first.below = {lines.rbegin()->second};
  return first;
}

// First a line, then a part of it for each blank. Absent where the person finds none.
Task<std::optional<teach::Pointed>> point_at(Teaching& t, teach::Lines reply, std::string line_of,
                                             std::vector<std::string> blanks, Known known) {
  const auto line = co_await point_at_line(t, reply, "point-line", "Which line is about " + line_of + "?");
  if (!line) co_return std::nullopt;
  Places pointed;
  const std::vector<Pointable> parts = pointable(reply, *line);
  for (const auto& [blank, words] : known) {
    if (const auto only = only_place_of(words, reply[*line])) pointed[blank] = {{}, *line, *only};
    if (!pointed.empty()) break;
  }
  for (const std::string& blank : blanks) {
    const bool is_known = !known.empty() && blank == blanks.front() && !pointed.empty();
    if (is_known) continue;
    std::vector<Choice> choices;
    choices.reserve(parts.size() + 1);
    for (const Pointable& part : parts)
      choices.push_back({part.key,
                         part.span.of(reply[part.line]),
                         {},
                         PlaceInText{part.line, part.span.begin, part.span.end}});
    const bool differs = blank == "motor" || blank == "pin";
    while (!pointed.contains(blank)) {
      const auto which = co_await t.person.point(
          "point-" + blank, "Which part is " + pointed_in_words(blank) + ", and nothing else?", reply,
          choices, likely_part(parts, pointed, blank, reply));
      if (!which) co_return std::nullopt;
      const Pointable& part = parts[*which];
      const std::string& there = reply[part.line];
      if (!differs || !is_alike_in_all(part.key, part.span.of(there), there, reply)) {
        pointed[blank] = part;
      } else {
        t.person.tell("pointed-alike", {{"pointed", part.span.of(there)}, {"what", pointed_in_words(blank)}});
      }
    }
  }
  co_return example_of(pointed, reply);
}

// The motor stands in what was typed: then the others are asked for in the same way, as far as there are any.
Task<teach::Lines> ask_each_motor(Teaching& t, const Said& said, const teach::Pointed& first,
                                  console::Steps& steps) {
  teach::CommandLesson lesson({"motor"});
  Values values{{"motor", first.text("motor")}};
  teach::Lines all = said.lines;
  if (lesson.add(said.typed, values) != teach::CommandLesson::Heard::fits || !lesson.learned()) co_return all;
  steps = t.talk.steps_of(*lesson.learned(), said);
  for (std::size_t i = 1; i < most_motors_pointed; ++i) {
    const std::vector<std::string> codes = teach::next_codes(values.at("motor"));
    if (codes.empty()) break;
    values["motor"] = codes.front();
    const Said next = co_await t.talk.ask_again(steps, values);
    if (next.refused || next.closed || next.lines.empty()) break;
    all.insert(all.end(), next.lines.begin(), next.lines.end());
  }
  co_return all;
}

// What is read as a motor's line is about something else: the person says which.
Task<std::optional<teach::MapReading>> without_other_lines(Teaching& t, std::vector<teach::Pointed> examples,
                                                           teach::Lines lines) {
  auto reading = teach::map_like(examples, lines);
  std::vector<console::Template> others;
  while (reading) {
    teach::Lines rows;
    for (const std::string& line : lines) {
      if (!console::rows_read(reading->list, {line}, false).empty()) rows.push_back(line);
    }
    if (rows.size() < 2) break;
    const auto other =
        co_await point_at_line(t, rows, "point-other", "Which of these lines is not about a motor?");
    const auto like = other ? teach::line_without_values(rows[*other]) : std::nullopt;
    if (!like) break;
    others.push_back(*like);
    std::erase_if(lines, [&](const std::string& line) { return like->match(line).has_value(); });
    reading = teach::map_like(examples, lines);
    if (!reading) break;
    reading->list.lines.insert(reading->list.lines.begin(), others.begin(), others.end());
    const bool right = co_await is_read_right(t, *reading);
    if (right) co_return reading;
  }
  co_return std::nullopt;
}

}  // namespace

// One line teaches most layouts; where it does not, a second shows what may differ.
Task<std::optional<teach::MapReading>> point_at_map(Teaching& t, const Said& said, console::Steps& steps) {
  t.person.tell("show-me");
  std::vector<teach::Pointed> examples;
  teach::Lines lines = said.lines;
  const std::vector<std::string> blanks{"motor", "pin"};
  const Known nothing_known;
  for (const std::string which : {"the first motor", "the second motor", "the third motor"}) {
    const auto pointed = co_await point_at(t, lines, which, blanks, nothing_known);
    if (!pointed) break;
    examples.push_back(*pointed);
    auto reading = teach::map_like(examples, lines);
    if (reading && reading->rows.size() == 1) {
      lines = co_await ask_each_motor(t, said, *pointed, steps);
      reading = teach::map_like(examples, lines);
    }
    const bool enough = reading && reading->rows.size() > 1;
    if (!enough) continue;
    const bool right = co_await is_read_right(t, *reading);
    if (right) co_return reading;
  }
  auto reading = co_await without_other_lines(t, examples, lines);
  if (!reading) t.person.tell("map-unreadable");
  co_return reading;
}

// Two lines, where one does not tell.
Task<std::optional<teach::TurnReading>> point_at_turns(Teaching& t, teach::Lines reply) {
  t.person.tell("show-me");
  std::vector<teach::Pointed> examples;
  const std::vector<std::string> blanks{"motor", "turn"};
  const Known known{{"motor", t.draft.motor_codes()}, {"pin", t.draft.pin_names()}};
  for (const std::string which : {"the first motor", "the second motor"}) {
    const auto pointed = co_await point_at(t, reply, which, blanks, known);
    if (!pointed) break;
    examples.push_back(*pointed);
    auto reading = teach::turn_like(examples, reply, t.draft.motor_codes(), t.draft.pin_names());
    if (!reading) continue;
    const std::string key = reading->key == solve::TurnKey::pin ? "pin" : "motor";
    std::string text;
    for (const Values& row : reading->rows)
      text += (text.empty() ? "" : ", ") + key + " " + row.at(key) + " " + row.at("turn");
    const bool right = co_await t.person.confirm("right", "I read: " + text + ". Is that right?");
    if (right) co_return reading;
  }
  t.person.tell("directions-unreadable");
  co_return std::nullopt;
}

Task<std::optional<teach::NumbersReading>> point_at_numbers(Teaching& t, teach::Lines reply,
                                                            std::vector<std::string> names) {
  t.person.tell("show-me");
  std::vector<teach::Pointed> examples;
  const Known nothing_known;
  for (const std::string& name : names) {
    const std::vector<std::string> blank{name};
    const auto pointed = co_await point_at(t, reply, name, blank, nothing_known);
    if (!pointed) co_return std::nullopt;
    teach::point_in(examples, pointed->line, name, pointed->at.at(name));
    const auto example = std::find_if(examples.begin(), examples.end(),
                                      [&](const teach::Pointed& each) { return each.line == pointed->line; });
    for (const auto& way : teach::number_ways(pointed->line)) {
      for (const teach::NumberAt& number : way) {
        if (number.at == pointed->at.at(name)) example->notations.emplace(name, number.notation);
      }
    }
  }
  co_return teach::numbers_like(examples, reply);
}

}  // namespace armwise::session
