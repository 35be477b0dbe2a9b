#include "armwise/ui/reading.hpp"

#include <algorithm>
#include <charconv>
#include <map>

#include "armwise/base/text.hpp"
#include "armwise/ui/strip.hpp"

namespace armwise::ui {
namespace {

using session::Answer;
using session::Back;
using session::Question;
using session::SpinSeen;
using Kind = Question::Kind;
using What = SpinSeen::What;

std::vector<std::string> words_of(std::string_view line) {
  static const std::vector<std::string> fillers{"the", "flicked", "toward", "towards",
                                                "to",  "turning", "arm"};
  std::vector<std::string> words;
  std::string word;
  const auto end_word = [&] {
    if (!word.empty() && std::find(fillers.begin(), fillers.end(), word) == fillers.end())
      words.push_back(word);
    word.clear();
  };
  for (const char c : lower_case(line)) {
    if (c == ' ' || c == ',' || c == '\t') {
      end_word();
    } else {
      word += c;
    }
  }
  end_word();
  return words;
}

Answer seen(What what) {
  SpinSeen answer;
  answer.what = what;
  return answer;
}

Answer seen(craft::PlaceIndex place, craft::Turn turn) {
  return SpinSeen{What::one, place, turn};
}

std::optional<craft::Turn> turn_in(const std::string& word) {
  static const std::map<std::string, craft::Turn> spellings{{"cw", craft::Turn::cw},
                                                            {"clockwise", craft::Turn::cw},
                                                            {"ccw", craft::Turn::ccw},
                                                            {"counter-clockwise", craft::Turn::ccw},
                                                            {"counterclockwise", craft::Turn::ccw},
                                                            {"anticlockwise", craft::Turn::ccw},
                                                            {"anti-clockwise", craft::Turn::ccw}};
  const auto found = spellings.find(word);
  return found == spellings.end() ? std::nullopt : std::optional(found->second);
}

Unread not_understood(const Question& question, std::string_view typed,
                      const std::vector<std::string>& candidates, std::optional<craft::PlaceIndex> place) {
  std::string why = "\"" + printable(typed.substr(0, 60)) + "\" isn't an answer here.";
  const std::string near = nearest(lower_case(typed), candidates);
  if (!near.empty()) why += " The nearest is \"" + printable(near) + "\".";
  return {why + " " + what_can_be_said(question, place)};
}

// "front-left upper" for the place "front-left-upper": the two words become one.
void join_level(const craft::Frame& frame, std::vector<std::string>& words) {
  if (words.size() < 2 || (words[1] != "upper" && words[1] != "lower")) return;
  const std::string together = words[0] + "-" + words[1];
  if (!frame.find(together)) return;
  words[0] = together;
  words.erase(words.begin() + 1);
}

Reading read_place(const Question& question, std::vector<std::string>& words) {
  const craft::Frame& frame = *question.frame;
  join_level(frame, words);
  if (const auto place = frame.find(words.front())) return PlaceOnly{*place};
  const bool whole_arm = std::any_of(frame.places.begin(), frame.places.end(),
                                     [&](const craft::Place& place) { return place.arm == words.front(); });
  if (whole_arm) return Unread{"Two motors sit on " + words.front() + ": say upper or lower too."};
  std::vector<std::string> candidates = place_names(frame);
  for (const char* word : {"none", "several", "again", "back", "stop"}) candidates.emplace_back(word);
  return not_understood(question, words.front(), candidates, std::nullopt);
}

Reading read_turn(const Question& question, craft::PlaceIndex place, const std::string& word) {
  if (const auto turn = turn_in(word)) return seen(place, *turn);
  if (const auto turn = turn_by_strip(*question.frame, place, word)) return seen(place, *turn);
  const craft::StripTest test = strip_test(*question.frame, place);
  return not_understood(question, word,
                        {"cw", "ccw", "clockwise", "counter-clockwise", test.cw_toward, test.ccw_toward},
                        place);
}

Reading read_spin(const Question& question, std::string_view line, std::optional<craft::PlaceIndex> place) {
  static const std::map<std::string, What> others{
      {"none", What::none}, {"several", What::several}, {"again", What::again}};
  std::vector<std::string> words = words_of(line);
  if (words.empty()) return Unread{what_can_be_said(question, place)};
  if (words.size() == 1) {
    const auto found = others.find(words.front());
    if (found != others.end()) return seen(found->second);
  }
  if (!place || words.size() > 1) {
    Reading first = read_place(question, words);
    if (!std::holds_alternative<PlaceOnly>(first)) return first;
    place = std::get<PlaceOnly>(first).place;
    words.erase(words.begin());
    if (words.empty()) return first;
  }
  if (words.size() > 1) return not_understood(question, line, {}, place);
  return read_turn(question, *place, words.front());
}

Reading read_confirm(const Question& question, const std::string& word) {
  if (word == "yes" || word == "y") return Answer{std::string("yes")};
  if (word == "no" || word == "n") return Answer{std::string("no")};
  return not_understood(question, word, {"yes", "no", "back", "stop"}, std::nullopt);
}

// The choice of this key. Looked for before the words that mean the same everywhere: "back" may be one.
const session::Choice* choice_of(const Question& question, const std::string& word) {
  const auto found =
      std::find_if(question.choices.begin(), question.choices.end(),
                   [&](const session::Choice& choice) { return lower_case(choice.key) == word; });
  return found == question.choices.end() ? nullptr : &*found;
}

// Otherwise by its number in the list.
Reading read_choice(const Question& question, const std::string& word) {
  std::vector<std::string> keys;
  for (const session::Choice& choice : question.choices) keys.push_back(choice.key);
  std::size_t number = 0;
  const auto [end, error] = std::from_chars(word.data(), word.data() + word.size(), number);
  const bool whole = error == std::errc() && end == word.data() + word.size();
  if (whole && number >= 1 && number <= question.choices.size())
    return Answer{question.choices[number - 1].key};
  return not_understood(question, word, keys, std::nullopt);
}

// Declining the safety word ends the session: nothing else may follow from it.
Reading read_typed_word(const Question& question, std::string_view line, const std::string& word) {
  if (trimmed(line) == question.word) return Answer{question.word};
  if (word == "no") return StopWanted{};
  return not_understood(question, line, {question.word}, std::nullopt);
}

}  // namespace

Reading read_text_answer(const Question& question, std::string_view line) {
  std::string_view text = trimmed(line);
  if (text.size() > 2 && text.front() == '"' && text.back() == '"') {
    const std::string_view inside = text.substr(1, text.size() - 2);
    if (question.word.empty() || inside != question.word) text = inside;
  }
  if (text.empty()) return Unread{"Type an answer."};
  if (!is_printable(text)) return Unread{"That holds characters that cannot be shown."};
  return Answer{std::string(text)};
}

std::vector<std::string> place_names(const craft::Frame& frame) {
  std::vector<std::string> names;
  for (const craft::Place& place : frame.places) names.push_back(place.name);
  return names;
}

Reading read_words(const Question& question, std::string_view line, std::optional<craft::PlaceIndex> place) {
  const std::string word = lower_case(trimmed(line));
  if (word.empty()) return Unread{"Type an answer. " + what_can_be_said(question, place)};
  if (question.kind == Kind::choose) {
    if (const session::Choice* choice = choice_of(question, word)) return Answer{choice->key};
  }
  if (word == "stop") return StopWanted{};
  if (word == "back") {
    if (question.may_go_back || place) return Answer{Back{}};
    return Unread{"There is no way back from here. " + what_can_be_said(question, place)};
  }
  switch (question.kind) {
    case Kind::confirm:
      return read_confirm(question, word);
    case Kind::choose:
      return read_choice(question, word);
    case Kind::typed_word:
      return read_typed_word(question, line, word);
    case Kind::text:
      if (word == "=" && !question.suggestion.empty()) return Answer{question.suggestion};
      return read_text_answer(question, line);
    case Kind::spin:
      return read_spin(question, line, place);
    case Kind::pose:
      if (word == "ready") return Answer{word};
      return not_understood(question, word, {"ready", "back", "stop"}, std::nullopt);
    case Kind::go:
      if (word == "spin") return Answer{word};
      return not_understood(question, word, {"spin", "back", "stop"}, std::nullopt);
  }
  return Unread{what_can_be_said(question, place)};
}

std::string what_can_be_said(const Question& question, std::optional<craft::PlaceIndex> place) {
  const std::string leave = question.may_go_back || place ? "back or stop" : "or stop";
  switch (question.kind) {
    case Kind::confirm:
      return "Answer yes, no, " + leave + ".";
    case Kind::choose: {
      std::vector<std::string> keys;
      for (const session::Choice& choice : question.choices) keys.push_back(printable(choice.key));
      return "Answer " + joined(keys, ", ") + ", " + leave + ".";
    }
    case Kind::typed_word:
      return "Type \"" + question.word + "\" exactly, " + leave + ".";
    case Kind::text:
      return (question.suggestion.empty() ? std::string("Type it")
                                          : "Type it, = for \"" + printable(question.suggestion) + "\"") +
             ", " + (question.word.empty() ? "" : question.word + ", ") + leave +
             " (these words in double quotes where they are meant as text).";
    case Kind::pose:
      return "Answer ready, " + leave + ".";
    case Kind::go:
      return "Type spin to spin " + spun_by(question) + ", " + leave + ".";
    case Kind::spin:
      break;
  }
  if (place) {
    const craft::StripTest test = strip_test(*question.frame, *place);
    return "Answer cw (clockwise) or ccw (counter-clockwise), as seen from above; or hold a strip of paper " +
           test.hold + ", and say whether it is flicked toward " + test.cw_toward + " or " + test.ccw_toward +
           "; or " + (question.may_go_back ? "" : "again, ") + "back or stop.";
  }
  std::vector<std::string> names;
  for (const craft::Place& one : question.frame->places)
    names.push_back(one.name + " (" + one.initials + ")");
  return "Answer with the arm, " + joined(names, ", ") + ", and cw or ccw as seen from above, like \"" +
         question.frame->places.front().initials + " cw\"; or none, several, again, " + leave + ".";
}

std::string spun_by(const Question& question) {
  if (!question.pin.name.empty()) return printable(question.pin.name);
  return question.motor.number == 0 ? "a motor" : "motor " + std::to_string(question.motor.number);
}

std::string in_words(const Question& question, const Answer& answer) {
  if (std::holds_alternative<Back>(answer)) return "back";
  if (const auto* text = std::get_if<std::string>(&answer)) return printable(*text);
  const auto& what = std::get<SpinSeen>(answer);
  switch (what.what) {
    case What::none:
      return "nothing moved";
    case What::several:
      return "several moved, or you can't tell";
    case What::again:
      return "once more";
    case What::one:
      break;
  }
  return question.frame->places.at(what.place).name + ", " + std::string(craft::in_words(what.turn));
}

}  // namespace armwise::ui
