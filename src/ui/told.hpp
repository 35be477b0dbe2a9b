// A plan and the end of a session as lines on a screen. Pure.
#pragma once

#include <string>
#include <vector>

#include "armwise/session/person.hpp"
#include "screen.hpp"

namespace armwise::ui {

// What changes, in trade words, at most four lines; then what each view is worth.
std::vector<Line> plan_lines(const session::Statement& statement, const Style& style);

// The box at the end: the craft, what was checked, and what was not.
Picture end_box(const session::Statement& statement, const Style& style);

}  // namespace armwise::ui
