// The guided session: find out, plan, apply, prove, keep, record.
//
// One coroutine on one thread. It reaches the world through the console, the person and the store; time
// is handed in. Ends in one of four ways: a result; StoppedByPerson with the controller as before; a Fault
// with the controller as before; Fault(left_changed, not_back or unsafe), whose sentence says how things
// stand.
#pragma once

#include <cstdint>
#include <functional>
#include <optional>
#include <string>

#include "armwise/base/clock.hpp"
#include "armwise/base/task_fwd.hpp"
#include "armwise/console/console.hpp"
#include "armwise/craft/turn.hpp"
#include "armwise/record/store.hpp"
#include "armwise/session/person.hpp"

namespace armwise::session {

// What is done about the mount: found from poses and named; found and told as measured; not touched.
enum class MountWish { find, exact, leave };

struct BenchOptions {
  std::string frame;                        // empty: asked
  std::optional<craft::PropScheme> scheme;  // absent: asked
  std::string craft_name;                   // empty: asked where the craft is new
  std::string port;                         // as the person knows it, for the record
  std::string tool_version;
  std::string operator_name, place;         // for the record
  std::string caveat;                       // what a reader of the record must know first; empty: nothing
  std::string reached_by;                   // options that lead to this controller again, as " --practice"
  std::optional<double> strength_per_cent;  // absent: the profile's standard
  Duration spin_time{1000};
  MountWish mount = MountWish::find;
  double sure = 1e-4;  // the chance of keeping something wrong that is taken
  // With the answers, which motor comes when in the check: whoever knew it would answer by heart.
  std::uint32_t order = 1;
  // Asked after a spin that a signal ended, once the motor is stopped: true where the signal was Ctrl-Z, the
  // process has been suspended, and it goes on now. Empty: every signal ends the session.
  std::function<bool()> suspended;
  bool dry_run = false;  // ends with the plan shown; no write permit is ever made
};

struct BenchResult {
  enum class Ending { proven, planned_only };
  Ending ending = Ending::proven;
  std::string record_file;
};

Task<BenchResult> bench(console::Console& console, Person& person, record::Store& store, Clock& clock,
                        const BenchOptions& options);

// Question id: `frame`.
Question frame_question(std::string text);

}  // namespace armwise::session
