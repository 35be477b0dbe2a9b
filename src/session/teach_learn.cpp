// How teach() learns a question and a command, and what it proposes.
#include <algorithm>
#include <cstdlib>

#include "armwise/base/fault.hpp"
#include "armwise/base/task.hpp"
#include "armwise/base/text.hpp"
#include "teach_lessons.hpp"

namespace armwise::session {
namespace {

using console::Values;
using teach::Typed;

std::string once_more_for(const Values& values, std::size_t ways, bool sent) {
  std::string text = "That can be read in " + std::to_string(ways) + " ways. Type the same once more for";
  for (const auto& [blank, value] : console::without_held(values))
    text += " " + blank + " \"" + value + "\",";
  return text + (sent ? " as it is now" : " only to be read: it is not sent");
}

}  // namespace

Task<std::optional<Said>> learn_question(Teaching& t, std::string id, std::string text,
                                         std::string proposed) {
  while (true) {
    const auto typed = co_await t.person.ask_command(id, text, {}, proposed);
    if (!typed) co_return std::nullopt;
    // After a slip it is proposed once more, but not after it was tried.
    if (in_a_row(*typed) == proposed) proposed.clear();
    // Thousands of lines need not be read again.
    if (t.draft.configuration && *typed == t.draft.configuration->typed) co_return *t.draft.configuration;
    Said said = co_await t.talk.say(*typed, id);
    const Values none;
    if (!said.closed) said = co_await t.talk.ask_again(t.talk.steps_of(said), none, said);
    if (said.closed) {
      t.person.tell("line-reopened");
      co_await t.talk.reopen();
      continue;
    }
    if (!said.refused && !said.lines.empty()) co_return said;
    t.talk.refuse_or_tell(said);
  }
}

void say_why_not_heard(Teaching& t, teach::CommandLesson::Heard heard, const teach::CommandLesson& lesson) {
  using Heard = teach::CommandLesson::Heard;
  std::vector<std::string> missing = lesson.missing();
  std::replace(missing.begin(), missing.end(), std::string("strength"), std::string("throttle"));
  if (heard == Heard::lacks) t.person.tell("not-in-it", {{"missing", "the " + joined(missing, " and the ")}});
  if (heard == Heard::contradicts) t.person.tell("does-not-fit");
  if (heard == Heard::too_many) t.person.tell("ambiguous");
}

// Where it has shells, each has a list of its own. To go into one and out again is asked, as anything is that
// nobody typed.
Task<void> read_help(Teaching& t, Said said) {
  const std::string typed = in_a_row(said.typed);
  std::vector<teach::HelpLine> help = teach::help_lines(said.as_they_came, typed);
  teach::Shells shells = teach::shells_in(help, typed);
  if (!shells.names.empty()) {
    const std::string question = "It has " + joined(shells.names, ", ") + ", and \"" + shells.back +
                                 "\" leads out again. May we ask each for its own list (\"" +
                                 shells.names.front() + " ; " + typed + " ; " + shells.back + "\")?";
    const bool may = co_await t.person.confirm("right", question);
    if (!may) shells.names.clear();
  }
  for (std::size_t i = 0; i < shells.names.size(); ++i) {
    const std::string& shell = shells.names[i];
    Typed there;
    for (const std::string& step : {shell, typed, shells.back}) there.push_back(step);
    const Said answer = co_await t.talk.say(there, "help");
    if (answer.refused) continue;
    std::erase_if(help, [&](const teach::HelpLine& line) {
      return line.usage.size() == 1 && line.usage.front().text == shell && line.before.empty();
    });
    teach::Lines lines = answer.as_they_came;
    std::erase_if(lines, [&](const std::string& line) {
      return std::any_of(answer.prompts.begin(), answer.prompts.end(), [&](const std::string& prompt) {
        return !trimmed(prompt).empty() && trimmed(line).starts_with(trimmed(prompt));
      });
    });
    for (teach::HelpLine& line : teach::help_lines(lines, typed)) {
      const bool known =
          std::find(help.begin(), help.end(), line) != help.end() || line.usage.front().text == shell;
      line.shell = shell + " " + shells.about[i];
      line.before = shell + " ; ";
      line.behind = " ; " + shells.back;
      if (!known) help.push_back(std::move(line));
    }
  }
  t.person.is_helped_by(std::move(help));
}

namespace {

// Before anything is sent: a slip of the fingers would set something else than what is set already.
Task<bool> holds_what_is_set(Teaching& t, teach::CommandLesson& lesson, const WantedCommand& wanted,
                             const Typed& typed, const Values& values) {
  teach::CommandLesson trial = lesson;
  const auto heard = trial.add(typed, values);
  if (heard == teach::CommandLesson::Heard::fits) co_return true;
  if (heard == teach::CommandLesson::Heard::lacks && lesson.examples() == 0) {
    teach::CommandLesson otherwise(wanted.must, wanted.may, teach::Written::counted_otherwise);
    otherwise.knows(wanted.types);
    teach::CommandLesson first = otherwise;
    if (first.add(typed, values) == teach::CommandLesson::Heard::fits) {
      const bool counts = co_await t.person.counts_otherwise(typed, values);
      if (counts) lesson = otherwise;
      if (counts) co_return true;
    }
    std::string missing;
    for (const std::string& blank : trial.missing())
      missing += (missing.empty() ? "" : " and ") + values.at(blank) + " (the " + blank + ")";
    const bool asks_on = co_await t.person.confirm(
        "right", "Nothing was sent yet: I do not see " + missing + " in \"" + in_a_row(typed) +
                     "\". Does the console ask for it then, as a menu does?");
    co_return asks_on;
  }
  say_why_not_heard(t, heard, trial);
  co_return false;
}

bool fits(const WantedCommand& wanted, const Typed& typed) {
  teach::CommandLesson lesson(wanted.must, wanted.may);
  try {
    return lesson.add(typed, wanted.choices.front()) == teach::CommandLesson::Heard::fits;
  } catch (const Fault&) {
    return false;  // in too many ways
  }
}

// A motor's code may just be a part of its pin's: "4" of "P4".
Typed without(const Typed& typed, const std::string& value) {
  Typed left;
  for (const std::string& line : typed) {
    std::string rest = line;
    for (std::size_t at = 0; (at = lower_case(rest).find(lower_case(value), at)) != std::string::npos; ++at)
      rest.replace(at, value.size(), "?");
    left.push_back(rest);
  }
  return left;
}

// Which of the two it names; where it may be either, the person says.
Task<bool> names_the_other(Teaching& t, const WantedCommand& wanted, const Typed& typed) {
  const WantedCommand& other = wanted.or_else.front();
  const bool one_fits = fits(wanted, typed), other_fits = fits(other, typed);
  if (!one_fits || !other_fits) co_return other_fits;
  const std::string &key = wanted.must.front(), &other_key = other.must.front();
  const std::string value = lower_case(wanted.choices.front().at(key)),
                    other_value = lower_case(other.choices.front().at(other_key));
  const bool in_other = other_value.find(value) != std::string::npos;
  if (in_other && !fits(wanted, without(typed, other_value))) co_return true;
  const bool in_it = value.find(other_value) != std::string::npos;
  if (in_it && !fits(other, without(typed, value))) co_return false;
  const bool right =
      co_await t.person.confirm("right", "I take it that \"" + in_a_row(typed) + "\" names the " + key +
                                             ", not the " + other_key + ". Is that right?");
  co_return !right;
}

// Where it changes something, it is put back at once.
Task<Tried> send_example(Teaching& t, const WantedCommand& wanted, const WritePermit& agreed,
                         const Values& values) {
  Tried found;
  if (!wanted.trial) {
    found.change = co_await t.talk.say_agreed(agreed, wanted.id);
    co_return found;
  }
  Trial trial = *wanted.trial;
  Said literally;
  literally.typed = agreed.lines();
  trial.change.emplace_back(t.talk.steps_of(literally), values);
  found = co_await tried(t, trial, agreed);
  co_return found;
}

// "props on" would read as if they were mounted.
std::string value_in_words(const Draft& draft, const std::string& blank, const std::string& value) {
  if (blank == "motor") return draft.motor_words(value);
  if (blank != "props") return blank + " " + value;
  return value == draft.profile.codes.props_out ? "props out" : "props in";
}

// On values of this very craft, of which none was typed.
void show_as_used(Teaching& t, const teach::Reading& reading, const WantedCommand& wanted,
                  const Values& typed) {
  for (const std::vector<Values>* all : {&wanted.choices, &wanted.unsent}) {
    for (const Values& values : *all) {
      const auto line = teach::written(reading, values);
      if (!line || line == teach::written(reading, typed)) continue;
      std::string meant;
      for (const auto& [blank, value] : console::without_held(values))
        meant += (meant.empty() ? "" : ", ") + value_in_words(t.draft, blank, value);
      t.person.tell("will-send", {{"values", meant}, {"command", in_a_row(*line)}});
      return;
    }
  }
}

}  // namespace

// Asked until one reading of the command is left, with further examples where it could mean several things.
Task<std::optional<Learned>> learn_command(Teaching& t, WantedCommand wanted) {
  teach::CommandLesson lesson(wanted.must, wanted.may);
  lesson.knows(wanted.types);
  Learned learned;
  Values values = wanted.choices.empty() ? Values{} : wanted.choices.front();
  Values first = values;
  std::string asked = wanted.text, asked_id = wanted.id;
  bool send = true;
  while (true) {
    const auto agreed = co_await t.person.ask_to_send(asked_id, asked, values, wanted.proposed);
    if (!agreed) co_return std::nullopt;
    const Typed* typed = &agreed->lines();
    if (in_a_row(*typed) == wanted.proposed) wanted.proposed.clear();
    if (!wanted.or_else.empty()) {
      const bool other = co_await names_the_other(t, wanted, *typed);
      if (other) {
        wanted = WantedCommand(wanted.or_else.front());
        lesson = teach::CommandLesson(wanted.must, wanted.may);
        values = first = wanted.choices.front();
      }
    }
    const bool holds = co_await holds_what_is_set(t, lesson, wanted, *typed, values);
    if (!holds) continue;
    Typed whole = *typed;
    if (send) {
      const Tried found = co_await send_example(t, wanted, *agreed, values);
      if (found.change.refused) {
        t.talk.refuse_or_tell(found.change);
        continue;
      }
      whole = found.change.typed;
      if (lesson.examples() == 0) {
        learned.said = found.change;
        learned.between = found.read;
      }
    }
    const bool fits = lesson.add(whole, values) == teach::CommandLesson::Heard::fits;
    if (!fits) {
      co_await require_as_before(t);
      t.person.tell("not-in-it", {{"missing", "the " + joined(lesson.missing(), " and the ")}});
      continue;
    }
    if (const auto reading = lesson.learned()) {
      learned.reading = *reading;
      learned.command.steps = t.talk.steps_of(*reading, learned.said);
      Values said = first;
      std::erase_if(said, [&](const auto& value) {
        return std::none_of(reading->begin(), reading->end(),
                            [&](const auto& line) { return line.has(value.first); });
      });
      learned.command.confirms = confirmation_of(learned.said, said);
      show_as_used(t, *reading, wanted, first);
      co_return learned;
    }
    auto next = lesson.deciding(wanted.choices);
    send = next.has_value() && !wanted.trial;
    if (!next) next = lesson.deciding(wanted.unsent);
    if (!next) {
      t.person.tell("ambiguous-left-out");
      co_return std::nullopt;
    }
    values = *next;
    // Where nothing but the number of another motor is in doubt, it need not be typed.
    wanted.proposed.clear();
    if (lesson.readings().size() == 1)
      wanted.proposed = in_a_row(*teach::written(lesson.readings().front(), values));
    asked_id = wanted.id + "-again";
    asked = once_more_for(values, lesson.readings().size(), send);
  }
}

}  // namespace armwise::session
