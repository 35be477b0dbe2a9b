// How the lines of a reply become the rows that templates read. Pure.
#pragma once

#include <string>
#include <vector>

namespace armwise::console {

// As they are; or, where the table lies on its side, the words of each column. Then a line with another
// number of words than most is left out, but for one above them that lacks the first: the table's corner.
std::vector<std::string> rows_of(bool columns, const std::vector<std::string>& lines);

}  // namespace armwise::console
