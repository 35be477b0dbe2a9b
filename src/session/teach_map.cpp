// Lessons: which motor sits on which pin, and how that is changed.
#include <algorithm>

#include "armwise/base/fault.hpp"
#include "armwise/base/task.hpp"
#include "armwise/base/text.hpp"
#include "armwise/teach/listening.hpp"
#include "armwise/teach/number_bits.hpp"
#include "teach_lessons.hpp"

namespace armwise::session {
namespace {

using console::Values;

console::Codes codes_of(const teach::MapReading& reading) {
  console::Codes codes;
  codes.first_motor = reading.first_motor;
  for (std::size_t i = 0; i < reading.motor_codes.size(); ++i) {
    codes.motor[static_cast<int>(i) + 1] = reading.motor_codes[i];
  }
  return codes;
}

std::string table_in_words(const teach::MapReading& reading) {
  Draft draft;
  draft.profile.codes = codes_of(reading);
  std::string text;
  for (const Values& row : reading.rows) {
    const auto motor = draft.profile.motor_coded(row.at("motor"));
    text += text.empty() ? "" : ", ";
    if (!motor && draft.profile.same(row.at("motor"), reading.no_motor)) {
      text += "pin " + row.at("pin") + " free";
    } else if (!motor) {
      text += "pin " + row.at("pin") + " for something else (\"" + row.at("motor") + "\")";
    } else if (row.at("pin") == reading.no_pin) {
      text += draft.motor_words(row.at("motor")) + " on no pin";
    } else {
      text += draft.motor_words(row.at("motor")) + " on pin " + row.at("pin");
    }
  }
  return text;
}

bool same_rows(std::vector<Values> a, std::vector<Values> b) {
  std::sort(a.begin(), a.end());
  std::sort(b.begin(), b.end());
  return a == b;
}

}  // namespace

Task<bool> is_read_right(Teaching& t, teach::MapReading reading) {
  std::string text = "I read: " + table_in_words(reading) + ". ";
  if (!reading.others.empty()) {
    text += std::to_string(reading.others.size()) + " other lines say something else. ";
  }
  co_return co_await t.person.confirm("right", text + "Is that right?");
}

namespace {

// A few guesses; then it is quicker to point.
Task<std::optional<teach::MapReading>> choose_map_reading(Teaching& t, const teach::Lines& reply) {
  constexpr std::size_t guesses = 3;
  const std::vector<teach::MapReading> readings = teach::map_readings(reply, guesses);
  // Of bits there are many readings; one pin that is known leaves few of them.
  std::string known;
  for (std::size_t i = 0; i < readings.size(); ++i) {
    const bool in_bits = !types_of_bits(readings[i].list).empty();
    const Values& first = readings[i].rows.front();
    if (in_bits && known == "skip") continue;
    if (in_bits && !known.empty() && lower_case(first.at("pin")) != lower_case(known)) continue;
    if (i > 0)
      t.person.tell("another-guess",
                    {{"number", std::to_string(i + 1)}, {"count", std::to_string(readings.size())}});
    const bool right = co_await is_read_right(t, readings[i]);
    if (right) co_return readings[i];
    if (!in_bits || !known.empty()) continue;
    Draft draft;
    draft.profile.codes = codes_of(readings[i]);
    const std::string text =
        "Which pin is " + draft.motor_words(first.at("motor")) + " on, as this console counts them?";
    known = co_await t.person.ask_text_or_skip("pin-now", text);
  }
  co_return std::nullopt;
}

// How many bits of its number a pin may take shows in those that are set only as far as they go.
Task<teach::MapReading> as_high_as_they_go(Teaching& t, teach::MapReading reading, teach::Lines reply) {
  while (teach::may_be_higher(reading)) {
    std::string now;
    for (const Values& row : reading.rows)
      if (row.at("pin").size() > now.size() || (row.at("pin").size() == now.size() && row.at("pin") > now))
        now = row.at("pin");
    const std::string highest = co_await t.person.ask_text(
        "highest-pin",
        "The pin is a part of a number. Which is the highest pin of this console, as it is written here?",
        now);
    if (const auto wider = teach::with_highest_pin(reading, reply, highest)) co_return *wider;
    t.person.tell("not-understood",
                  {{"why", "Pin " + highest + " doesn't fit: the bits that it takes hold something else."}});
  }
  co_return reading;
}

}  // namespace

Task<void> learn_map(Teaching& t) {
  console::Profile& profile = t.draft.profile;
  if (profile.map) {
    const teach::Lines lines = co_await t.talk.read(profile.map->list);
    t.draft.rows = console::rows_read(profile.map->list, lines, false);
    t.draft.as_found.push_back({"The map", profile.map->list, {}, lines});
    t.draft.kept_is_sure = true;
    co_return;
  }
  while (true) {
    const auto said =
        co_await learn_question(t, "list-map", "Type the command that shows which pin drives each motor");
    if (!said) co_return;
    console::Steps steps = t.talk.steps_of(*said);
    auto reading = co_await choose_map_reading(t, said->lines);
    if (!reading) reading = co_await point_at_map(t, *said, steps);
    if (!reading) continue;
    *reading = co_await as_high_as_they_go(t, *reading, said->lines);
    t.draft.kept_is_sure = reading->kept_is_sure;
    const console::Codes codes = codes_of(*reading);
    profile.codes.first_motor = codes.first_motor;
    profile.codes.motor = codes.motor;
    console::MapAbility map;
    map.list = reading->list;
    map.list.steps = steps;
    map.rules.kept = reading->kept;
    map.no_pin = reading->no_pin;
    map.no_motor = reading->no_motor;
    profile.map = std::move(map);
    t.draft.rows = reading->rows;
    t.draft.looked_into.reset();
    const Values all;
    teach::Lines lines = said->lines;
    if (is_asked_of_each(steps)) lines = co_await read_as_it_is(t, profile.map->list, all);
    t.draft.as_found.push_back({"The map", profile.map->list, {}, lines});
    co_return;
  }
}

namespace {

// What stands before the sign in "11=3" is given what stands behind it.
void guess_by_assignment(console::MapAbility& map) {
  for (const console::Step& step : map.put->steps) {
    const std::string& source = step.send.source();
    const std::size_t motor = source.find("{motor"), pin = source.find("{pin"), sign = source.find('=');
    if (std::min(motor, pin) > sign || std::max(motor, pin) < sign ||
        std::max(motor, pin) == std::string::npos)
      continue;
    map.rules.kept = motor < pin ? solve::MapKept::per_motor : solve::MapKept::per_pin;
  }
}

Task<void> ask_how_kept(Teaching& t) {
  if (t.draft.kept_is_sure) co_return;
  guess_by_assignment(*t.draft.profile.map);
  const bool per_pin = t.draft.profile.map->rules.kept == solve::MapKept::per_pin;
  const bool right = co_await t.person.confirm(
      "right", per_pin ? "I take it that each pin is given a motor, not each motor a pin. Is that right?"
                       : "I take it that each motor is given a pin, not each pin a motor. Is that right?");
  if (!right) t.draft.profile.map->rules.kept = per_pin ? solve::MapKept::per_motor : solve::MapKept::per_pin;
  t.draft.kept_is_sure = true;
}

// Two motors on one pin for a moment: may that be? It shows as well that the command does what it says, and
// whether each motor has a pin or each pin a motor.
Task<void> try_sharing(Teaching& t) {
  console::Profile& profile = t.draft.profile;
  const std::vector<Values> there = t.draft.map_rows();
  if (there.size() < 2) co_return;
  const Values &a = there[0], &b = there[1];
  Trial trial;
  trial.what = "The map";
  trial.change.push_back({profile.map->put->steps, on_pin_of(*profile.map, a, b)});
  const std::optional<WritePermit> agreed =
      co_await t.person.may_try("May we put " + t.draft.motor_words(a.at("motor")) + " on pin " +
                                    b.at("pin") + " for a moment, and back? Nothing is saved.",
                                trial.change);
  if (!agreed) {
    const std::vector<Choice> sharing{{"no", "it is refused, the pin must be freed first"}, {"yes", "yes"}};
    const std::string taken =
        co_await t.person.choose("shared", "May a pin stand on two motors meanwhile?", sharing);
    profile.map->rules.shared_meanwhile = taken == "yes";
    co_await ask_how_kept(t);
    co_return;
  }
  const console::MapAbility& map = *profile.map;
  const console::Steps& put = map.put->steps;
  const Values all;
  const teach::Lines before = co_await read_as_it_is(t, map.list, all);
  trial.back.push_back({{put, a}, {put, b}});
  trial.read = map.list;
  trial.before = before;
  Tried found = co_await tried(t, trial, *agreed);
  std::vector<Values> rows = console::rows_read(map.list, found.read.lines, false);
  const std::vector<std::string>& prompts = found.change.prompts;
  const bool asks = prompts.size() > put.size() || (!prompts.empty() && !t.talk.is_top(prompts.back()));
  if (same_rows(rows, t.draft.rows) && !asks) {
    // A command that was garbled on its way was refused for that.
    found = co_await tried(t, trial, *agreed);
    rows = console::rows_read(map.list, found.read.lines, false);
  }
  if (same_rows(rows, t.draft.rows)) {
    profile.map->rules.shared_meanwhile = false;
    t.person.tell("pin-refused");
    const auto refusal = teach::refusal_like(found.change.lines, "");
    if (refusal && !asks && !found.change.refused) profile.refusals.push_back(*refusal);
    co_await ask_how_kept(t);
    co_return;
  }
  // Where the pin is the key, it has changed hands, and the motor has two.
  const bool still_there = std::find(rows.begin(), rows.end(), b) != rows.end();
  const bool has_two = std::find(rows.begin(), rows.end(), a) != rows.end();
  if (t.draft.kept_is_sure || still_there == has_two) co_return;
  profile.map->rules.kept = still_there ? solve::MapKept::per_motor : solve::MapKept::per_pin;
  t.draft.kept_is_sure = true;
}

// The same value again for another motor, by the template alone; then the table must be as it was.
Task<void> prove_assign(Teaching& t, const Learned& learned, const Values& first) {
  console::Command put = learned.command;
  for (const Values& row : t.draft.map_rows()) {
    if (row == first) continue;
    Said said = co_await t.talk.say_again(put.steps, row);
    if (said.refused) said = co_await t.talk.say_again(put.steps, row);
    if (said.refused) {
      t.person.tell("command-left-out", {{"command", said.typed.back()}});
      co_return;
    }
    forget_unless_confirmed(put, said, row);
    break;
  }
  co_await require_as_before(t);
  t.draft.profile.map->put = put;
  co_await try_sharing(t);
}

}  // namespace

Task<void> learn_assign(Teaching& t) {
  if (!t.draft.profile.map || t.draft.profile.map->put) co_return;
  const std::vector<Values> choices = t.draft.values_that_change_nothing();
  if (choices.empty()) co_return;
  const Values& first = choices.front();
  WantedCommand wanted;
  wanted.id = "assign-pin";
  wanted.text = "Type the command that puts " + t.draft.motor_words(first.at("motor")) + " on pin " +
                first.at("pin") + " (as it is now, so nothing changes)";
  wanted.must = {"motor", "pin"};
  wanted.types = types_of_bits(t.draft.profile.map->list);
  wanted.choices = choices;
  wanted.unsent = t.draft.values_not_sent();
  const auto learned = co_await learn_command(t, wanted);
  if (!learned) co_return;
  co_await prove_assign(t, *learned, first);
  t.draft.looked_into.reset();
}

Task<void> learn_free(Teaching& t) {
  console::Profile& profile = t.draft.profile;
  if (!profile.map || !profile.map->put || profile.map->free || profile.map->rules.shared_meanwhile)
    co_return;
  const bool per_pin = profile.map->rules.kept == solve::MapKept::per_pin;
  const std::vector<Values> choices = t.draft.values_that_change_nothing();
  if (choices.empty()) co_return;
  const Values& first = choices.front();
  const Values all;
  const teach::Lines before = co_await read_as_it_is(t, profile.map->list, all);
  WantedCommand wanted;
  wanted.id = "free-pin";
  wanted.text = "Type the command that takes " + t.draft.motor_words(first.at("motor")) + " off pin " +
                first.at("pin") + ". It is sent, and put back at once";
  const auto speech = t.draft.map_speech();
  std::string nothing = per_pin ? profile.map->no_motor : profile.map->no_pin;
  if (nothing.empty()) nothing = teach::word_for_no_pin(t.person.help());
  if (speech && !before.empty()) wanted.proposed = teach::free_like(*speech, before.front(), nothing, first);
  wanted.must = {per_pin ? "pin" : "motor"};
  wanted.may = {per_pin ? "motor" : "pin"};
  wanted.choices = {first};
  wanted.unsent = t.draft.values_not_sent();
  Trial trial;
  trial.what = "The map";
  trial.back.push_back({{profile.map->put->steps, first}});
  trial.read = profile.map->list;
  trial.before = before;
  wanted.trial = trial;
  const auto learned = co_await learn_command(t, wanted);
  if (!learned) co_return;
  for (const Values& row : console::rows_read(profile.map->list, learned->between.lines, false)) {
    if (!per_pin && row.at("motor") == first.at("motor")) profile.map->no_pin = row.at("pin");
    if (per_pin && row.at("pin") == first.at("pin")) profile.map->no_motor = row.at("motor");
  }
  profile.map->free = console::Command{learned->command.steps, std::nullopt};
}

}  // namespace armwise::session
