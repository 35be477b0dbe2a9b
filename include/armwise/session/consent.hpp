// Where permits are made: each in the very function that puts the question, out of the person's answer.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "armwise/base/permit.hpp"
#include "armwise/base/task_fwd.hpp"
#include "armwise/session/person.hpp"

namespace armwise::session {

// Yes-or-no questions; absent: the answer was not yes. `lines`: the very lines to be sent, as they were
// shown. ask_to_write() takes a question for a text, too: then the lines are what is typed, absent where that
// is the question's `word`. All throw StoppedByPerson.
Task<std::optional<WritePermit>> ask_to_write(Person& person, Question question,
                                              std::vector<std::string> lines);
Task<std::optional<PlayPermit>> ask_to_play(Person& person, Question question,
                                            std::vector<std::string> lines);
Task<std::optional<KeepPermit>> ask_to_keep(Person& person, Question question);

struct Recovering {
  std::string choice;                   // the key of one of the question's choices
  std::optional<RecoverPermit> permit;  // "finish" and "back"
};
// A command as it is typed, in its steps: "menu ; 3"; in quotation marks, so that a console's own "stop",
// "back" or "skip" can be typed. And in one line.
std::vector<std::string> steps_typed(const std::string& text);
std::string in_a_row(const std::vector<std::string>& steps);

// Asked until one of its choices is made.
Task<Recovering> ask_to_recover(Person& person, Question question);

}  // namespace armwise::session
