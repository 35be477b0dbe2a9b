// How teach() asks.
#include "teach_asking.hpp"

#include <algorithm>

#include "armwise/base/fault.hpp"
#include "armwise/base/task.hpp"
#include "armwise/base/text.hpp"
#include "armwise/console/playback.hpp"
#include "questions.hpp"
#include "words.hpp"

namespace armwise::session {
namespace {

using console::Values;
using teach::Typed;

teach::KnownFromLog known_to(const Draft& draft, const Values& asked) {
  teach::KnownFromLog known;
  known.motors = draft.motor_codes();
  known.pins = draft.pin_names();
  if (draft.profile.map) {
    const bool per_pin = draft.profile.map->rules.kept == solve::MapKept::per_pin;
    known.nothing = per_pin ? draft.profile.map->no_motor : draft.profile.map->no_pin;
  }
  for (const char* word : {"turn", "props", "mount"}) {
    const auto now = asked.find(word);
    if (now == asked.end()) continue;
    known.words.push_back(now->second);
    const std::string other = teach::opposite_word(now->second);
    if (!other.empty()) known.words.push_back(other);
  }
  return known;
}

bool is_of_the_craft(const Question& question) {
  using Kind = Question::Kind;
  const bool by_hand = question.kind == Kind::go || question.kind == Kind::spin ||
                       question.kind == Kind::pose || question.kind == Kind::typed_word;
  return by_hand || question.id == "battery" || question.id == "keep" || question.id == "restarts" ||
         question.id == "leave";
}

Question line_of_text(std::string id, std::string text) {
  Question question;
  question.id = std::move(id);
  question.kind = Question::Kind::text;
  question.text = std::move(text);
  return question;
}

Question or_skip(Question question) {
  question.word = "skip";
  question.text = words::or_skip(std::move(question.text));
  return question;
}

}  // namespace

Task<Answer> Teacher::ask(const Question& question) {
  handed_out_ = at_ < given_.size() && given_[at_].id == question.id && given_[at_].text == question.text;
  if (handed_out_) co_return given_[at_++].answer;
  given_.resize(at_);
  quiet_ = 0;
  const Answer answer = co_await person_.ask(question);
  if (std::holds_alternative<Back>(answer)) throw WentBack{};
  given_.push_back({question.id, question.text, answer, said_, is_of_the_craft(question)});
  ++at_;
  co_return answer;
}

void Teacher::tell(const Statement& statement) {
  if (said_++ >= quiet_ || statement.level >= Level::danger) person_.tell(statement);
}

void Teacher::begin(Lesson given, std::size_t heard) {
  given_ = std::move(given);
  at_ = said_ = 0;
  quiet_ = heard;
}

std::size_t Teacher::take_one_back(Lesson& given) {
  const auto craft =
      std::find_if(given.begin(), given.end(), [](const Given& each) { return each.of_the_craft; });
  const auto first = std::min(craft, given.end() - 1);
  const std::size_t said = first->said;
  given.erase(first, given.end());
  return said;
}

Task<bool> Teacher::interrupted(craft::Motor motor, Duration within) {
  co_return co_await person_.interrupted(motor, within);
}

Task<std::string> Teacher::put(Question question) {
  co_return co_await answer_to(*this, std::move(question));
}

Task<std::optional<Typed>> Teacher::ask_command(std::string id, std::string text, Values values,
                                                std::string proposed) {
  const auto agreed =
      co_await ask_to_send(std::move(id), std::move(text), std::move(values), std::move(proposed));
  std::optional<Typed> typed;
  if (agreed) typed = agreed->lines();
  co_return typed;
}

Task<std::optional<WritePermit>> Teacher::ask_to_send(std::string id, std::string text, Values values,
                                                      std::string proposed) {
  Question question = or_skip(line_of_text(std::move(id), std::move(text)));
  question.values = console::without_held(std::move(values));
  question.is_command = true;
  if (!is_in_help(proposed)) proposed.clear();
  const std::string hint = hint_for(question.id, question.values, proposed);
  if (!hint.empty()) proposed = hint;
  question.suggestion = proposed;
  const std::vector<std::string> as_typed;
  std::optional<WritePermit> agreed;
  while (true) {
    agreed = co_await ask_to_write(*this, question, as_typed);
    if (!agreed) co_return std::nullopt;
    const Typed& steps = agreed->lines();
    // Only the spin lesson sends one: with the props off, and the stop behind it.
    if (question.id.starts_with("spin-command") || !console::is_a_spin(draft_.profile, steps)) break;
    person_.tell("known-command", {{"does", "spins a motor"}});
  }
  if (agreed->lines() != steps_typed(proposed) && !handed_out_) ++typed_;
  if (!hint.empty()) hints_taken_.insert(question.id + " " + hint);
  co_return agreed;
}

// A console that lists its commands has no others: one that only follows from usage elsewhere is none of it.
bool Teacher::is_in_help(const std::string& proposed) const {
  const auto first_word = [](const std::string& text) {
    const auto end = std::find_if(text.begin(), text.end(), [](char c) { return !is_letter_or_digit(c); });
    return lower_case(text.substr(0, static_cast<std::size_t>(end - text.begin())));
  };
  const auto lists = [&](const std::string& word) {
    return std::any_of(help_.begin(), help_.end(), [&](const teach::HelpLine& line) {
      return std::any_of(line.usage.begin(), line.usage.end(), [&](const teach::UsagePiece& piece) {
        return (piece.kind == teach::UsagePiece::Kind::text && first_word(piece.text) == word) ||
               std::any_of(piece.choices.begin(), piece.choices.end(),
                           [&](const std::string& choice) { return first_word(choice) == word; });
      });
    });
  };
  // Names of settings are commands as well, where the map's is one.
  const auto speech = draft_.map_speech();
  const bool lists_all = !speech || lists(first_word(speech->put.source()));
  const std::string word = first_word(proposed);
  return help_.empty() || word.empty() || !lists_all || lists(word);
}

// What was typed before at this console, what its own list of commands says, and how it was asked for other
// names. Once only: what was refused is not proposed again.
std::string Teacher::hint_for(std::string asked_id, Values asked, const std::string& proposed) const {
  teach::Setting setting;
  setting.row = draft_.row_that_shows(asked);
  // Another example is no other question where the setting has a name of its own.
  if (asked_id.ends_with("-again") && !setting.row.empty()) asked_id.resize(asked_id.size() - 6);
  std::vector<std::string> hints = teach::proposed_by(saved_, asked_id, asked, known_to(draft_, asked));
  if (const auto speech = draft_.map_speech())
    setting.spoken = teach::spoken_like(help_, speech->put.source(), speech->put.format(speech->now),
                                        speech->now, draft_.row_that_shows(speech->now));
  const bool may_be_of_one = asked_id == "read-turn" && !draft_.motor_codes().empty();
  if (may_be_of_one) asked["motor"] = draft_.motor_codes().back();
  hints.push_back(teach::hinted(help_, asked_id, asked, setting));
  if (asked.empty() || may_be_of_one) {
    const bool nothing_better = proposed.empty() || proposed == draft_.whole_configuration_typed();
    hints.push_back(nothing_better
                        ? teach::asked_by_name(help_, draft_.questions_typed(), draft_.listed_as(asked_id))
                        : std::string());
  }
  const auto next = std::find_if(hints.begin(), hints.end(), [&](const std::string& hint) {
    return !hint.empty() && !hints_taken_.contains(asked_id + " " + hint);
  });
  return next == hints.end() ? std::string() : *next;
}

// Absent: rather not.
Task<std::optional<WritePermit>> Teacher::may_try(std::string text, const Writes& writes) {
  const Question question = yes_or_no("try-change", std::move(text), Level::info);
  co_return co_await ask_to_write(*this, question, lines_of(writes));
}

Task<std::string> Teacher::ask_text(std::string id, std::string text, std::string suggestion) {
  Question question = line_of_text(std::move(id), std::move(text));
  question.suggestion = std::move(suggestion);
  co_return co_await put(question);
}

Task<std::string> Teacher::ask_text_or_skip(std::string id, std::string text) {
  co_return co_await put(or_skip(line_of_text(std::move(id), std::move(text))));
}

Task<std::string> Teacher::choose(std::string id, std::string text, std::vector<Choice> choices) {
  co_return co_await put(one_of(std::move(id), std::move(text), std::move(choices)));
}

Task<std::optional<std::size_t>> Teacher::point(std::string id, std::string text,
                                                std::vector<std::string> shown, std::vector<Choice> choices,
                                                std::string marked) {
  std::optional<std::size_t> which;
  if (choices.size() == 1) {
    const bool it_is = co_await confirm(std::move(id), text + " Is it " + choices.front().words + "?");
    if (it_is) which = 0;
    co_return which;
  }
  Question question = one_of(std::move(id), std::move(text), choices);
  question.choices.push_back(words::none_of_these());
  question.shown = std::move(shown);
  question.marked = std::move(marked);
  const std::string key = co_await put(std::move(question));
  for (std::size_t i = 0; i < choices.size(); ++i) {
    if (choices[i].key == key) which = i;
  }
  co_return which;
}

void add_word(std::vector<Choice>& choices, const std::string& word, const std::string& line,
              std::optional<PlaceInText> where) {
  choices.push_back({std::to_string(choices.size() + 1), word + " (in \"" + line + "\")", {}, where});
}

Task<bool> Teacher::confirm(std::string id, std::string text) {
  Question question = yes_or_no(std::move(id), std::move(text), Level::info);
  question.leaves_a_line = false;  // what was learned by it does
  const std::string answer = co_await put(std::move(question));
  co_return answer == "yes";
}

Task<bool> Teacher::counts_otherwise(Typed typed, Values values) {
  co_return co_await confirm("right", "\"" + in_a_row(typed) + "\" names " +
                                          draft_.motor_words(values["motor"]) +
                                          " by another number than the map. Is that right?");
}

// What is typed next in a menu, of which this is typed already.
Task<std::optional<std::string>> Teacher::ask_next(std::string id, Typed typed, std::string prompt) {
  const bool may_spin = id.starts_with("spin-command");
  id += "-next";
  const bool was_said_before = id.starts_with("again");
  const std::string text = (was_said_before ? "To \"" + in_a_row(typed) + "\" the console asks"
                                            : std::string("The console asks")) +
                           " \"" + prompt + "\". What do you type " +
                           (was_said_before ? "to get out of that without changing anything?" : "next?") +
                           " (skip: nothing, it waits for any command again)";
  typed.emplace_back();
  while (true) {
    const std::string next = co_await ask_text(id, text);
    if (next == "skip" || trimmed(next).empty()) co_return std::nullopt;
    typed.back() = next == "\"skip\"" ? "skip" : next;
    if (may_spin || !console::is_a_spin(draft_.profile, typed)) co_return typed.back();
    person_.tell("known-command", {{"does", "spins a motor"}});
  }
}

std::vector<std::string> lines_of(const Writes& writes) {
  std::vector<std::string> lines;
  for (const auto& [steps, values] : writes) {
    for (const console::Step& step : steps) lines.push_back(step.send.format(values));
  }
  return lines;
}

}  // namespace armwise::session
