// The fine mechanics of a conversation: one exchange, one barrier, listening. What they are put together to
// is in conversation.cpp.
#pragma once

#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "armwise/base/clock.hpp"
#include "armwise/base/task.hpp"
#include "armwise/console/line.hpp"
#include "armwise/console/profile.hpp"
#include "echo.hpp"
#include "prompts.hpp"
#include "reply_buffer.hpp"

namespace armwise::console {

struct Heard {
  std::vector<std::string> lines;  // without echo and prompt
  std::string prompt;              // that it ended with; empty: none, or none is needed
  bool at_top = false;             // ended as replies end outside of menus
  bool settled = false;            // proven whole by the barrier, not by its end
  std::string bytes = {};          // as it came, echo and prompt and all
};

class Talk {
 public:
  Talk(Line& line, const Profile& profile, Clock& clock);

  // Sends one line; hear() reads its reply to the end. Where that has not come `within`, nothing is returned,
  // and hear() may be called again. Out of step until it has come, and where it throws.
  // Throws Fault(no_reply, unreadable, line_lost).
  Task<void> send(const std::string& sent, bool may_settle);
  Task<std::optional<Heard>> hear(std::optional<Duration> within = {});

  // Behind a write that failed half-way, a spoiled_line_end() goes first.
  Task<void> write(const std::string& bytes);
  // Reads until a prompt and a moment of silence, or until nothing came for `patience`.
  Task<Heard> listen(Duration patience);
  // Reads until nothing came for `patience`, prompt or no prompt.
  Task<void> listen_to_silence(Duration patience);
  // True where the console has shown that it listens and that no answer is under way: then in step.
  Task<bool> prove();
  // From the middle of a menu to its top; true where it is there.
  Task<bool> go_home();
  // As go_home(), where there is a way; faults are passed over, as one is being reported already.
  Task<void> go_home_if_possible();

  // While it stands, all waiting but that for a reply is over after so long, whatever comes.
  class Limit {
   public:
    Limit(Talk& talk, Duration longest) : talk_(talk) { talk_.limit_ = talk_.clock_.now() + longest; }
    ~Limit() { talk_.limit_.reset(); }
    Limit(const Limit&) = delete;
    Limit& operator=(const Limit&) = delete;

   private:
    Talk& talk_;
  };
  bool time_is_up() const { return limit_ && clock_.now() >= *limit_; }

  // Called, once, where nothing has come for the time of a reply, from now or from expect_something() on.
  // Null: nobody is told. Outlives the talk, or is taken away before.
  void watch_silence(const std::function<void()>* silent);
  void expect_something();

  bool in_step() const { return in_step_; }
  void fall_out_of_step() { in_step_ = false; }
  // Reads on in the reply under way: true where it has come to rest, or none is under way.
  Task<bool> rests_within(Duration within);
  // The reply under way after all, and whatever stands behind it, until the console rests at its prompt or
  // was silent for the time of a reply, or for twice that time: all lines but the echo, each prompt still in
  // its place. Out of step.
  Task<std::vector<std::string>> hear_late();
  // What comes late is not waited for any more, only kept out of other replies.
  void give_up_owed() { under_way_.reset(); }
  // At the start of a new session on the line.
  void forget();

  const Prompts& prompts() const { return prompts_; }

  // What came of the reply under way when its line was lost.
  const std::vector<std::string>& heard_at_last() const { return heard_at_last_; }

  bool anything_heard() const { return !first_heard_.empty(); }
  bool only_noise_heard() const { return first_heard_.is_noise(); }
  bool only_echo_heard() const;

 private:
  struct Ending {
    PromptSeen seen;
    Duration quiet;
  };
  // A command whose reply has not ended yet.
  struct UnderWay {
    std::string sent;
    bool may_settle = false;
    ReplyBuffer buffer;
    bool unfinished = false;  // at the end of the time given; it goes on
  };
  std::optional<Ending> ending_of(const ReplyBuffer& buffer, const std::string& sent) const;
  bool asks_for_more(const ReplyBuffer& buffer) const;
  Task<Received> read(Duration within);
  Task<Received> read_watched(Duration within);
  Task<void> discard_waiting();
  Task<std::optional<Ending>> read_reply(UnderWay& command, std::optional<Duration> within);
  Task<Heard> heard_of(UnderWay& command, std::optional<Ending> ending);
  struct BeforeWord {
    std::vector<std::string> lines;  // without the barrier's own echo
    std::string bytes;
  };
  Task<std::optional<BeforeWord>> barrier();
  Task<bool> wait_for_word(ReplyBuffer& buffer, const std::string& word);
  Task<void> settle(ReplyBuffer& buffer, const std::string& sent, bool may_settle, Heard& heard);
  [[noreturn]] void throw_no_reply(const ReplyBuffer& buffer, const std::string& sent) const;
  std::vector<std::string> without_prompts(std::vector<std::string> lines) const;
  void note_end_line(ReplyBuffer& buffer);
  Instant no_later_than(Duration from_now) const;
  EchoKnown echo_known() const { return echo_.value_or(false) ? EchoKnown::yes : EchoKnown::no; }
  void learn_echo(bool echoed);
  std::string new_word();

  // A prompt in mid-line is less sure than one on a line of its own.
  static constexpr int mid_line_patience = 4;

  Line& line_;
  const Profile& profile_;
  Clock& clock_;
  Prompts prompts_;
  std::optional<bool> echo_;
  std::optional<UnderWay> under_way_;
  bool in_step_ = false;
  bool end_line_seen_ = false;
  bool half_written_ = false;
  int missing_echoes_ = 0;
  unsigned words_ = 0;
  std::vector<std::string> heard_at_last_;
  ReplyBuffer first_heard_;  // for what is said where nothing opens
  std::string first_written_;
  std::optional<Instant> limit_;
  const std::function<void()>* silent_ = nullptr;
  std::optional<Instant> silent_at_;  // when somebody is to be told
};

}  // namespace armwise::console
