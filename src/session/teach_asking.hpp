// How teach() asks the person who teaches, and speaks to the console that is taught.
#pragma once

#include <map>
#include <optional>
#include <set>
#include <string>
#include <utility>
#include <vector>

#include "armwise/base/fault.hpp"
#include "armwise/base/permit.hpp"
#include "armwise/session/consent.hpp"
#include "ear.hpp"
#include "recall.hpp"
#include "teach_draft.hpp"

namespace armwise::session {

// What is to be sent, and the values in it.
using Writes = std::vector<std::pair<console::Steps, console::Values>>;
std::vector<std::string> lines_of(const Writes& writes);

// Whoever teaches. Each question throws WentBack where they want to go one back.
class Teacher final : public Person {
 public:
  // All outlive it. `prepared`: a profile whose commands are proposed.
  Teacher(Person& person, const Draft& draft, const console::Profile* prepared)
      : person_(person), draft_(draft), prepared_(prepared) {}

  Task<Answer> ask(const Question& question) override;
  using Person::tell;
  void tell(const Statement& statement) override { person_.tell(statement); }
  Task<bool> interrupted(craft::Motor motor, Duration within) override;

  Task<std::string> put(Question question);
  Task<std::string> ask_text(std::string id, std::string text, std::string suggestion = {});
  Task<std::string> choose(std::string id, std::string text, std::vector<Choice> choices);
  Task<bool> confirm(std::string id, std::string text);
  // `proposed`: what the person only has to confirm; then it does not count as typed. Absent: skipped.
  Task<std::optional<teach::Typed>> ask_command(std::string id, std::string text, console::Values values = {},
                                                std::string proposed = {});
  // The same of what changes something: what is typed is what may be sent.
  Task<std::optional<WritePermit>> ask_to_send(std::string id, std::string text, console::Values values = {},
                                               std::string proposed = {});
  // What is typed next in a menu, of which this is typed already. Absent: nothing more, the console waits for
  // any command again.
  Task<std::optional<std::string>> ask_next(std::string id, teach::Typed typed, std::string prompt);
  // Whether these may be sent for a moment; absent: rather not.
  Task<std::optional<WritePermit>> may_try(std::string text, const Writes& writes);

  int asked() const { return asked_; }
  int typed() const { return typed_; }  // commands
  void has_typed() { ++typed_; }

 private:
  std::string prepared_for(const std::string& asked_id, const console::Values& asked) const;

  Person& person_;
  const Draft& draft_;
  const console::Profile* prepared_;
  int asked_ = 0, typed_ = 0;
};

// With a console of which only the draft is known: its prompts, also those of menus, and its refusals.
class Dialogue {
 public:
  // All outlive it.
  Dialogue(console::Plug& plug, Clock& clock, Teacher& person, Draft& draft)
      : ear(nullptr, clock), plug_(plug), clock_(clock), person_(person), draft_(draft) {}

  Task<void> open_line();
  // After the line was lost and is there again.
  Task<void> reopen();

  // Sends the steps one by one. Where the console then asks for more, so is the person.
  Task<Said> say(teach::Typed typed, std::string id);
  Task<Said> say_again(const console::Steps& steps, const console::Values& values);
  Task<teach::Lines> read(const console::Query& query);
  // What changes something.
  Task<Said> set_to(console::Steps steps, console::Values values, const MayWrite& permit);
  Task<Said> say_agreed(const WritePermit& agreed, std::string id);

  // One more step of `said`, as it was heard.
  void take_step(Said& said, const std::string& step, const Ear::Heard& heard);
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
  void heard_besides(const teach::Lines& reply) { replies_.push_back(reply); }
  bool has_sent() const { return sent_; }  // a command of the person's
  // As far as it goes, and sound, so that it can be taken up again.
  console::Profile sound_profile() const;

  Ear ear;

 private:
  Task<void> enter_console();
  Task<Said> say_for_each(const console::Steps& steps, console::Values values);
  void follow_prompt(const std::string& prompt);
  void take_as_top(const std::string& prompt);
  void follow_inner_prompts(const console::Steps& steps, const Said& said);

  console::Plug& plug_;
  Clock& clock_;
  Teacher& person_;
  Draft& draft_;
  std::string top_prompt_;
  // A question on the way as it was first asked, and the end that all its forms share.
  std::map<std::string, std::string> inner_prompts_;
  std::set<std::string> question_ends_;  // of questions in which a value is read
  std::vector<teach::Lines> replies_;    // all so far, for consoles without a prompt
  bool sent_ = false;
};

}  // namespace armwise::session
