// A profile prepared from a saved console session, without the craft. Each proposal is confirmed by the
// person; what comes out is not proven, and says so, and teach() takes it up as proposals.
#include "teach_log.hpp"

#include <algorithm>
#include <cstdlib>

#include "armwise/base/fault.hpp"
#include "armwise/base/task.hpp"
#include "armwise/base/text.hpp"
#include "armwise/teach/command_lesson.hpp"
#include "words.hpp"

namespace armwise::session {
namespace {

using console::Values;

constexpr std::size_t most_choices = 8;

std::string pair_in_words(const Values& values) {
  return "motor " + values.at("motor") + " is put on pin " + values.at("pin");
}

}  // namespace

Task<console::Profile> LogFlow::run(std::string name) {
  if (session_.exchanges.empty()) {
    throw Fault(FaultKind::bad_data, "no commands were found in the log",
                "No line begins with a prompt that comes back at least three times",
                "Save a session in which the commands stand behind the console's prompt");
  }
  person_.tell("log-read",
               {{"prompt", session_.prompt}, {"commands", std::to_string(session_.exchanges.size())}});
  profile_.name = name;
  profile_.open.prompt = session_.prompt;
  profile_.prepared = true;
  co_await identify();
  profile_.whole_configuration = co_await question("whole-configuration", "prints the whole configuration");
  co_await map();
  co_await props();
  co_await turn();
  co_await mount();
  co_await sense();
  co_await spin();
  co_await orders();
  co_return console::load_profile(console::profile_text(profile_));
}

Task<const teach::SavedExchange*> LogFlow::choose(std::string id, std::string what) {
  const std::vector<std::size_t> likely = teach::likely_for(id, session_, known_);
  if (likely.empty()) co_return nullptr;
  std::vector<Choice> choices;
  for (std::size_t i = 0; i < likely.size() && i < most_choices; ++i) {
    const teach::SavedExchange& exchange = session_.exchanges[likely[i]];
    const std::string answer = exchange.reply.empty() ? std::string("no answer") : exchange.reply.front();
    choices.push_back({std::to_string(i + 1), exchange.command + " (" + answer.substr(0, 60) + ")"});
  }
  choices.push_back({"none", "no command of the log does"});
  const std::string key = co_await one_of(id, "Which command of the log " + what + "?", choices);
  const std::size_t number = std::strtoul(key.c_str(), nullptr, 10);
  if (number < 1 || number > std::min(likely.size(), most_choices)) co_return nullptr;
  co_return &session_.exchanges[likely[number - 1]];
}

Task<std::optional<LogFlow::Settled>> LogFlow::settle(std::string command, std::vector<Values> choices,
                                                      InWords in_words) {
  for (const Values& values : choices) {
    std::vector<std::string> blanks;
    for (const auto& [blank, value] : values) blanks.push_back(blank);
    teach::CommandLesson lesson(blanks);
    teach::CommandLesson::Heard heard = teach::CommandLesson::Heard::contradicts;
    try {
      heard = lesson.add({command}, values);
    } catch (const Fault&) {
      // Read in too many ways.
    }
    if (heard != teach::CommandLesson::Heard::fits || !lesson.learned()) continue;
    const console::Template like = lesson.learned()->front();
    const bool is_it = co_await right("Then " + in_words(values) + " by \"" + like.source() + "\".");
    if (is_it) co_return Settled{like, values};
  }
  person_.tell("log-unclear", {{"command", command}});
  co_return std::nullopt;
}

Task<std::string> LogFlow::one_of(std::string id, std::string text, std::vector<Choice> choices) {
  Question question;
  question.id = std::move(id);
  question.kind = Question::Kind::choose;
  question.text = std::move(text);
  question.choices = std::move(choices);
  question.may_go_back = false;
  const Answer answer = co_await person_.ask(question);
  const auto* key = std::get_if<std::string>(&answer);
  co_return key == nullptr ? std::string() : *key;
}

// Empty where it is skipped.
Task<std::string> LogFlow::typed(std::string id, std::string text) {
  Question question;
  question.id = std::move(id);
  question.kind = Question::Kind::text;
  question.word = "skip";
  question.text = words::or_skip(std::move(text));
  question.may_go_back = false;
  const Answer answer = co_await person_.ask(question);
  const auto* line = std::get_if<std::string>(&answer);
  if (line == nullptr || *line == "skip") co_return std::string();
  co_return *line;
}

Task<bool> LogFlow::right(std::string text) {
  Question question;
  question.id = "right";
  question.text = std::move(text) + " Is that right?";
  question.may_go_back = false;
  const Answer answer = co_await person_.ask(question);
  const auto* said = std::get_if<std::string>(&answer);
  co_return said != nullptr&&* said == "yes";
}

console::Steps LogFlow::steps_of(const teach::SavedExchange& exchange) {
  return {{console::Template::literal(exchange.command), ""}};
}

Task<std::optional<console::Query>> LogFlow::question(std::string id, std::string what) {
  const teach::SavedExchange* chosen = co_await choose(id, what);
  if (chosen == nullptr) co_return std::nullopt;
  console::Query query;
  query.steps = steps_of(*chosen);
  co_return query;
}

Task<std::optional<console::Command>> LogFlow::order(std::string id, std::string what) {
  const teach::SavedExchange* chosen = co_await choose(id, what);
  if (chosen == nullptr) co_return std::nullopt;
  co_return console::Command{steps_of(*chosen), std::nullopt};
}

Task<void> LogFlow::identify() {
  const teach::SavedExchange* chosen = co_await choose("identify", "says which board and firmware this is");
  if (chosen == nullptr) co_return;
  console::Query query;
  query.steps = steps_of(*chosen);
  for (const std::string& line : chosen->reply) {
    if (const auto like = teach::identity_line(line)) query.lines.push_back(*like);
  }
  if (!query.lines.empty()) profile_.identify = query;
}

Task<void> LogFlow::map() {
  const teach::SavedExchange* chosen = co_await choose("list-map", "shows which pin drives each motor");
  if (chosen == nullptr) co_return;
  for (const teach::MapReading& reading : teach::map_readings(chosen->reply)) {
    std::string table;
    for (const Values& row : reading.rows)
      table += (table.empty() ? "" : ", ") + row.at("motor") + " on " + row.at("pin");
    const bool is_it = co_await right("Motors and pins, as the console writes them: " + table + ".");
    if (!is_it) continue;
    console::MapAbility map;
    map.list = reading.list;
    map.list.steps = steps_of(*chosen);
    map.rules.kept = reading.kept;
    map.no_pin = reading.no_pin;
    map.no_motor = reading.no_motor;
    profile_.codes.first_motor = reading.first_motor;
    for (std::size_t i = 0; i < reading.motor_codes.size(); ++i)
      profile_.codes.motor[static_cast<int>(i) + 1] = reading.motor_codes[i];
    for (const Values& row : reading.rows) {
      if (row.at("motor") != reading.no_motor) known_.motors.push_back(row.at("motor"));
      if (row.at("pin") != reading.no_pin) known_.pins.push_back(row.at("pin"));
    }
    known_.nothing = reading.kept == solve::MapKept::per_pin ? reading.no_motor : reading.no_pin;
    profile_.map = map;
    co_await assign();
    if (profile_.map->put) co_await free_pin();
    co_return;
  }
}

Task<void> LogFlow::assign() {
  const teach::SavedExchange* chosen = co_await choose("assign-pin", "puts a motor on a pin");
  if (chosen == nullptr) co_return;
  std::vector<Values> choices;
  for (const std::string& pin : known_.pins) {
    for (const std::string& motor : known_.motors) choices.push_back({{"motor", motor}, {"pin", pin}});
  }
  const InWords in_words = pair_in_words;
  const auto settled = co_await settle(chosen->command, choices, in_words);
  if (!settled) co_return;
  profile_.map->put = console::Command{{{settled->command, ""}}, std::nullopt};
  profile_.map->rules.shared_meanwhile = true;
}

// With the other of the two in it where it stands there, too.
Task<void> LogFlow::free_pin() {
  const teach::SavedExchange* chosen = co_await choose("free-pin", "takes a motor off its pin");
  if (chosen == nullptr) co_return;
  const bool per_pin = profile_.map->rules.kept == solve::MapKept::per_pin;
  std::vector<Values> choices;
  for (const std::string& pin : known_.pins) {
    for (const std::string& motor : known_.motors) choices.push_back({{"motor", motor}, {"pin", pin}});
  }
  const std::string key = per_pin ? "pin" : "motor";
  for (const std::string& value : per_pin ? known_.pins : known_.motors) choices.push_back({{key, value}});
  const InWords in_words = [key](const Values& values) {
    return (key == "pin" ? "no motor is on pin " : "motor ") + values.at(key) +
           (key == "pin" ? "" : " is taken off its pin");
  };
  const auto settled = co_await settle(chosen->command, choices, in_words);
  if (!settled) co_return;
  profile_.map->free = console::Command{{{settled->command, ""}}, std::nullopt};
  profile_.map->rules.shared_meanwhile = false;
}

Task<void> LogFlow::sense() {
  const teach::SavedExchange* chosen = co_await choose("sense", "shows the accelerometer's readings");
  if (chosen == nullptr) co_return;
  console::SenseAbility sense;
  sense.read.lines = teach::number_readings(chosen->reply, {"x", "y", "z"}, 1).front().lines;
  sense.read.steps = steps_of(*chosen);
  profile_.sense = sense;
}

Task<void> LogFlow::orders() {
  const auto keep = co_await order("keep", "makes the settings last");
  if (keep) {
    profile_.keep = console::KeepAbility{*keep, false, std::nullopt};
    profile_.keep->restart = co_await order("restarts", "restarts it");
  }
  profile_.leave = co_await order("leave", "leaves the console");
}

Task<TeachResult> teach_from_log(const std::string& log, Person& person, const TeachOptions& options) {
  LogFlow flow(log, person);
  TeachResult result;
  result.profile = co_await flow.run(options.name);
  if (options.keep_draft) options.keep_draft(result.profile);
  for (const std::string& line : console::abilities(result.profile)) person.tell("ability", {{"line", line}});
  person.tell("log-unproven");
  co_return result;
}

}  // namespace armwise::session
