// Which of the person's own profiles a console answers to, found out by line ends, by the words that get into
// a console where it is silent, and, where its prompt is that of a profile, by that profile's own question
// who it is. Opening a console sends its stop and its way in, too: so all that goes out by then is held
// against the orders of the other profiles, and said first where the prompts are alike at their ends only.
#pragma once

#include <filesystem>
#include <functional>
#include <string>
#include <vector>

#include "armwise/base/clock.hpp"
#include "armwise/base/task_fwd.hpp"
#include "armwise/console/line.hpp"
#include "armwise/console/sentry.hpp"
#include "armwise/session/statements.hpp"
#include "profiles_at_hand.hpp"

namespace armwise::app {

struct AnswersTo {
  std::filesystem::path file;
  std::string words;  // what the console says of itself, by that profile
};

// Says to the person what is about to be sent.
using SayFirst = std::function<void(session::StatementId, session::Facts)>;

// The person's own ones, in the order of `at_hand`; those without a prompt or without the question are passed
// over. All outlive the call; the port is free again after it. Throws Fault where it cannot be opened.
Task<std::vector<AnswersTo>> profiles_answered_to(console::Plug& plug, Clock& clock, console::Sentry& sentry,
                                                  const std::vector<ProfileAtHand>& at_hand,
                                                  const SayFirst& say);

}  // namespace armwise::app
