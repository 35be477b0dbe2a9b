// The settings of a saved session, and its spins: prop direction, turns, mount, stop and spin.
#include <algorithm>
#include <array>
#include <cstdlib>

#include "armwise/base/task.hpp"
#include "armwise/base/text.hpp"
#include "armwise/teach/guesses.hpp"
#include "armwise/teach/units.hpp"
#include "strengths.hpp"
#include "teach_log.hpp"
#include "words.hpp"

namespace armwise::session {
namespace {

using console::Values;
using teach::angle_names;

bool stands_in(const std::string& command, const std::string& value) {
  return lower_case(command).find(lower_case(value)) != std::string::npos;
}

// Each motor in it, with each other number as the strength, and each third as the milliseconds, first those
// with the most in them.
std::vector<Values> spins_in(const std::string& command, const std::vector<std::string>& motors,
                             const console::SpinAbility& spin) {
  const std::vector<std::string> numbers = teach::numbers_in(command);
  std::vector<Values> bounded, free;
  for (const std::string& motor : motors) {
    if (!stands_in(command, motor)) continue;
    for (const std::string& strength : numbers) {
      const double value = std::strtod(strength.c_str(), nullptr);
      if (strength == motor || value <= spin.zero || value > spin.full) continue;
      free.push_back({{"motor", motor}, {"strength", strength}});
      for (const std::string& time : numbers) {
        const bool whole = time.find('.') == std::string::npos;
        const bool usual = whole && std::strtod(time.c_str(), nullptr) >= 100;
        if (!usual || time == motor || time == strength) continue;
        bounded.push_back({{"motor", motor}, {"strength", strength}, {"milliseconds", time}});
      }
    }
  }
  bounded.insert(bounded.end(), free.begin(), free.end());
  return bounded;
}

std::string spin_in_words(const Values& values) {
  const auto time = values.find("milliseconds");
  return "motor " + values.at("motor") + " is spun at strength " + values.at("strength") +
         (time == values.end() ? std::string() : " for " + time->second + " ms");
}

std::string angles_in_words(const Values& values) {
  std::vector<std::string> angles;
  for (const std::string& name : angle_names()) {
    const auto value = values.find(name);
    if (value != values.end()) angles.push_back(name + " " + value->second);
  }
  return "the mount is set to " + joined(angles, ", ");
}

// The numbers of the command as the angles, in each order.
std::vector<Values> angles_in(const std::string& command) {
  std::vector<Values> found;
  std::vector<std::string> order = angle_names();
  for (const teach::NumbersReading& reading : teach::number_readings({command}, order, 1))
    found.push_back(reading.values);
  std::sort(order.begin(), order.end());
  do {
    for (const teach::NumbersReading& reading : teach::number_readings({command}, order, 1)) {
      if (std::find(found.begin(), found.end(), reading.values) == found.end())
        found.push_back(reading.values);
    }
  } while (std::next_permutation(order.begin(), order.end()));
  return found;
}

// Where each number stands behind its angle's name, that tells, even where all are 0.
std::optional<teach::NumbersReading> named_angles(const std::string& command,
                                                  const std::vector<std::string>& names) {
  const auto readings = teach::number_readings({command}, names, 1);
  if (readings.empty() || !readings.front().named || readings.front().lines.size() != 1) return std::nullopt;
  const console::Template& like = readings.front().lines.front();
  return like.has("skip") || like.has("rest") ? std::nullopt : std::optional(readings.front());
}

}  // namespace

// The word that stands against the one that is set; empty where nobody knows.
Task<std::string> LogFlow::other_word(std::string id, std::string text, std::string now) {
  const std::string usual = teach::opposite_word(now);
  if (!usual.empty()) {
    const bool is_it = co_await right(text + " \"" + usual + "\".");
    if (is_it) co_return usual;
  }
  co_return co_await typed(std::move(id), text + ": type the word");
}

Task<void> LogFlow::props() {
  const teach::SavedExchange* chosen = co_await choose("read-props", "shows the prop direction");
  if (chosen == nullptr) co_return;
  const auto readings = teach::word_readings(chosen->reply, "props");
  std::vector<Choice> words;
  for (std::size_t i = 0; i < readings.size(); ++i)
    words.push_back(
        {std::to_string(i + 1), readings[i].value + " (in \"" + readings[i].line.source() + "\")"});
  words.push_back(words::none_of_these());
  const std::string key = co_await one_of("props-word", "Which word is the prop direction?", words);
  const std::size_t number = std::strtoul(key.c_str(), nullptr, 10);
  if (number < 1 || number > readings.size()) co_return;
  const std::string now = readings[number - 1].value;
  const std::vector<Choice> schemes{{"in", "props in"}, {"out", "props out"}};
  const std::string scheme = co_await one_of("props-now", "What does \"" + now + "\" mean?", schemes);
  if (scheme != "in" && scheme != "out") co_return;
  const bool is_in = scheme == "in";
  console::PropsAbility props;
  props.read.steps = steps_of(*chosen);
  props.read.lines.push_back(readings[number - 1].line);
  const std::string other =
      co_await other_word(is_in ? "props-out-command" : "props-in-command",
                          std::string("For props ") + (is_in ? "out" : "in") + " the console writes", now);
  (is_in ? profile_.codes.props_in : profile_.codes.props_out) = now;
  if (!other.empty()) (is_in ? profile_.codes.props_out : profile_.codes.props_in) = other;
  profile_.props = props;
  if (other.empty()) co_return;
  known_.words = {now, other};
  const teach::SavedExchange* set =
      co_await choose(is_in ? "props-in-command" : "props-out-command", "sets the prop direction");
  if (set == nullptr) co_return;
  const std::vector<Values> choices{{{"props", now}}, {{"props", other}}};
  const InWords in_words = [](const Values& values) {
    return "the prop direction is set to " + values.at("props");
  };
  const auto settled = co_await settle(set->command, choices, in_words);
  if (settled) profile_.props->set = console::Command{{{settled->command, ""}}, std::nullopt};
}

Task<void> LogFlow::turn() {
  const teach::SavedExchange* chosen = co_await choose("read-turn", "shows which way the motors turn");
  if (chosen == nullptr) co_return;
  const teach::TurnReading reading =
      teach::turn_readings(chosen->reply, known_.motors, known_.pins, 1).front();
  console::TurnAbility turn;
  turn.key = reading.key;
  turn.read = reading.list;
  turn.read.steps = steps_of(*chosen);
  profile_.turn = turn;
  const std::string now = reading.rows.back().at("turn");
  const std::vector<Choice> ways{{"cw", "clockwise"}, {"ccw", "counter-clockwise"}};
  const std::string way = co_await one_of("turn-now", "What does \"" + now + "\" mean?", ways);
  if (way != "cw" && way != "ccw") co_return;
  const bool is_cw = way == "cw";
  std::string other;
  for (const std::string& code : reading.codes) {
    if (lower_case(code) != lower_case(now)) other = code;
  }
  if (other.empty()) {
    other = co_await other_word(is_cw ? "set-turn-ccw" : "set-turn-cw",
                                "For the other way the console writes", now);
  }
  (is_cw ? profile_.codes.cw : profile_.codes.ccw) = now;
  if (other.empty()) co_return;
  (is_cw ? profile_.codes.ccw : profile_.codes.cw) = other;
  co_await set_turn(*profile_.turn, now, other);
}

Task<void> LogFlow::set_turn(console::TurnAbility& turn, std::string now, std::string other) {
  known_.words = {now, other};
  const bool is_cw = profile_.codes.cw == now;
  const teach::SavedExchange* chosen =
      co_await choose(is_cw ? "set-turn-cw" : "set-turn-ccw", "sets which way a motor turns");
  if (chosen == nullptr) co_return;
  const std::string key = turn.key == solve::TurnKey::pin ? "pin" : "motor";
  std::vector<Values> choices;
  for (const std::string& code : {now, other}) {
    for (const std::string& value : key == "pin" ? known_.pins : known_.motors)
      choices.push_back({{key, value}, {"turn", code}});
  }
  const InWords in_words = [key](const Values& values) {
    return key + " " + values.at(key) + " is set to turn " + values.at("turn");
  };
  const auto settled = co_await settle(chosen->command, choices, in_words);
  if (settled) turn.set = console::Command{{{settled->command, ""}}, std::nullopt};
}

Task<void> LogFlow::mount() {
  const teach::SavedExchange* chosen = co_await choose("read-mount", "shows how the board is mounted");
  if (chosen == nullptr) co_return;
  console::MountAbility mount;
  mount.read.lines = teach::number_readings(chosen->reply, angle_names(), 1).front().lines;
  mount.read.steps = steps_of(*chosen);
  co_await set_mount(mount);
  profile_.mount = mount;
}

Task<void> LogFlow::set_mount(console::MountAbility& mount) {
  const teach::SavedExchange* chosen =
      co_await choose("set-yaw", "sets the mount (its yaw, where each angle is set by itself)");
  if (chosen == nullptr) co_return;
  auto named = named_angles(chosen->command, angle_names());
  const bool all_at_once = named || !angles_in(chosen->command).empty();
  const std::vector<std::string> yaw_alone{"yaw"};
  if (!all_at_once) named = named_angles(chosen->command, yaw_alone);
  std::optional<Settled> settled;
  if (named) {
    const console::Template& like = named->lines.front();
    const bool is_it =
        co_await right("Then " + angles_in_words(named->values) + " by \"" + like.source() + "\".");
    if (is_it) settled = Settled{like, named->values};
  } else if (all_at_once) {
    const InWords in_words = angles_in_words;
    settled = co_await settle(chosen->command, angles_in(chosen->command), in_words);
  }
  if (!settled) co_return;
  const auto command = [](const console::Template& like) {
    return console::Command{{{like, ""}}, std::nullopt};
  };
  if (all_at_once) {
    mount.set = command(settled->command);
  } else {
    const std::string yaw = settled->command.source();
    const std::string pitch = teach::with_name(yaw, "yaw", "pitch");
    // The name stands in the blank; where it stands nowhere else, nothing tells the other angles' commands.
    if (yaw.find("yaw") == yaw.rfind("yaw")) {
      person_.tell("yaw-unnamed");
      co_return;
    }
    mount.set_yaw = command(settled->command);
    mount.set_pitch = command(console::Template::parse(pitch));
    mount.set_roll = command(console::Template::parse(teach::with_name(yaw, "yaw", "roll")));
  }
  co_await ask_angle_unit(mount);
}

// At the console the command is proposed for known degrees.
Task<void> LogFlow::ask_angle_unit(console::MountAbility& mount) {
  const std::vector<Choice> units{{"degrees", "90 for a right angle"},
                                  {"tenths", "900 for a right angle"},
                                  {"hundredths", "9000 for a right angle"},
                                  {"radians", "1.5708 for a right angle"}};
  const std::string unit = co_await one_of("mount-unit", "Its numbers are", units);
  constexpr double degree = 0.017453292519943295;
  constexpr int radian_decimals = 4;
  if (unit == "tenths") mount.per_degree = 10;
  if (unit == "hundredths") mount.per_degree = 100;
  if (unit == "radians") mount.per_degree = degree;
  if (unit == "radians") mount.decimals = radian_decimals;
}

// False where the person skips them.
Task<bool> LogFlow::strengths(console::SpinAbility& spin) {
  while (true) {
    const std::string line = co_await typed("strength-limits", strengths_wanted);
    if (line.empty()) co_return false;
    const Strengths taken = take_strengths(line, spin);
    if (taken.trouble.empty()) co_return true;
    person_.tell("not-understood", {{"why", taken.trouble}});
  }
}

// Without a stop no spin is taken up.
Task<void> LogFlow::spin() {
  if (known_.motors.empty()) co_return;
  const auto stop = co_await order("stop-command", "stops all motors");
  if (!stop) co_return;
  const teach::SavedExchange* chosen = co_await choose("spin-command", "spins one motor");
  if (chosen == nullptr) co_return;
  console::SpinAbility spin;
  spin.stop_all = *stop;
  const bool known = co_await strengths(spin);
  if (!known) co_return;
  const std::vector<Values> choices = spins_in(chosen->command, known_.motors, spin);
  const InWords in_words = spin_in_words;
  const auto settled = co_await settle(chosen->command, choices, in_words);
  if (!settled) co_return;
  spin.spin = console::Command{{{settled->command, ""}}, std::nullopt};
  profile_.spin = spin;
}

}  // namespace armwise::session
