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

// One more to choose from: a word with the line that it stands in.
void add_word(std::vector<Choice>& choices, const std::string& word, const std::string& line,
              std::optional<PlaceInText> where);

// Whoever teaches. Each question throws WentBack where they want to go one back.
class Teacher final : public Person {
 public:
  // Both outlive it.
  Teacher(Person& person, const Draft& draft) : person_(person), draft_(draft) {}

  Task<Answer> ask(const Question& question) override;
  using Person::tell;
  void tell(const Statement& statement) override;
  Task<bool> interrupted(craft::Motor motor, Duration within) override;

  // What a lesson was answered. Going back runs it again from its top, silently, with all but the last answer
  // handed out from here, as far as the same is asked.
  struct Given {
    std::string id, text;
    Answer answer;
    std::size_t said = 0;       // statements before it
    bool of_the_craft = false;  // spun, held, saved: not done again unasked, nor is what came after it
  };
  using Lesson = std::vector<Given>;
  // `heard`: so many statements are not said again.
  void begin(Lesson given = {}, std::size_t heard = 0);
  const Lesson& given() const { return given_; }
  // The last answer, and what must be asked again with it; how many statements came before.
  static std::size_t take_one_back(Lesson& given);

  Task<std::string> put(Question question);
  Task<std::string> ask_text(std::string id, std::string text, std::string suggestion = {});
  Task<std::string> ask_text_or_skip(std::string id, std::string text);  // "skip"
  Task<std::string> choose(std::string id, std::string text, std::vector<Choice> choices);
  // Which of these, that stand in what the console said; absent: none. `marked`: the key of the one to begin
  // at.
  Task<std::optional<std::size_t>> point(std::string id, std::string text, std::vector<std::string> shown,
                                         std::vector<Choice> choices, std::string marked = {});
  Task<bool> confirm(std::string id, std::string text);
  // Whether it is no slip that this names its motor by another number.
  Task<bool> counts_otherwise(teach::Typed typed, console::Values values);
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
  const std::vector<teach::HelpLine>& help() const { return help_; }
  // A saved session with this very console, from which they are, too.
  void is_helped_by(teach::SavedSession session) { saved_ = std::move(session); }

  int typed() const { return typed_; }  // commands
  void has_typed() { ++typed_; }

 private:
  bool is_in_help(const std::string& proposed) const;
  std::string hint_for(std::string asked_id, console::Values asked, const std::string& proposed) const;

  Person& person_;
  const Draft& draft_;
  Lesson given_;
  std::size_t at_ = 0;       // the next answer that is handed out
  std::size_t said_ = 0;     // statements since the top of the lesson
  std::size_t quiet_ = 0;    // so many of them were heard before
  bool handed_out_ = false;  // the last answer was
  int typed_ = 0;
  std::vector<teach::HelpLine> help_;
  teach::SavedSession saved_;
  std::set<std::string> hints_taken_;  // question and hint, once it was answered
};

}  // namespace armwise::session
