#include "who.hpp"

#include "armwise/base/fault.hpp"
#include "armwise/base/task.hpp"

namespace armwise::session {

Task<console::Identity> identify_surely(console::Console& console) {
  console::Identity said = co_await console.identify();
  for (int attempt = 0; attempt < 3; ++attempt) {
    console::Identity again = co_await console.identify();
    if (again.same_board(said) && again.version == said.version) co_return again;
    said = again;
  }
  throw Fault(FaultKind::unreadable, "The controller identified itself differently each time",
              "bytes are lost or damaged on the line, the last answer was: " + said.in_words(),
              "Try another cable and another port of the computer, then start again")
      .as("identity-unsteady");
}

Task<console::Identity> identify_again(console::Console& console, console::Identity expected) {
  const console::Identity said = co_await console.identify();
  if (said.same_board(expected)) co_return said;
  co_return co_await identify_surely(console);
}

}  // namespace armwise::session
