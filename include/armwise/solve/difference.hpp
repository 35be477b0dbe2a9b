// From what the controller reads now to settings that are known: for taking changes back, for finishing
// a session that was cut off, and for doing it all again from a record. Pure.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "armwise/solve/plan.hpp"

namespace armwise::solve {

// The changes that turn `now` into `target`, in the order in which the console accepts them. A setting
// that either of the two lacks is left alone. `reason` stands with every change.
std::vector<Change> difference(const Snapshot& now, const Snapshot& target, std::string_view reason);

// One sentence for each setting in which they differ: "motor 2 is on pin P3 instead of P4". Empty: equal.
std::vector<std::string> differences_in_words(const Snapshot& now, const Snapshot& target);

// What the controller should read after the changes.
Snapshot with_changes(const Snapshot& now, const std::vector<Change>& changes);

}  // namespace armwise::solve
