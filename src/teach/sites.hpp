// Where known values may stand in a text.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "armwise/base/fault.hpp"
#include "armwise/console/template.hpp"
#include "armwise/teach/command_lesson.hpp"

namespace armwise::teach {

// More readings of one example are refused: the person is asked for one with other values.
constexpr std::size_t most_ways = 4096;

// Literal text as a template's source writes it: braces doubled.
std::string as_literal(std::string_view text);

// Absent where the source is that of no template.
std::optional<console::Template> template_of(const std::string& source);

// Every template that writes exactly this line for these values: each value at each place where it stands
// is a blank or text. Values that are empty stand nowhere. `types`: see CommandLesson::knows. Of more than
// `most_ways`, one more.
std::vector<console::Template> ways_to_read(std::string_view line, const console::Values& values,
                                            Written how = Written::as_named,
                                            const console::Values& types = {});

}  // namespace armwise::teach
