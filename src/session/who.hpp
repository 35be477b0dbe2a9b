// Which controller answers, so that a byte lost on the line is not taken for another controller.
#pragma once

#include "armwise/base/task_fwd.hpp"
#include "armwise/console/console.hpp"

namespace armwise::session {

// Asked until two answers in turn agree, at most four times. Throws Fault(unreadable) where none do.
Task<console::Identity> identify_surely(console::Console& console);

// As `expected`, where the controller says so once; else what identify_surely() says.
Task<console::Identity> identify_again(console::Console& console, console::Identity expected);

}  // namespace armwise::session
