// One command at a time to one console, and whole replies back, whatever the line does to them.
#pragma once

#include <functional>
#include <memory>
#include <string>
#include <string_view>
#include <vector>

#include "armwise/base/clock.hpp"
#include "armwise/base/task.hpp"
#include "armwise/console/line.hpp"
#include "armwise/console/profile.hpp"

namespace armwise::console {

struct Reply {
  std::vector<std::string> lines;  // printable, without echo and prompt
};

class Conversation {
 public:
  // `profile` and `clock` outlive the conversation.
  Conversation(std::unique_ptr<Line> line, const Profile& profile, Clock& clock);
  ~Conversation();

  // Gets into the console from whatever state it is in. Throws Fault(no_reply, unreadable, line_lost).
  Task<void> open();

  // Sends each step and reads to the end of its reply. The lines of all steps, in order.
  // Throws Fault(no_reply, line_lost, unreadable); Fault(refused) with the console's words.
  Task<Reply> run(const Steps& steps, const Values& values);

  // After a time-out: gets back into step and proves it. Throws as open().
  Task<void> resynchronise();

  // For a stop: written at once, without waiting for a reply that may be under way.
  Task<void> write_now(const Command& command, const Values& values);

  // The line as it would be sent, for the plan and the journal.
  std::string as_sent(const Steps& steps, const Values& values) const;

  // The line without its owner, for a reopen; the conversation ends.
  std::unique_ptr<Line> release();
  Line& line();

 private:
  struct State;
  std::unique_ptr<State> state_;
};

}  // namespace armwise::console
