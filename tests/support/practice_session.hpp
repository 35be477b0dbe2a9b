// A whole bench session in process: the real session and conversation code on a scripted line to a practice
// controller, in no real time.
#pragma once

#include <exception>
#include <memory>
#include <optional>
#include <string>

#include "armwise/base/fault.hpp"
#include "armwise/console/profile_console.hpp"
#include "armwise/practice/in_process.hpp"
#include "armwise/practice/person.hpp"
#include "armwise/session/bench.hpp"
#include "armwise/session/reapply.hpp"
#include "armwise/session/recover.hpp"
#include "support/memory_store.hpp"

namespace armwise::test {

// Loaded once: "tarn", "sedge", "fell", "brook", "moor".
const console::Profile& fixture_profile(const std::string& name);

// Counts what it is told.
class CountingSentry : public console::Sentry {
 public:
  void turning(Duration) override { ++turned; }
  void stopped() override { ++stops; }
  int turned = 0, stops = 0;
};

// A craft whose pins lead where the caller says: element i belongs to the profile's i-th pin.
practice::PracticeCraft craft_with(const craft::Frame& frame, const std::vector<practice::Soldered>& wiring);

struct Outcome {
  std::optional<session::BenchResult> result;
  std::optional<session::RecoverResult> recovered;
  std::optional<Fault> fault;
  bool stopped = false;
  std::string left;  // how the craft is then, as the stop says
};

// A session on any plug.
Outcome bench_on(console::Plug& plug, const console::Profile& spoken, session::Person& person,
                 record::Store& store, Clock& clock, const session::BenchOptions& options);

Outcome reapply_on(console::Plug& plug, const console::Profile& spoken, session::Person& person,
                   record::Store& store, Clock& clock, const record::CraftRecord& record,
                   const session::ReapplyOptions& options);

// A recovery on any port.
Outcome recover_by(practice::PracticePort& port, const console::Profile& spoken, session::Person& person,
                   record::Store& store, practice::ManualClock& clock);

// Whether this was among it, with values that hold these.
bool was_said(const std::vector<session::Statement>& told, session::StatementId id,
              const session::Facts& values = {});

struct PracticeSession {
  PracticeSession(const std::string& profile_name, practice::PracticeCraft craft,
                  practice::PersonScript script = {}, practice::MischiefPlan mischief = {},
                  practice::LineHabits line = {}, practice::Habits habits = {});

  Outcome bench(const session::BenchOptions& options);
  // The same with another person, or with a tool whose profile is not quite what the controller speaks.
  Outcome bench_by(session::Person& who, const console::Profile& spoken,
                   const session::BenchOptions& options);
  Outcome recover();
  // Doing it again from a record, by the practice person or another.
  Outcome reapply(const record::CraftRecord& record, const session::ReapplyOptions& options);
  Outcome reapply_by(session::Person& who, const record::CraftRecord& record,
                     const session::ReapplyOptions& options);

  // Every motor sits where the controller believes and turns as `scheme` wants, by the kept settings.
  bool kept_right(const craft::Frame& frame, craft::PropScheme scheme) const;
  bool anything_turns() { return !port.turning(clock.now()).empty(); }
  int spins() const;
  bool told(session::StatementId id, const session::Facts& values = {}) const {
    return was_said(person.told(), id, values);
  }
  std::string all_told() const;  // for a test that fails

  const console::Profile& profile;
  const practice::Mischief mischief;
  practice::ManualClock clock;
  practice::PracticePort port;
  practice::PracticePlug plug;
  CountingSentry sentry;
  practice::PortSight sight;
  practice::PracticePerson person;
  MemoryStore store;

 private:
  practice::LineHabits line_;
};

}  // namespace armwise::test
