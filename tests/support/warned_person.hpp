// Somebody who notes when they are told that a motor may be turning, and since when the stop has been due.
#pragma once

#include <optional>
#include <string>

#include "armwise/base/clock.hpp"
#include "armwise/base/task.hpp"
#include "armwise/session/person.hpp"

namespace armwise::test {

class WarnedPerson : public session::Person {
 public:
  WarnedPerson(session::Person& person, Clock& clock) : person_(person), clock_(clock) {}
  Task<session::Answer> ask(const session::Question& question) override {
    const session::Answer answer = co_await person_.ask(question);
    co_return answer;
  }
  void tell(const session::Statement& statement) override {
    if (!at && statement.id == "stop-lost") at = clock_.now();
    person_.tell(statement);
  }
  Task<bool> interrupted(craft::Motor motor, Duration within) override {
    const bool key = co_await person_.interrupted(motor, within);
    stop_is_due = clock_.now();
    co_return key;
  }

  std::optional<Instant> at;
  Instant stop_is_due{0};

 private:
  session::Person& person_;
  Clock& clock_;
};

}  // namespace armwise::test
