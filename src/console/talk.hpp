// The fine mechanics of a conversation: one exchange, one barrier, listening. What they are put together to
// is in conversation.cpp.
#pragma once

#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "armwise/base/clock.hpp"
#include "armwise/base/task_fwd.hpp"
#include "armwise/console/conversation.hpp"
#include "armwise/console/line.hpp"
#include "armwise/console/profile.hpp"
#include "framing.hpp"
#include "reply_buffer.hpp"
#include "watched_line.hpp"

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
  // `answers`, see Conversation; what they point to outlives the hearing.
  Task<void> send(const std::string& sent, bool may_settle, Answers answers = {});
  Task<std::optional<Heard>> hear(std::optional<Duration> within = {});

  // As send(), in two: the line without its end, and, once its echo is right, the end. type() is false where
  // the console repeated something else, or nothing although it repeats each key: then nothing may be sent
  // but spoil(). A console that is not known to repeat what is sent, or does so only line by line, is not
  // waited for. Throws as send().
  Task<bool> type(const std::string& sent);
  Task<void> enter(const std::string& sent, bool may_settle, Answers answers);
  bool nothing_came_back() const { return typed_.empty(); }
  // Ends what was typed so that it is not carried out, and waits for silence.
  Task<void> spoil(Duration silence);

  // Given each line of a reply as soon as it has ended; what it throws ends the hearing. Null: nobody looks.
  void watch_lines(const std::function<void(const std::string&)>* look) { look_ = look; }
  // A line of the reply under way has ended, and is not the echo.
  bool anything_answered() const;

  // See Conversation::hear_line(); a reply under way counts, too.
  Task<Conversation::Listened> hear_line(const std::function<bool(const std::string&)>& is_it,
                                         Duration within);

  // The sync word tells what has been answered, so no silence has to. Not in menus, where it may be taken for
  // a choice.
  bool goes_by_the_word() const { return profile_.open.barrier && !framing_.prompts().has_menus(); }
  // Reads until a prompt (or, without one, a line) and a moment of silence, none where it goes by the word;
  // or until nothing came for `patience`.
  Task<Heard> listen(Duration patience);
  // Reads until nothing came for `patience`, prompt or no prompt; true where anything came.
  Task<bool> listen_to_silence(Duration patience);
  // Sends nothing: reads until the prompt stands at the end of what came and nothing more comes, until
  // nothing came for `longest_silence`, or for so long. For a controller that starts up.
  Task<Heard> hear_start(Duration longest, Duration longest_silence);
  // True where the console has shown that it listens and that no answer is under way: then in step.
  Task<bool> prove();
  // From the middle of a menu to its top; true where it is there.
  Task<bool> go_home();
  // As go_home(), where there is a way; faults are passed over, as one is being reported already.
  Task<void> go_home_if_possible();

  bool in_step() const { return in_step_ && !line_.is_lost(); }
  void fall_out_of_step() { in_step_ = false; }
  void go_on_in_step() { in_step_ = true; }
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
  // At the start of a new session on the line.
  void forget();

  Framing& framing() { return framing_; }
  const Prompts& prompts() const { return framing_.prompts(); }
  WatchedLine& line() { return line_; }
  const WatchedLine& line() const { return line_; }

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
  Task<std::vector<std::string>> discard_waiting();
  void note_waited(const UnderWay& command, Instant since, const std::string& why);
  Task<std::optional<Framing::Ending>> read_reply(UnderWay& command, std::optional<Duration> within);
  Task<Heard> heard_of(UnderWay& command, std::optional<Framing::Ending> ending);
  struct BeforeWord {
    std::vector<std::string> lines;  // without the barrier's own echo
    std::string bytes;
  };
  Task<std::optional<BeforeWord>> barrier();
  Task<bool> wait_for_word(ReplyBuffer& buffer, const std::string& word);
  Task<void> settle(ReplyBuffer& buffer, const std::string& sent, bool may_settle, Heard& heard);
  [[noreturn]] void throw_no_reply(const ReplyBuffer& buffer, const std::string& sent) const;
  void look_at_new_lines(ReplyBuffer& buffer);
  bool is_echo_of(const std::string& sent) const;
  bool may_become_echo_of(const std::string& sent) const;
  std::string new_word();

  WatchedLine line_;
  const Profile& profile_;
  Clock& clock_;
  Framing framing_;
  std::optional<UnderWay> under_way_;
  bool in_step_ = false;
  std::optional<Instant> would_have_waited_until_;  // behind the last reply that was ended at once
  unsigned words_ = 0;
  std::vector<std::string> heard_at_last_;
  Duration last_pause_{0}, usual_pause_{0};
  const std::function<void(const std::string&)>* look_ = nullptr;
  ReplyBuffer typed_;               // what came back of a line whose end has not been sent
  std::optional<bool> key_by_key_;  // how an echo comes
};

}  // namespace armwise::console
