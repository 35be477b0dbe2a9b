// How teach() asks and sends.
#include "teach_asking.hpp"

#include <algorithm>

#include "armwise/base/fault.hpp"
#include "armwise/base/task.hpp"
#include "armwise/base/text.hpp"
#include "armwise/console/playback.hpp"
#include "armwise/teach/listening.hpp"
#include "armwise/teach/units.hpp"
#include "questions.hpp"
#include "words.hpp"

namespace armwise::session {
namespace {

using console::Values;
using teach::Typed;

constexpr Duration restart_time{20000};
constexpr std::size_t most_steps = 12, most_menu_lines = 24;
constexpr int most_motors_asked = 12;

}  // namespace

bool is_asked_of_each(const console::Steps& steps) {
  return std::any_of(steps.begin(), steps.end(), [](const auto& step) { return step.send.has("motor"); });
}

Task<Answer> Teacher::ask(const Question& question) {
  ++asked_;
  const Answer answer = co_await person_.ask(question);
  if (std::holds_alternative<Back>(answer)) throw WentBack{};
  co_return answer;
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
  Question question;
  question.id = std::move(id);
  question.kind = Question::Kind::text;
  question.word = "skip";
  question.text = words::or_skip(std::move(text));
  question.values = std::move(values);
  if (const std::string prepared = prepared_for(question.id, question.values); !prepared.empty())
    proposed = prepared;
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
  if (agreed->lines() != steps_typed(proposed)) ++typed_;
  co_return agreed;
}

// Absent: rather not.
Task<std::optional<WritePermit>> Teacher::may_try(std::string text, const Writes& writes) {
  const Question question = yes_or_no("try-change", std::move(text), Level::info);
  co_return co_await ask_to_write(*this, question, lines_of(writes));
}

Task<std::string> Teacher::ask_text(std::string id, std::string text, std::string suggestion) {
  Question question;
  question.id = std::move(id);
  question.kind = Question::Kind::text;
  question.text = std::move(text);
  question.suggestion = std::move(suggestion);
  co_return co_await put(question);
}

Task<std::string> Teacher::choose(std::string id, std::string text, std::vector<Choice> choices) {
  co_return co_await put(one_of(std::move(id), std::move(text), std::move(choices)));
}

Task<bool> Teacher::confirm(std::string id, std::string text) {
  const std::string answer = co_await put(yes_or_no(std::move(id), std::move(text), Level::info));
  co_return answer == "yes";
}

void Dialogue::begin_at(const std::string& prompt) {
  top_prompt_ = prompt;
  ear.prompts.clear();
  if (!prompt.empty()) ear.prompts.push_back(prompt);
}

bool Dialogue::has_prompt() const {
  return !trimmed(top_prompt_).empty();
}

bool Dialogue::is_top(const std::string& prompt) const {
  const std::string_view end = trimmed(prompt), top = trimmed(top_prompt_);
  return top.empty() ? end.empty() : end.ends_with(top);
}

// A prompt that begins and ends like the one that is known is that one, with a mark in it: it is known by its
// end from now on.
void Dialogue::follow_prompt(const std::string& prompt) {
  const std::string end = teach::common_end({top_prompt_, prompt});
  const bool begins_alike =
      prompt.size() > 2 && top_prompt_.size() > 2 && prompt.substr(0, 2) == top_prompt_.substr(0, 2);
  if (trimmed(end).empty() || !begins_alike) return;
  top_prompt_ = end;
  draft_.profile.open.prompt = end;
  ear.prompts.push_back(end);
  person_.tell("prompt-changes", {{"prompt", end}});
}

void Dialogue::take_as_top(const std::string& prompt) {
  const std::string end = teach::common_end({top_prompt_, prompt});
  ear.prompts.push_back(prompt);
  if (trimmed(end).empty()) return;
  top_prompt_ = end;
  draft_.profile.open.prompt = end;
  ear.prompts.push_back(end);
  person_.tell("prompt-changes", {{"prompt", end}});
}

// A question on the way may have other words the next time: then it is known by its end.
void Dialogue::follow_inner_prompts(const console::Steps& steps, const Said& said) {
  for (std::size_t i = 0; i < std::min(steps.size(), said.prompts.size()); ++i) {
    const std::string &first = steps[i].prompt, &now = said.prompts[i];
    if (first.empty() || now.empty() || (i + 1 < steps.size() && is_top(now))) continue;
    std::string& end = inner_prompts_.emplace(first, first).first->second;
    const std::string shared = teach::common_end({end, now});
    if (!trimmed(shared).empty()) end = shared;
  }
}

// What is typed next in a menu, of which this is typed already.
Task<std::optional<std::string>> Teacher::ask_next(std::string id, Typed typed, std::string prompt) {
  const bool may_spin = id.starts_with("spin-command");
  id += "-next";
  const std::string text = "The console asks \"" + prompt +
                           "\" now. What do you type next? (skip: nothing, it waits for any command again)";
  typed.emplace_back();
  while (true) {
    const std::string next = co_await ask_text(id, text);
    if (next == "skip" || trimmed(next).empty()) co_return std::nullopt;
    typed.back() = next == "\"skip\"" ? "skip" : next;
    if (may_spin || !console::is_a_spin(draft_.profile, typed)) co_return typed.back();
    person_.tell("known-command", {{"does", "spins a motor"}});
  }
}

// Sends the steps one by one. Where the console then asks for more, so is the person.
Task<Said> Dialogue::say(Typed typed, std::string id) {
  Said said;
  sent_ = true;
  for (std::size_t i = 0; i < typed.size() && i < most_steps; ++i) {
    const std::string step = typed[i];
    const Ear::Heard heard = co_await ear.say(step);
    take_step(said, step, heard);
    if (said.closed) break;
    const bool asks_on = i + 1 == typed.size() && !is_top(heard.reply.prompt) && !heard.reply.prompt.empty();
    if (!asks_on) continue;
    // Whoever is to choose from a menu has to see it.
    for (std::size_t shown = 0; shown < heard.reply.lines.size() && shown < most_menu_lines; ++shown)
      person_.tell("menu-line", {{"line", heard.reply.lines[shown]}});
    const auto next = co_await person_.ask_next(id, typed, heard.reply.prompt);
    if (!next) take_as_top(heard.reply.prompt);
    if (!next) break;
    typed.push_back(*next);
  }
  // The last step of a walk that says nothing and leads back up is the way home.
  if (said.typed.size() > 1 && draft_.profile.open.home.empty() && !said.closed) {
    const bool back_up = is_top(said.prompts.back()) && said.prompts.size() > 1 &&
                         !is_top(said.prompts[said.prompts.size() - 2]);
    if (back_up && replies_.back().empty()) draft_.profile.open.home = said.typed.back();
  }
  said.refused = is_refusal(said.lines);
  co_return said;
}

void Dialogue::take_step(Said& said, const std::string& step, const Ear::Heard& heard) {
  said.typed.push_back(step);
  said.prompts.push_back(heard.reply.prompt);
  said.closed = heard.closed;
  if (heard.closed) return;
  if (!is_top(heard.reply.prompt)) follow_prompt(heard.reply.prompt);
  if (!is_top(heard.reply.prompt)) ear.prompts.push_back(heard.reply.prompt);
  for (const std::string& line : heard.reply.lines) said.lines.push_back(line);
  replies_.push_back(heard.reply.lines);
  for (const std::string& end : question_ends_) {
    const std::string& prompt = heard.reply.prompt;
    if (prompt.ends_with(end)) said.lines.push_back(prompt.substr(0, prompt.size() - end.size()));
  }
}

bool Dialogue::is_refusal(const teach::Lines& lines) const {
  constexpr std::size_t first_lines = 3;
  const auto end = lines.begin() + static_cast<std::ptrdiff_t>(std::min(lines.size(), first_lines));
  return std::any_of(lines.begin(), end, [&](const std::string& line) {
    return std::any_of(draft_.profile.refusals.begin(), draft_.profile.refusals.end(),
                       [&](const console::Template& refusal) { return refusal.match(line).has_value(); });
  });
}

std::vector<std::string> lines_of(const Writes& writes) {
  std::vector<std::string> lines;
  for (const auto& [steps, values] : writes) {
    for (const console::Step& step : steps) lines.push_back(step.send.format(values));
  }
  return lines;
}

Task<Said> Dialogue::set_to(console::Steps steps, Values values, const MayWrite& permit) {
  Writes writes;
  writes.emplace_back(steps, std::move(values));
  const Typed lines = lines_of(writes);
  require_agreed(permit, lines);
  Said said = co_await say(lines, "again");
  follow_inner_prompts(steps, said);
  co_return said;
}

Task<Said> Dialogue::say_agreed(const WritePermit& agreed, std::string id) {
  co_return co_await say(agreed.lines(), std::move(id));
}

Task<Said> Dialogue::say_again(const console::Steps& steps, const Values& values) {
  const bool of_each = draft_.profile.map && steps == draft_.profile.map->list.steps &&
                       is_asked_of_each(steps) && !values.contains("motor");
  if (of_each) co_return co_await say_for_each(steps, values);
  Typed typed;
  for (const console::Step& step : steps) typed.push_back(step.send.format(values));
  Said said = co_await say(typed, "again");
  follow_inner_prompts(steps, said);
  co_return said;
}

// The map, where it is asked for motor by motor: what they answer is one answer.
Task<Said> Dialogue::say_for_each(const console::Steps& steps, Values values) {
  Said all;
  std::vector<std::string> codes = draft_.motor_codes();
  for (int motor = 1; draft_.rows.empty() && motor <= most_motors_asked; ++motor)
    codes.push_back(draft_.profile.motor_code(craft::Motor{motor}));
  for (const std::string& code : codes) {
    values["motor"] = code;
    Said each = co_await say_again(steps, values);
    if (each.refused) break;
    each.lines.insert(each.lines.begin(), all.lines.begin(), all.lines.end());
    all = std::move(each);
    if (all.closed) break;
  }
  co_return all;
}

Task<teach::Lines> Dialogue::read(const console::Query& query) {
  const Values none;
  const Said said = co_await say_again(query.steps, none);
  co_return said.lines;
}

void Dialogue::refuse_or_tell(const Said& said) {
  const std::string words = said.lines.empty() ? std::string("nothing") : "\"" + said.lines.front() + "\"";
  person_.tell("command-refused", {{"answer", words}});
}

console::Steps Dialogue::steps_of(const Said& said) const {
  teach::Reading reading;
  const Values none;
  for (const std::string& step : said.typed) {
    std::string source;
    for (const char c : step) source += (c == '{' || c == '}') ? std::string(2, c) : std::string(1, c);
    reading.push_back(console::Template::parse(source));
  }
  return steps_of(reading, said);
}

console::Steps Dialogue::steps_of(const teach::Reading& reading, const Said& said) const {
  console::Steps steps;
  for (std::size_t i = 0; i < reading.size(); ++i) {
    const bool inner = i < said.prompts.size() && !is_top(said.prompts[i]) && !said.prompts[i].empty();
    steps.push_back({reading[i], inner ? said.prompts[i] : std::string()});
  }
  return steps;
}

// A single line that holds the values, or some of them, says that it was done; more than one reading of it
// says nothing sure.
std::optional<console::Template> confirmation_of(const Said& said, const Values& values) {
  if (said.lines.size() != 1) return std::nullopt;
  Values there;
  for (const auto& [blank, value] : values) {
    teach::CommandLesson one({blank});
    try {
      if (one.add(said.lines, {{blank, value}}) == teach::CommandLesson::Heard::fits)
        there.emplace(blank, value);
    } catch (const Fault&) {
      return std::nullopt;
    }
  }
  // Nothing of what was asked for: a word for everything, which says nothing of this.
  if (there.empty() && !values.empty()) return std::nullopt;
  std::vector<std::string> all;
  for (const auto& [blank, value] : there) all.push_back(blank);
  teach::CommandLesson lesson(all);
  try {
    if (lesson.add(said.lines, there) != teach::CommandLesson::Heard::fits) return std::nullopt;
  } catch (const Fault&) {
    return std::nullopt;
  }
  const auto learned = lesson.learned();
  if (!learned) return std::nullopt;
  return learned->front();
}

// The line that names most of what was sent, among others or not.
std::optional<console::Template> confirmation_among(const Said& said, const Values& values) {
  std::optional<console::Template> found;
  std::size_t most = 0;
  for (const std::string& line : said.lines) {
    Said one;
    one.lines = {line};
    const auto like = confirmation_of(one, values);
    const auto named = like ? like->pieces().size() : 0;
    if (!like || named <= most) continue;
    found = like;
    most = named;
  }
  return found;
}

// A number in it may be another one the next time.
std::optional<console::Template> plain_confirmation_of(const Said& said) {
  if (said.lines.size() != 1 || !teach::numbers_in(said.lines.front()).empty()) return std::nullopt;
  const Values none;
  return confirmation_of(said, none);
}

Task<void> Dialogue::reopen() {
  ear.close();
  const Instant last = clock_.now() + restart_time;
  std::unique_ptr<console::Line> line = co_await plug_.reopen(restart_time);
  ear.take(std::move(line));
  // A start-up may take whatever is typed for a key that stops it.
  co_await ear.hear_start(last - clock_.now());
  co_await enter_console();
}

}  // namespace armwise::session
