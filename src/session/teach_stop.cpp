// Lesson: the stop. It is learned and tried before anything turns. Where the console has no word that stops
// all motors, the stop of one is learned, and that of each is made from it.
#include <algorithm>
#include <set>
#include <utility>

#include "armwise/base/fault.hpp"
#include "armwise/base/text.hpp"
#include "armwise/console/playback.hpp"
#include "armwise/session/ceremony.hpp"
#include "armwise/teach/units.hpp"
#include "teach_lessons.hpp"

namespace armwise::session {
namespace {

using console::Values;
using teach::Typed;
using StopHeard = teach::CommandLesson::Heard;

// "halt 1 ; halt 2 ; halt 3": one line for each motor.
bool is_one_line_each(const console::Profile& profile, const teach::Typed& typed) {
  console::Profile spoken = profile;
  spoken.spin.emplace();
  for (const std::string& line : typed)
    spoken.spin->stop_all.steps.push_back({console::Template::literal(line), {}});
  return !spoken.motors_stopped_one_by_one().empty();
}

// What holds a number greater than any motor's does more than to name one.
bool holds_more_than_a_motor(const teach::Typed& typed, const std::vector<std::string>& codes) {
  double greatest = 0;
  bool numbered = false;
  for (const std::string& code : codes) {
    for (const std::string& number : teach::numbers_in(code)) {
      greatest = std::max(greatest, teach::number_of(number));
      numbered = numbered || number == code;
    }
  }
  const auto numbers = teach::numbers_in(in_a_row(typed));
  return numbered && std::any_of(numbers.begin(), numbers.end(), [&](const std::string& number) {
           return teach::number_of(number) > greatest;
         });
}

}  // namespace

// Whatever is typed here by a slip may be a spin: so the props are off before it is sent.
Task<bool> swear_before_the_stop(Teaching& t) {
  if (t.sworn) co_return true;
  t.person.tell("slip-may-spin");
  say_cautions(t.person);
  const Sworn sworn = co_await swear_props_off(t.person, nullptr);
  t.sworn = sworn.permit;
  if (!t.sworn) leave_out_spin(t, "The props were not said to be off.");
  co_return t.sworn.has_value();
}

namespace {

// Nothing where what was typed names no motor: then it stops all of them.
Task<std::optional<teach::Reading>> stop_of_one_motor(Teaching& t, Typed typed) {
  const std::vector<std::string> codes = t.draft.listed_motor_codes();
  if (holds_more_than_a_motor(typed, codes)) co_return std::nullopt;
  teach::CommandLesson lesson({"motor"});
  const bool each = is_one_line_each(t.draft.profile, typed);
  const auto lines = each ? typed.size() : 1;
  std::set<std::string> used;
  for (std::size_t i = 0; i < lines; ++i) {
    const Typed one = each ? Typed{typed[i]} : typed;
    for (auto code = codes.rbegin(); code != codes.rend(); ++code) {
      if (used.contains(*code) || lesson.add(one, {{"motor", *code}}) != StopHeard::fits) continue;
      used.insert(*code);
      break;
    }
  }
  if (used.empty()) co_return std::nullopt;
  if (!each) {
    const bool one_alone = co_await t.person.confirm(
        "right", "Does \"" + in_a_row(typed) + "\" stop " + t.draft.motor_words(*used.begin()) +
                     " alone? Then each motor's stop is made from it.");
    if (!one_alone) co_return std::nullopt;
  }
  std::vector<Values> choices;
  choices.reserve(codes.size());
  for (const std::string& code : codes) choices.push_back({{"motor", code}});
  while (!lesson.learned()) {
    const auto next = lesson.deciding(choices);
    if (!next) co_return std::nullopt;
    const auto again =
        co_await t.person.ask_command("stop-command-again",
                                      "That can be read in several ways. Type the stop of " +
                                          t.draft.motor_words(next->at("motor")) + " (only to be read)",
                                      *next);
    if (!again) co_return std::nullopt;
    const StopHeard heard = lesson.add(*again, *next);
    if (heard != StopHeard::fits) say_why_not_heard(t, heard, lesson);
  }
  co_return lesson.learned();
}

// Tries the stop of each motor. False where one is refused.
Task<bool> take_stop_of_each(Teaching& t, teach::Reading reading) {
  const std::vector<std::string> with_pin = t.draft.motor_codes();
  console::SpinAbility spin;
  std::vector<std::pair<std::string, Said>> tried;
  for (const std::string& code : t.draft.listed_motor_codes()) {
    const auto typed = teach::written(reading, {{"motor", code}});
    if (!typed) throw Fault(FaultKind::internal, "the stop that was taught cannot be written");
    const Said said = co_await t.talk.say(*typed, "stop-command");
    const bool needed = std::find(with_pin.begin(), with_pin.end(), code) != with_pin.end();
    if (said.refused && needed) t.talk.refuse_or_tell(said);
    if (said.refused && needed) co_return false;
    if (said.refused) continue;
    for (const console::Step& step : t.talk.steps_of(said)) spin.stop_all.steps.push_back(step);
    tried.emplace_back(code, said);
  }
  if (tried.empty()) co_return false;
  const auto& [code, said] = tried.back();
  console::Command one{t.talk.steps_of(reading, said), confirmation_of(said, {{"motor", code}})};
  for (const auto& [each, answer] : tried) forget_unless_confirmed(one, answer, {{"motor", each}});
  spin.stop = one;
  t.draft.profile.spin = spin;
  t.person.tell("stops-each", {{"motors", std::to_string(tried.size())}});
  co_return true;
}

}  // namespace

Task<void> learn_stop(Teaching& t) {
  console::Profile& profile = t.draft.profile;
  if (profile.spin || !profile.map || !t.options.watched_by) co_return;
  const std::vector<std::string> codes = t.draft.listed_motor_codes();
  std::string question = "Type the command that stops all motors (nothing turns now; it is tried)";
  Values asked;
  if (!codes.empty()) {
    question += ". Where each has a stop of its own, type that of " + t.draft.motor_words(codes.back());
    asked["motor"] = codes.back();
  }
  while (true) {
    const auto typed = co_await t.person.ask_command("stop-command", question, asked);
    if (!typed) co_return;
    if (is_taught_already(t, *typed)) continue;
    const bool sworn = co_await swear_before_the_stop(t);
    if (!sworn) co_return;
    auto one = co_await stop_of_one_motor(t, *typed);
    // Where the map has letters, a number may be a motor all the same.
    const bool numbered = std::any_of(
        codes.begin(), codes.end(), [](const std::string& code) { return !teach::numbers_in(code).empty(); });
    bool stops_all = true;
    if (!one && !numbered && !teach::numbers_in(in_a_row(*typed)).empty())
      stops_all = co_await t.person.confirm(
          "right", "Does \"" + in_a_row(*typed) + "\" stop all motors, not one alone?");
    if (!stops_all) continue;
    const Motors before = std::exchange(t.motors, Motors::stop_not_seen);
    Said said;
    bool taken = false;
    if (!one) {
      said = co_await t.talk.say(*typed, "stop-command");
      if (said.refused) t.talk.refuse_or_tell(said);
      // A menu may have asked which motor.
      if (!said.refused && said.typed.size() > typed->size()) one = co_await stop_of_one_motor(t, said.typed);
      taken = !said.refused && !one;
    }
    if (one) {
      const bool all = co_await take_stop_of_each(t, *one);
      if (all) co_return;
    }
    if (!taken) {
      t.motors = before;
      continue;
    }
    console::SpinAbility spin;
    spin.stop_all.steps = t.talk.steps_of(said);
    const Values none;
    const Said again = co_await t.talk.ask_again(spin.stop_all.steps, none);
    spin.stop_all.confirms = plain_confirmation_of(again, t.talk.ear.reply_end);
    profile.spin = spin;
    co_return;
  }
}

}  // namespace armwise::session
