// The guard's own side: what runs in the forked process.
#pragma once

#include "armwise/link/guard.hpp"

namespace armwise::link {

// `socket`: to the tool. `tool`: a pidfd of it. Returns when the tool has ended and nothing turns any more.
void run_guard(int socket, int tool, const GuardTiming& timing);

}  // namespace armwise::link
