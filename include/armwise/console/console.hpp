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
#include "armwise/base/task.hpp"
#include "armwise/console/profile.hpp"
#include "armwise/craft/motor.hpp"
#include "armwise/craft/turn.hpp"
#include "armwise/solve/plan.hpp"

namespace armwise::console {

struct Identity {
  std::string board, firmware, version, serial;  // as the console says; empty where it does not
  std::string port_identity;                     // as the port says
  std::string in_words() const;
  bool same_board(const Identity& other) const;  // everything but the firmware's version agrees
};

// In g and degrees a second, board axes (x forward, y right, z down), specific force: level reads (0,0,-1).
struct SenseReading {
  double x = 0, y = 0, z = 0;
  std::optional<std::array<double, 3>> gyro;
};

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
  virtual Task<solve::Snapshot> snapshot_as_left(int motors) { return snapshot(motors); }
  virtual Task<SenseReading> sense() = 0;

  // Turns a motor at `strength` (console units). The console's own bound is set to `longest` where it
  // has one. Never retried. A console that has not answered after 250 ms is not waited for while a motor
  // turns: its answer is read after the stop, and late_trouble() says what was wrong with it.
  virtual Task<void> spin(craft::Motor motor, double strength, Duration longest,
                          const SpinPermit& permit) = 0;
  // Stops the motor(s) and makes sure of it: repeated until acknowledged. Throws Fault(unsafe) otherwise.
  virtual Task<void> stop_all() = 0;

  // Writes one change and reads it back. Where the reply is lost nothing is sent again: what is read back
  // decides. Throws Fault(refused), Fault(mismatch) with both values.
  virtual Task<void> apply(const solve::Change& change, const WritePermit& permit) = 0;
  // The very lines that apply() would send.
  virtual std::vector<std::string> lines_for(const solve::Change& change) const = 0;

  // Sends a line of a saved configuration as it stands. Throws Fault(refused) with the console's words, and
  // without sending it where why_left_out() has a reason (playback.hpp).
  virtual Task<void> play(const std::string& line, const WritePermit& permit) = 0;

  // Keeps, restarts where needed and possible, and waits until the console is back. Throws Fault(refused)
  // where nothing was kept, Fault(not_back).
  virtual Task<void> keep_and_restart(const KeepPermit& permit) = 0;
  // Forgets what was written and not kept, by a restart, where the console can; false where it cannot.
  virtual Task<bool> restart_without_keeping() = 0;
  // Said to the person after a restart under another name; empty otherwise.
  virtual std::string renamed() const = 0;
  virtual Task<void> leave() = 0;

  // What was wrong with the last spin, where its answer came only after the stop.
  virtual std::optional<Fault> late_trouble() const = 0;

  // One stop of all motors: nothing where it was acknowledged, else what went wrong. For who has to warn the
  // person before trying on with stop_all(). It can take many times as long as a reply: `silent` is called,
  // once at most, where the console has said nothing at all for as long as a reply may take since a stop was
  // written, and is still being waited for; it outlives the call.
  virtual Task<std::optional<Fault>> try_stop(const std::function<void()>& silent) = 0;
  // After the line was lost: waits, as long as a restart may take, for the same controller to come back, and
  // gets into its console. Where a motor may be turning, the first thing sent is the stop.
  // Throws Fault(not_back).
  virtual Task<void> reopen() = 0;
};

}  // namespace armwise::console
