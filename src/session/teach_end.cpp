// How the lessons end before their end: with what is known of the craft then, and no more.
#include <boost/asio/error.hpp>
#include <boost/system/system_error.hpp>

#include "armwise/base/fault.hpp"
#include "armwise/base/task.hpp"
#include "teach_flow.hpp"

namespace armwise::session {

Task<TeachResult> TeachFlow::run() {
  try {
    TeachResult result = co_await lessons();
    co_return result;
  } catch (const StoppedByPerson& stop) {
    end_stopped(stop.how());
  } catch (const boost::system::system_error& error) {
    // So ends whatever a signal cancels.
    if (error.code() != boost::asio::error::operation_aborted) throw;
    end_stopped(StoppedByPerson::How::interrupted);
  } catch (const Fault& fault) {
    if (fault.kind() != FaultKind::unsafe) say_where_no_stop_was_seen();  // it says so itself
    throw;
  }
}

void TeachFlow::end_stopped(StoppedByPerson::How how) {
  say_where_no_stop_was_seen();
  throw StoppedByPerson(how, how_it_is_left());
}

// The console answers a stop, and what was typed in its place; only the person sees whether a motor stops.
void TeachFlow::say_where_no_stop_was_seen() {
  if (motors_ != Motors::stop_not_seen) return;
  person_.say(
      "Nobody has seen yet that what was typed as the stop stops a motor. If one turns, keep clear and pull "
      "the battery plug now.",
      Level::danger);
}

// Empty where nothing was sent that could have changed anything. What was tried is put back before the
// lessons end, or they end with a Fault(left_changed); what else a command does that a person types, nobody
// knows.
std::string TeachFlow::how_it_is_left() const {
  if (!sent_) return {};
  const std::string motors = motors_ == Motors::not_spun    ? "armwise has spun no motor. "
                             : motors_ == Motors::stop_seen ? "no motor turns. "
                                                            : "";
  const std::string change = motors.empty() ? "what" : "What";
  if (told_to_keep_) return motors + change + " the controller was told to keep, it keeps.";
  return motors + change +
         " was tried has been put back. If a command that was typed has changed anything else, a restart of "
         "the controller undoes it.";
}

}  // namespace armwise::session
