// Questions of the usual kinds, and what most of them come to.
#pragma once

#include <string>
#include <vector>

#include "armwise/base/task_fwd.hpp"
#include "armwise/session/person.hpp"
#include "recall.hpp"

namespace armwise::session {

Question yes_or_no(std::string id, std::string text, Level level = Level::warn);
Question one_of(std::string id, std::string text, std::vector<Choice> choices);

// The key that is chosen, what is typed. For those who are asked through a Recall or may not go back. Throws
// Fault(internal) where the answer is none in words.
Task<std::string> answer_to(Person& person, Question question);
// Throws StoppedByPerson where the answer is not "yes".
Task<void> require_yes(Recall& r, Question question);

}  // namespace armwise::session
