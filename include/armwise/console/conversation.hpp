// One command at a time to one console, and whole replies back, whatever the line does to them.
#pragma once

#include <functional>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "armwise/base/clock.hpp"
#include "armwise/base/fault.hpp"
#include "armwise/base/permit.hpp"
#include "armwise/base/task_fwd.hpp"
#include "armwise/console/line.hpp"
#include "armwise/console/profile.hpp"

namespace armwise::console {

// How the lines of an answer read. A reply in which one of them stands is whole as soon as its prompt has
// come; where nothing is known of the answer, silence behind the prompt has to tell.
using Answers = std::span<const Template>;

struct Reply {
  std::vector<std::string> lines;  // printable, not blank, without echo and prompt
  std::string bytes = {};          // as it came, echo and prompt and all
};

// "\r", "\n" or "\r\n".
std::string_view line_end_of(const Profile& profile);
// The bytes that get into the console: a key as it is, a word with its line end. Empty where none are needed.
std::string entering(const Profile& profile);
// What ends a line that may stand half typed in the console from before, so that it is not carried out: a
// word that spoils whatever it is put behind, then the line end; with it goes what the profile knows to get
// out of something that line ends only go on with.
std::string spoiled_line_end(const Profile& profile);
// The same without that, for a console that may be another than the profile's.
std::string plainly_spoiled_line_end(const Profile& profile);
std::string_view spoiling_word();
// The lines that stop all motors, each with its end, from wherever in a menu: for a stop that cannot wait.
// Empty where the profile has no spin.
std::string stop_lines(const Profile& profile);
// Where one motor's stop is known and all are stopped one by one: so many are, from then on.
void stop_each_of(Profile& profile, int motors);
// By what its answer is known: the confirmation's longest text, and how often the answer to one stop holds it
// (once for each motor that is stopped by itself; twice as often where an echo holds it, too). Without a
// confirmation, 0 times: what ends every answer; no text: any byte. What may come unasked answers nothing.
struct StopWords {
  static constexpr int never = -1;  // nothing that comes tells
  std::string text;
  int times = 0;
};
StopWords stop_words(const Profile& profile);

// A reply is whole at once where its echo, one of its answers and the prompt have come (or the line that ends
// every reply), on a console that has shown no sign of saying more behind its prompt, or of prompts inside
// its replies. Otherwise it is when the prompt stands at the end of what came and nothing more comes for a
// moment (a longer one where the prompt stands in mid-line, or the echo is not whole). Where a console stays
// silent without either, but has said something, a barrier word is sent, and what came before the word came
// back is the reply.
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
  // mid-menu it goes back to the top. `steps`, `values` and what `answers` points to outlive the call.
  // Throws Fault(no_reply, line_lost, unreadable); Fault(refused) with the console's words.
  Task<Reply> run(const Steps& steps, const Values& values, Answers answers = {});

  // As run(), for what cannot wait: where the reply to the last step has not ended `within`, nothing is
  // returned, and it is owed. Then stop_now() may be written without waiting, and hear_owed() reads the reply
  // after all; any other command gives it up. Nothing more is sent where it fails, as stop_now() is to
  // follow. `steps`, `values` and what `answers` points to outlive it.
  Task<std::optional<Reply>> run_or_owe(const Steps& steps, const Values& values, Duration within,
                                        Answers answers = {});
  bool owed() const;

  // As run_or_owe(), for what turns a motor. Where the console repeats what is sent, the end of each line is
  // sent only once the echo is right; a line that came back otherwise is not carried out, and sent once more.
  // Throws Fault(unreadable) where it came back otherwise again, and as soon as a line of the reply is
  // neither the echo nor what `look` has called right. `look`: true for a right confirmation; throws at a
  // wrong one. `answers`: see run().
  using Look = std::function<bool(const std::string& line)>;
  Task<std::optional<Reply>> run_with_care(const Steps& steps, const Values& values, Duration within,
                                           const Look& look, Answers answers, const SpinPermit& permit);

  // Known to repeat what is sent; nothing where that is not known.
  std::optional<bool> echoes() const;

