// A whole configuration as it is saved, and as it is compared and played back. Pure.
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace armwise::console {

// What of `bytes` came as these `lines` of a reply, byte for byte with what stands between them: tabs,
// trailing blanks, empty lines, line ends, whatever they are. Left out are escape codes, and what is no line
// of the reply: the echo, the prompt, page stops. configuration_lines() of it are `lines` again.
std::string as_it_came(std::string_view bytes, const std::vector<std::string>& lines);

// The lines that can be compared and sent: printable, not blank, tabs made spaces, trailing blanks gone.
std::vector<std::string> configuration_lines(std::string_view text);

}  // namespace armwise::console
