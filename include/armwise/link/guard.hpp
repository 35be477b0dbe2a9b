// The process that stops the motors when the tool cannot.
//
// It holds a copy of the port. While a motor may be turning the tool beats to it out of the same event loop
// that talks to the controller. It sends the stop when the tool
//   ends      (also by SIGKILL)                          at once
//   falls silent (stopped, hung, in an endless loop)     after 250 ms, and kills it: woken up again, it could
//                                                        start the motor once more
//   forgets   (the time is over, no stop was reported)   after the time and a grace of 250 ms
// Each time: what is queued is thrown away, a line end that ends a half-written command, the stop; again
// until an answer shows that the console has read a repeated one, or 2 s are over. A tool that lives but has
// not reported the stop by then is killed. While the tool lives and beats in time, the guard never speaks.
//
// No program on this side covers an unplugged cable, a power cut or a frozen kernel.
#pragma once

#include <sys/types.h>

#include <boost/asio/any_io_executor.hpp>
#include <filesystem>
#include <functional>
#include <memory>
#include <string>
#include <utility>

#include "armwise/base/duration.hpp"
#include "armwise/base/fault.hpp"
#include "armwise/console/sentry.hpp"

namespace armwise::link {

// How this controller is told to stop, as bytes. At most 2048 together.
struct StopSpeech {
  std::string line_end;         // ends a half-written command, so that it is not carried out
  std::string stop;             // one or more lines, each with its end
  std::string acknowledged_by;  // the prompt, or what else every answer holds; empty: any byte
};

struct GuardTiming {
  Duration beat{50};
  Duration silence{250};
  Duration grace{250};    // past the time announced
  Duration repeat{100};   // between two stops
  Duration insist{2000};  // the longest that the stop is repeated
};

class Guard : public console::Sentry {
 public:
  // Forks. Call it at the start of main, before threads and event loops exist. Throws Fault(unsafe).
  static std::unique_ptr<Guard> start(const GuardTiming& timing = {});

  // While a motor may be turning this makes sure that it is stopped (for 2 s at most) before it returns.
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

  // Gives the guard a copy of an open port, in place of the one before. Throws Fault(unsafe).
  // The number returned is for let_go().
  int hold(int port);
  // The copy of that port is closed when this returns, unless it lives and a motor may be turning on it, or
  // another has taken its place. A copy that lingers would keep the port's old name taken. Never throws.
  void let_go(int held) noexcept;

  // Throws Fault(unsafe) unless the guard has confirmed that it watches, with a port and with a stop to say.
  void turning(Duration longest) override;
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
