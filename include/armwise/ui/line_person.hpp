// The plain front end: lines of text that are only ever added, for a screen reader or a pipe. No escape
// codes unless colours were asked for, no lone carriage returns, pictures as sentences.
#pragma once

#include <memory>

#include "armwise/base/task_fwd.hpp"
#include "armwise/session/person.hpp"
#include "armwise/ui/onlooker.hpp"
#include "armwise/ui/style.hpp"

namespace armwise::ui {

// File descriptors; none is closed. `input` is read through a descriptor of our own.
struct Streams {
  int input = 0;
  int output = 1;
  int prompts = 1;  // where questions go: a terminal where there is one
};

class LinePerson : public session::Person {
 public:
  // ask() and interrupted() throw Fault(file) where the input cannot be read.
  LinePerson(const boost::asio::any_io_executor& executor, Streams streams, Onlooker onlooker = {},
             const Style& style = {});
  ~LinePerson() override;

  Task<session::Answer> ask(const session::Question& question) override;
  void tell(const session::Statement& statement) override;
  // On a terminal any key interrupts. In a pipe only the line "stop" does, and ends the session: other
  // lines may have been written in advance, and are the next answers.
  Task<bool> interrupted(craft::Motor motor, Duration within) override;

 private:
  struct State;
  std::unique_ptr<State> state_;
};

}  // namespace armwise::ui
