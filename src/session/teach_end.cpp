// How the lessons end before their end: with what is known of the craft then, and no more.
#include "armwise/base/fault.hpp"
#include "teach_lessons.hpp"

namespace armwise::session {
namespace {

// Empty where nothing was sent that could have changed anything. What was tried is put back before the
// lessons end, or they end with a Fault(left_changed); what else a command does that a person types, nobody
// knows.
std::string how_it_is_left(const Teaching& t) {
  if (!t.talk.has_sent()) return {};
  const std::string motors = t.motors == Motors::not_spun    ? "armwise has spun no motor. "
                             : t.motors == Motors::stop_seen ? "no motor turns. "
                                                             : "";
  const std::string change = motors.empty() ? "what" : "What";
  if (t.told_to_keep) return motors + "Settings that you saved stay saved.";
  return motors + change +
         " was tried has been put back. If a command that you typed changed anything else, restarting the "
         "controller undoes it.";
}

}  // namespace

void end_stopped(Teaching& t, StoppedByPerson::How how) {
  say_where_no_stop_was_seen(t);
  throw StoppedByPerson(how, how_it_is_left(t));
}

// The console answers a stop, and what was typed in its place; only the person sees whether a motor stops.
void say_where_no_stop_was_seen(Teaching& t) {
  if (t.motors != Motors::stop_not_seen) return;
  t.person.tell("stop-unseen");
}

}  // namespace armwise::session
