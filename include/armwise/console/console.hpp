// The controller as the flows see it: abilities, not text. One of the three interfaces to the world.
#pragma once

#include <array>
#include <functional>
#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "armwise/base/fault.hpp"
#include "armwise/base/permit.hpp"
#include "armwise/base/task_fwd.hpp"
#include "armwise/console/identity.hpp"
#include "armwise/console/profile.hpp"
#include "armwise/craft/motor.hpp"
#include "armwise/craft/turn.hpp"
#include "armwise/solve/plan.hpp"

namespace armwise::console {

// In g and degrees a second, board axes (x forward, y right, z down), specific force: level reads (0,0,-1).
struct SenseReading {
  double x = 0, y = 0, z = 0;
  std::optional<std::array<double, 3>> gyro;
};

// A stop that has not been acknowledged: the person can pull a plug. Told as soon as that is overdue (after
// half a second, or at once where the line is lost; where the answer to the spin was late already, after as
// long as a reply may take), and then every two seconds.
struct Unstopped {
  std::string why;
  Duration since{0};  // the first stop
};
using TellUnstopped = std::function<void(const Unstopped&)>;
Fault motor_may_be_turning(const std::string& why);  // where it is given up

// What is known of the last order to keep: nothing, or that none was given; the console took it, and the
// profile has no words to know more by; it said, in the profile's words, that the settings are saved.
enum class Saved { unknown, taken, acknowledged };

class Console {
 public:
  virtual ~Console() = default;

  virtual const Profile& profile() const = 0;

  // All of these throw Fault(no_reply, line_lost, unreadable, refused), with what was being done.
  virtual Task<void> open() = 0;
  virtual Task<Identity> identify() = 0;
  // As it came over the line, but for escape codes (whole_configuration.hpp makes lines of it).
  virtual Task<std::string> whole_configuration() = 0;
  // Everything that a plan needs: every motor that the console lists from motor 1 on, at least `motors` of
  // them. A listing in which one is missing or said twice, or a pin stands on two, is Fault(unreadable).
  virtual Task<solve::Snapshot> snapshot(int motors) = 0;
  // As snapshot(), of a controller that was left in the middle of writing, where a pin may stand on two
  // motors or a motor on no pin. Of a motor that stands on two pins the pin listed last counts.
  virtual Task<solve::Snapshot> snapshot_as_left(int motors) = 0;
  virtual Task<SenseReading> sense() = 0;

  // Turns a motor at `strength` (console units). The console's own bound is set to `longest` where it
  // has one. Never retried. A console that has not answered after 250 ms is not waited for while a motor
  // turns: its answer is read after the stop, and late_trouble() says what was wrong with it.
  virtual Task<void> spin(craft::Motor motor, double strength, Duration longest,
                          const SpinPermit& permit) = 0;
  // Stops the motors and makes sure of it: said until it is acknowledged, every quarter of a second at first,
  // and on the line that comes back (under whatever name) where this one is lost, for half a minute. `tell`:
  // see TellUnstopped; may be empty; outlives the call. True where the line was lost and is back. Throws
  // Fault(unsafe) where no stop was acknowledged.
  virtual Task<bool> stop_all(const TellUnstopped& tell) = 0;

  // Writes one change and reads it back. Where the reply is lost nothing is sent again: what is read back
  // decides. Throws Fault(refused), Fault(mismatch) with both values.
  virtual Task<void> apply(const solve::Change& change, const MayWrite& permit) = 0;
  // The very lines that apply() would send for each, one after the other: where two settings share a number,
  // the second sends it with the first in it.
  virtual std::vector<std::vector<std::string>> lines_of_each(
      const std::vector<solve::Change>& changes) const = 0;
  std::vector<std::string> lines_for(const solve::Change& change) const {
    return lines_of_each({change}).front();
  }

  // Sends a line of a saved configuration as it stands. Throws Fault(refused) with the console's words, and
  // without sending it where why_left_out() has a reason (playback.hpp).
  virtual Task<void> play(const std::string& line, const MayPlay& permit) = 0;

  // Keeps, restarts where that is possible, and waits until the console is back. True where the restart was
  // seen: the port vanished and came back, or on the same port the console fell silent and its start-up came.
  // Throws Fault(refused) where nothing was kept, Fault(not_back), and Fault(left_changed) where the console
  // answers with a question that the profile does not answer. saved() tells more, also after a fault.
  virtual Task<bool> keep_and_restart(const MayKeep& permit) = 0;
  virtual Saved saved() const = 0;
  // Forgets what was written and not kept, by a restart; false where the console cannot, or none was seen.
  virtual Task<bool> restart_without_keeping() = 0;
  // While the person restarts the controller by hand, or just after: true once a restart was seen and the
  // console answers; false where none was within the time that a restart may take. Throws Fault(not_back).
  virtual Task<bool> see_restart() = 0;
  // Said to the person after a restart under another name; empty otherwise.
  virtual std::string renamed() const = 0;
  virtual Task<void> leave() = 0;

  // What was wrong with the last spin, where its answer came only after the stop.
  virtual std::optional<Fault> late_trouble() const = 0;

  // After the line was lost: waits, as long as a restart may take, for the same controller to come back, and
  // gets into its console. Where a motor may be turning, or no stop was acknowledged yet, the first thing
  // sent is the stop; otherwise nothing is sent before its start-up has come to an end. Throws
  // Fault(not_back).
  virtual Task<void> reopen() = 0;
};

}  // namespace armwise::console
