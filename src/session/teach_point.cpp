// What cannot be worked out, the person points at.
#include <algorithm>
#include <cstdlib>

#include "armwise/base/task.hpp"
#include "armwise/base/text.hpp"
#include "armwise/teach/number_ways.hpp"
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
std::optional<teach::Span> only_place_of(const std::vector<std::string>& words, const teach::Pointed& in) {
  std::vector<teach::Span> all, whole;
  const std::vector<teach::Span> own = teach::words_of(in.line);
  for (const teach::Part& part : teach::parts_of(in.line)) {
    const std::string text = lower_case(part.span.of(in.line));
    const bool is_one = std::any_of(words.begin(), words.end(),
                                    [&](const std::string& word) { return lower_case(word) == text; });
    if (!is_one || teach::is_pointed_at(in, part.span)) continue;
    all.push_back(part.span);
    if (std::find(own.begin(), own.end(), part.span) != own.end()) whole.push_back(part.span);
  }
  if (whole.size() == 1) return whole.front();
  if (all.size() != 1) return std::nullopt;
  return all.front();
}

// Where it reads the same in each line that is built alike, it tells no motor from another.
bool is_alike_in_all(const teach::Part& part, const std::string& line, const teach::Lines& reply) {
  constexpr std::ptrdiff_t least_others = 2;
  const std::size_t words = teach::words_of(line).size();
  std::vector<std::string> there;
  for (const std::string& other : reply) {
    if (teach::words_of(other).size() != words) continue;
    for (const teach::Part& each : teach::parts_of(other)) {
      if (each.key == part.key) there.push_back(each.span.of(other));
    }
  }
  const std::string text = part.span.of(line);
  const auto same = std::count(there.begin(), there.end(), text);
  return same > least_others && same == static_cast<std::ptrdiff_t>(there.size());
}

// What most likely is pointed at: a part that differs from line to line, of a motor one with a number in it.
std::string likely_part(const std::vector<teach::Part>& parts, const teach::Pointed& pointed,
                        const std::string& blank, const teach::Lines& reply) {
  for (const bool numbered : {blank == "motor", false}) {
    for (const teach::Part& part : parts) {
      const bool taken = teach::is_pointed_at(pointed, part.span);
      const bool has_number = !teach::numbers_in(part.span.of(pointed.line)).empty();
      if (!taken && (!numbered || has_number) && !is_alike_in_all(part, pointed.line, reply)) return part.key;
    }
  }
  return {};
}

// First a line, then a part of it for each blank. Absent where the person finds none.
Task<std::optional<teach::Pointed>> point_at(Teaching& t, teach::Lines reply, std::string line_of,
                                             std::vector<std::string> blanks, Known known) {
  std::optional<std::size_t> number = 0;
  if (reply.size() > 1) {
    std::vector<Choice> lines;
    for (std::size_t i = 0; i < std::min(reply.size(), most_lines_shown); ++i)
      lines.push_back({std::to_string(i + 1), reply[i], {}, PlaceInText{i, 0, reply[i].size()}});
    number = co_await t.person.point("point-line", "Which line is about " + line_of + "?", reply, lines);
  }
  if (!number || *number >= reply.size()) co_return std::nullopt;
  teach::Pointed pointed{reply[*number], {}};
  const std::vector<teach::Part> parts = teach::parts_of(pointed.line);
  for (const auto& [blank, words] : known) {
    if (const auto only = only_place_of(words, pointed)) pointed.at.emplace(blank, *only);
    if (pointed.at.size() == 1) break;
  }
  for (const std::string& blank : blanks) {
    const bool is_known = !known.empty() && blank == blanks.front() && !pointed.at.empty();
    if (is_known) continue;
    std::vector<Choice> choices;
    for (const teach::Part& part : parts)
      choices.push_back(
          {part.key, part.span.of(pointed.line), {}, PlaceInText{*number, part.span.begin, part.span.end}});
    const bool differs = blank == "motor" || blank == "pin";
    while (!pointed.at.contains(blank)) {
      const auto which = co_await t.person.point(
          "point-" + blank, "Which part is " + pointed_in_words(blank) + ", and nothing else?", reply,
          choices, likely_part(parts, pointed, blank, reply));
      if (!which) co_return std::nullopt;
      const teach::Part& part = parts[*which];
      if (!differs || !is_alike_in_all(part, pointed.line, reply)) {
        pointed.at[blank] = part.span;
      } else {
        t.person.tell("pointed-alike",
                      {{"pointed", part.span.of(pointed.line)}, {"what", pointed_in_words(blank)}});
      }
    }
  }
  co_return pointed;
}

// The motor stands in what was typed: then the others are asked for in the same way, as far as there are any.
Task<teach::Lines> ask_each_motor(Teaching& t, const Said& said, const teach::Pointed& first,
                                  console::Steps& steps) {
  teach::CommandLesson lesson({"motor"});
  std::optional<std::string> code = first.at.at("motor").of(first.line);
  Values values{{"motor", *code}};
  teach::Lines all = said.lines;
  if (lesson.add(said.typed, values) != teach::CommandLesson::Heard::fits || !lesson.learned()) co_return all;
  steps = t.talk.steps_of(*lesson.learned(), said);
  for (std::size_t i = 1; i < most_motors_pointed && (code = teach::next_code(*code)); ++i) {
    values["motor"] = *code;
    const Said next = co_await t.talk.ask_again(steps, values);
    if (next.refused || next.closed || next.lines.empty()) break;
    all.insert(all.end(), next.lines.begin(), next.lines.end());
  }
  co_return all;
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
  t.person.tell("map-unreadable");
  co_return std::nullopt;
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
