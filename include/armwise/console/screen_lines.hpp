// What came from a console, as a person would have seen it on a screen. Pure.
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace armwise::console {

// All lines that are not blank, a last one without its end included. Any of \r, \n, \r\n and \n\r ends a
// line, but a line that is drawn over is not there; backspaces have taken back what stood before them; escape
// codes, control characters and trailing blanks are gone.
std::vector<std::string> lines_in(std::string_view bytes);
// One of them, without its end; with its trailing blanks where they are wanted.
std::string as_seen(std::string_view raw, bool with_blanks = false);

}  // namespace armwise::console
