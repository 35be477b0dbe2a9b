// The tool as its guard knows it: whether it lives, when it was heard last, whether it wants to end.
#pragma once

#include <cstdint>

#include "guard_message.hpp"

namespace armwise::link {

class GuardTool {
 public:
  // The socket to it, and a descriptor of its process.
  GuardTool(int socket, int process) : socket_(socket), process_(process) {}

  int socket() const { return socket_; }
  GuardReceived receive() const { return receive_message(socket_); }
  void tell(GuardMessage::Kind kind) const { send_message(socket_, GuardMessage::plain(kind)); }

  // It has said something.
  void heard(std::int64_t now) { last_beat_ = now; }
  std::int64_t silent_at(Duration longest) const { return last_beat_ + nanoseconds(longest); }

  bool lives() const { return lives_; }
  void gone() { lives_ = false; }
  bool ending() const { return ending_; }
  void wants_to_end() { ending_ = true; }

  void kill();
  bool killed() const { return killed_; }

 private:
  int socket_, process_;
  bool lives_ = true;
  bool killed_ = false;  // by us
  bool ending_ = false;  // it wants the guard to finish
  std::int64_t last_beat_ = 0;
};

}  // namespace armwise::link
