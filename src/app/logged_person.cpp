#include "logged_person.hpp"

#include <string>
#include <variant>

#include "armwise/craft/frame.hpp"

namespace armwise::app {
namespace {

// As --answers takes it.
std::string for_answers(const session::Question& question, const session::Answer& answer) {
  using What = session::SpinSeen::What;
  if (const auto* said = std::get_if<std::string>(&answer)) return *said;
  const auto* seen = std::get_if<session::SpinSeen>(&answer);
  if (seen == nullptr) return "back";
  if (seen->what == What::none) return "none";
  if (seen->what == What::several) return "several";
  if (seen->what == What::again) return "again";
  return question.frame->places.at(seen->place).name + " " + std::string(craft::name(seen->turn));
}

}  // namespace

Task<session::Answer> LoggedPerson::ask(const session::Question& question) {
  log_->event("asked", question.id, question.text);
  session::Answer answer = co_await person_->ask(question);
  log_->event("answered", question.id, for_answers(question, answer));
  co_return answer;
}

void LoggedPerson::tell(const session::Statement& statement) {
  if (!statement.text.empty())
    log_->event("said", statement.id.empty() ? "text" : statement.id, statement.text);
  for (const std::string& line : statement.console_lines) log_->event("console line", "line", line);
  person_->tell(statement);
}

Task<bool> LoggedPerson::interrupted(craft::Motor motor, Duration within) {
  const bool key = co_await person_->interrupted(motor, within);
  log_->event("watched motor " + std::to_string(motor.number), "ended by",
              key ? "a key" : "its time, " + std::to_string(within.count()) + " ms");
  co_return key;
}

}  // namespace armwise::app
