#include "questions.hpp"

#include <utility>

#include "armwise/base/fault.hpp"
#include "armwise/base/task.hpp"

namespace armwise::session {

Question yes_or_no(std::string id, std::string text, Level level) {
  Question question;
  question.id = std::move(id);
  question.kind = Question::Kind::confirm;
  question.level = level;
  question.text = std::move(text);
  return question;
}

Question one_of(std::string id, std::string text, std::vector<Choice> choices) {
  Question question;
  question.id = std::move(id);
  question.kind = Question::Kind::choose;
  question.text = std::move(text);
  question.choices = std::move(choices);
  return question;
}

Task<std::string> answer_to(Person& person, Question question) {
  const Answer answer = co_await person.ask(question);
  const auto* said = std::get_if<std::string>(&answer);
  if (said == nullptr)
    throw Fault(FaultKind::internal, "The question " + question.id + " was not answered in words");
  co_return *said;
}

Task<void> require_yes(Recall& r, Question question) {
  const Answer answer = co_await r.ask(question);
  const auto* said = std::get_if<std::string>(&answer);
  if (said == nullptr || *said != "yes") throw StoppedByPerson();
}

}  // namespace armwise::session