  // Reads on until `is_it` says so of a line (without prompts; maybe an echo), or for so long. Out of step.
  struct Listened {
    bool found = false;
    bool anything = false;  // any byte came
  };
  Task<Listened> hear_line(const std::function<bool(const std::string&)>& is_it, Duration within);
  struct Late {
    Reply owed;
    std::optional<Fault> refused;  // the owed reply is a refusal
    Reply behind;                  // what came of the answer to stop_now()
    std::string unended;           // the owed reply's last line, where the stop was typed behind it
    bool told_apart = false;       // false: what was answered to stop_now() may stand in `owed`, too
  };
  // After run_or_owe() and stop_now(), which is said again where the reply takes long, and where nothing of
  // its answer stands behind the reply. Takes half a second and four times the time of a reply at most. Out
  // of step afterwards. Throws Fault(no_reply, line_lost, unreadable).
  Task<Late> hear_owed();

  // As run(), for an order that the controller may restart on, or answer with a question: where its reply
  // does not end, nothing more is sent. `steps` outlives the call.
  Task<Reply> run_and_listen(const Steps& steps);
  // Of the reply that ended last: it had a pause in it twice as long as any before it, and 200 ms at least.
  bool paused_unusually() const;
  // What had come of a reply, without its echo, after a run() that threw Fault(line_lost, no_reply,
  // unreadable), or where it is owed.
  const std::vector<std::string>& heard_at_last() const;

  // What a controller says as it starts. Sends nothing, and ends with its prompt, after `longest`, or
  // where nothing came for `longest_silence`. Throws Fault(line_lost).
  struct Start {
    std::vector<std::string> lines;
    bool at_top = false;   // the prompt came by itself
    bool refused = false;  // it is a refusal that came late, no start-up
  };
  Task<Start> hear_start(Duration longest, std::optional<Duration> longest_silence = {});
  // The last open() found the console silent, and only the word that gets in opened it.
  bool was_shut() const;
  // Out of a question that an order left open, with a word that answers none: neither yes nor no. In step
  // then. Throws Fault(no_reply, line_lost).
  Task<void> leave_question();

  // After a time-out: gets back into step and proves it, for `longest` at most. Throws as open().
  Task<void> resynchronise(std::optional<Duration> longest = {});

  // The stop of all motors, written at once, a spoiled_line_end() before it, without waiting for a reply that
  // may be under way. The conversation is out of step afterwards. Throws Fault(line_lost, no_reply).
  // `from_outside`: the console may have to be entered first. `half_way`: it may take each line for more of
  // one that goes on, so an empty one goes before the stop.
  enum class Where { inside, half_way, from_outside };
  Task<void> stop_now(Where where = Where::inside);

  // While it stands: `silent` is called, once, where the console has said nothing for so long, since this or
  // since the last stop_now(). Both outlive it.
  class SilenceWatch {
   public:
    SilenceWatch(Conversation& conversation, const std::function<void()>& silent, Duration longest);
    ~SilenceWatch();
    SilenceWatch(const SilenceWatch&) = delete;
    SilenceWatch& operator=(const SilenceWatch&) = delete;

   private:
    Conversation& conversation_;
  };

  // The lines as they would be sent, one for each step, for the plan and the journal.
  static std::vector<std::string> as_sent(const Steps& steps, const Values& values);

  // What ended with a prompt was not the whole of a reply: from now on only silence behind it tells.
  void trust_no_prompt();
  // The caller knows that the console is at its prompt and no answer is under way.
  void go_on_in_step();

  // The line without its end, see run_with_care(); false: the console repeated something else. What was typed
  // is left half typed. Throws as run().
  Task<bool> type(const std::string& line, const SpinPermit& permit);

  // False after a time-out, an unreadable reply or a stop_now().
  bool in_step() const;

  // The line without its owner; the conversation ends.
  std::unique_ptr<Line> release();
  Line& line();

 private:
  struct State;
  std::unique_ptr<State> state_;
};

}  // namespace armwise::console
