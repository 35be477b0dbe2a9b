// What a question reads out of its answer. Pure.
#pragma once

#include <string>
#include <vector>

#include "armwise/console/profile.hpp"
#include "armwise/console/reply_rows.hpp"

namespace armwise::console {

// One for each line, or item of a line, by the first template that fits it; others are passed over, and so is
// what {skip} and {rest} read.
std::vector<Values> rows_read(const Query& query, const std::vector<std::string>& lines, bool case_sensitive);

// All lines together, for what is no table.
struct OneRow {
  Values values;
  // A blank that reads in two ways, and what it reads besides; empty: none does.
  std::string twice, besides;
};
// A bare value, as where three questions bring "90", "0" and "0", goes to the first template that has not
// been used.
OneRow one_row_read(const Query& query, const std::vector<std::string>& lines, bool case_sensitive);

}  // namespace armwise::console
