// The machine front end: one JSON object a line out, one a line in, for scripts, tests and windows.
#pragma once

#include <memory>

#include "armwise/base/task_fwd.hpp"
#include "armwise/session/person.hpp"
#include "armwise/ui/line_person.hpp"

namespace armwise::ui {

// Out: say, ask, found, plan, wrote, progress, done, and error for an input line that is no answer; the
// question is then put again. In: see the README; {"id":"back"} and {"id":"stop"} at any question.
class MachinePerson : public session::Person {
 public:
  // ask() and interrupted() throw Fault(file) where the input cannot be read.
  MachinePerson(const boost::asio::any_io_executor& executor, Streams streams, Onlooker onlooker = {});
  ~MachinePerson() override;

  Task<session::Answer> ask(const session::Question& question) override;
  void tell(const session::Statement& statement) override;
  // {"id":"interrupt"} ends a spin early, {"id":"stop"} the session; other lines wait for their question.
  Task<bool> interrupted(craft::Motor motor, Duration within) override;

 private:
  struct State;
  std::unique_ptr<State> state_;
};

}  // namespace armwise::ui
