// Lesson: the spin.
#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <set>
#include <utility>

#include "armwise/base/fault.hpp"
#include "armwise/base/text.hpp"
#include "armwise/console/playback.hpp"
#include "armwise/session/ceremony.hpp"
#include "armwise/teach/listening.hpp"
#include "armwise/teach/units.hpp"
#include "strengths.hpp"
#include "taught_spin.hpp"
#include "teach_axes.hpp"
#include "teach_lessons.hpp"

namespace armwise::session {
namespace {

using console::Values;
using teach::number_of;
using teach::Typed;

// Well beyond the second after which it is stopped: a stop that does not stop is seen.
constexpr const char* spin_milliseconds = "2500";
constexpr int most_looks = 3;

// Numbers that stand in it and are greater than all that was asked for, as "13000" in the place of "2500".
// Smaller ones lead through menus.
std::vector<std::string> greater_numbers(const Typed& typed, const Values& values) {
  double greatest = 0;
  for (const auto& [blank, value] : values) greatest = std::max(greatest, number_of(value));
  std::vector<std::string> greater = teach::numbers_in(in_a_row(typed));
  std::erase_if(greater, [&](const std::string& number) { return number_of(number) <= greatest; });
  return greater;
}

// The step after which the console knows the motor and the strength, and may turn it.
std::size_t turns_from(const teach::Reading& reading) {
  bool motor = false, strength = false;
  for (std::size_t i = 0; i < reading.size(); ++i) {
    motor = motor || reading[i].has("motor");
    strength = strength || reading[i].has("strength");
    if (motor && strength) return i;
  }
  return 0;
}

}  // namespace

void leave_out_spin(Teaching& t, const std::string& why) {
  t.person.tell("spin-left-out", {{"why", why}});
  t.draft.profile.spin.reset();
}

namespace {

// As the console writes it.
Values as_written(Values values, const Strengths& strengths) {
  const auto strength = values.find("strength");
  if (!strengths.notation.empty() && strength != values.end())
    strength->second = console::Template::parse("{strength:" + strengths.notation + "}").format(values);
  return values;
}

// Absent where the person skips them.
Task<std::optional<Strengths>> learn_strengths(Teaching& t, console::SpinAbility& spin) {
  while (true) {
    const std::string typed =
        co_await t.person.ask_text_or_skip("strength-limits", std::string(strengths_wanted));
    if (typed == "skip") co_return std::nullopt;
    const Strengths taken = take_strengths(typed, spin);
    if (!taken.trouble.empty()) {
      t.person.tell("not-understood", {{"why", taken.trouble}});
      continue;
    }
    const std::vector<std::string>& numbers = taken.numbers;
    const bool right =
        co_await t.person.confirm("right", "So the weakest spin is at " + numbers[0] + " " + spin.unit +
                                               ", and " + numbers[2] + " is full throttle. Is that right?");
    if (right) co_return taken;
  }
}

// A motor whose code does not stand in the other numbers first, so that one example is enough.
std::vector<Values> spins_to_ask_for(const Draft& draft, const std::string& lowest) {
  const console::SpinAbility& spin = *draft.profile.spin;
  const std::string stronger =
      spin.decimals > 0 ? "0.07" : std::to_string(static_cast<int>(std::floor(spin.highest)));
  std::vector<Values> all;
  for (const std::string& strength : {lowest, stronger}) {
    std::vector<std::string> codes = draft.motor_codes();
    std::reverse(codes.begin(), codes.end());
    std::stable_partition(codes.begin(), codes.end(), [&](const std::string& code) {
      return (strength + " " + spin_milliseconds).find(code) == std::string::npos;
    });
    for (const std::string& code : codes)
      all.push_back({{"motor", code}, {"strength", strength}, {"milliseconds", spin_milliseconds}});
  }
  return all;
}

Task<bool> holds_no_greater_number(Teaching& t, const Typed& typed, const Values& values) {
  const std::vector<std::string> besides = greater_numbers(typed, values);
  if (besides.empty()) co_return true;
  const bool belongs =
      co_await t.person.confirm("right", "\"" + joined(besides, "\" and \"") +
                                             "\" in it is none of what was asked for. It would be sent with "
                                             "every spin. Is that right?");
  co_return belongs;
}

// Typed first, read, and sent only once it is understood: a slip must not spin a motor at full strength.
// `known`: all that was typed already, with what the console asked for then. Empty: nothing yet.
Task<std::optional<Learned>> type_spin(Teaching& t, std::vector<Values> choices, const Strengths& strengths,
                                       Typed known) {
  Values values = choices.front();
  Learned learned;
  std::optional<teach::CommandLesson> lesson;
  while (true) {
    std::optional<Typed> typed = std::exchange(known, {});
    if (typed->empty()) {
      typed = co_await t.person.ask_command(
          lesson ? "spin-command-again" : "spin-command",
          "Type the command that spins " + t.draft.motor_words(values.at("motor")) + " at throttle " +
              as_written(values, strengths).at("strength") + " (for " + spin_milliseconds +
              " ms, where it takes a time). It is not sent before it is understood",
          as_written(values, strengths));
    }
    if (!typed) co_return std::nullopt;
    const bool as_asked = co_await holds_no_greater_number(t, *typed, values);
    if (!as_asked) continue;
    if (!lesson) {
      std::vector<std::string> must{"motor", "strength"};
      const std::vector<std::string> numbers = teach::numbers_in(in_a_row(*typed));
      if (std::find(numbers.begin(), numbers.end(), spin_milliseconds) != numbers.end())
        must.emplace_back("milliseconds");
      lesson.emplace(must, std::vector<std::string>(), teach::Written::counted_otherwise);
      if (!strengths.notation.empty()) lesson->knows({{"strength", strengths.notation}});
      learned.said.typed = *typed;
      learned.said.prompts.resize(typed->size());
    }
    const auto heard = lesson->add(*typed, values);
    if (heard != teach::CommandLesson::Heard::fits) {
      say_why_not_heard(t, heard, *lesson);
      if (lesson->examples() == 0) lesson.reset();
      continue;
    }
    if (const auto reading = lesson->learned()) {
      bool right = true;
      if (lesson->counts_otherwise()) right = co_await t.person.counts_otherwise(*typed, values);
      if (!right) {
        lesson.reset();
        continue;
      }
      learned.reading = *reading;
      co_return learned;
    }
    const auto next = lesson->deciding(choices);
    if (!next) {
      t.person.tell("ambiguous-left-out");
      co_return std::nullopt;
    }
    values = *next;
  }
}

// By the command as it is taught so far. `odd_answers`: to a spin, that told of other numbers. `asked`: see
// TaughtSpin::Order.
Task<Said> spin_once(Teaching& t, Values values, const std::set<std::string>& odd_answers,
                     const SpinPermit& permit, bool asked = false) {
  console::Sentry& sentry = t.options.watched_by(t.draft.profile);
  teach::Reading reading;
  for (const console::Step& step : t.draft.profile.spin->spin.steps) reading.push_back(step.send);
  const auto written = teach::written(reading, values);
  if (!written) throw Fault(FaultKind::internal, "the spin that was taught cannot be written");
  const craft::Motor motor = *t.draft.profile.motor_coded(values.at("motor"));
  t.person.tell("spin-next",
                {{"motor", t.draft.motor_words(values.at("motor"))}, {"throttle", values.at("strength")}});
  const craft::Pin not_known;
  std::optional<Go> go = co_await ask_for_go(t.person, motor, motor, not_known, permit);
  if (!go) throw WentBack{};
  t.motors = Motors::stop_not_seen;
  const console::Profile spoken =
      t.talk.sound_profile();  // which knows how a reply ends where there is no prompt
  TaughtSpin spin(t.talk, t.plug, t.person, spoken, sentry, t.options.suspended);
  TaughtSpin::Order order{*written, turns_from(reading), values, asked};
  // As they stand there, which an answer is held against.
  for (const console::Template& line : reading) {
    for (const console::Piece& piece : line.pieces()) {
      const std::size_t at = piece.blank ? line.source().find('{' + piece.text) : std::string::npos;
      if (at == std::string::npos) continue;
      const std::string blank = line.source().substr(at, line.source().find('}', at) + 1 - at);
      order.values[piece.text] = console::Template::parse(blank).format(values);
    }
  }
  co_return co_await spin.once(std::move(order), std::move(*go), odd_answers);
}

// Where nothing turned, it may have asked something first: then the answer to that belongs to the spin.
// Empty: it did not, or is given none.
Task<Typed> answer_on_the_way(Teaching& t, const Said& said) {
  Typed typed;
  if (said.unended.empty() || t.talk.is_refusal({said.unended})) co_return typed;
  const auto next = co_await t.person.ask_next("spin-command", said.typed, said.unended);
  if (!next) co_return typed;
  typed = said.typed;
  typed.push_back(*next);
  co_return typed;
}

// Of another motor, or another throttle, a question on the way has the same words only behind those.
void forget_values(Said& said, const Values& values) {
  for (std::string& prompt : said.prompts) {
    std::size_t from = 0;
    for (const auto& [blank, value] : values) {
      for (std::size_t at = prompt.find(value); at != std::string::npos; at = prompt.find(value, at + 1)) {
        const std::size_t end = at + value.size();
        const bool whole = (at == 0 || !is_letter_or_digit(prompt[at - 1])) &&
                           (end == prompt.size() || !is_letter_or_digit(prompt[end]));
        if (whole) from = std::max(from, end);
      }
    }
    if (!trimmed(std::string_view(prompt).substr(from)).empty()) prompt.erase(0, from);
  }
}

// The battery is connected. True where it is to be taught once more: `known` is what is typed then.
Task<bool> learn_spin_command(Teaching& t, const Strengths& strengths, std::set<std::string>& odd_answers,
                              SpinPermit permit, Typed& known) {
  console::Profile& profile = t.draft.profile;
  const std::vector<Values> choices = spins_to_ask_for(t.draft, strengths.numbers[0]);
  const bool asked = !known.empty();
  const auto learned = co_await type_spin(t, choices, strengths, std::exchange(known, {}));
  if (!learned) {
    leave_out_spin(t, "No command for it.");
    co_return false;
  }
  // Prompts of a menu show only when it is walked through.
  profile.spin->spin.steps = t.talk.steps_of(learned->reading, learned->said);
  const std::vector<std::string> stop = lines_of(Writes{{profile.spin->stop_all.steps, {}}});
  if (console::is_a_spin(profile, stop)) {
    t.person.tell("stop-is-a-spin");
    leave_out_spin(t, "Without a stop nothing is spun.");
    co_return false;
  }
  const Values& values = choices.front();
  if (profile.map->put) t.person.tell("note-the-motor");
  Said said = co_await spin_once(t, values, odd_answers, permit, asked);
  const bool otherwise = !said.otherwise.empty();
  if (said.refused || said.suspended || otherwise) {
    if (otherwise) {
      odd_answers.insert(said.otherwise);
      t.person.tell("spin-misheard", {{"answer", said.otherwise}});
    } else if (said.suspended) {
      t.person.tell("spin-cut-short");
    } else {
      t.talk.refuse_or_tell(said);
    }
    profile.spin->spin.steps.clear();
    if (said.refused && !otherwise && !said.suspended) known = co_await answer_on_the_way(t, said);
    co_return true;
  }
  // A stop that was typed into a question may have been taken for a yes, and stopped the motor at once.
  const std::string answered = said.unended.empty() ? "" : "It answered \"" + said.unended + "\". ";
  const bool seen = co_await t.person.confirm(
      "spin-seen", answered +
                       "Did exactly one motor turn, for about a second, and stop again? If one still "
                       "turns, pull the battery plug now.");
  if (!seen) {
    t.person.tell("still-turning");
    profile.spin->spin.steps.clear();
    known = co_await answer_on_the_way(t, said);
    if (!known.empty()) co_return true;
    const bool again = co_await t.person.confirm(
        "right", "Either the spin or the stop isn't the command you meant. Type the spin once more?");
    if (!again) leave_out_spin(t, "Then that was not the command.");
    co_return again;
  }
  t.motors = Motors::stop_seen;
  forget_values(said, values);
  profile.spin->spin.steps = t.talk.steps_of(learned->reading, said);
  profile.spin->spin.confirms = confirmation_among(said, values);
  if (!profile.spin->bounded()) {
    t.person.tell("spin-unbounded");
  }
  co_return false;
}

Task<void> take_effect_as_seen(Teaching& t, bool at_once) {
  console::Profile& profile = t.draft.profile;
  const auto effect = at_once ? console::TakesEffect::at_once : console::TakesEffect::after_restart;
  if (profile.map->takes_effect == effect) co_return;
  t.person.tell(at_once ? StatementId("effect-at-once") : StatementId("effect-after-restart"));
  profile.map->takes_effect = effect;
  if (profile.props) profile.props->takes_effect = effect;
  if (profile.turn) profile.turn->takes_effect = effect;
  const bool followed = profile.sense && profile.sense->after_mount;
  if (!profile.mount || followed) co_return;
  profile.mount->takes_effect = effect;
  if (at_once || !profile.sense) co_return;
  // That the readings did not follow another mount says nothing then.
  const bool mounted = co_await ask_whether_mounted(t);
  if (mounted) leave_out_sense(t, "sense-before-restart");
}

Task<void> spin_and_compare(Teaching& t, Values values, const std::set<std::string>& odd_answers,
                            SpinPermit permit, std::string& seen) {
  const Motors before = t.motors;
  const Said said = co_await spin_once(t, values, odd_answers, permit);
  t.talk.follow_inner_prompts(t.draft.profile.spin->spin.steps, said);
  if (!said.lines.empty()) forget_unless_confirmed(t.draft.profile.spin->spin, said, values);
  if (said.refused || said.suspended || !said.otherwise.empty()) co_return;
  const std::vector<Choice> choices{{"same", "the same motor as just before, and no other"},
                                    {"other", "another one, or another one as well"},
                                    {"unsure", "none, or I did not see it"}};
  seen = co_await t.person.choose(
      "effect-seen", "Which motor turned now? If one still turns, pull the battery plug.", choices);
  t.motors = before;
}

// The motor that was just spun is put on another's pin for a moment, and spun there: where it still turns
// what it turned before, a setting takes effect only after a restart. Nobody knows that better than their own
// eyes.
Task<void> see_when_it_takes_effect(Teaching& t, const Strengths& strengths,
                                    const std::set<std::string>& odd_answers, SpinPermit permit) {
  if (!t.draft.profile.map->put) co_return;
  const console::MapAbility& map = *t.draft.profile.map;
  const Values spun = spins_to_ask_for(t.draft, strengths.numbers[0]).front();
  Values a, b;
  for (const Values& row : t.draft.map_rows()) (row.at("motor") == spun.at("motor") ? a : b) = row;
  if (a.empty() || b.empty() || (!map.rules.shared_meanwhile && !map.free)) co_return;
  const console::Steps& put = map.put->steps;
  Trial trial;
  trial.what = "The map";
  if (!map.rules.shared_meanwhile) trial.change.emplace_back(map.free->steps, b);
  trial.change.push_back({put, on_pin_of(map, a, b)});
  const std::optional<WritePermit> agreed = co_await t.person.may_try(
      "May we put " + t.draft.motor_words(a.at("motor")) + " on pin " + b.at("pin") +
          " for a moment, spin it there, and put it back? That shows when a setting takes effect. Nothing is "
          "saved.",
      trial.change);
  if (!agreed) co_return;
  const Values all;
  const teach::Lines before = co_await read_as_it_is(t, map.list, all);
  trial.back.push_back({{put, a}, {put, b}});
  trial.read = map.list;
  trial.before = before;
  std::string seen;
  trial.meanwhile = [&] { return spin_and_compare(t, spun, odd_answers, permit, seen); };
  for (int looks = 0; looks < most_looks && (looks == 0 || seen == "unsure"); ++looks) {
    bool again = true;
    if (looks > 0) again = co_await t.person.confirm("right", "Spin both once more?");
    if (!again) break;
    if (looks > 0) t.person.tell("note-the-motor");
    if (looks > 0) co_await spin_once(t, spun, odd_answers, permit);
    co_await tried(t, trial, *agreed);
  }
  if (seen == "same" || seen == "other") co_await take_effect_as_seen(t, seen == "other");
}

}  // namespace

Task<void> learn_spin(Teaching& t) {
  console::Profile& profile = t.draft.profile;
  if (!profile.spin || !profile.spin->spin.steps.empty()) co_return;
  if (t.draft.map_rows().empty()) {
    leave_out_spin(t, "No motor is on any pin.");
    co_return;
  }
  const bool has_words =
      profile.spin->stop_all.confirms || (profile.spin->stop && profile.spin->stop->confirms);
  if (!has_words && !t.talk.has_prompt() && !t.talk.sound_profile().open.reply_end) {
    leave_out_spin(t, "Nothing tells that the stop was heard.");
    co_return;
  }
  const auto strengths = co_await learn_strengths(t, *profile.spin);
  if (!strengths) {
    leave_out_spin(t, "Without them nothing is spun.");
    co_return;
  }
  const bool sworn = co_await swear_before_the_stop(t);
  if (!sworn) co_return;
  const Answer connected = co_await ask_for_battery(t.person);
  if (std::get<std::string>(connected) != "yes") {
    leave_out_spin(t, "Without a battery no motor turns.");
    co_return;
  }
  std::set<std::string> odd_answers;
  Typed known;
  bool once_more = true;
  while (once_more) once_more = co_await learn_spin_command(t, *strengths, odd_answers, *t.sworn, known);
  if (profile.spin && !profile.spin->spin.steps.empty())
    co_await see_when_it_takes_effect(t, *strengths, odd_answers, *t.sworn);
  t.person.tell("no-more-spins");
}

}  // namespace armwise::session
