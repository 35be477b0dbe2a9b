// Lessons: the mount, as angles or as one code out of a list.
#include <algorithm>
#include <array>
#include <cmath>
#include <cstdlib>
#include <map>

#include "armwise/base/fault.hpp"
#include "armwise/base/task.hpp"
#include "armwise/base/text.hpp"
#include "armwise/console/mount_text.hpp"
#include "armwise/teach/rotation_numbers.hpp"
#include "armwise/teach/units.hpp"
#include "teach_axes.hpp"

namespace armwise::session {
namespace {

using console::Values;
using teach::angle_names;
using teach::number_of;
using teach::Typed;

constexpr std::array<double, 3> trial_degrees{10, 20, 30};
bool reads_as_set(const teach::NumbersReading& reading, const Values& values) {
  return std::all_of(values.begin(), values.end(), [&](const auto& entry) {
    const double rounding = 1.01 * std::pow(10, -teach::decimals_of(entry.second));
    return std::abs(number_of(reading.values.at(entry.first)) - number_of(entry.second)) <= rounding;
  });
}

// Where the command names its angles, each must have the number that was asked for it.
std::string other_than_asked(const teach::Typed& typed, const teach::AngleUnit& unit) {
  const auto readings = teach::number_readings(typed, angle_names(), 1);
  if (readings.empty() || !readings.front().named) return {};
  for (std::size_t i = 0; i < angle_names().size(); ++i) {
    const std::string& read = readings.front().values.at(angle_names()[i]);
    if (unit.texts.at(i).empty() || read == unit.texts.at(i)) continue;
    return "It says " + angle_names()[i] + " " + read + ", where " + unit.texts.at(i) +
           " was asked for. It was not sent.";
  }
  return {};
}

// The reading that shows what was set. Where no names told, the numbers do, in whatever order they come.
std::optional<teach::NumbersReading> mount_as_set(const teach::Lines& lines, const Values& values) {
  std::optional<teach::NumbersReading> fits;
  for (const teach::NumbersReading& reading : teach::number_readings(lines, angle_names(), 64)) {
    if (reads_as_set(reading, values) && (!fits || reading.named)) fits = reading;
  }
  if (fits || values.size() < angle_names().size()) return fits;
  std::vector<std::string> order = angle_names();
  std::sort(order.begin(), order.end());
  do {
    for (const teach::NumbersReading& reading : teach::number_readings(lines, order, 64)) {
      if (!fits && !reading.named && reads_as_set(reading, values)) fits = reading;
    }
  } while (std::next_permutation(order.begin(), order.end()));
  return fits;
}

// The command whose answer it is: by its name there, or as the only one that is not used yet.
std::string mount_question_proposed(Draft& draft) {
  if (!draft.configuration) return {};
  const auto there = teach::number_readings(draft.listing().lines, angle_names(), 2);
  const bool found =
      !there.empty() && (there.front().named || (there.size() == 1 && there[0].list.lines.size() == 1));
  std::vector<std::string> unused;
  for (const std::string& line : draft.listing().lines) {
    std::string name = teach::named_in(draft.listing(), line);
    if (found && !name.empty() && there.front().list.lines.front().match(line)) return name;
    const auto is_known = [&](const console::Steps& steps) {
      return !steps.empty() && steps.front().send.source().starts_with(name);
    };
    const bool known = (draft.profile.map && is_known(draft.profile.map->list.steps)) ||
                       (draft.profile.props && is_known(draft.profile.props->read.steps)) ||
                       (draft.profile.turn && is_known(draft.profile.turn->read.steps));
    if (!name.empty() && !known && std::find(unused.begin(), unused.end(), name) == unused.end())
      unused.push_back(name);
  }
  if (found) {
    teach::Lines rows;
    for (const std::string& line : draft.listing().lines) {
      const auto& likes = there.front().list.lines;
      if (std::any_of(likes.begin(), likes.end(),
                      [&](const auto& like) { return like.match(line).has_value(); }))
        rows.push_back(line);
    }
    std::string like_the_map = draft.question_proposed(rows);
    if (!like_the_map.empty()) return like_the_map;
  }
  if (found && !draft.listing().cut) {
    // "seat 0 0 0": this console's commands are words, so its own may be the question.
    for (const std::string& line : draft.listing().lines) {
      if (!there.front().list.lines.front().match(line)) continue;
      std::string own = draft.usual_word(line.substr(0, line.find(' ')));
      if (!own.empty()) return own;
    }
    return draft.whole_configuration_typed();
  }
  return unused.size() == 1 ? unused.front() : std::string();
}

// A console that shows a decimal comma takes one.
teach::Reading with_comma_as_in(const std::vector<console::Template>& shown, const teach::Reading& reading) {
  teach::Reading written;
  for (const console::Template& line : reading) {
    std::string source = line.source();
    for (const std::string& name : angle_names()) {
      const bool comma = std::any_of(shown.begin(), shown.end(), [&](const console::Template& like) {
        return like.source().find("{" + name + ":comma}") != std::string::npos;
      });
      if (comma) source = teach::with_name(source, "{" + name + "}", "{" + name + ":comma}");
    }
    written.push_back(console::Template::parse(source));
  }
  return written;
}

// In base 16 nothing shows how an angle below zero is written, nor whether one may be: so it is tried.
Task<void> learn_below_zero(Teaching& t, console::MountAbility& mount, const Said& said) {
  const bool in_base_16 = std::any_of(mount.set->steps.begin(), mount.set->steps.end(), [](const auto& step) {
    return lower_case(step.send.source()).find(":hex") != std::string::npos;
  });
  if (!in_base_16) co_return;
  const Values other{{"yaw", number_text(-10 * mount.per_degree, 0)}, {"pitch", "0"}, {"roll", "0"}};
  Trial trial;
  trial.what = "The mount";
  trial.change.emplace_back(mount.set->steps, other);
  const auto agreed = co_await t.person.may_try(
      "May we set the mount to yaw -10 for a moment, and back? That shows how this console writes angles "
      "below zero. Nothing is saved.",
      trial.change);
  if (!agreed) co_return;
  trial.back.push_back({{mount.set->steps, teach::values_read(mount.read, said.lines)}});
  trial.read = mount.read;
  trial.before = said.lines;
  const Tried found = co_await tried(t, trial, *agreed);
  mount.positive = found.change.refused || teach::values_read(mount.read, found.read.lines) != other;
  if (mount.positive) t.person.tell("no-negative-angles");
}

// Which number is which may show only once they differ: so the old ones are put back in each order, until the
// mount reads as before.
Task<Tried> try_mount(Teaching& t, WritePermit agreed, const console::MountAbility& mount, const Said& said,
                      const teach::Reading& reading, const Said& literally) {
  Trial trial;
  trial.what = "The mount";
  trial.change.emplace_back(t.talk.steps_of(literally), Values{});
  trial.read = mount.read;
  trial.before = said.lines;
  const console::Steps steps = t.talk.steps_of(reading, literally);
  std::vector<std::string> order = angle_names();
  std::vector<Values> old;
  const auto add_all = [&] {
    for (const teach::NumbersReading& now : teach::number_readings(said.lines, order))
      if (std::find(old.begin(), old.end(), now.values) == old.end()) old.push_back(now.values);
  };
  add_all();
  std::sort(order.begin(), order.end());
  do {
    add_all();
  } while (std::next_permutation(order.begin(), order.end()));
  for (const Values& values : old) trial.back.push_back({{steps, values}});
  co_return co_await tried(t, trial, agreed);
}

// Pitch and roll as yaw, by their names.
Task<void> learn_other_angles(Teaching& t, console::MountAbility& mount, const console::Command& yaw,
                              const Said& said) {
  const Values before = teach::values_read(mount.read, said.lines);
  std::array<std::optional<console::Command>, 3> sets{yaw};
  for (std::size_t i = 1; i < 3 && sets.at(i - 1) && before.size() == 3; ++i) {
    const std::string& name = angle_names()[i];
    const Values as_now{{name, before.at(name)}};
    std::string proposed;
    for (const console::Step& step : yaw.steps) {
      const std::string like = teach::with_name(step.send.source(), "yaw", name);
      proposed += (proposed.empty() ? "" : " ; ") + console::Template::parse(like).format(as_now);
    }
    WantedCommand wanted;
    wanted.id = "set-" + name;
    wanted.text = "Type the command that sets " + name + " to " + before.at(name) +
                  " (as it is now, so nothing changes)";
    wanted.proposed = proposed;
    wanted.must = {name};
    wanted.choices = {as_now};
    for (const int degrees : {7, 13})
      wanted.unsent.push_back({{name, number_text(mount.per_degree * degrees, mount.decimals)}});
    auto learned = co_await learn_command(t, wanted);
    if (!learned) break;
    Values other = before;
    other[name] = number_text(mount.per_degree * 20, mount.decimals);
    const bool works = co_await try_change(t, learned->command, mount.read, before, other, name);
    if (works) sets.at(i) = learned->command;
  }
  if (!sets[2]) {
    t.person.tell("mount-setting-left-out");
    co_return;
  }
  mount.set_yaw = sets[0];
  mount.set_pitch = console::Command{sets[1]->steps, std::nullopt};
  mount.set_roll = console::Command{sets[2]->steps, std::nullopt};
}

// Asks for the command until it is read in one way; what it sets is put back.
Task<void> learn_set_mount(Teaching& t, console::MountAbility& mount, const Said& said) {
  const Values angles{{"yaw", "10"}, {"pitch", "20"}, {"roll", "30"}};
  std::string proposed = t.draft.set_proposal(said, mount.read, angles, "", "");
  while (true) {
    const auto agreed = co_await t.person.ask_to_send(
        "set-yaw",
        "Type the command that sets the mount to yaw 10, pitch 20 and roll 30 degrees, as this console "
        "counts"
        " (where it takes them one by one: yaw only). It is sent, and put back after",
        angles, proposed);
    if (!agreed) co_return;
    const Typed* typed = &agreed->lines();
    if (in_a_row(*typed) == proposed) proposed.clear();
    const auto unit = teach::angle_unit(*typed, trial_degrees);
    if (!unit) {
      t.person.tell("not-in-it",
                    {{"missing", "10, 20 and 30 degrees (in degrees, tenths, hundredths or radians)"}});
      continue;
    }
    if (const std::string slip = other_than_asked(*typed, *unit); !slip.empty()) {
      t.person.tell("not-understood", {{"why", slip}});
      continue;
    }
    const bool one_by_one = unit->texts[1].empty();
    teach::CommandLesson lesson(one_by_one ? std::vector<std::string>{"yaw"} : angle_names());
    Values values;
    for (std::size_t i = 0; i < (one_by_one ? 1U : 3U); ++i) values[angle_names()[i]] = unit->texts.at(i);
    if (lesson.add(*typed, values) != teach::CommandLesson::Heard::fits || !lesson.learned()) {
      t.person.tell("ambiguous");
      continue;
    }
    mount.per_degree = unit->per_degree;
    mount.signs = unit->signs;
    Said literally;
    literally.typed = *typed;
    const teach::Reading reading = with_comma_as_in(mount.read.lines, *lesson.learned());
    const Tried found = co_await try_mount(t, *agreed, mount, said, reading, literally);
    if (found.change.refused) {
      t.talk.refuse_or_tell(found.change);
      continue;
    }
    auto fits = mount_as_set(found.read.lines, values);
    // Set one by one, under names of the console's own.
    if (!fits && one_by_one) {
      fits = co_await point_at_numbers(t, said.lines, angle_names());
      if (fits) fits->values = teach::values_read(fits->list, found.read.lines);
      if (fits && (fits->values.size() < angle_names().size() || !reads_as_set(*fits, values))) fits.reset();
    }
    // What was read once with a byte lost or changed reads nothing else.
    if (!fits || teach::values_read(fits->list, said.lines).size() < values.size()) {
      t.person.tell("not-as-set", {{"value", in_a_row(*typed)}});
      co_return;
    }
    mount.read = fits->list;
    mount.read.steps = t.talk.steps_of(said);
    for (const auto& [name, text] : fits->values)
      mount.decimals = std::max(mount.decimals, teach::decimals_of(text));
    const console::Command set{t.talk.steps_of(reading, found.change), std::nullopt};
    if (one_by_one) {
      co_await learn_other_angles(t, mount, set, said);
    } else {
      mount.set = set;
      co_await learn_below_zero(t, mount, said);
    }
    co_return;
  }
}

// "w 0.9437, x 0.1277", in the order in which they are shown.
std::string numbers_in_words(const teach::RotationReading& shown, const Values& values) {
  std::vector<std::string> all;
  const std::vector<std::string>& names = craft::number_names(shown.form);
  for (std::size_t i = 0; i < names.size(); ++i)
    all.push_back((shown.labels.empty() ? "" : shown.labels[i] + " ") + values.at(names[i]));
  if (shown.w_last) std::rotate(all.begin(), all.begin() + 1, all.end());
  return joined(all, ", ");
}

// The other numbers as the first, by their labels; or as they are typed.
Task<console::Steps> one_by_one(Teaching& t, const teach::RotationReading& shown, console::Steps first) {
  const std::vector<std::string>& names = craft::number_names(shown.form);
  teach::Reading reading;
  for (const console::Step& step : first) reading.push_back(step.send);
  console::Steps all = first;
  for (std::size_t i = 1; i < names.size(); ++i) {
    auto like = shown.labels.empty() ? std::nullopt
                                     : teach::with_label(reading, shown.labels.front(), shown.labels[i]);
    for (std::size_t step = 0; like && step < first.size(); ++step) {
      const std::string source =
          teach::with_name((*like)[step].source(), "{" + names.front(), "{" + names[i]);
      all.push_back({console::Template::parse(source), first[step].prompt});
    }
    if (like) continue;
    WantedCommand wanted;
    wanted.id = "set-numbers";
    const std::string now = shown.numbers.values.at(names[i]);
    wanted.text = "Type the command that sets " +
                  (shown.labels.empty() ? "number " + std::to_string(i + 1) : shown.labels[i]) +
                  " of the mount to " + now + " (as it is now, so nothing changes)";
    wanted.must = {names[i]};
    wanted.choices = {{{names[i], now}}};
    for (const char* other : {"0.7", "0.13"}) wanted.unsent.push_back({{names[i], other}});
    const auto learned = co_await learn_command(t, wanted);
    if (!learned) co_return console::Steps();
    all.insert(all.end(), learned->command.steps.begin(), learned->command.steps.end());
  }
  co_return all;
}

// Set for a moment, and put back. True where it read as it was set.
Task<bool> try_numbers(Teaching& t, const console::MountAbility& mount, const teach::RotationReading& shown,
                       const console::Steps& set, WritePermit agreed, const console::Steps& send,
                       Values values, const Said& said, Tried& found) {
  Trial trial;
  trial.what = "The mount";
  trial.change.emplace_back(send, values);
  trial.back.push_back({{set, shown.numbers.values}});
  trial.read = mount.read;
  trial.before = said.lines;
  found = co_await tried(t, trial, agreed);
  teach::NumbersReading read;
  read.values = teach::values_read(mount.read, found.read.lines);
  co_return read.values.size() == shown.numbers.values.size() && reads_as_set(read, values);
}

Task<void> learn_set_numbers(Teaching& t, console::MountAbility& mount, teach::RotationReading shown,
                             const Said& said) {
  const std::vector<std::string>& names = craft::number_names(shown.form);
  const craft::YawPitchRoll turned{trial_degrees[0], trial_degrees[1], trial_degrees[2]};
  const Values values = console::mount_values(mount, turned);
  const std::string first = names.front();
  const Values first_value{{first, values.at(first)}};
  Values asked = values;
  if (!shown.labels.empty()) asked.insert({{"name", shown.labels.front()}, {"number", values.at(first)}});
  const std::string only = shown.labels.empty() ? values.at(first) : shown.labels.front();
  const std::string text = "Type the command that sets the mount's numbers to " +
                           numbers_in_words(shown, values) + " (where it takes them one by one: " + only +
                           " only). It is sent, and put back after";
  while (true) {
    const auto agreed = co_await t.person.ask_to_send("set-numbers", text, asked);
    if (!agreed) co_return;
    teach::CommandLesson all(names), one({first});
    const bool at_once = all.add(agreed->lines(), values) == teach::CommandLesson::Heard::fits;
    const bool fits = at_once || one.add(agreed->lines(), first_value) == teach::CommandLesson::Heard::fits;
    const auto reading = at_once ? all.learned() : one.learned();
    if (!fits || !reading) {
      t.person.tell("not-in-it", {{"missing", numbers_in_words(shown, values)}});
      continue;
    }
    Said literally;
    literally.typed = agreed->lines();
    Tried found;
    const bool set_so =
        co_await try_numbers(t, mount, shown, t.talk.steps_of(*reading, literally), *agreed,
                             t.talk.steps_of(literally), at_once ? values : first_value, said, found);
    if (found.change.refused) {
      t.talk.refuse_or_tell(found.change);
      continue;
    }
    console::Steps steps = t.talk.steps_of(*reading, found.change);
    bool works = set_so;
    if (works && !at_once) {
      steps = co_await one_by_one(t, shown, steps);
      if (steps.empty()) co_return;
      const Writes writes{{steps, values}};
      const auto may =
          co_await t.person.may_try("May we set the mount to " + numbers_in_words(shown, values) +
                                        " for a moment, and back? Nothing is saved.",
                                    writes);
      if (!may) co_return;
      works = co_await try_numbers(t, mount, shown, steps, *may, steps, values, said, found);
    }
    if (works) mount.set = console::Command{steps, std::nullopt};
    if (!works) t.person.tell("not-as-set", {{"value", numbers_in_words(shown, values)}});
    co_return;
  }
}

Task<void> learn_mount_numbers(Teaching& t, const Said& said, teach::RotationReading shown) {
  console::MountAbility mount;
  mount.form = shown.form;
  mount.one = shown.one;
  mount.read = shown.numbers.list;
  mount.read.steps = t.talk.steps_of(said);
  for (const auto& [name, text] : shown.numbers.values)
    mount.decimals = std::max(mount.decimals, teach::decimals_of(text));
  // Whole ones cannot be all that it takes.
  if (mount.one < 2 && mount.decimals == 0) mount.decimals = 4;
  t.draft.as_found.push_back({"The mount", mount.read, {}, said.lines});
  co_await learn_set_numbers(t, mount, std::move(shown), said);
  t.draft.profile.notes.emplace_back(signs_assumed_note);
  t.draft.profile.mount = mount;
}

// Of readings of the same numbers nothing tells which is right: so it is asked. Absent: they are angles, or
// nothing of this.
Task<std::optional<teach::RotationReading>> choose_rotation(
    Teaching& t, std::vector<teach::RotationReading> rotations,
    const std::vector<teach::NumbersReading>& angles) {
  if (rotations.empty() || (!angles.empty() && angles.front().named)) co_return std::nullopt;
  if (rotations.size() == 1 && angles.empty()) co_return rotations.front();
  std::vector<Choice> choices;
  if (!angles.empty()) choices.push_back({"angles", "three angles"});
  for (const teach::RotationReading& each : rotations) {
    if (each.form == craft::RotationForm::matrix) {
      choices.push_back({"matrix", "nine numbers, a rotation matrix"});
    } else if (each.w_last) {
      choices.push_back({"w-last", "four numbers, a quaternion: no turn is 0 0 0 1"});
    } else {
      choices.push_back({"w-first", "four numbers, a quaternion: no turn is 1 0 0 0"});
    }
  }
  choices.push_back({"none", "nothing of this"});
  const std::string form =
      co_await t.person.choose("mount-form", "What are the numbers of the mount?", choices);
  for (teach::RotationReading& each : rotations) {
    const bool matrix = each.form == craft::RotationForm::matrix;
    if (form == (matrix ? "matrix" : each.w_last ? "w-last" : "w-first")) co_return each;
  }
  co_return std::nullopt;
}

Task<void> learn_mount_angles(Teaching& t, const Said& said, std::vector<teach::NumbersReading> readings) {
  console::MountAbility mount;
  mount.read = readings.front().list;
  mount.read.steps = t.talk.steps_of(said);
  t.draft.as_found.push_back({"The mount", mount.read, {}, said.lines});
  co_await learn_set_mount(t, mount, said);
  if (!readings.front().named && !mount.set && !mount.set_yaw) {
    t.person.tell("angle-order-unsure");
    t.draft.as_found.pop_back();
    co_return;
  }
  t.draft.as_found.back().read = mount.read;
  t.draft.profile.notes.emplace_back(order_assumed_note);
  t.draft.profile.mount = mount;
}

// Asked until each code has its three angles.
Task<std::map<std::string, craft::YawPitchRoll>> learn_own_mount_list(Teaching& t) {
  std::map<std::string, craft::YawPitchRoll> codes;
  while (true) {
    const std::string told = co_await t.person.ask_text(
        "mount-codes", "Type the codes, each with yaw, pitch and roll in degrees: \"1=0,0,0 2=90,0,0\"");
    codes.clear();
    std::string table;
    std::vector<std::string> words;
    for (const teach::Span& word : teach::words_of(told)) words.push_back(word.of(told));
    bool all = words.size() % 4 == 0;
    for (std::size_t i = 0; all && i < words.size(); i += 4) {
      const auto is_angle = [&](std::size_t k) {
        return teach::numbers_in(words[k]) == std::vector{words[k]};
      };
      all = is_angle(i + 1) && is_angle(i + 2) && is_angle(i + 3) && !codes.contains(words[i]);
      codes[words[i]] = {number_of(words[i + 1]), number_of(words[i + 2]), number_of(words[i + 3])};
      table += (table.empty() ? "" : "; ") + words[i] + ": yaw " + words[i + 1] + ", pitch " + words[i + 2] +
               ", roll " + words[i + 3];
    }
    if (all && !codes.empty()) {
      t.person.tell("reading", {{"read", table}});
      co_return codes;
    }
    t.person.tell("codes-unfit");
  }
}

Task<std::map<std::string, craft::YawPitchRoll>> learn_mount_list(Teaching& t) {
  const std::vector<Choice> meanings{{"mavlink", "the numbers of MAVLink's sensor orientations"},
                                     {"own", "a list of the console's own"},
                                     {"skip", "leave the mount out"}};
  const std::string list =
      co_await t.person.choose("mount-list", "What do the codes of the mount mean?", meanings);
  std::map<std::string, craft::YawPitchRoll> codes;
  if (list == "mavlink") {
    codes = console::load_profile(R"({"armwise_profile":1,"name":"n","open":{"prompt":">"},
      "mount":{"read":{"send":"m","lines":["{mount}"]},"codes":"mavlink-sensor-orientation"}})")
                .mount->codes;
  } else if (list == "own") {
    codes = co_await learn_own_mount_list(t);
  }
  co_return codes;
}

// Codes that are some bits of one of the numbers shown: the command that sets another one tells which.
Task<void> learn_mount_bits(Teaching& t, const Said& said) {
  std::vector<InBits> numbers;
  for (const teach::WordReading& word : teach::word_readings(said.lines, "mount")) {
    if (!teach::may_hold_several({word.value})) continue;
    InBits& number = numbers.emplace_back();
    number.shown = console::Query::reading({word.line});
    number.shown.steps = t.talk.steps_of(said);
    number.row["mount"] = word.value;
    number.blank = "mount";
    number.reply = said.lines;
  }
  if (numbers.empty()) co_return;
  console::MountAbility mount;
  mount.codes = co_await learn_mount_list(t);
  std::string largest;
  for (const auto& [code, angles] : mount.codes)
    if (std::pair(code.size(), code) > std::pair(largest.size(), largest)) largest = code;
  for (auto code = mount.codes.rbegin(); code != mount.codes.rend(); ++code) {
    const Values asked{{"mount", code->first}};
    const std::string text =
        "Type the command that sets the mount to " + code->first + ". It is sent, and put back after";
    const auto agreed = co_await t.person.ask_to_send("set-yaw", text, asked);
    if (!agreed) co_return;
    std::vector<InBits> fit;
    for (InBits each : numbers) {
      each.value = code->first;
      each.largest = largest;
      if (bits_told(each, agreed->lines()).size() == 1) fit.push_back(each);
    }
    if (fit.size() != 1) {
      if (!fit.empty()) t.person.tell("ambiguous");
      if (fit.empty()) t.person.tell("not-understood", {{"why", not_one_bit}});
      continue;
    }
    const auto learned = co_await learn_bits(t, fit.front(), *agreed);
    if (!learned) continue;
    mount.read = learned->read;
    mount.set = learned->set;
    t.draft.profile.mount = mount;
    co_return;
  }
}

Task<void> learn_mount_code(Teaching& t, const Said& said) {
  std::string now;
  auto query = co_await choose_word(t, said.lines, "mount", "mount-word", "Which word is the mount?", now);
  if (!query) {
    co_await learn_mount_bits(t, said);
    co_return;
  }
  query->steps = t.talk.steps_of(said);
  console::MountAbility mount;
  mount.read = *query;
  mount.codes = co_await learn_mount_list(t);
  if (mount.codes.empty()) co_return;
  std::string other;
  for (const auto& [code, angles] : mount.codes) {
    if (code != now) other = code;
  }
  t.draft.as_found.push_back({"The mount", mount.read, {}, said.lines});
  mount.set = co_await learn_set_word(t, "set-yaw", said, mount.read, "mount", now, other);
  t.draft.profile.mount = mount;
}

}  // namespace

