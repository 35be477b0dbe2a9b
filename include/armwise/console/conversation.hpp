// One command at a time to one console, and whole replies back, whatever the line does to them.
#pragma once

#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "armwise/base/clock.hpp"
#include "armwise/base/fault.hpp"
#include "armwise/base/task.hpp"
#include "armwise/console/line.hpp"
#include "armwise/console/profile.hpp"

namespace armwise::console {

struct Reply {
  std::vector<std::string> lines;  // printable, not blank, without echo and prompt
  std::string bytes = {};          // as it came, echo and prompt and all
};

// "\r", "\n" or "\r\n".
std::string_view line_end_of(const Profile& profile);
// The bytes that get into the console: a key as it is, a word with its line end. Empty where none are needed.
std::string entering(const Profile& profile);
// What ends a line that may stand half typed in the console from before, so that it is not carried out: a
// word that spoils whatever it is put behind, then the line end.
std::string spoiled_line_end(const Profile& profile);
// The lines that stop all motors, each with its end, from wherever in a menu: for a stop that cannot wait.
// Empty where the profile has no spin.
std::string stop_lines(const Profile& profile);

// A reply is whole when the prompt stands at the end of what came and nothing more comes for a moment (a
// longer one where the prompt stands in mid-line, or the echo is not whole), or with the line that ends
// every reply. Where a console stays silent without either, but has said something, a barrier word is sent,
// and what came before the word came back is the reply.
class Conversation {
 public:
  // `profile` and `clock` outlive the conversation.
  Conversation(std::unique_ptr<Line> line, const Profile& profile, Clock& clock);
  ~Conversation();

  // Gets into the console from whatever state it is in. The first line end sent carries out nothing that was
  // left half typed, and right behind it comes the stop of all motors, where there is one.
  // Throws Fault(no_reply, unreadable, line_lost).
  Task<void> open();

  // Sends each step and reads to the end of its reply. The lines of all steps, in order. Gets back into
  // step first where it is out of it, so that a late answer is never taken for this one; after a failure in
  // mid-menu it goes back to the top. `steps` and `values` outlive the call.
  // Throws Fault(no_reply, line_lost, unreadable); Fault(refused) with the console's words.
  Task<Reply> run(const Steps& steps, const Values& values);

  // As run(), for what cannot wait: where the reply to the last step has not ended `within`, nothing is
  // returned, and it is owed. Then stop_now() may be written without waiting, and hear_owed() reads the reply
  // after all; any other command gives it up. `before_last` is called before the last step is sent; what it
  // throws ends the command there. All but `within` outlive the call.
  Task<std::optional<Reply>> run_or_owe(const Steps& steps, const Values& values, Duration within,
                                        const std::function<void()>& before_last);
  bool owed() const;
  struct Late {
    Reply owed;
    std::optional<Fault> refused;  // the owed reply is a refusal
    Reply behind;                  // what came of the answer to stop_now()
    bool told_apart = false;       // false: what was answered to stop_now() may stand in `owed`, too
  };
  // After run_or_owe() and stop_now(), which is said again where the reply takes long, and where nothing of
  // its answer stands behind the reply. Takes half a second and four times the time of a reply at most. Out
  // of step afterwards. Throws Fault(no_reply, line_lost, unreadable).
  Task<Late> hear_owed();

  // What had come of a reply when its line was lost, after a run() that threw Fault(line_lost).
  const std::vector<std::string>& heard_at_last() const;

  // After a time-out: gets back into step and proves it. Throws as open().
  Task<void> resynchronise();

  // The stop of all motors, written at once, a spoiled_line_end() before it, without waiting for a reply that
  // may be under way. The conversation is out of step afterwards. Throws Fault(line_lost, no_reply).
  Task<void> stop_now();

  // While it stands: `silent` is called, once, where the console has said nothing for as long as a reply may
  // take, since this or since the last stop_now(). Both outlive it.
  class SilenceWatch {
   public:
    SilenceWatch(Conversation& conversation, const std::function<void()>& silent);
    ~SilenceWatch();
    SilenceWatch(const SilenceWatch&) = delete;
    SilenceWatch& operator=(const SilenceWatch&) = delete;

   private:
    Conversation& conversation_;
  };

  // The lines as they would be sent, one for each step, for the plan and the journal.
  static std::vector<std::string> as_sent(const Steps& steps, const Values& values);

  // False after a time-out, an unreadable reply or a stop_now().
  bool in_step() const;

  // The line without its owner, for a reopen; the conversation ends.
  std::unique_ptr<Line> release();
  Line& line();

 private:
  struct State;
  std::unique_ptr<State> state_;
};

}  // namespace armwise::console
