// The terminal front end: single keys, pictures, colour. Lines are added as on paper, so that what was said
// can be scrolled back to; only the countdown of a spin is written over.
#pragma once

#include <filesystem>
#include <memory>
#include <string>

#include "armwise/base/task_fwd.hpp"
#include "armwise/session/person.hpp"
#include "armwise/ui/onlooker.hpp"
#include "armwise/ui/style.hpp"

namespace armwise::ui {

struct TerminalOptions {
  Style style;
  std::filesystem::path keys_file;  // where learned letters are kept; empty: for this sitting only
  Onlooker onlooker;
};

// While it lives, the terminal gives keys at once and echoes nothing; its modes and its cursor are put back
// on destruction. Between questions Ctrl-C is a signal, as always; during a question or a spin it is thrown
// as StoppedByPerson(interrupted), and the terminal's going away as StoppedByPerson(end_of_input).
class TerminalPerson : public session::Person {
 public:
  // Reads and writes `terminal` through a descriptor of its own; one at a time in a process.
  // Throws Fault(file) where it is no terminal.
  TerminalPerson(const boost::asio::any_io_executor& executor, int terminal, TerminalOptions options);
  ~TerminalPerson() override;

  Task<session::Answer> ask(const session::Question& question) override;
  void tell(const session::Statement& statement) override;
  Task<bool> interrupted(craft::Motor motor, Duration within) override;

  struct State;

 private:
  std::unique_ptr<State> state_;
};

// Puts the modes and the cursor of the terminal in use back, if there is one. For a handler of a signal that
// ends the process: calls nothing that is not safe there.
void restore_terminal() noexcept;

}  // namespace armwise::ui
