#include "support/practice_session.hpp"

#include <algorithm>
#include <boost/asio/co_spawn.hpp>
#include <boost/asio/io_context.hpp>
#include <map>
#include <utility>

#include "armwise/record/files.hpp"

namespace armwise::test {
namespace {

// Runs a flow to its end and sorts how it ended.
template <typename Result>
void run(Task<Result> task, std::optional<Result>& result, Outcome& outcome) {
  boost::asio::io_context loop;
  std::exception_ptr trouble;
  boost::asio::co_spawn(loop, std::move(task), [&](std::exception_ptr error, Result value) {
    trouble = error;
    if (!error) result = std::move(value);
  });
  loop.run();
  try {
    if (trouble) std::rethrow_exception(trouble);
  } catch (const Fault& fault) {
    outcome.fault = fault;
  } catch (const StoppedByPerson& stop) {
    outcome.stopped = true;
    outcome.left = stop.left();
  }
}

}  // namespace

const console::Profile& fixture_profile(const std::string& name) {
  static std::map<std::string, console::Profile> loaded;
  auto found = loaded.find(name);
  if (found == loaded.end()) {
    const std::string file = std::string(ARMWISE_FIXTURES) + "/profiles/" + name + ".json";
    found = loaded.emplace(name, console::load_profile(record::read_whole(file))).first;
  }
  return found->second;
}

practice::PracticeCraft craft_with(const craft::Frame& frame, const std::vector<practice::Soldered>& wiring) {
  practice::PracticeCraft craft = practice::seeded_craft(frame, 1);
  craft.mount = {};
  craft.wiring.clear();
  for (std::size_t i = 0; i < wiring.size(); ++i) craft.wiring[craft.pins.at(i)] = wiring[i];
  return craft;
}

Outcome bench_on(console::Plug& plug, const console::Profile& spoken, session::Person& person,
                 record::Store& store, Clock& clock, const session::BenchOptions& options) {
  Outcome outcome;
  CountingSentry sentry;
  console::ProfileConsole console(plug, spoken, clock, sentry);
  run(session::bench(console, person, store, clock, options), outcome.result, outcome);
  return outcome;
}

Outcome reapply_on(console::Plug& plug, const console::Profile& spoken, session::Person& person,
                   record::Store& store, Clock& clock, const record::CraftRecord& record,
                   const session::ReapplyOptions& options) {
  Outcome outcome;
  CountingSentry sentry;
  console::ProfileConsole console(plug, spoken, clock, sentry);
  run(session::reapply(console, person, store, clock, record, options), outcome.result, outcome);
  return outcome;
}

Outcome recover_by(practice::PracticePort& port, const console::Profile& spoken, session::Person& person,
                   record::Store& store, practice::ManualClock& clock) {
  Outcome outcome;
  CountingSentry sentry;
  practice::PracticePlug plug(port, clock);
  console::ProfileConsole console(plug, spoken, clock, sentry);
  run(session::recover(console, person, store, clock), outcome.recovered, outcome);
  return outcome;
}

PracticeSession::PracticeSession(const std::string& profile_name, practice::PracticeCraft craft,
                                 practice::PersonScript script, practice::MischiefPlan planned,
                                 practice::LineHabits line, practice::Habits habits)
    : profile(fixture_profile(profile_name)),
      mischief(planned.what),
      port(profile, std::move(craft), planned, habits),
      plug(port, clock, line),
      sight(port, clock),
      person(sight, clock, std::move(script)),
      line_(line) {}

Outcome PracticeSession::bench(const session::BenchOptions& options) {
  return bench_by(person, profile, options);
}

Outcome PracticeSession::bench_by(session::Person& who, const console::Profile& spoken,
                                  const session::BenchOptions& options) {
  practice::PracticePlug fresh(port, clock, line_);
  return bench_on(fresh, spoken, who, store, clock, options);
}

Outcome PracticeSession::reapply(const record::CraftRecord& record, const session::ReapplyOptions& options) {
  return reapply_by(person, record, options);
}

Outcome PracticeSession::reapply_by(session::Person& who, const record::CraftRecord& record,
                                    const session::ReapplyOptions& options) {
  practice::PracticePlug fresh(port, clock, line_);
  return reapply_on(fresh, profile, who, store, clock, record, options);
}

Outcome PracticeSession::recover() {
  Outcome outcome;
  practice::PracticePlug fresh(port, clock, line_);
  console::ProfileConsole console(fresh, profile, clock, sentry);
  run(session::recover(console, person, store, clock), outcome.recovered, outcome);
  return outcome;
}

bool PracticeSession::kept_right(const craft::Frame& frame, craft::PropScheme scheme) const {
  const auto numbering = profile.numbering_for(frame);
  const practice::PracticeCraft& craft = port.controller().craft();
  const practice::SettingsView kept = port.controller().saved();
  for (int i = 0; i < frame.size(); ++i) {
    const craft::Motor motor{i + 1};
    const craft::Pin& pin = kept.map.pin_of(motor);
    const auto wired = craft.wiring.find(pin.name);
    if (wired == craft.wiring.end()) return false;
    craft::Turn turn = wired->second.turn;
    if (profile.turn) {
      const bool by_pin = profile.turn->key == solve::TurnKey::pin;
      const auto at = std::find(craft.pins.begin(), craft.pins.end(), pin.name) - craft.pins.begin();
      const auto index = by_pin ? static_cast<std::size_t>(at) : static_cast<std::size_t>(i);
      // The default is cw: any other setting turns the motor the other way round.
      if (kept.turns.at(index) == craft::Turn::ccw) turn = craft::opposite(turn);
    }
    const craft::PlaceIndex place = numbering->place_of(motor);
    if (wired->second.place != place || turn != frame.wanted(place, scheme)) return false;
  }
  return true;
}

int PracticeSession::spins() const {
  const auto& history = port.controller().history();
  return static_cast<int>(std::count_if(
      history.begin(), history.end(),
      [](const practice::Happened& happened) { return happened.what == practice::Happened::What::spun; }));
}

bool was_said(const std::vector<session::Statement>& told, session::StatementId id,
              const session::Facts& values) {
  const auto holds = [](const session::Statement& statement, const std::string& name,
                        const std::string& part) {
    const auto value = statement.facts.find(name);
    return value != statement.facts.end() && value->second.find(part) != std::string::npos;
  };
  return std::ranges::any_of(told, [&](const session::Statement& statement) {
    return statement.id == id.row().id && std::ranges::all_of(values, [&](const auto& value) {
             return holds(statement, value.first, value.second);
           });
  });
}

std::string PracticeSession::all_told() const {
  std::string all;
  for (const session::Statement& statement : person.told())
    all += "  " + statement.id + ": " + statement.text + "\n";
  return all;
}

}  // namespace armwise::test
