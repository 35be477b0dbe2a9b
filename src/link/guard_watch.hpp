// What the guard does all its life: listens for the tool, and stops the motors where it falls silent.
#pragma once

#include <cstdint>
#include <optional>
#include <string>

#include "armwise/link/guard.hpp"
#include "armwise/link/guard_note.hpp"
#include "guard_answers.hpp"
#include "guard_message.hpp"
#include "guard_port.hpp"
#include "guard_speaker.hpp"
#include "guard_tool.hpp"
#include "stop_series.hpp"

namespace armwise::link {

class Watch {
 public:
  // `timing` outlives it.
  Watch(int socket, int tool, const GuardTiming& timing, const GuardSpeaker& speaker)
      : tool_(socket, tool), timing_(timing), speaker_(speaker), stops_(timing) {}
  // Returns when the tool has ended and nothing turns any more.
  void run();

 private:
  bool take_messages();  // false once the tool is gone
  void obey(const GuardReceived& received);
  void let_go(std::int64_t number);
  void answer(bool carried_out) {
    tool_.tell(carried_out ? GuardMessage::Kind::done : GuardMessage::Kind::not_done);
  }

  bool is_silent(std::int64_t now) const { return now >= tool_.silent_at(timing_.silence); }
  bool is_alone() const { return !tool_.lives() || tool_.ending(); }
  bool must_stop(std::int64_t now) const;
  bool must_find_the_port(std::int64_t now) const;
  std::int64_t next_alarm() const;
  void check_time();
  void begin_to_stop(std::int64_t now);
  void keep_stopping(std::int64_t now);
  Duration longest() const;  // that the stop is tried without the tool
  // A tool that ended by itself has said so much.
  bool is_to_warn() const { return warn_ && !tool_.lives() && !tool_.ending(); }
  void end(GuardNote::Ending how);
  void look_for_the_port(std::int64_t now);
  void read_answer();
  void kill_tool();
  void wait();

  GuardTool tool_;
  const GuardTiming& timing_;
  GuardSpeaker speaker_;
  StopSpeech speech_;
  GuardPort port_;
  StopSeries stops_;
  GuardAnswers answers_;

  bool turning_ = false;
  std::int64_t until_ = 0;  // when the motor should have been stopped
  bool stopping_ = false;
  std::int64_t give_up_ = 0, next_look_ = 0;
  std::optional<std::int64_t> warn_;  // when the person is told that no stop was answered; absent: they were

  std::string note_;                      // the file that word is left in
  std::optional<GuardNote::Ending> how_;  // a stop after the tool's end ended
};

}  // namespace armwise::link
