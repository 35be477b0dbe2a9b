// Speaks to a console that nobody has described yet: sends one line, and takes for the reply what comes
// until a known prompt and a moment of silence, or else until a long silence.
#pragma once

#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "armwise/base/clock.hpp"
#include "armwise/base/task_fwd.hpp"
#include "armwise/console/filtered_line.hpp"
#include "armwise/console/template.hpp"
#include "armwise/teach/listening.hpp"

namespace armwise::session {

class Ear {
 public:
  // `open`: what the console says beside its answers, as far as that is known; outlives it, as `clock` does.
  Ear(const console::Open& open, Clock& clock) : open_(open), clock_(clock) {}

  struct Heard {
    teach::HeardReply reply;
    std::string received;   // as it came
    bool closed = false;    // the line is gone
    bool late = false;      // the answer had not ended when the time given was over
    teach::Lines left_out;  // what came unasked meanwhile
  };
  // Throws Fault(line_lost, no_reply). `line` outlives the call. `longest`: how long it is listened to at
  // most; what comes later is left for raw(). `lines`: where no prompt ends a reply, so many do; 0: silence.
  Task<Heard> say(const std::string& line, std::optional<Duration> longest = {}, std::size_t lines = 0);
  // As say(), of a line that is typed already: only its end is sent.
  Task<Heard> say_typed(const std::string& line, std::optional<Duration> longest);
  static constexpr Duration longest_unrest{20000};
  // Bytes as they are, and whatever comes until silence, or for so long where the console never falls silent.
  Task<std::string> raw(const std::string& bytes, Duration silence, Duration longest = longest_unrest);
  // Whether the last line of this is one of the prompts known so far.
  bool ends_in_prompt(const std::string& received) const;
  // True where the line goes away within this time.
  Task<bool> goes_away(Duration within);
  // Sends nothing while a controller starts up: until a prompt comes by itself, or for so long.
  Task<void> hear_start(Duration longest);

  std::string line_end = "\r";
  std::vector<std::string> prompts;            // known so far
  std::optional<console::Template> reply_end;  // of a reply behind which no prompt stands
  std::string more, more_send;                 // what a paged listing stops with, once one has been met
  bool glued_echo = false;                     // the answer stands on the line of the echo
  bool echo_in_capitals = false;
  Duration slowest{0};                             // answer so far: from the line end to its first byte
  std::function<void(std::size_t lines)> is_long;  // told every two seconds of a reply that goes on

  // The line without its owner, so that the console proper can open it.
  void close() { line_.reset(); }
  std::unique_ptr<console::Line> release() {
    const auto line = std::move(line_);
    return line ? line->release() : nullptr;
  }
  bool is_open() const { return line_ != nullptr; }
  void take(std::unique_ptr<console::Line> line) {
    line_ = line ? std::make_unique<console::FilteredLine>(std::move(line), open_, clock_) : nullptr;
  }

  Clock& clock() const { return clock_; }

 private:
  bool has_ended(const std::string& received) const;
  Task<Heard> hear(const std::string& sent, std::optional<Duration> longest, std::size_t lines);
  bool stopped_for_more(const std::string& received) const;
  console::FilteredLine& line() const;  // throws Fault(line_lost)
  const console::Open& open_;
  std::unique_ptr<console::FilteredLine> line_;
  Clock& clock_;
};

}  // namespace armwise::session
