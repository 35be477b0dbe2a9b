#include "armwise/session/consent.hpp"

#include <algorithm>
#include <utility>

#include "armwise/base/task.hpp"

namespace armwise::session {
namespace {

bool is_yes(const Answer& answer) {
  const auto* said = std::get_if<std::string>(&answer);
  return said != nullptr && *said == "yes";
}

}  // namespace

Task<std::optional<WritePermit>> ask_to_write(Person& person, Question question, std::vector<std::string> lines) {
  const Answer answer = co_await person.ask(question);
  std::optional<WritePermit> permit;
  if (is_yes(answer)) permit = WritePermit(std::move(lines));
  co_return permit;
}

Task<std::optional<PlayPermit>> ask_to_play(Person& person, Question question, std::vector<std::string> lines) {
  const Answer answer = co_await person.ask(question);
  std::optional<PlayPermit> permit;
  if (is_yes(answer)) permit = PlayPermit(std::move(lines));
  co_return permit;
}

Task<std::optional<KeepPermit>> ask_to_keep(Person& person, Question question) {
  const Answer answer = co_await person.ask(question);
  std::optional<KeepPermit> permit;
  if (is_yes(answer)) permit = KeepPermit();
  co_return permit;
}

Task<Recovering> ask_to_recover(Person& person, Question question) {
  while (true) {
    const Answer answer = co_await person.ask(question);
    const auto* said = std::get_if<std::string>(&answer);
    if (said == nullptr) continue;
    const bool offered = std::any_of(question.choices.begin(), question.choices.end(),
                                     [&](const Choice& choice) { return choice.key == *said; });
    if (!offered) continue;
    Recovering chosen;
    chosen.choice = *said;
    if (*said == "finish" || *said == "back") chosen.permit = RecoverPermit();
    co_return chosen;
  }
}

}  // namespace armwise::session