Task<void> learn_mount(Teaching& t) {
  if (t.draft.profile.mount) co_return;
  const std::string proposed = mount_question_proposed(t.draft);
  const auto said = co_await learn_question(t, "read-mount",
                                            "Type the command that shows how the board is mounted", proposed);
  if (!said) co_return;
  // What reads otherwise the next time, as a clock does, is no setting.
  const Said again = co_await t.talk.say_again(t.talk.steps_of(*said), Values());
  const auto changes = [&](const teach::NumbersReading& reading) {
    return teach::values_read(reading.list, again.lines) != reading.values;
  };
  std::vector<teach::NumbersReading> readings = teach::number_readings(said->lines, angle_names());
  std::erase_if(readings, changes);
  std::vector<teach::RotationReading> rotations = teach::rotation_readings(said->lines);
  std::erase_if(rotations, [&](const auto& each) { return changes(each.numbers); });
  const auto rotation = co_await choose_rotation(t, rotations, readings);
  if (rotation) {
    co_await learn_mount_numbers(t, *said, *rotation);
  } else if (readings.empty()) {
    co_await learn_mount_code(t, *said);
  } else {
    co_await learn_mount_angles(t, *said, readings);
  }
}

// Readings that the mount does not turn tell nothing of its unit, nor does a rehearsal: whoever typed 10 for
// ten degrees, where the console counts tenths, would fly with a tenth of the turn.
Task<void> learn_angle_unit(Teaching& t) {
  std::optional<console::MountAbility>& mount = t.draft.profile.mount;
  std::vector<std::string>& notes = t.draft.profile.notes;
  const bool measured = std::find(notes.begin(), notes.end(), order_assumed_note) == notes.end();
  if (!mount || !mount->settable() || !mount->codes.empty() || mount->per_degree != 1 || measured) co_return;
  const bool degrees = co_await t.person.confirm(
      "right", "Nothing has shown how its mount counts. To this console, is 10 ten degrees?");
  if (degrees) co_return;
  const std::vector<Choice> units{
      {"tenths", "one degree: it counts tenths"},
      {"hundredths", "a tenth of a degree: it counts hundredths"},
      {"unknown", "something else, or I do not know: the mount is then set by hand"}};
  const std::string unit = co_await t.person.choose("angle-unit", "What is 10 to it, then?", units);
  if (unit == "unknown") {
    mount->set.reset();
    mount->set_yaw.reset();
    mount->set_pitch.reset();
    mount->set_roll.reset();
    t.person.tell("mount-setting-left-out");
    co_return;
  }
  mount->per_degree = unit == "tenths" ? 10 : 100;
}

}  // namespace armwise::session
