// A profile prepared from a saved console session, without the craft. Each proposal is confirmed by the
// person; what comes out is not proven, and says so, and teach() takes it up as proposals.
#include <algorithm>
#include <cstdlib>

#include "armwise/base/fault.hpp"
#include "armwise/base/text.hpp"
#include "armwise/session/teach.hpp"
#include "armwise/teach/command_lesson.hpp"
#include "armwise/teach/saved_session.hpp"
#include "words.hpp"

namespace armwise::session {
namespace {

using console::Values;

class LogFlow {
 public:
  LogFlow(const std::string& log, Person& person) : session_(teach::saved_session(log)), person_(person) {}

  Task<console::Profile> run(std::string name) {
    if (session_.exchanges.empty()) {
      throw Fault(FaultKind::bad_data, "no commands were found in the log",
                  "No line begins with a prompt that comes back at least three times",
                  "Save a session in which the commands stand behind the console's prompt");
    }
    person_.say("The prompt seems to be \"" + session_.prompt + "\"; " +
                std::to_string(session_.exchanges.size()) + " commands stand behind it.");
    profile_.name = name;
    profile_.open.prompt = session_.prompt;
    profile_.notes.emplace_back(not_proven_note);
    co_await identify();
    profile_.whole_configuration = co_await question("whole-configuration", "prints the whole configuration");
    co_await map();
    co_await turn();
    co_await mount();
    co_await sense();
    co_await orders();
    co_return console::load_profile(console::profile_text(profile_));
  }

 private:
  // The exchange that the person takes; nothing where they take none.
  Task<const teach::SavedExchange*> choose(std::string id, std::string what) {
    const std::vector<std::size_t> likely = teach::likely_for(id, session_, known_);
    if (likely.empty()) co_return nullptr;
    Question question;
    question.id = id;
    question.kind = Question::Kind::choose;
    question.text = "Which command of the log " + what + "?";
    question.may_go_back = false;
    for (std::size_t i = 0; i < likely.size() && i < 8; ++i) {
      const teach::SavedExchange& exchange = session_.exchanges[likely[i]];
      const std::string answer = exchange.reply.empty() ? std::string("no answer") : exchange.reply.front();
      question.choices.push_back(
          {std::to_string(i + 1), exchange.command + " (" + answer.substr(0, 60) + ")"});
    }
    question.choices.push_back({"none", "none of these"});
    const Answer answer = co_await person_.ask(question);
    const auto* key = std::get_if<std::string>(&answer);
    const std::size_t number = key == nullptr ? 0 : std::strtoul(key->c_str(), nullptr, 10);
    if (number < 1 || number > likely.size()) co_return nullptr;
    co_return &session_.exchanges[likely[number - 1]];
  }

  Task<bool> right(std::string text) {
    Question question;
    question.id = "right";
    question.text = std::move(text) + " Is that right?";
    question.may_go_back = false;
    const Answer answer = co_await person_.ask(question);
    const auto* said = std::get_if<std::string>(&answer);
    co_return said != nullptr&&* said == "yes";
  }

  static console::Steps steps_of(const teach::SavedExchange& exchange) {
    return {{console::Template::literal(exchange.command), ""}};
  }

  Task<std::optional<console::Query>> question(std::string id, std::string what) {
    const teach::SavedExchange* chosen = co_await choose(id, what);
    if (chosen == nullptr) co_return std::nullopt;
    console::Query query;
    query.steps = steps_of(*chosen);
    co_return query;
  }

  Task<std::optional<console::Command>> order(std::string id, std::string what) {
    const teach::SavedExchange* chosen = co_await choose(id, what);
    if (chosen == nullptr) co_return std::nullopt;
    co_return console::Command{steps_of(*chosen), std::nullopt};
  }

  Task<void> identify() {
    const teach::SavedExchange* chosen = co_await choose("identify", "says which board and firmware this is");
    if (chosen == nullptr) co_return;
    console::Query query;
    query.steps = steps_of(*chosen);
    for (const std::string& line : chosen->reply) {
      if (const auto like = teach::identity_line(line)) query.lines.push_back(*like);
    }
    if (!query.lines.empty()) profile_.identify = query;
  }

  Task<void> map() {
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
      profile_.map = map;
      co_await assign();
      co_return;
    }
  }

  // Which motor and which pin it was about is not known: each pair that leaves one reading is shown.
  Task<void> assign() {
    const teach::SavedExchange* chosen = co_await choose("assign-pin", "puts a motor on a pin");
    if (chosen == nullptr) co_return;
    for (const std::string& pin : known_.pins) {
      for (const std::string& motor : known_.motors) {
        teach::CommandLesson lesson({"motor", "pin"});
        const auto heard = lesson.add({chosen->command}, {{"motor", motor}, {"pin", pin}});
        if (heard != teach::CommandLesson::Heard::fits || !lesson.learned()) continue;
        const console::Template put = lesson.learned()->front();
        const bool is_it =
            co_await right("Then motor " + motor + " is put on pin " + pin + " by \"" + put.source() + "\".");
        if (!is_it) continue;
        profile_.map->put = console::Command{{{put, ""}}, std::nullopt};
        profile_.map->rules.shared_meanwhile = true;
        co_return;
      }
    }
  }

  Task<void> turn() {
    const teach::SavedExchange* chosen = co_await choose("read-turn", "shows which way the motors turn");
    if (chosen == nullptr) co_return;
    const auto readings = teach::turn_readings(chosen->reply, known_.motors, known_.pins, 1);
    console::TurnAbility turn;
    turn.key = readings.front().key;
    turn.read = readings.front().list;
    turn.read.steps = steps_of(*chosen);
    profile_.turn = turn;
  }

  Task<void> mount() {
    const teach::SavedExchange* chosen = co_await choose("read-mount", "shows how the board is mounted");
    if (chosen == nullptr) co_return;
    console::MountAbility mount;
    mount.read.lines = teach::number_readings(chosen->reply, {"yaw", "pitch", "roll"}, 1).front().lines;
    mount.read.steps = steps_of(*chosen);
    profile_.mount = mount;
  }

  Task<void> sense() {
    const teach::SavedExchange* chosen = co_await choose("sense", "shows the accelerometer's readings");
    if (chosen == nullptr) co_return;
    console::SenseAbility sense;
    sense.read.lines = teach::number_readings(chosen->reply, {"x", "y", "z"}, 1).front().lines;
    sense.read.steps = steps_of(*chosen);
    profile_.sense = sense;
  }

  Task<void> orders() {
    const auto keep = co_await order("keep", "makes the settings last");
    if (keep) {
      profile_.keep = console::KeepAbility{*keep, false, std::nullopt};
      profile_.keep->restart = co_await order("restarts", "restarts it");
    }
    profile_.leave = co_await order("leave", "leaves the console");
  }

  teach::SavedSession session_;
  Person& person_;
  console::Profile profile_;
  teach::KnownFromLog known_;
};

}  // namespace

Task<TeachResult> teach_from_log(const std::string& log, Person& person, const TeachOptions& options) {
  LogFlow flow(log, person);
  TeachResult result;
  result.profile = co_await flow.run(options.name);
  if (options.keep_draft) options.keep_draft(result.profile);
  for (const std::string& line : console::abilities(result.profile)) person.say(line);
  person.say(
      "Nothing of it is proven: take it up at the console with --from, and each command is proposed there.");
  co_return result;
}

}  // namespace armwise::session
