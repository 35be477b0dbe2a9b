// How the lines of a reply become the rows that templates read. Pure.
#pragma once

#include <string>
#include <vector>

namespace armwise::console {

struct Rows {
  bool columns = false;  // a table that lies on its side: a row is what stands in one column
  int lines = 1;         // so many lines, one below the other, are one row
  bool operator==(const Rows&) const = default;
};
constexpr int most_lines_a_row = 12;

// As they are; or from each line on so many, with blanks between them; or the words of each column. A line
// with another number of words than most is left out, but for one above them that lacks the first: the
// table's corner.
std::vector<std::string> rows_of(const Rows& rows, const std::vector<std::string>& lines);

}  // namespace armwise::console
