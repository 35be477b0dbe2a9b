#include "armwise/session/consent.hpp"

#include <algorithm>
#include <utility>

#include "armwise/base/task.hpp"
#include "armwise/base/text.hpp"

namespace armwise::session {
namespace {

constexpr std::string_view between_steps = " ; ";

std::vector<std::string> split_steps(const std::string& text) {
  std::vector<std::string> steps;
  std::size_t at = 0;
  while (at <= text.size()) {
    const std::size_t end = std::min(text.find(between_steps, at), text.size());
    steps.emplace_back(trimmed(std::string_view(text).substr(at, end - at)));
    at = end + between_steps.size();
  }
  return steps;
}

bool is_yes(const Answer& answer) {
  const auto* said = std::get_if<std::string>(&answer);
  return said != nullptr && *said == "yes";
}

Task<bool> says_yes(Person& person, Question question) {
  const Answer answer = co_await person.ask(question);
  co_return is_yes(answer);
}

}  // namespace

std::vector<std::string> steps_typed(const std::string& text) {
  const bool quoted = text.size() > 2 && text.front() == '"' && text.back() == '"';
  return split_steps(quoted ? text.substr(1, text.size() - 2) : text);
}

std::string in_a_row(const std::vector<std::string>& steps) {
  return joined(steps, std::string(between_steps));
}

Task<std::optional<WritePermit>> ask_to_write(Person& person, Question question,
                                              std::vector<std::string> lines) {
  const Answer answer = co_await person.ask(question);
  std::optional<WritePermit> permit;
  const auto* said = std::get_if<std::string>(&answer);
  if (question.kind == Question::Kind::text) {
    if (said != nullptr && *said != question.word) permit = WritePermit(steps_typed(*said));
  } else if (is_yes(answer)) {
    permit = WritePermit(std::move(lines));
  }
  co_return permit;
}

Task<std::optional<PlayPermit>> ask_to_play(Person& person, Question question,
                                            std::vector<std::string> lines) {
  const bool yes = co_await says_yes(person, std::move(question));
  std::optional<PlayPermit> permit;
  if (yes) permit = PlayPermit(std::move(lines));
  co_return permit;
}

Task<std::optional<KeepPermit>> ask_to_keep(Person& person, Question question) {
  const bool yes = co_await says_yes(person, std::move(question));
  std::optional<KeepPermit> permit;
  if (yes) permit = KeepPermit();
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
