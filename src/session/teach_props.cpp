// Lessons: prop direction and turns.
#include <algorithm>

#include "armwise/base/fault.hpp"
#include "armwise/base/task.hpp"
#include "armwise/base/text.hpp"
#include "armwise/teach/units.hpp"
#include "teach_lessons.hpp"
#include "words.hpp"

namespace armwise::session {

using console::Values;

namespace {

// The line itself; what a template is, nobody needs to know.
std::string shown_by(const console::Template& like, const teach::Lines& reply) {
  const auto line =
      std::find_if(reply.begin(), reply.end(), [&](const std::string& each) { return like.match(each); });
  return line == reply.end() ? like.source() : *line;
}

// The only reading of which the words are known to stand against each other ("in", "cw"): nobody needs to
// point then.
template <typename Reading, typename Words>
std::optional<std::size_t> only_usual(const std::vector<Reading>& readings, Words words_of) {
  std::optional<std::size_t> only;
  for (std::size_t i = 0; i < readings.size(); ++i) {
    const teach::Lines words = words_of(readings[i]);
    const std::string other = teach::opposite_word(words.front());
    const bool known = !other.empty() && teach::numbers_in(words.front()).empty() &&
                       (words.size() < 2 || lower_case(words.back()) == lower_case(other));
    if (known && only) return std::nullopt;
    if (known) only = i;
  }
  return only;
}

}  // namespace

// One of the words of the reply is the value: the person points at it.
Task<std::optional<console::Query>> choose_word(Teaching& t, teach::Lines reply, std::string blank,
                                                std::string id, std::string question, std::string& value) {
  const auto readings = teach::word_readings(reply, blank);
  if (readings.empty()) co_return std::nullopt;
  const auto usual = only_usual(readings, [](const auto& each) { return teach::Lines{each.value}; });
  if (blank == "props" && usual) {
    const std::string shown = shown_by(readings[*usual].line, reply);
    const bool right = co_await t.person.confirm("right", "I read \"" + readings[*usual].value + "\" (in \"" +
                                                              shown + "\"). Is that the prop direction?");
    if (right) {
      value = readings[*usual].value;
      co_return console::Query::reading({readings[*usual].line});
    }
  }
  std::vector<Choice> choices;
  for (const teach::WordReading& each : readings)
    add_word(choices, each.value, reply[each.in], PlaceInText{each.in, each.begin, each.end});
  const auto which = co_await t.person.point(std::move(id), std::move(question), reply, choices);
  if (!which) co_return std::nullopt;
  value = readings[*which].value;
  co_return console::Query::reading({readings[*which].line});
}

namespace {

Task<std::string> learn_other_code(Teaching& t, std::string id, std::string question, std::string now) {
  std::string usual = teach::word_against(t.person.help(), now);
  if (usual.empty()) usual = teach::opposite_word(now);
  if (!usual.empty()) {
    const bool right = co_await t.person.confirm("right", question + ". Is it \"" + usual + "\"?");
    if (right) co_return usual;
  }
  co_return co_await t.person.ask_text(std::move(id), question + ". Type the word");
}

}  // namespace

// Typed as it is now, tried with the other word, and put back. Absent: left out.
Task<std::optional<console::Command>> learn_set_word(Teaching& t, std::string id, const Said& said,
                                                     const console::Query& read, std::string blank,
                                                     std::string now, std::string other) {
  const Values now_values{{blank, now}}, other_values{{blank, other}};
  WantedCommand wanted;
  wanted.id = std::move(id);
  wanted.text = "Type the command that sets the " + setting_in_words(blank) + " to \"" + now +
                "\" (as it is now, so nothing changes)";
  wanted.proposed = t.draft.set_proposal(said, read, now_values, "", blank);
  wanted.must = {blank};
  wanted.choices = {now_values};
  wanted.unsent = {other_values};
  auto learned = co_await learn_command(t, wanted);
  if (!learned) co_return std::nullopt;
  const bool works = co_await try_change(t, learned->command, read, now_values, other_values, blank);
  if (!works) co_return std::nullopt;
  co_return console::Command{learned->command.steps, std::nullopt};
}

namespace {

Task<std::optional<Said>> ask_for_props(Teaching& t) {
  const teach::Lines there = teach::lines_of_props(t.draft.listing());
  std::string proposed, text = "Type the command that shows the prop direction";
  if (!there.empty()) {
    proposed = teach::named_in(t.draft.listing(), there.front());
    if (proposed.empty()) proposed = t.draft.question_proposed(there);
    if (proposed.empty() && !t.draft.listing().cut) proposed = t.draft.whole_configuration_typed();
    text += "; the whole configuration says \"" + there.front() + "\"";
  }
  auto said = co_await learn_question(t, "read-props", text, proposed);
  if (said && t.draft.configuration && said->typed == t.draft.configuration->typed && !there.empty())
    said->lines = there;
  co_return said;
}

// What stands behind the value is the question's end, and the rest of it a line like any other.
void read_in_question(Teaching& t, console::Query& query, const std::string& value) {
  const std::string source = query.lines.front().source();
  const std::size_t at = source.find("{props}");
  for (console::Step& step : query.steps) {
    const std::size_t last = step.prompt.rfind(value);
    if (step.prompt.empty() || last == std::string::npos || !query.lines.front().match(step.prompt)) continue;
    const std::string end = step.prompt.substr(last + value.size());
    if (trimmed(end).empty()) continue;
    step.prompt = end;
    t.talk.read_before(end);
    query.lines.front() = console::Template::parse(source.substr(0, at) + "{props}");
  }
}

}  // namespace

Task<void> learn_props(Teaching& t) {
  console::Profile& profile = t.draft.profile;
  if (profile.props) co_return;
  const auto said = co_await ask_for_props(t);
  if (!said) co_return;
  std::string now;
  teach::Lines shown = said->lines;
  for (const std::string& prompt : said->prompts) {
    if (!prompt.empty() && !t.talk.is_top(prompt)) shown.emplace_back(trimmed(prompt));
  }
  auto query =
      co_await choose_word(t, shown, "props", "props-word", "Which word is the prop direction?", now);
  if (!query) co_return;
  query->steps = t.talk.steps_of(*said);
  read_in_question(t, *query, now);
  const Values none;
  teach::Lines as_found = said->lines;
  if (query->steps.size() > 1) as_found = co_await read_as_it_is(t, *query, none);
  const std::vector<Choice> schemes{{"in", "props in"}, {"out", "props out"}};
  const std::string scheme =
      co_await t.person.choose("props-now", "What does \"" + now + "\" mean?", schemes);
  const bool is_in = scheme == "in";
  const std::string other = co_await learn_other_code(
      t, is_in ? "props-out-command" : "props-in-command",
      std::string("The console writes another word for props ") + (is_in ? "out" : "in"), now);
  profile.codes.props_in = is_in ? now : other;
  profile.codes.props_out = is_in ? other : now;
  console::PropsAbility props;
  props.read = *query;
  t.draft.as_found.push_back({"The prop direction", props.read, {{"props", now}}, as_found});
  props.set = co_await learn_set_word(t, is_in ? "props-in-command" : "props-out-command", *said, props.read,
                                      "props", now, other);
  profile.props = props;
}

namespace {

// The map's, where it shows them, too; the command whose answer stands in the whole configuration, or that
// configuration itself.
std::string turn_question_proposed(Draft& draft, const std::string& motor) {
  if (draft.shows_turns_in_map()) return draft.map_listed_by({{"motor", motor}});
  const auto in_map = teach::turn_readings(draft.map_lines(), draft.motor_codes(), draft.pin_names(), 1);
  const auto readings = teach::turn_readings(draft.listing().lines, draft.motor_codes(), draft.pin_names());
  if (readings.empty() || readings.front().doubtful)
    return in_map.empty() || in_map.front().doubtful ? "" : draft.map_listed_by({{"motor", motor}});
  const console::Query& query = readings.front().list;
  for (const std::string& line : draft.listing().lines) {
    if (!query.lines.front().match(line)) continue;
    std::string name = teach::named_in(draft.listing(), line);
    if (name.empty()) break;
    const auto alike = std::count_if(
        draft.listing().lines.begin(), draft.listing().lines.end(),
        [&](const std::string& each) { return teach::named_in(draft.listing(), each) == name; });
    const auto speech = draft.map_speech();
    const std::size_t blank = speech ? speech->put.source().find('{') : 0;
    if (alike == 1 || blank == 0 || blank == std::string::npos) return name;
    // Several answers to one command: it is asked of each motor.
    return name + speech->put.source().substr(blank - 1, 1) + motor;
  }
  teach::Lines rows = draft.listing().lines;
  std::erase_if(rows, [&](const std::string& line) { return !query.lines.front().match(line); });
  std::string like_the_map = draft.question_proposed(rows);
  if (!like_the_map.empty()) return like_the_map;
  if (!in_map.empty() && !in_map.front().doubtful) return draft.map_listed_by({{"motor", motor}});
  return draft.listing().cut ? std::string() : draft.whole_configuration_typed();
}

// Where the answer tells of one motor only, all are asked: reading changes nothing. `reply`: all their
// answers.
Task<std::vector<teach::TurnReading>> turns_one_by_one(Teaching& t, const Said& said, std::string motor,
                                                       console::Steps& steps, teach::Lines& reply) {
  teach::CommandLesson lesson({"motor"});
  const Values asked{{"motor", motor}};
  const auto heard = lesson.add(said.typed, asked);
  if (heard != teach::CommandLesson::Heard::fits || !lesson.learned())
    co_return std::vector<teach::TurnReading>();
  steps = t.talk.steps_of(*lesson.learned(), said);
  std::vector<teach::Lines> each;
  teach::Lines all;
  for (const std::string& code : t.draft.motor_codes()) {
    const Values values{{"motor", code}};
    const Said answer = co_await t.talk.ask_again(steps, values);
    each.push_back(answer.lines);
    all.insert(all.end(), answer.lines.begin(), answer.lines.end());
  }
  reply = all;
  auto readings = teach::turn_readings(all, t.draft.motor_codes(), t.draft.pin_names());
  if (readings.empty()) readings = teach::turns_of_each(each, t.draft.motor_codes());
  co_return readings;
}

// The same words, read by the other key: whose they are, the command that sets them tells.
std::optional<teach::TurnReading> by_other_key(const Draft& draft, const teach::TurnReading& reading,
                                               const std::vector<teach::TurnReading>& readings) {
  const auto turn_at = [](const teach::TurnReading& each, const Values& on) {
    const char* key = each.key == solve::TurnKey::pin ? "pin" : "motor";
    const auto row = std::find_if(each.rows.begin(), each.rows.end(), [&](const Values& values) {
      return lower_case(values.at(key)) == lower_case(on.at(key));
    });
    return row == each.rows.end() ? std::string() : row->at("turn");
  };
  const std::vector<Values> map = draft.map_rows();
  const auto other = std::find_if(readings.begin(), readings.end(), [&](const teach::TurnReading& each) {
    return each.key != reading.key && std::all_of(map.begin(), map.end(), [&](const Values& on) {
             return turn_at(each, on) == turn_at(reading, on);
           });
  });
  return other == readings.end() ? std::nullopt : std::optional(*other);
}

Task<std::optional<teach::TurnReading>> choose_turn(Teaching& t, std::vector<teach::TurnReading> readings,
                                                    teach::Lines reply) {
  // Whose the words are is asked of nobody.
  for (std::size_t i = 0; i < readings.size(); ++i) {
    while (const auto other = by_other_key(t.draft, readings[i], readings)) {
      std::erase_if(readings,
                    [&](const auto& each) { return each.key == other->key && each.rows == other->rows; });
    }
  }
  const auto usual = only_usual(readings, [](const auto& each) { return each.codes; });
  if (usual) {
    const teach::TurnReading& reading = readings[*usual];
    const bool right = co_await t.person.confirm(
        "right", "I read " + joined(reading.codes, " / ") + " (in \"" +
                     shown_by(reading.list.lines.front(), console::rows_of(reading.list.columns, reply)) +
                     "\"). Is that which way they turn?");
    if (right) co_return reading;
  }
  std::vector<Choice> choices;
  for (const teach::TurnReading& each : readings) {
    const teach::Lines rows = console::rows_of(each.list.columns, reply);
    add_word(choices, joined(each.codes, " / "), shown_by(each.list.lines.front(), rows), std::nullopt);
  }
  const auto which = co_await t.person.point("turn-word", "Which word is the turn?", {}, choices);
  if (!which) co_return std::nullopt;
  co_return readings[*which];
}

// What the two words mean.
Task<void> learn_turn_codes(Teaching& t, const teach::TurnReading& reading) {
  const std::string now = reading.rows.back().at("turn");
  const std::vector<Choice> ways{{"cw", "clockwise"}, {"ccw", "counter-clockwise"}};
  const std::string way =
      co_await t.person.choose("turn-now",
                               "What does \"" + now +
                                   "\" mean? (Where it only says that a motor turns as it is "
                                   "wired, either will do: a spin shows the truth.)",
                               ways);
  const bool is_cw = way == "cw";
  std::string other;
  for (const std::string& code : reading.codes) {
    if (lower_case(code) != lower_case(now)) other = code;
  }
  if (other.empty()) {
    other = co_await learn_other_code(t, is_cw ? "set-turn-ccw" : "set-turn-cw",
                                      "The console writes another word for the other way round", now);
  }
  t.draft.profile.codes.cw = is_cw ? now : other;
  t.draft.profile.codes.ccw = is_cw ? other : now;
}

// How the turns are set, by motor or by pin.
struct SetTurn {
  std::string key;
  Values now, other;
  WantedCommand wanted;
};

SetTurn set_turn_by(const Draft& draft, const teach::TurnReading& reading, const Values& on) {
  SetTurn by;
  by.key = reading.key == solve::TurnKey::pin ? "pin" : "motor";
  const auto is_on_it = [&](const Values& row) {
    return on.contains(by.key) && draft.profile.same(row.at(by.key), on.at(by.key));
  };
  const auto found = std::find_if(reading.rows.begin(), reading.rows.end(), is_on_it);
  const Values& row = found == reading.rows.end() ? reading.rows.back() : *found;
  const std::string now = row.at("turn");
  const console::Codes& codes = draft.profile.codes;
  const bool is_cw = draft.profile.same(now, codes.cw);
  by.wanted.id = is_cw ? "set-turn-cw" : "set-turn-ccw";
  by.now = {{by.key, row.at(by.key)}, {"turn", now}};
  by.other = {{by.key, row.at(by.key)}, {"turn", is_cw ? codes.ccw : codes.cw}};
  const std::string motor = on.contains("motor") ? draft.motor_words(on.at("motor")) : "";
  std::string whose = motor.empty() ? draft.motor_words(row.at(by.key)) : motor;
  if (by.key == "pin") whose = "pin " + row.at("pin") + (motor.empty() ? "" : ", which has " + motor) + ",";
  by.wanted.text = "Type the command that sets the turn of " + whose + " to " + now +
                   " (as it is now, so nothing changes)";
  by.wanted.must = {by.key, "turn"};
  by.wanted.choices.assign(reading.rows.rbegin(), reading.rows.rend());
  std::iter_swap(by.wanted.choices.begin(),
                 std::find(by.wanted.choices.begin(), by.wanted.choices.end(), row));
  // What the command names is for the person to say.
  for (Values& choice : by.wanted.choices) {
    for (const Values& each : draft.map_rows()) {
      const bool is_its = each.contains(by.key) && draft.profile.same(each.at(by.key), choice.at(by.key));
      if (is_its) choice.insert(each.begin(), each.end());
    }
  }
  by.wanted.unsent = {by.other};
  return by;
}

// A motor that is on a pin, and of which the turn is shown.
Values motor_shown(const Draft& draft, const teach::TurnReading& reading) {
  const std::string key = reading.key == solve::TurnKey::pin ? "pin" : "motor";
  const std::vector<Values> map = draft.map_rows();
  for (auto row = reading.rows.rbegin(); row != reading.rows.rend(); ++row) {
    const auto on = std::find_if(map.begin(), map.end(), [&](const Values& each) {
      return each.contains(key) && draft.profile.same(each.at(key), row->at(key));
    });
    if (on != map.end()) return *on;
  }
  return {};
}

// `readings`: by one key, and by the other where that can be read, too.
Task<void> learn_set_turn(Teaching& t, console::TurnAbility& turn, std::vector<teach::TurnReading> readings) {
  const Values on = motor_shown(t.draft, readings.front());
  std::vector<SetTurn> ways;
  ways.reserve(readings.size());
  for (const teach::TurnReading& reading : readings) ways.push_back(set_turn_by(t.draft, reading, on));
  SetTurn& first = ways.front();
  const bool out_of_all = t.draft.configuration && turn.read.steps == t.talk.steps_of(*t.draft.configuration);
  Said shown;
  if (out_of_all) {
    shown = *t.draft.configuration;
  } else {
    shown = co_await t.talk.ask_again(turn.read.steps, first.now);
  }
  t.draft.as_found.push_back(
      {"The turn of " + first.key + " " + first.now.at(first.key), turn.read, first.now, shown.lines});
  WantedCommand wanted = first.wanted;
  wanted.proposed = t.draft.set_proposal(shown, turn.read, first.now, first.key, "turn");
  if (ways.size() > 1) wanted.or_else = {ways.back().wanted};
  auto learned = co_await learn_command(t, wanted);
  if (!learned) co_return;
  const bool by_other = std::none_of(learned->reading.begin(), learned->reading.end(),
                                     [&](const auto& line) { return line.has(first.key); });
  const std::size_t used = by_other ? ways.size() - 1 : 0;
  const console::Steps steps = turn.read.steps;
  turn.key = readings[used].key;
  turn.read = readings[used].list;
  turn.read.steps = steps;
  const SetTurn& way = ways[used];
  const bool works = co_await try_change(t, learned->command, turn.read, way.now, way.other, "turn");
  if (works) turn.set = console::Command{learned->command.steps, learned->command.confirms};
}

// A bit that is the same for all of them shows once it is changed. Absent: not learned.
Task<std::optional<console::TurnAbility>> learn_turn_bit(Teaching& t, std::vector<teach::TurnReading> numbers,
                                                         console::Steps steps, teach::Lines reply) {
  if (numbers.empty()) co_return std::nullopt;
  console::TurnAbility turn;
  turn.key = numbers.front().key;
  const std::string key = turn.key == solve::TurnKey::pin ? "pin" : "motor";
  const Values row = console::without_held(numbers.front().rows.back());
  const Values asked{{key, row.at(key)}};
  const std::string whose =
      key == "pin" ? "the motor on pin " + row.at(key) : t.draft.motor_words(row.at(key));
  const std::string text =
      "Type the command that makes " + whose + " turn the other way than now. It is sent, and put back after";
  while (true) {
    const auto agreed = co_await t.person.ask_to_send("turn-around", text, asked);
    if (!agreed) co_return std::nullopt;
    InBits wanted{numbers.front().list, row, "turn", reply};
    wanted.shown.steps = steps;
    const auto learned = co_await learn_bits(t, wanted, *agreed);
    if (!learned) continue;
    turn.read = learned->read;
    turn.set = learned->set;
    // Which of them is which does not matter: a spin shows the truth.
    t.draft.profile.codes.cw = "0";
    t.draft.profile.codes.ccw = "1";
    co_return turn;
  }
}

}  // namespace

Task<void> learn_turn(Teaching& t) {
  constexpr std::size_t most_readings = 64;
  console::Profile& profile = t.draft.profile;
  if (profile.turn || !profile.map) co_return;
  const std::string one = t.draft.motor_codes().empty() ? std::string("1") : t.draft.motor_codes().back();
  const std::string proposed = turn_question_proposed(t.draft, one);
  const auto said = co_await learn_question(
      t, "read-turn",
      "Type the command that shows which way the motors turn (if it shows one motor only: " +
          t.draft.motor_words(one) + ")",
      proposed);
  if (!said) co_return;
  auto readings = teach::turn_readings(said->lines, t.draft.motor_codes(), t.draft.pin_names());
  console::Steps steps = t.talk.steps_of(*said);
  teach::Lines reply = said->lines;
  if (readings.empty()) readings = co_await turns_one_by_one(t, *said, one, steps, reply);
  std::optional<teach::TurnReading> reading;
  if (readings.empty() || readings.front().doubtful) {
    auto numbers = teach::turn_numbers(reply, t.draft.motor_codes(), t.draft.pin_names());
    std::erase_if(numbers, [](const auto& each) { return !teach::may_hold_several(each.codes); });
    profile.turn = co_await learn_turn_bit(t, numbers, steps, reply);
    if (profile.turn) co_return;
  }
  if (!readings.empty()) reading = co_await choose_turn(t, readings, said->lines);
  if (!reading) reading = co_await point_at_turns(t, reply);
  if (!reading) co_return;
  std::vector<teach::TurnReading> by_each_key{*reading};
  const auto all = teach::turn_readings(reply, t.draft.motor_codes(), t.draft.pin_names(), most_readings);
  const auto other = by_other_key(t.draft, *reading, all);
  if (other && !is_asked_of_each(steps)) by_each_key.push_back(*other);
  console::TurnAbility turn;
  turn.key = reading->key;
  turn.read = reading->list;
  turn.read.steps = steps;
  co_await learn_turn_codes(t, *reading);
  co_await learn_set_turn(t, turn, by_each_key);
  profile.turn = turn;
}

}  // namespace armwise::session
