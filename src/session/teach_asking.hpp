// How teach() asks the person who teaches.
#pragma once

#include <optional>
#include <set>
#include <string>
#include <utility>
#include <vector>

#include "armwise/base/permit.hpp"
#include "armwise/session/consent.hpp"
#include "armwise/teach/help.hpp"
#include "armwise/teach/saved_session.hpp"
#include "recall.hpp"
#include "teach_draft.hpp"

namespace armwise::session {

// What is to be sent, and the values in it.
using Writes = std::vector<std::pair<console::Steps, console::Values>>;
std::vector<std::string> lines_of(const Writes& writes);

// Whoever teaches. Each question throws WentBack where they want to go one back.
class Teacher final : public Person {
 public:
  // Both outlive it.
  Teacher(Person& person, const Draft& draft) : person_(person), draft_(draft) {}

  Task<Answer> ask(const Question& question) override;
  using Person::tell;
  void tell(const Statement& statement) override { person_.tell(statement); }
  Task<bool> interrupted(craft::Motor motor, Duration within) override;

  Task<std::string> put(Question question);
  Task<std::string> ask_text(std::string id, std::string text, std::string suggestion = {});
  Task<std::string> ask_text_or_skip(std::string id, std::string text);  // "skip"
  Task<std::string> choose(std::string id, std::string text, std::vector<Choice> choices);
  // One of the places in what the console said, or "none".
  Task<std::string> point(std::string id, std::string text, std::vector<std::string> shown,
                          std::vector<Choice> choices);
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

  // The console's own list of its commands, from which they are proposed.
  void is_helped_by(std::vector<teach::HelpLine> help) { help_ = std::move(help); }
  // A saved session with this very console, from which they are, too.
  void is_helped_by(teach::SavedSession session) { saved_ = std::move(session); }

  int asked() const { return asked_; }
  int typed() const { return typed_; }  // commands
  void has_typed() { ++typed_; }

 private:
  std::string hint_for(const std::string& asked_id, const console::Values& asked) const;

  Person& person_;
  const Draft& draft_;
  int asked_ = 0, typed_ = 0;
  std::vector<teach::HelpLine> help_;
  teach::SavedSession saved_;
  std::set<std::string> hints_taken_;  // question and hint, once it was answered
};

}  // namespace armwise::session
