// Learning a console by example: the person types the commands that they already use, and a profile comes
// out. One coroutine on one thread, as bench().
#pragma once

#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "armwise/base/clock.hpp"
#include "armwise/base/task_fwd.hpp"
#include "armwise/console/line.hpp"
#include "armwise/console/profile.hpp"
#include "armwise/console/sentry.hpp"
#include "armwise/record/journal.hpp"
#include "armwise/session/person.hpp"

namespace armwise::session {

// How a bench session on a practice craft went that speaks a profile.
struct Rehearsal {
  // What a session cannot do without and the profile does not say: nothing was tried then.
  std::vector<std::string> missing;
  bool played = false;                   // a session was
  std::optional<std::string> wrong;      // why the session did not end right
  std::vector<std::string> not_covered;  // what was not tried, as the profile does not say it
};

struct TeachOptions {
  std::string name;   // of the profile; empty: asked
  std::string frame;  // whose numbering is asked for; empty: asked
  // A half-taught profile: what it holds is not asked again.
  std::optional<console::Profile> from;
  // The text of a session with this console, saved before: what was typed then is proposed.
  std::string log;
  // Called after each lesson with the profile so far, so that nothing is lost by a stop.
  std::function<void(const console::Profile&)> keep_draft;
  // Who watches over a spin, from when the stop has been learned. Absent: spins are not taught.
  std::function<console::Sentry&(const console::Profile&)> watched_by;
  // Where word is left of a value that is being tried, on disk before it is sent. Absent: none is left.
  std::function<record::Journal&()> journal;
  // As BenchOptions::suspended: asked after a spin that a signal ended, once the motor is stopped; true where
  // it was Ctrl-Z, and the lessons go on. Empty: every signal ends them.
  std::function<bool()> suspended;
  // Tries the finished profile on a practice craft.
  std::function<Rehearsal(const console::Profile&)> rehearse;
};

struct TeachResult {
  console::Profile profile;
  int typed = 0;  // commands that the person typed
};

// Everything that is sent to try a command changes nothing, or is said first and put back after. Spins only
// after the props were said to be off, at the lowest strength, with the stop learned and tried before.
// Throws StoppedByPerson, also for a signal, with what is known of the craft then; Fault as the console does;
// Fault(bad_profile) where no profile came of it.
Task<TeachResult> teach(console::Plug& plug, Person& person, Clock& clock, const TeachOptions& options);

}  // namespace armwise::session
