// How one gets into step with a console, and whether one is: silence, a sync word that comes back, the way
// home from a menu. In step means that it has shown that it listens, and no answer is under way.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "armwise/base/clock.hpp"
#include "armwise/base/task_fwd.hpp"
#include "armwise/console/profile.hpp"
#include "framing.hpp"
#include "reply_buffer.hpp"
#include "watched_line.hpp"

namespace armwise::console {

struct Heard {
  std::vector<std::string> lines;  // without echo and prompt
  std::string prompt;              // that it ended with; empty: none, or none is needed
  bool at_top = false;             // ended as replies end outside of menus
  bool settled = false;            // proven whole by the sync word, not by its end
  std::string bytes = {};          // as it came, echo and prompt and all
};

class Sync {
 public:
  // All outlive it.
  Sync(WatchedLine& line, Framing& framing, const Profile& profile, Clock& clock)
      : line_(line),
        framing_(framing),
        profile_(profile),
        clock_(clock),
        began_(static_cast<std::uint64_t>(clock.now().count())) {}

  bool in_step() const { return in_step_ && !line_.is_lost(); }
  // As the caller knows.
  void set_in_step(bool now) { in_step_ = now; }

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
  // Sends the sync word. What came before it came back, without its own echo; nothing where it did not.
  struct BeforeWord {
    std::vector<std::string> lines;
    std::string bytes;
  };
  Task<std::optional<BeforeWord>> send_word();

  // From the middle of a menu to its top; true where it is there.
  Task<bool> go_home();
  // As go_home(), where there is a way; faults are passed over, as one is being reported already.
  Task<void> go_home_if_possible();

 private:
  // Sent as lines. Where no question has room for a word, it is spelled in which of two is asked.
  struct Word {
    std::string text;
    std::vector<std::size_t> spelled;
    std::vector<std::string> lines;
    std::vector<std::size_t> came;  // which of the two was answered
  };
  Word new_word();
  // One more line of what comes: true where the word is back with it.
  bool is_back(Word& word, const std::string& line) const;
  std::vector<std::string>::iterator answer_to(Word word, std::vector<std::string>& lines) const;
  Task<bool> wait_for_word(ReplyBuffer& buffer, Word word);

  WatchedLine& line_;
  Framing& framing_;
  const Profile& profile_;
  Clock& clock_;
  bool in_step_ = false;
  std::uint64_t began_;
  unsigned words_ = 0;
};

}  // namespace armwise::console
