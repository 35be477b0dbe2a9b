// One command and its reply, which may come late or never. What exchanges are put together to is in
// conversation.cpp.
#pragma once

#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "armwise/base/clock.hpp"
#include "armwise/base/task_fwd.hpp"
#include "armwise/console/conversation.hpp"
#include "armwise/console/profile.hpp"
#include "framing.hpp"
#include "reply_buffer.hpp"
#include "sync.hpp"
#include "typed_line.hpp"
#include "watched_line.hpp"

namespace armwise::console {

class Exchange {
 public:
  // All outlive it.
  Exchange(WatchedLine& line, Framing& framing, Sync& sync, const Profile& profile, Clock& clock)
      : line_(line),
        framing_(framing),
        sync_(sync),
        profile_(profile),
        clock_(clock),
        typed_(line, framing, profile) {}

  // Sends one line; hear() reads its reply to the end. Where that has not come `within`, nothing is returned,
  // and hear() may be called again. Out of step until it has come, and where it throws.
  // Throws Fault(no_reply, unreadable, line_lost).
  // `answers`, see Conversation; what they point to outlives the hearing.
  Task<void> send(const std::string& sent, bool may_settle, Answers answers = {});
  Task<std::optional<Heard>> hear(std::optional<Duration> within = {});

  // As send(), in two: the line without its end, and, once its echo is right, the end. type() is false where
  // TypedLine::type() is: then nothing may be sent but what spoils it. Throws as send().
  Task<bool> type(const std::string& sent);
  Task<void> enter(const std::string& sent, bool may_settle, Answers answers);
  bool nothing_came_back() const { return typed_.nothing_came_back(); }
  // Given each line of a reply as soon as it has ended; what it throws ends the hearing. Null: nobody looks.
  void watch_lines(const std::function<void(const std::string&)>* look) { look_ = look; }
  // A line of the reply under way has ended, and is not the echo.
  bool anything_answered() const;

  // See Conversation::hear_line(); a reply under way counts, too.
  Task<Conversation::Listened> hear_line(const std::function<bool(const std::string&)>& is_it,
                                         Duration within);

  // Reads on in the reply under way: true where it has come to rest, or none is under way.
  Task<bool> rests_within(Duration within);
  // The reply under way after all, and whatever stands behind it, until the console rests at its prompt or
  // was silent for the time of a reply, or for twice that time: all lines but the echo, each prompt still in
  // its place. Out of step.
  Task<std::vector<std::string>> hear_late();
  // What comes late is not waited for any more, only kept out of other replies.
  void give_up_owed() {
    under_way_.reset();
    heard_at_last_.clear();
  }
  // What came of the reply that failed last, without the echo.
  const std::vector<std::string>& heard_at_last() const { return heard_at_last_; }
  // The reply heard last had a pause in it that is longer than any before it had.
  bool paused_unusually() const;

 private:
  // A command whose reply has not ended yet.
  struct UnderWay {
    std::string sent;
    bool may_settle = false;
    Answers answers{};
    bool right_behind =
        false;  // sent sooner than the reply before it would have been waited for without a sign
    ReplyBuffer buffer;
    bool unfinished = false;  // at the end of the time given; it goes on
    Duration pause{0};        // the longest before a byte of it
  };
  Task<std::optional<Framing::Ending>> read_reply(UnderWay& command, std::optional<Duration> within);
  Task<Heard> heard_of(UnderWay& command, std::optional<Framing::Ending> ending);
  Task<void> settle(ReplyBuffer& buffer, const std::string& sent, bool may_settle, Heard& heard);
  [[noreturn]] void throw_no_reply(const ReplyBuffer& buffer, const std::string& sent) const;
  void look_at_new_lines(ReplyBuffer& buffer);

  WatchedLine& line_;
  Framing& framing_;
  Sync& sync_;
  const Profile& profile_;
  Clock& clock_;
  TypedLine typed_;
  std::optional<UnderWay> under_way_;
  std::optional<Instant> would_have_waited_until_;  // behind the last reply that was ended at once
  std::vector<std::string> heard_at_last_;
  Duration last_pause_{0}, usual_pause_{0};
  const std::function<void(const std::string&)>* look_ = nullptr;
};

}  // namespace armwise::console
