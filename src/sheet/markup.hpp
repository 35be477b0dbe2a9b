// Text inside markup: every stranger's text passes through `escaped` on its way into a page.
#pragma once

#include <cstddef>
#include <string>
#include <string_view>

namespace armwise::sheet {

// Safe as text and inside a double-quoted attribute, in HTML and in XML. Control characters are taken out.
std::string escaped(std::string_view text);

// At most `longest` characters, the last one "…" where something was left out.
std::string shortened(std::string_view text, std::size_t longest);

// In letters of average width; those of East Asian scripts count twice.
double width_of(std::string_view text);

// For coordinates: at most two decimals, no sign of zero.
std::string number(double value);

// A percentage or a time as a person writes it: "6", "7.5".
std::string plain_number(double value);

// As one word of a shell command line.
std::string shell_word(std::string_view text);

}  // namespace armwise::sheet
