// The dialogue with a console of which only a draft is known: its prompts, also those of menus, and its
// refusals.
#pragma once

#include <map>
#include <optional>
#include <set>
#include <string>
#include <vector>

#include "armwise/base/permit.hpp"
#include "ear.hpp"
#include "teach_asking.hpp"
#include "teach_draft.hpp"

namespace armwise::session {

class Dialogue {
 public:
  // All outlive it.
  Dialogue(console::Plug& plug, Clock& clock, Teacher& person, Draft& draft)
      : ear(draft.profile.open, clock), plug_(plug), clock_(clock), person_(person), draft_(draft) {}

  // After the line was lost and is there again.
  Task<void> reopen();

  // Sends the steps one by one. Where the console then asks for more, so is the person.
  Task<Said> say(teach::Typed typed, std::string id);
  Task<Said> say_again(const console::Steps& steps, const console::Values& values);
  // A question, which changes nothing. Bytes may be lost or changed on the way: an answer counts once it has
  // come twice. `first`: as it came before.
  Task<Said> ask_again(console::Steps steps, console::Values values, std::optional<Said> first = {});
  Task<teach::Lines> read(const console::Query& query);
  // What changes something.
  Task<Said> set_to(console::Steps steps, console::Values values, const MayWrite& permit);
  Task<Said> say_agreed(const WritePermit& agreed, std::string id);

  // A question on the way may have other words the next time: then it is known by its end.
  void follow_inner_prompts(const console::Steps& steps, const Said& said);
  // One more step of `said`, as it was heard. `last`: it ends at the prompt that waits for any command.
  void take_step(Said& said, const std::string& step, const Ear::Heard& heard, bool last);
  // A question may end its line: then it is the last one, and no prompt came. `ends`: nor may one come.
  void take_question(teach::HeardReply& reply, bool ends = false) const;
  bool is_refusal(const teach::Lines& lines) const;
  void refuse_or_tell(const Said& said);
  console::Steps steps_of(const Said& said) const;
  console::Steps steps_of(const teach::Reading& reading, const Said& said) const;

  // The prompt that waits for any command, not that of a menu.
  bool is_top(const std::string& prompt) const;
  void begin_at(const std::string& prompt);
  bool has_prompt() const;
  // A question that ends so asks with a value before its end.
  void read_before(const std::string& end) { question_ends_.insert(end); }
  void heard_besides(const teach::Lines& reply);
  void forget_replies() { replies_.clear(); }
  bool has_sent() const { return sent_; }  // a command of the person's
  // As far as it goes, and sound, so that it can be taken up again.
  console::Profile sound_profile() const;

  Ear ear;

 private:
  Task<void> enter_console();
  Task<bool> leave_half_way(bool by_home);
  Task<Said> say_for_each(const console::Steps& steps, console::Values values);
  Task<void> learn_what_answers(console::Steps steps, console::Values values, Said& first);
  void take_as_top(const std::string& prompt);
  std::optional<console::Template> reply_end() const;
  void take_off_end(teach::Lines& lines) const;

  console::Plug& plug_;
  Clock& clock_;
  Teacher& person_;
  Draft& draft_;
  std::string top_prompt_;
  teach::Lines other_tops_;  // ends of prompts that are built otherwise
  // A question on the way as it was first asked, and how often it was asked in which words.
  std::map<std::string, std::map<std::string, int>> inner_prompts_;
  std::map<std::string, int> tops_;      // what came as the top prompt, and how often
  std::set<std::string> question_ends_;  // of questions in which a value is read
  std::vector<teach::Lines> replies_;    // all so far, for consoles without a prompt
  bool sent_ = false;
};

}  // namespace armwise::session
