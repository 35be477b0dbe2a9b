// A line that is sent in two: its end only once the console has repeated the rest of it rightly.
#pragma once

#include <optional>
#include <string>
#include <utility>

#include "armwise/base/task_fwd.hpp"
#include "armwise/console/profile.hpp"
#include "framing.hpp"
#include "reply_buffer.hpp"
#include "watched_line.hpp"

namespace armwise::console {

class TypedLine {
 public:
  // All outlive it.
  TypedLine(WatchedLine& line, const Framing& framing, const Profile& profile)
      : line_(line), framing_(framing), profile_(profile) {}

  // The line without its end. False where the console repeated something else, or nothing although it repeats
  // each key. A console that is not known to repeat what is sent, or does so only line by line, is not waited
  // for. Throws Fault(line_lost, no_reply, unreadable).
  Task<bool> type(const std::string& sent);
  bool nothing_came_back() const { return came_back_.empty(); }
  // What came back of it, which begins the reply; none afterwards.
  ReplyBuffer release() { return std::exchange(came_back_, ReplyBuffer()); }

 private:
  bool is_echo(const std::string& echo) const;
  bool may_become(const std::string& echo) const;

  WatchedLine& line_;
  const Framing& framing_;
  const Profile& profile_;
  ReplyBuffer came_back_;
  std::optional<bool> key_by_key_;  // how an echo comes
};

}  // namespace armwise::console
