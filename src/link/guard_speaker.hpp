// The guard's words to the person, once the tool is gone or hangs; and the terminal that it left raw.
#pragma once

#include <termios.h>

#include <vector>

#include "armwise/link/guard.hpp"
#include "guard_statements.hpp"

namespace armwise::link {

class GuardSpeaker {
 public:
  GuardSpeaker() = default;
  // Copies of the standard descriptors, before they are closed, and the modes that the terminal has now.
  static GuardSpeaker of_this_process();

  // The descriptors that stay open for it.
  std::vector<int> descriptors() const;

  void use(GuardVoice voice) { voice_ = voice; }
  // In red and with a bell where a terminal reads it. Never waits: what nobody reads is lost.
  void say(const GuardStatement& statement) const;
  // Where it is in modes of single keys, which only the tool can have set: as it was at the start.
  void restore_terminal() const;

 private:
  int output_ = -1, errors_ = -1, terminal_ = -1;
  termios modes_{};
  GuardVoice voice_ = GuardVoice::none;
};

}  // namespace armwise::link
