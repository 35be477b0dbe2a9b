// A console session that was saved as text: the prompt, the commands that were typed behind it, the replies.
// Pure. A log is data from a stranger: whatever stands in it is bounded, and what comes out is printable.
#pragma once

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

#include "armwise/console/profile.hpp"
#include "armwise/teach/reply_table.hpp"

namespace armwise::teach {

struct SavedExchange {
  std::string command;
  Lines reply;
};
using SavedSession = std::vector<SavedExchange>;
// Of a longer log, the first 4 MiB; of a longer line, the first 1000 characters. `prompt`: how the console's
// ends. Empty where no line begins with it.
SavedSession saved_session(std::string_view log, std::string_view prompt);

// What is known already when a question is put to the log.
struct KnownFromLog {
  std::vector<std::string> motors, pins;  // as the console writes them
  std::string nothing;                    // how an empty place of the map is shown
  std::vector<std::string> words;         // of the setting that is asked about: "clockwise", "counter"
};
// The commands that may be the answer to a question of teach() ("assign-pin", "keep", …), the likeliest
// first, with the values that are asked for in the place of those that were typed then. None where nothing
// speaks for any.
std::vector<std::string> proposed_by(const SavedSession& session, const std::string& id,
                                     const console::Values& asked, const KnownFromLog& known);

}  // namespace armwise::teach
