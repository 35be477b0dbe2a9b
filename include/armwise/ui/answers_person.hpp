// Answers without a person: from a file, and "yes" to questions about settings.
#pragma once

#include <filesystem>
#include <memory>
#include <string>
#include <string_view>

#include "armwise/base/clock.hpp"
#include "armwise/session/person.hpp"

namespace armwise::ui {

// Whether the front end underneath listens to somebody while a motor turns.
enum class Listening { nobody, someone };

// A JSON object, question id -> answer, or a list of answers used in turn. An answer is a string of words
// ("yes", "quad-x", "front-left cw", "back", "stop") or the machine front end's object without its id.
class Answers {
 public:
  // None: every question is one that nothing answers.
  Answers();
  // Throws Fault(bad_data) that names the question whose answer has no such form, or says why it is no JSON.
  static Answers from_json(std::string_view text);
  // Throws also Fault(file).
  static Answers from_file(const std::filesystem::path& file);
  ~Answers();
  Answers(Answers&&) noexcept;
  Answers& operator=(Answers&&) noexcept;

  // Throws Fault(usage) naming the id where there is no answer, none left, or none that fits the question;
  // StoppedByPerson where the answer is "stop".
  session::Answer next(const session::Question& question);

 private:
  struct State;
  std::unique_ptr<State> state_;
};

class AnswersPerson : public session::Person {
 public:
  // `front_end` is told everything, and each answer given; it is never asked.
  AnswersPerson(Answers answers, std::unique_ptr<session::Person> front_end, Listening listening,
                Clock& clock);

  Task<session::Answer> ask(const session::Question& question) override;
  void tell(const session::Statement& statement) override { front_end_->tell(statement); }
  Task<bool> interrupted(craft::Motor motor, Duration within) override;

 private:
  Answers answers_;
  std::unique_ptr<session::Person> front_end_;
  Listening listening_;
  Clock& clock_;
};

// May --yes answer it? Only whether settings may be written or kept: never what is safe, never what was seen.
bool is_about_settings(const session::Question& question);

// For --yes: says yes to questions about settings, and passes on everything else.
class YesPerson : public session::Person {
 public:
  explicit YesPerson(std::unique_ptr<session::Person> front_end) : front_end_(std::move(front_end)) {}

  Task<session::Answer> ask(const session::Question& question) override;
  void tell(const session::Statement& statement) override { front_end_->tell(statement); }
  Task<bool> interrupted(craft::Motor motor, Duration within) override;

 private:
  std::unique_ptr<session::Person> front_end_;
};

}  // namespace armwise::ui
