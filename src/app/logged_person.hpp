// The person, with all that is asked, answered and said kept in the session's log.
#pragma once

#include <memory>
#include <utility>

#include "armwise/base/task.hpp"
#include "armwise/link/capture.hpp"
#include "armwise/session/person.hpp"

namespace armwise::app {

class LoggedPerson : public session::Person {
 public:
  LoggedPerson(std::unique_ptr<session::Person> person, std::shared_ptr<link::Recorder> log)
      : person_(std::move(person)), log_(std::move(log)) {}

  Task<session::Answer> ask(const session::Question& question) override;
  void tell(const session::Statement& statement) override;
  Task<bool> interrupted(craft::Motor motor, Duration within) override;

 private:
  std::unique_ptr<session::Person> person_;
  std::shared_ptr<link::Recorder> log_;
};

}  // namespace armwise::app
