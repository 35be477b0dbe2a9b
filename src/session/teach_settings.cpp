// Lessons: prop direction, turns, mount.
#include <algorithm>
#include <array>
#include <cmath>
#include <cstdlib>
#include <map>

#include "armwise/base/fault.hpp"
#include "armwise/base/text.hpp"
#include "armwise/teach/units.hpp"
#include "teach_flow.hpp"

namespace armwise::session {
namespace {

using console::Values;

// What usually stands against a word, for a suggestion that the person only has to confirm.
std::string opposite_word(const std::string& word) {
  static const std::vector<std::pair<std::string, std::string>> pairs{{"in", "out"},
                                                                      {"inward", "outward"},
                                                                      {"inwards", "outwards"},
                                                                      {"on", "off"},
                                                                      {"yes", "no"},
                                                                      {"true", "false"},
                                                                      {"0", "1"},
                                                                      {"1", "-1"},
                                                                      {"normal", "reversed"},
                                                                      {"cw", "ccw"},
                                                                      {"clockwise", "counter"},
                                                                      {"forward", "reverse"}};
  const std::string lower = lower_case(word);
  for (const auto& [a, b] : pairs) {
    if (lower == a) return b;
    if (lower == b) return a;
  }
  return {};
}

teach::Lines lines_with(const teach::Lines& lines, const std::string& part) {
  teach::Lines found;
  for (const std::string& line : lines) {
    if (lower_case(line).find(part) != std::string::npos && found.size() < 6 && line.size() < 200)
      found.push_back(line);
  }
  return found;
}

double number_of(const std::string& text) {
  return std::strtod(text.c_str(), nullptr);
}

constexpr std::array<double, 3> trial_degrees{10, 20, 30};
const std::vector<std::string>& angle_names() {
  static const std::vector<std::string> names{"yaw", "pitch", "roll"};
  return names;
}

std::string with_word(const std::string& text, const std::string& from, const std::string& to) {
  std::string out = text;
  for (std::size_t at = out.find(from); at != std::string::npos; at = out.find(from, at + to.size())) {
    out.replace(at, from.size(), to);
  }
  return out;
}

}  // namespace

// One of the words of the reply is the value: the person points at it.
Task<std::optional<console::Query>> TeachFlow::choose_word(teach::Lines reply, std::string blank,
                                                           std::string id, std::string question,
                                                           std::string& value) {
  const auto readings = teach::word_readings(reply, blank);
  if (readings.empty()) co_return std::nullopt;
  std::vector<Choice> choices;
  for (std::size_t i = 0; i < readings.size(); ++i) {
    choices.push_back(
        {std::to_string(i + 1), readings[i].value + " (in \"" + readings[i].line.source() + "\")"});
  }
  choices.push_back({"none", "none of these"});
  const std::string key = co_await choose(std::move(id), std::move(question), choices);
  const auto number = static_cast<std::size_t>(std::strtoul(key.c_str(), nullptr, 10));
  if (number < 1 || number > readings.size()) co_return std::nullopt;
  value = readings[number - 1].value;
  console::Query query;
  query.lines.push_back(readings[number - 1].line);
  co_return query;
}

Task<std::string> TeachFlow::learn_other_code(std::string id, std::string question, std::string now) {
  const std::string usual = opposite_word(now);
  if (!usual.empty()) {
    const bool right = co_await confirm("right", question + " Is it \"" + usual + "\"?");
    if (right) co_return usual;
  }
  co_return co_await ask_text(std::move(id), question + " Type the word");
}

// Sets the other value, reads it, puts the old one back, reads that. True where both were read.
Task<bool> TeachFlow::try_change(const console::Command& set, const console::Query& query, const Values& now,
                                 const Values& other, std::string blank) {
  const bool may =
      co_await confirm("try-change", "May it be set to " + other.at(blank) + " for a moment, and back to " +
                                         now.at(blank) + "? Nothing is kept.");
  if (!may) co_return true;
  const auto reads = [&](const teach::Lines& lines, const Values& wanted) {
    for (const Values& row : teach::rows_read(query, lines, false)) {
      bool same = true;
      for (const auto& [name, value] : row) {
        const auto found = wanted.find(name);
        same = same && found != wanted.end() && lower_case(found->second) == lower_case(value);
      }
      if (same) return true;
    }
    return false;
  };
  co_await say_again(set.steps, other);
  const Said changed = co_await say_again(query.steps, now);
  const bool was_set = reads(changed.lines, other);
  co_await say_again(set.steps, now);
  const Said back = co_await say_again(query.steps, now);
  if (!reads(back.lines, now)) {
    throw Fault(FaultKind::left_changed, "a setting could not be put back to " + now.at(blank),
                "It was tried with " + other.at(blank), "Set it by hand; nothing was kept");
  }
  co_return was_set;
}

Task<void> TeachFlow::learn_props() {
  if (profile_.props) co_return;
  std::optional<Said> said;
  const teach::Lines there = configuration_ ? lines_with(configuration_->lines, "prop") : teach::Lines{};
  std::string from = "command";
  if (!there.empty()) {
    const std::vector<Choice> sources{{"listing", "yes, out of the whole configuration"},
                                      {"command", "no, there is a shorter command"},
                                      {"skip", "this console knows no prop direction"}};
    from = co_await choose("read-props-from",
                           "The whole configuration says \"" + there.front() + "\". Read it there?", sources);
  }
  if (from == "skip") co_return;
  if (from == "listing") {
    said = configuration_;
    said->lines = there;
  } else {
    said = co_await learn_question("read-props", "Type the command that shows the prop direction");
  }
  if (!said) co_return;
  std::string now;
  auto query =
      co_await choose_word(said->lines, "props", "props-word", "Which word is the prop direction?", now);
  if (!query) co_return;
  query->steps = steps_of(*said);
  const std::vector<Choice> schemes{{"in", "props in"}, {"out", "props out"}};
  const std::string scheme = co_await choose("props-now", "\"" + now + "\" means", schemes);
  const bool is_in = scheme == "in";
  const std::string other = co_await learn_other_code(
      is_in ? "props-out-command" : "props-in-command",
      std::string("What does the console write for props ") + (is_in ? "out" : "in") + "?", now);
  profile_.codes.props_in = is_in ? now : other;
  profile_.codes.props_out = is_in ? other : now;
  console::PropsAbility props;
  props.read = *query;
  const Values now_values{{"props", now}}, other_values{{"props", other}};
  const std::vector<std::string> must{"props"}, may;
  const std::vector<Values> as_now{now_values}, otherwise{other_values};
  const std::vector<std::string> behind{now};
  const std::vector<std::string> guessed = guesses(said->lines, props.read, now_values, behind);
  auto learned = co_await propose("the prop direction", must, now_values, guessed);
  if (!learned)
    learned = co_await learn_command(
        is_in ? "props-in-command" : "props-out-command",
        "Type the command that sets the prop direction to " + now + " (as it is now, so nothing changes)",
        must, may, as_now, otherwise);
  if (learned) {
    const bool works = co_await try_change(learned->command, props.read, now_values, other_values, "props");
    if (works) props.set = console::Command{learned->command.steps, std::nullopt};
  }
  profile_.props = props;
}

Task<void> TeachFlow::learn_turn() {
  if (profile_.turn || !profile_.map) co_return;
  std::vector<teach::TurnReading> readings;
  console::Steps steps;
  if (configuration_) readings = teach::turn_readings(configuration_->lines, motor_codes(), pin_names());
  if (!readings.empty()) {
    const std::vector<Choice> sources{{"command", "no, there is a shorter command"},
                                      {"listing", "yes, out of the whole configuration"},
                                      {"skip", "this console knows no turns"}};
    const std::string from = co_await choose(
        "read-turn-from", "The whole configuration may tell which way each motor turns. Read it there?",
        sources);
    if (from == "skip") co_return;
    if (from == "listing") steps = steps_of(*configuration_);
  }
  if (steps.empty()) {
    const std::string one = motor_codes().empty() ? std::string("1") : motor_codes().back();
    const auto said = co_await learn_question(
        "read-turn",
        "Type the command that shows which way the motors turn (if it shows one motor only: motor " + one +
            ")");
    if (!said) co_return;
    readings = teach::turn_readings(said->lines, motor_codes(), pin_names());
    steps = steps_of(*said);
    if (readings.empty()) {
      // Asked for each motor: reading changes nothing, so all of them are asked.
      teach::CommandLesson lesson({"motor"});
      const auto heard = lesson.add(said->typed, {{"motor", one}});
      if (heard != teach::CommandLesson::Heard::fits || !lesson.learned()) co_return;
      steps = steps_of(*lesson.learned(), *said);
      teach::Lines all;
      for (const std::string& code : motor_codes()) {
        const Values values{{"motor", code}};
        const Said each = co_await say_again(steps, values);
        all.insert(all.end(), each.lines.begin(), each.lines.end());
      }
      readings = teach::turn_readings(all, motor_codes(), pin_names());
    }
  }
  if (readings.empty()) {
    person_.say("I cannot read a turn for each motor out of that; it is left out.", Level::warn);
    co_return;
  }
  std::vector<Choice> choices;
  for (std::size_t i = 0; i < readings.size(); ++i) {
    const console::Template& like =
        readings[i].list.item ? *readings[i].list.item : readings[i].list.lines.front();
    choices.push_back(
        {std::to_string(i + 1), joined(readings[i].codes, " / ") + " (in \"" + like.source() + "\")"});
  }
  choices.push_back({"none", "none of these"});
  const std::string key = co_await choose("turn-word", "Which word is the turn?", choices);
  const auto number = static_cast<std::size_t>(std::strtoul(key.c_str(), nullptr, 10));
  if (number < 1 || number > readings.size()) co_return;
  const teach::TurnReading& reading = readings[number - 1];
  console::TurnAbility turn;
  turn.key = reading.key;
  turn.read = reading.list;
  turn.read.steps = steps;
  const char* key_blank = turn.key == solve::TurnKey::pin ? "pin" : "motor";
  const Values row = reading.rows.back();
  const std::string now = row.at("turn");
  const std::vector<Choice> ways{{"cw", "clockwise"}, {"ccw", "counter-clockwise"}};
  const std::string way = co_await choose("turn-now", "\"" + now + "\" means", ways);
  const bool is_cw = way == "cw";
  std::string other;
  for (const std::string& code : reading.codes) {
    if (lower_case(code) != lower_case(now)) other = code;
  }
  if (other.empty()) {
    other = co_await learn_other_code(is_cw ? "set-turn-ccw" : "set-turn-cw",
                                      "What does the console write for the other way?", now);
  }
  profile_.codes.cw = is_cw ? now : other;
  profile_.codes.ccw = is_cw ? other : now;
  const Values now_values{{key_blank, row.at(key_blank)}, {"turn", now}},
      other_values{{key_blank, row.at(key_blank)}, {"turn", other}};
  std::vector<Values> same;
  for (auto each = reading.rows.rbegin(); each != reading.rows.rend(); ++each) same.push_back(*each);
  const std::vector<std::string> must{key_blank, "turn"}, may;
  const std::vector<Values> otherwise{other_values};
  const bool asked_for_each = turn.read.steps.front().send.has(key_blank);
  std::vector<std::string> behind{row.at(key_blank), now};
  if (asked_for_each) behind.erase(behind.begin());
  const Said shown = co_await say_again(turn.read.steps, now_values);
  const std::vector<std::string> guessed = guesses(shown.lines, turn.read, now_values, behind);
  auto learned = co_await propose("the turn", must, now_values, guessed);
  if (!learned)
    learned =
        co_await learn_command(is_cw ? "set-turn-cw" : "set-turn-ccw",
                               std::string("Type the command that makes ") + key_blank + " " +
                                   row.at(key_blank) + " turn " + now + " (as it is now, so nothing changes)",
                               must, may, same, otherwise);
  if (learned) {
    const bool works = co_await try_change(learned->command, turn.read, now_values, other_values, "turn");
    if (works) turn.set = console::Command{learned->command.steps, learned->command.confirms};
  }
  profile_.turn = turn;
}

Task<void> TeachFlow::learn_mount() {
  if (profile_.mount) co_return;
  std::optional<Said> said;
  if (configuration_) {
    const auto there = teach::number_readings(configuration_->lines, angle_names(), 1);
    if (!there.empty() && there.front().named) {
      const std::vector<Choice> sources{{"listing", "yes, out of the whole configuration"},
                                        {"command", "no, there is a shorter command"},
                                        {"skip", "this console knows no mount"}};
      const std::string from = co_await choose(
          "read-mount-from", "The whole configuration tells yaw, pitch and roll. Read the mount there?",
          sources);
      if (from == "skip") co_return;
      if (from == "listing") said = configuration_;
    }
  }
  if (!said)
    said = co_await learn_question("read-mount", "Type the command that shows how the board is mounted");
  if (!said) co_return;
  if (teach::number_readings(said->lines, angle_names(), 1).empty()) {
    co_await learn_mount_code(*said);
  } else {
    co_await learn_mount_angles(*said);
  }
}

Task<void> TeachFlow::learn_mount_angles(const Said& said) {
  auto readings = teach::number_readings(said.lines, angle_names());
  console::MountAbility mount;
  mount.read.lines = readings.front().lines;
  mount.read.steps = steps_of(said);
  const bool named = readings.front().named;
  Question question;
  while (true) {
    const Values angles{{"yaw", "10"}, {"pitch", "20"}, {"roll", "30"}};
    const auto typed = co_await ask_command(
        "set-yaw",
        "Type the command that sets the mount to yaw 10, pitch 20 and roll 30 degrees, as this console counts"
        " (where it takes them one by one: yaw only). It is sent, and put back after",
        angles);
    if (!typed) break;
    const auto unit = teach::angle_unit(*typed, trial_degrees);
    if (!unit) {
      person_.say("I do not see 10, 20 and 30 degrees in it, in degrees, tenths, hundredths or radians.",
                  Level::warn);
      continue;
    }
    const bool one_by_one = unit->texts[1].empty();
    teach::CommandLesson lesson(one_by_one ? std::vector<std::string>{"yaw"} : angle_names());
    Values values;
    for (std::size_t i = 0; i < (one_by_one ? 1U : 3U); ++i) values[angle_names()[i]] = unit->texts.at(i);
    if (lesson.add(*typed, values) != teach::CommandLesson::Heard::fits || !lesson.learned()) {
      person_.say("That can be read in several ways; the numbers stand in it more than once.", Level::warn);
      continue;
    }
    const Said sent = co_await say(*typed, "set-yaw");
    if (sent.refused) {
      refuse_or_tell(sent);
      continue;
    }
    mount.per_degree = unit->per_degree;
    mount.signs = unit->signs;
    const console::Command set{steps_of(*lesson.learned(), sent), std::nullopt};
    const Said after = co_await say_again(mount.read.steps, values);
    // Where no names told, the numbers that were set do.
    std::optional<teach::NumbersReading> fits;
    for (const teach::NumbersReading& reading : teach::number_readings(after.lines, angle_names(), 64)) {
      bool same = true;
      for (const auto& [name, text] : values) {
        same = same && std::abs(number_of(reading.values.at(name)) - number_of(text)) <=
                           1.01 * std::pow(10, -teach::decimals_of(text));
      }
      if (same && (!fits || reading.named)) fits = reading;
    }
    std::array<std::string, 6> orders;
    if (!fits && !one_by_one) {
      // The numbers may come in another order than ours.
      std::vector<std::string> order = angle_names();
      std::sort(order.begin(), order.end());
      do {
        for (const teach::NumbersReading& reading : teach::number_readings(after.lines, order, 64)) {
          bool same = !reading.named;
          for (const auto& [name, text] : values) {
            same = same && std::abs(number_of(reading.values.at(name)) - number_of(text)) <=
                               1.01 * std::pow(10, -teach::decimals_of(text));
          }
          if (same && !fits) fits = reading;
        }
      } while (std::next_permutation(order.begin(), order.end()));
    }
    // Back first, whatever was read.
    const auto old = teach::number_readings(said.lines, angle_names()).front();
    Values before = old.values;
    if (fits) {
      console::Query query = mount.read;
      query.lines = fits->lines;
      Values gathered;
      for (const Values& row : teach::rows_read(query, said.lines, false))
        gathered.insert(row.begin(), row.end());
      if (gathered.size() == 3) before = gathered;
    }
    co_await say_again(set.steps, before);
    const Said back = co_await say_again(mount.read.steps, before);
    const auto now = teach::number_readings(back.lines, angle_names());
    if (now.empty() || now.front().values != old.values) {
      throw Fault(FaultKind::left_changed, "the mount could not be put back as it was",
                  "It was tried with 10, 20 and 30 degrees", "Set it by hand; nothing was kept");
    }
    if (!fits) {
      person_.say("The mount does not read as it was set; setting it is left out.", Level::warn);
      break;
    }
    mount.read.lines = fits->lines;
    for (const auto& [name, text] : fits->values)
      mount.decimals = std::max(mount.decimals, teach::decimals_of(text));
    if (!one_by_one) {
      mount.set = set;
      break;
    }
    mount.set_yaw = set;
    for (std::size_t i = 1; i < 3; ++i) {
      console::Command each = set;
      for (console::Step& step : each.steps) {
        step.send = console::Template::parse(with_word(step.send.source(), "yaw", angle_names()[i]));
      }
      const bool right =
          !(each == set) && co_await confirm("right", "Is " + angle_names()[i] + " set by \"" +
                                                          each.steps.back().send.source() + "\"?");
      if (!right) {
        person_.say("Then setting the mount is left out.", Level::warn);
        mount.set_yaw.reset();
        break;
      }
      (i == 1 ? mount.set_pitch : mount.set_roll) = each;
      co_await say_again(each.steps, before);
    }
    break;
  }
  if (!named && !mount.set && !mount.set_yaw) {
    person_.say(
        "Without names or a command that sets them, the order of the angles is not sure; the mount is left "
        "out.",
        Level::warn);
    co_return;
  }
  profile_.notes.emplace_back(
      "Mount: the order in which the angles are applied was not tested; yaw, pitch, roll is assumed.");
  profile_.mount = mount;
}

Task<void> TeachFlow::learn_mount_code(const Said& said) {
  std::string now;
  auto query = co_await choose_word(said.lines, "mount", "mount-word", "Which word is the mount?", now);
  if (!query) co_return;
  query->steps = steps_of(said);
  console::MountAbility mount;
  mount.read = *query;
  const std::vector<Choice> meanings{{"mavlink", "the numbers of MAVLink's sensor orientations"},
                                     {"own", "a list of the console's own"},
                                     {"skip", "leave the mount out"}};
  const std::string list = co_await choose("mount-list", "What do the codes of the mount mean?", meanings);
  if (list == "skip") co_return;
  if (list == "mavlink") {
    mount.codes = console::load_profile(R"({"armwise_profile":1,"name":"n","open":{"prompt":">"},
      "mount":{"read":{"send":"m","lines":["{mount}"]},"codes":"mavlink-sensor-orientation"}})")
                      .mount->codes;
  } else {
    const std::string told = co_await ask_text(
        "mount-codes", "Type the codes with yaw, pitch and roll in degrees: \"1=0,0,0 2=90,0,0\"");
    const auto numbers = teach::numbers_in(told);
    for (std::size_t i = 0; i + 3 < numbers.size(); i += 4) {
      mount.codes[numbers[i]] = {number_of(numbers[i + 1]), number_of(numbers[i + 2]),
                                 number_of(numbers[i + 3])};
    }
    if (mount.codes.empty()) co_return;
  }
  std::string other;
  for (const auto& [code, angles] : mount.codes) {
    if (code != now) other = code;
  }
  const Values now_values{{"mount", now}}, other_values{{"mount", other}};
  const std::vector<std::string> must{"mount"}, may;
  const std::vector<Values> as_now{now_values}, otherwise{other_values};
  const std::vector<std::string> behind{now};
  const std::vector<std::string> guessed = guesses(said.lines, mount.read, now_values, behind);
  auto learned = co_await propose("the mount", must, now_values, guessed);
  if (!learned)
    learned = co_await learn_command(
        "set-yaw", "Type the command that sets the mount to " + now + " (as it is now, so nothing changes)",
        must, may, as_now, otherwise);
  if (learned) {
    const bool works = co_await try_change(learned->command, mount.read, now_values, other_values, "mount");
    if (works) mount.set = console::Command{learned->command.steps, std::nullopt};
  }
  profile_.mount = mount;
}

}  // namespace armwise::session
