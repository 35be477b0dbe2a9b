#include "logged_person.hpp"

#include <string>

namespace armwise::app {

Task<session::Answer> LoggedPerson::ask(const session::Question& question) {
  log_->event("asked", question.id, question.text);
  session::Answer answer = co_await person_->ask(question);
  log_->event("answered", question.id, session::text(question, answer));
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
