// What the guard does all its life: listens for the tool, and stops the motors where it falls silent.
#pragma once

#include <cstdint>
#include <optional>
#include <string>

#include "armwise/link/guard.hpp"
#include "armwise/link/guard_note.hpp"
#include "guard_message.hpp"
#include "guard_port.hpp"
#include "guard_speaker.hpp"

namespace armwise::link {

class Watch {
 public:
  Watch(int socket, int tool, const GuardTiming& timing, const GuardSpeaker& speaker)
      : socket_(socket), tool_(tool), timing_(timing), speaker_(speaker) {}
  // Returns when the tool has ended and nothing turns any more.
  void run();

 private:
  bool take_messages();  // false once the tool is gone
  void obey(const GuardReceived& received);
  void let_go(std::int64_t number);
  void answer(bool carried_out) {
    send_message(socket_,
                 GuardMessage::plain(carried_out ? GuardMessage::Kind::done : GuardMessage::Kind::not_done));
  }

  bool tool_is_silent(std::int64_t now, Duration longest) const;
  bool is_alone() const { return !tool_lives_ || ending_; }
  bool must_stop(std::int64_t now) const;
  bool must_find_the_port(std::int64_t now) const;
  std::int64_t next_alarm() const;
  void check_time();
  void begin_to_stop(std::int64_t now);
  void keep_stopping(std::int64_t now);
  Duration longest() const;  // that the stop is tried without the tool
  // A tool that ended by itself has said so much.
  bool is_to_warn() const { return !tool_lives_ && !ending_ && !warned_; }
  void warn();
  void end(GuardNote::Ending how);
  void look_for_the_port(std::int64_t now);
  void read_answer();
  void forget_answers();
  bool is_acknowledged() const;
  void kill_tool();
  void wait();

  int socket_, tool_;
  GuardTiming timing_;
  GuardSpeaker speaker_;
  StopSpeech speech_;
  GuardPort port_;

  bool tool_lives_ = true;
  bool killed_ = false;  // the tool, by us
  bool ending_ = false;  // the tool wants the guard to finish
  bool turning_ = false;
  std::int64_t until_ = 0;      // when the motor should have been stopped
  std::int64_t last_beat_ = 0;  // when the tool was heard last

  bool stopping_ = false;
  int stops_written_ = 0;  // on this port
  Duration interval_{0};   // to the next one
  std::int64_t next_stop_ = 0, give_up_ = 0, next_look_ = 0, warn_ = 0;
  bool warned_ = false;
  int said_ = 0;        // stops, on this port
  int tool_said_ = 0;   // besides, by the tool just before its end
  int heard_ = 0;       // times that what an answer is known by has come
  std::string unread_;  // what came last and may be the beginning of it

  std::string note_;                      // the file that word is left in
  std::optional<GuardNote::Ending> how_;  // a stop after the tool's end ended
};

}  // namespace armwise::link
