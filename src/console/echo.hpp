// Tells what a console repeats of a command from what it answers.
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace armwise::console {

// Whether the console is known to echo. Where it is not, an echo must end with its line.
enum class EchoKnown { no, yes };

// Takes the echo out of the lines, also where it is wrapped over several of them or where the console broke
// into it with lines of its own; those stay. So is what came before the echo: the command had not been read
// then; it is put into `before` where that is wanted. Where it is not whole, nothing is taken out. True where
// it was whole.
bool take_out_echo(std::vector<std::string>& lines, std::string_view sent, std::string_view prompt,
                   EchoKnown known, std::vector<std::string>* before = nullptr);

}  // namespace armwise::console
