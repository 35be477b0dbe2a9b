// A line of a reply as a template, with blanks in the places of some of its words.
#pragma once

#include <cstddef>
#include <map>
#include <optional>
#include <string>

#include "armwise/console/template.hpp"
#include "words.hpp"

namespace armwise::teach {

using BlankPlaces = std::map<std::size_t, std::string>;  // token -> blank

// Absent where it would be no template.
std::optional<console::Template> line_with(const Tokens& tokens, const BlankPlaces& blanks);
// The other numbers of the line may be others the next time.
BlankPlaces passing_over_numbers(const Tokens& tokens, BlankPlaces places);

}  // namespace armwise::teach
