// When a reply is whole, by its prompt, its echo and what it is answered; and what of it is echo and prompt.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "armwise/base/duration.hpp"
#include "armwise/console/conversation.hpp"
#include "armwise/console/profile.hpp"
#include "echo.hpp"
#include "prompts.hpp"
#include "reply_buffer.hpp"

namespace armwise::console {

class Framing {
 public:
  // Outlives it.
  explicit Framing(const Profile& profile) : profile_(profile), prompts_(profile), echo_(profile.open.echo) {}

  const Prompts& prompts() const { return prompts_; }

  // How a reply ends that has come so far; nothing where that is not to be seen. `quiet`: the silence that
  // makes it sure.
  struct Ending {
    PromptSeen seen;
    Duration quiet;
  };
  std::optional<Ending> ending_of(const ReplyBuffer& buffer, const std::string& sent, Answers answers) const;
  // At a page stop.
  bool asks_for_more(const ReplyBuffer& buffer) const;
  // A new reply; and each of its lines.
  void begin() { end_line_seen_ = false; }
  void look_at(const std::string& line);
  // Silence has shown this to be the line of a prompt.
  void note_usual(const std::string& tail);
  // Whether a prompt stands at the start of a line that says more: then none ends a reply at once any more.
  void learn_prompts(const std::vector<std::string>& reply);
  void trust_no_prompt() { trusts_prompts_ = false; }

  // Known to repeat what is sent; nothing where that is not known.
  std::optional<bool> echoes() const { return echo_; }
  void forget() { echo_ = profile_.open.echo; }
  void forget_echo() { echo_.reset(); }
  // As the console repeats it.
  std::string echo_of(const std::string& sent) const {
    return profile_.open.echo_in_capitals ? upper_case(sent) : sent;
  }
  // As take_out_echo().
  bool take_out(std::vector<std::string>& lines, const std::string& sent,
                std::vector<std::string>* before = nullptr) const;
  // A console that was known to echo and does not any more would be waited for in vain at each reply.
  void learn_echo(bool echoed);

  // Only the prompts themselves, and the page stops; text that merely starts like a prompt may be data.
  std::vector<std::string> without_prompts(std::vector<std::string> lines) const;

  // A prompt in mid-line is less sure than one on a line of its own.
  static constexpr int mid_line_patience = 4;

 private:
  bool is_answered(const std::vector<std::string>& lines, Answers answers) const;
  bool is_usual_prompt(const PromptSeen& seen, const std::string& tail) const;

  const Profile& profile_;
  Prompts prompts_;
  std::optional<bool> echo_;
  int missing_echoes_ = 0;
  // Ends replies at once: until a prompt has stood inside a reply, or something came behind one.
  bool trusts_prompts_ = true;
  std::string usual_tail_;
  bool end_line_seen_ = false;
};

}  // namespace armwise::console
