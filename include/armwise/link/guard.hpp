// The watchdog: a process that stops the motors when the tool cannot. Tool and guard are one safety system,
// and while the tool lives the tool speaks.
//
// The guard holds a copy of the port. While a motor may be turning the tool beats to it out of the same event
// loop that talks to the controller. The guard says the stop when the tool
//   ends      (also by SIGKILL)                          at once
//   falls silent (stopped, hung, in an endless loop)     after 250 ms; and kills it after 3 s of silence, for
//                                                        woken up later it could start the motor once more
//   forgets   (the time is over, and it neither reported the stop nor said that it is stopping)
//                                                        after the time and a grace of 250 ms, and tells it
// A tool that beats is never killed, and the guard speaks beside it too seldom to keep it from getting into
// step with its console.
//
// How it stops: what is queued is thrown away; then what leaves something half typed, and the stop. Again, at
// growing intervals, until an answer shows that the console has read a repeated one, or 10 s are over. Where
// the port is gone with the tool, it waits for the same controller to come back, gets into its console and
// stops there. What it does then is said on the terminal (in red, with a bell) or in the machine stream, for
// nobody else is left to say it; and a terminal that was left raw is restored.
//
// No program on this side covers an unplugged cable, a power cut or a frozen kernel; nor tool and guard
// killed or frozen together.
#pragma once

#include <sys/types.h>

#include <filesystem>
#include <functional>
#include <memory>
#include <string>
#include <utility>

#include "armwise/base/duration.hpp"
#include "armwise/base/fault.hpp"
#include "armwise/base/task_fwd.hpp"
#include "armwise/console/sentry.hpp"
#include "armwise/link/ports.hpp"
#include "armwise/link/serial_line.hpp"

namespace armwise::link {

// How this controller is told to stop, as bytes. At most 2048 together.
struct StopSpeech {
  std::string line_end;  // ends a half-written command, so that it is not carried out
  std::string stop;      // one or more lines, each with its end
  // What the answer to a stop holds, letters without case, and not within longer words: its confirmation, so
  // often (twice where the console's echo of the stop holds it, too). 0 times: the prompt, or what else every
  // answer holds, and only once a stop has been repeated, for the first may be the answer to the half-written
  // command; empty: any byte. Less: nothing that comes tells, as the console talks unasked; so the stop is
  // said to the end.
  std::string acknowledged_by;
  int times = 0;
  std::string enter{};  // gets into the console of a controller that came back; empty: not needed
};

// A port, and how the same controller is found again once it is gone. At most 2048 bytes together.
struct HeldPort {
  std::filesystem::path node;
  PortIdentity identity;
  DeviceRoot root;
  int speed = usual_speed;
};

struct GuardTiming {
  Duration beat{50};
  Duration silence{250};
  Duration kill{
      3000};  // of silence, while a motor may be turning; a busy machine is silent for a second at times
  Duration grace{250};   // past the time announced
  Duration repeat{100};  // to the first repeated stop; then twice as long each time
  Duration repeat_at_longest{500};
  Duration seldom{2000};  // between two stops beside a tool that beats
  Duration warn{500};  // from the first stop without the tool until the person is told that none was answered
  Duration insist{10000};  // the longest that the stop is repeated on a port once the tool is gone
  Duration absent{20000};  // the longest that a port is waited for once the tool is gone
};

// Where the guard speaks once the tool cannot.
enum class GuardVoice { none, lines, machine, screen };

class Guard : public console::Sentry {
 public:
  // Forks. Call it at the start of main, before threads and event loops exist. Throws Fault(unsafe).
  static std::unique_ptr<Guard> start(const GuardTiming& timing = {});

  // While a motor may be turning this waits for the guard's stop, for 2 s at most; the guard goes on.
  ~Guard() override;
  Guard(const Guard&) = delete;
  Guard& operator=(const Guard&) = delete;

  // Beats come from this loop for as long as what is returned lives, which must not be longer than the loop:
  // declare it after the loop. Destroyed while a motor may be turning, it has the motor stopped by the guard.
  // `on_trouble` is called from the loop, once for each spin at most, where the guard dies in mid-spin or had
  // to stop a motor that the tool forgot: then stop the motors and end.
  class Beats;
  [[nodiscard]] std::unique_ptr<Beats> join(const boost::asio::any_io_executor& loop,
                                            std::function<void(const Fault&)> on_trouble);

  // From now on the stop is said so. Throws Fault(unsafe).
  void say(const StopSpeech& speech);

  // Where the guard leaves word of a motor that it stopped after the tool's end (guard_note.hpp); a path of
  // at most 2048 bytes whose folder is there. Throws Fault(unsafe).
  void leave_word_in(const std::filesystem::path& file);

  // Lines go to standard error, messages (a JSON object a line) to standard output, as they were when the
  // guard was started.
  void speak(GuardVoice voice);

  // Gives the guard a copy of an open port, in place of the one before. Throws Fault(unsafe).
  // The number returned is for let_go().
  int hold(int port, const HeldPort& which = {});
  // The copy of that port is closed when this returns, unless it lives and a motor may be turning on it, or
  // another has taken its place. A copy that lingers would keep the port's old name taken. Never throws.
  void let_go(int held) noexcept;

  // Throws Fault(unsafe) unless the guard has confirmed that it watches, with a port and with a stop to say.
  void turning(Duration longest) override;
  void stopping(Duration longest) override;
  void stopped() override;

  pid_t process() const;

 private:
  struct State;
  explicit Guard(std::shared_ptr<State> state);
  std::shared_ptr<State> state_;
};

class Guard::Beats {
 public:
  ~Beats();
  Beats(const Beats&) = delete;
  Beats& operator=(const Beats&) = delete;

 private:
  friend class Guard;
  explicit Beats(std::shared_ptr<State> state) : state_(std::move(state)) {}
  std::shared_ptr<State> state_;
};

// A core dump of a big process takes seconds, in which it neither ends nor beats. Call it at the start of
// main.
void no_core_dumps();

}  // namespace armwise::link
