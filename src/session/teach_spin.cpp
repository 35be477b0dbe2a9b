// Lesson: the spin.
#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <exception>
#include <utility>

#include "armwise/base/cancellation.hpp"
#include "armwise/base/fault.hpp"
#include "armwise/base/text.hpp"
#include "armwise/session/ceremony.hpp"
#include "armwise/teach/listening.hpp"
#include "armwise/teach/units.hpp"
#include "strengths.hpp"
#include "taught_spin.hpp"
#include "teach_flow.hpp"
#include "words.hpp"

namespace armwise::session {
namespace {

using console::Values;
using teach::number_of;

// Well beyond the second after which it is stopped: a stop that does not stop is seen.
constexpr const char* spin_milliseconds = "2500";

bool holds_number(const std::vector<std::string>& lines, const std::string& number) {
  return std::any_of(lines.begin(), lines.end(), [&](const std::string& line) {
    const auto numbers = teach::numbers_in(line);
    return std::find(numbers.begin(), numbers.end(), number) != numbers.end();
  });
}

// Numbers that stand in it and are greater than all that was asked for, as "13000" in the place of "2500".
// Smaller ones lead through menus.
std::vector<std::string> greater_numbers(const std::vector<std::string>& lines, const Values& values) {
  double greatest = 0;
  for (const auto& [blank, value] : values) greatest = std::max(greatest, number_of(value));
  std::vector<std::string> greater;
  for (const std::string& line : lines) {
    for (const std::string& number : teach::numbers_in(line)) {
      if (number_of(number) > greatest) greater.push_back(number);
    }
  }
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

void TeachFlow::leave_out_spin(const std::string& why) {
  person_.say(why + " Spinning is left out.", Level::warn);
  profile_.spin.reset();
}

// As the console writes it.
Values TeachFlow::as_written(Values values) const {
  const auto strength = values.find("strength");
  if (decimal_comma_ && strength != values.end())
    std::replace(strength->second.begin(), strength->second.end(), '.', ',');
  return values;
}

// The lowest strength, as typed; empty where the person skips it.
Task<std::string> TeachFlow::learn_strength(console::SpinAbility& spin) {
  while (true) {
    const std::string typed =
        co_await ask_text("strength-limits", words::or_skip(std::string(strengths_wanted)));
    if (typed == "skip") co_return std::string();
    const Strengths taken = take_strengths(typed, spin);
    if (!taken.trouble.empty()) {
      person_.say(taken.trouble, Level::warn);
      continue;
    }
    decimal_comma_ = taken.decimal_comma;
    const std::vector<std::string>& numbers = taken.numbers;
    const bool right =
        co_await confirm("right", "So the weakest spin is at " + numbers[0] + " " + spin.unit + ", and " +
                                      numbers[2] + " is full strength. Is that right?");
    if (right) co_return numbers[0];
  }
}

// A motor whose code does not stand in the other numbers first, so that one example is enough.
std::vector<Values> TeachFlow::spins_to_ask_for(const console::SpinAbility& spin,
                                                const std::string& lowest) const {
  const std::string stronger =
      spin.decimals > 0 ? "0.07" : std::to_string(static_cast<int>(std::floor(spin.highest)));
  std::vector<Values> all;
  for (const std::string& strength : {lowest, stronger}) {
    std::vector<std::string> codes = motor_codes();
    std::reverse(codes.begin(), codes.end());
    std::stable_partition(codes.begin(), codes.end(), [&](const std::string& code) {
      return (strength + " " + spin_milliseconds).find(code) == std::string::npos;
    });
    for (const std::string& code : codes)
      all.push_back({{"motor", code}, {"strength", strength}, {"milliseconds", spin_milliseconds}});
  }
  return all;
}

void TeachFlow::say_why_not_heard(teach::CommandLesson::Heard heard, const teach::CommandLesson& lesson) {
  person_.say(heard == teach::CommandLesson::Heard::lacks
                  ? "I do not see the " + joined(lesson.missing(), " and the ") + " in it."
                  : "That does not fit. Try once more.",
              Level::warn);
}

Task<bool> TeachFlow::holds_no_greater_number(const Typed& typed, const Values& values) {
  const std::vector<std::string> besides = greater_numbers(typed, values);
  if (besides.empty()) co_return true;
  const bool belongs =
      co_await confirm("right", "\"" + joined(besides, "\" and \"") +
                                    "\" in it is none of what was asked for. It would be sent with "
                                    "every spin. Is that right?");
  co_return belongs;
}

// Typed first, read, and sent only once it is understood: a slip must not spin a motor at full strength.
Task<std::optional<TeachFlow::Learned>> TeachFlow::type_spin(std::vector<Values> choices) {
  Values values = choices.front();
  Learned learned;
  std::optional<teach::CommandLesson> lesson;
  std::string id = "spin-command";
  while (true) {
    const auto typed = co_await ask_command(
        id,
        "Type the command that spins " + motor_words(values.at("motor")) + " at strength " +
            as_written(values).at("strength") + " (for " + spin_milliseconds +
            " ms, where it takes a time). It is not sent before it is understood",
        as_written(values));
    if (!typed) co_return std::nullopt;
    const bool as_asked = co_await holds_no_greater_number(*typed, values);
    if (!as_asked) continue;
    if (!lesson) {
      std::vector<std::string> must{"motor", "strength"};
      if (holds_number(*typed, spin_milliseconds)) must.emplace_back("milliseconds");
      lesson.emplace(must, std::vector<std::string>(), teach::Written::counted_otherwise);
      learned.said.typed = *typed;
      learned.said.prompts.resize(typed->size());
    }
    teach::CommandLesson::Heard heard = teach::CommandLesson::Heard::contradicts;
    try {
      heard = lesson->add(*typed, values);
    } catch (const Fault& fault) {
      person_.say(fault.sentence(), Level::warn);
    }
    if (heard != teach::CommandLesson::Heard::fits) {
      say_why_not_heard(heard, *lesson);
      if (lesson->examples() == 0) lesson.reset();
      continue;
    }
    if (const auto reading = lesson->learned()) {
      bool right = true;
      if (lesson->counts_otherwise())
        right = co_await confirm("right", "\"" + in_a_row(*typed) + "\" names " +
                                              motor_words(values.at("motor")) +
                                              " by another number than the map. Is that right?");
      if (!right) {
        lesson.reset();
        continue;
      }
      learned.reading = *reading;
      co_return learned;
    }
    const auto next = lesson->deciding(choices);
    if (!next) {
      person_.say("It could mean several things.", Level::warn);
      co_return std::nullopt;
    }
    values = *next;
    id = "spin-command-again";
  }
}

Task<std::optional<SpinPermit>> TeachFlow::ask_for_spin_permit() {
  say_cautions(person_);
  ++asked_;
  const Sworn sworn = co_await swear_props_off(person_, nullptr);
  if (sworn.back) throw WantsBack{};
  co_return sworn.permit;
}

Task<void> TeachFlow::learn_spin() {
  if (!profile_.spin || !profile_.spin->spin.steps.empty()) co_return;
  if (map_rows().empty()) {
    leave_out_spin("No motor is on any pin.");
    co_return;
  }
  const std::string lowest = co_await learn_strength(*profile_.spin);
  if (lowest.empty()) {
    leave_out_spin("Without them nothing is spun.");
    co_return;
  }
  const bool sworn = co_await swear_before_the_stop();
  if (!sworn) co_return;
  ++asked_;
  const Answer connected = co_await ask_for_battery(person_);
  if (std::holds_alternative<Back>(connected)) throw WantsBack{};
  if (std::get<std::string>(connected) != "yes") {
    leave_out_spin("Without a battery no motor turns.");
    co_return;
  }
  bool once_more = true;
  while (once_more) once_more = co_await learn_spin_command(lowest, *sworn_);
  if (profile_.spin && !profile_.spin->spin.steps.empty()) co_await see_when_it_takes_effect(lowest, *sworn_);
  person_.say("Nothing turns any more in these lessons: unplug the battery.", Level::warn);
}

// The motor that was just spun is put on another's pin for a moment, and spun there: where it still turns
// what it turned before, a setting takes effect only after a restart. Nobody knows that better than their own
// eyes.
Task<void> TeachFlow::see_when_it_takes_effect(std::string lowest, SpinPermit permit) {
  if (!profile_.map || !profile_.map->put) co_return;
  const console::MapAbility& map = *profile_.map;
  const Values spun = spins_to_ask_for(*profile_.spin, lowest).front();
  Values a, b;
  for (const Values& row : map_rows()) (row.at("motor") == spun.at("motor") ? a : b) = row;
  if (a.empty() || b.empty() || (!map.rules.shared_meanwhile && !map.free)) co_return;
  const console::Steps& put = map.put->steps;
  Trial trial;
  trial.what = "The map";
  if (!map.rules.shared_meanwhile) trial.change.emplace_back(map.free->steps, b);
  trial.change.push_back({put, {{"motor", a.at("motor")}, {"pin", b.at("pin")}}});
  const std::optional<WritePermit> agreed = co_await may_try(
      "May " + motor_words(a.at("motor")) + " be put on pin " + b.at("pin") +
          " for a moment, spun there, and put back? That shows when a setting takes effect. Nothing is kept.",
      trial.change);
  if (!agreed) co_return;
  const Values all;
  const teach::Lines before = co_await read_as_it_is(map.list, all);
  trial.back.push_back({{put, a}, {put, b}});
  trial.read = map.list;
  trial.before = before;
  std::string seen;
  trial.meanwhile = [this, &spun, &permit, &seen] { return spin_and_compare(spun, permit, &seen); };
  co_await tried(trial, *agreed);
  if (seen == "same" || seen == "other") co_await take_effect_as_seen(seen == "other");
}

Task<void> TeachFlow::spin_and_compare(Values values, SpinPermit permit, std::string* seen) {
  teach::Reading reading;
  for (const console::Step& step : profile_.spin->spin.steps) reading.push_back(step.send);
  const Said said = co_await spin_once(reading, values, permit);
  if (said.refused || said.suspended || !said.otherwise.empty()) co_return;
  const std::vector<Choice> choices{{"same", "the same motor as just before, and no other"},
                                    {"other", "another one, or another one as well"},
                                    {"unsure", "none, or I did not see it"}};
  *seen = co_await choose("effect-seen", "Which motor turned now? If one still turns, pull the battery plug.",
                          choices);
}

Task<void> TeachFlow::take_effect_as_seen(bool at_once) {
  const auto effect = at_once ? console::TakesEffect::at_once : console::TakesEffect::after_restart;
  if (profile_.map->takes_effect == effect) co_return;
  person_.say(at_once ? "So a setting takes effect at once."
                      : "So a setting takes effect only after a restart.");
  profile_.map->takes_effect = effect;
  if (profile_.props) profile_.props->takes_effect = effect;
  if (profile_.turn) profile_.turn->takes_effect = effect;
  const bool followed = profile_.sense && profile_.sense->after_mount;
  if (!profile_.mount || followed) co_return;
  profile_.mount->takes_effect = effect;
  if (at_once || !profile_.sense) co_return;
  // That the readings did not follow another mount says nothing then.
  const bool mounted = co_await ask_whether_mounted();
  if (mounted) leave_out_sense("Before a restart nobody can see how the readings follow the mount.");
}

Task<Said> TeachFlow::spin_once(teach::Reading reading, Values values, const SpinPermit& permit) {
  console::Sentry& sentry = options_.watched_by(profile_);
  const auto written = teach::written(reading, values);
  if (!written) throw Fault(FaultKind::internal, "the spin that was taught cannot be written");
  const craft::Motor motor = *profile_.motor_coded(values.at("motor"));
  person_.say("Next, " + motor_words(values.at("motor")) + " spins at strength " + values.at("strength") +
                  ". Any key stops it.",
              Level::danger);
  ++asked_;
  const craft::Pin not_known;
  std::optional<Go> go = co_await ask_for_go(person_, motor, motor, not_known, permit);
  if (!go) throw WantsBack{};
  motors_ = Motors::stop_not_seen;
  const console::Profile spoken = draft();  // which knows how a reply ends where there is no prompt
  TaughtSpin spin(ear_, plug_, person_, spoken, *this, sentry, options_.suspended);
  TaughtSpin::Order order{*written, turns_from(reading), values};
  co_return co_await spin.once(std::move(order), std::move(*go), odd_answers_);
}

// The battery is connected. True where it is to be taught once more.
Task<bool> TeachFlow::learn_spin_command(std::string lowest, SpinPermit permit) {
  const std::vector<Values> choices = spins_to_ask_for(*profile_.spin, lowest);
  const auto learned = co_await type_spin(choices);
  if (!learned) {
    leave_out_spin("No command for it.");
    co_return false;
  }
  if (is_the_stop_a_spin(learned->reading)) {
    person_.say(
        "What you typed as the stop fits this command: it is a spin, and stops nothing. If a motor turns, "
        "pull the battery plug now.",
        Level::danger);
    leave_out_spin("Without a stop nothing is spun.");
    co_return false;
  }
  const Values& values = choices.front();
  // Prompts of a menu show only when it is walked through.
  profile_.spin->spin.steps = steps_of(learned->reading, learned->said);
  const Said said = co_await spin_once(learned->reading, values, permit);
  const bool otherwise = !said.otherwise.empty();
  if (said.refused || said.suspended || otherwise) {
    if (otherwise) {
      odd_answers_.insert(said.otherwise);
      person_.say(
          "It answered \"" + said.otherwise +
              "\": a byte may have been changed on the way, so it was stopped at once. It is taught once "
              "more; an answer that comes again is taken for its way to say it.",
          Level::danger);
    } else if (said.suspended) {
      person_.say("The spin was cut short; it is taught once more.", Level::warn);
    } else {
      refuse_or_tell(said);
    }
    profile_.spin->spin.steps.clear();
    co_return true;
  }
  const bool seen = co_await confirm("spin-seen",
                                     "Did exactly one motor turn, for about a second, and stop again? If one "
                                     "still turns, pull the battery plug now.");
  if (!seen) {
    person_.say("If a motor still turns, pull the battery plug now.", Level::danger);
    profile_.spin->spin.steps.clear();
    const bool again = co_await confirm(
        "right",
        "Either the spin or the stop is another command than you meant. Shall the spin be typed once more?");
    if (!again) leave_out_spin("Then that was not the command.");
    co_return again;
  }
  motors_ = Motors::stop_seen;
  profile_.spin->spin.steps = steps_of(learned->reading, said);
  profile_.spin->spin.confirms = confirmation_among(said, values);
  if (!profile_.spin->bounded()) {
    person_.say(
        "No time stands in this spin, so only a stop ends it. Were armwise and its guard both killed, the "
        "motor "
        "would turn on. If the console takes a time with it, go back and type it with one.",
        Level::warn);
  }
  co_return false;
}

}  // namespace armwise::session
