// A practice person who is watched: every question and every statement is kept in order, and at any question
// a test can answer in the person's place.
#pragma once

#include <functional>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "armwise/base/task.hpp"
#include "armwise/practice/person.hpp"

namespace armwise::test {

class RehearsedPerson : public session::Person {
 public:
  // Called with the number of the question, from 1: an answer of its own, or nothing for that of the
  // practice person. May throw StoppedByPerson.
  using Intervene = std::function<std::optional<session::Answer>(int number, const session::Question&)>;

  // `practised` outlives it.
  explicit RehearsedPerson(session::Person& practised, Intervene intervene = {})
      : practised_(practised), intervene_(std::move(intervene)) {}

  Task<session::Answer> ask(const session::Question& question) override {
    asked.push_back(question);
    asked.back().plan = nullptr;  // it does not outlive the question
    if (intervene_) {
      const auto own = intervene_(static_cast<int>(asked.size()), question);
      if (own) {
        const session::Answer answer = *own;
        co_return answer;
      }
    }
    const session::Answer answer = co_await practised_.ask(question);
    co_return answer;
  }
  void tell(const session::Statement& statement) override {
    told.push_back(statement);
    told.back().plan = nullptr;
    practised_.tell(statement);
  }
  Task<bool> interrupted(craft::Motor motor, Duration within) override {
    return practised_.interrupted(motor, within);
  }

  std::vector<session::Question> asked;
  std::vector<session::Statement> told;

 private:
  session::Person& practised_;
  Intervene intervene_;
};

}  // namespace armwise::test
