// How a value is written in a line, and read out of it.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

#include "armwise/console/template.hpp"

namespace armwise::console {

// The blanks whose numbers may be.
bool may_be_negative(std::string_view name);
// Absent where the value does not fit the blank.
std::optional<std::string> as_written(const Piece& blank, std::string_view value);
// Of what stands in the line. Absent where it means nothing.
std::optional<std::string> as_value(const Piece& blank, std::string_view written);
// What {motor:number} counts a code as: 3 of "3" and "M3", 4 of "D".
std::optional<std::int64_t> number_in_code(std::string_view code);
// Of a blank that is some bits of a number: that number (`held`) with this value in it; the value in it.
std::optional<std::string> with_bits(const Piece& blank, std::string_view value, std::string_view held);
std::optional<std::string> bits_of(const Piece& blank, std::string_view held);
// Those that end where the next character is of another kind, or after so many: another blank may follow.
bool ends_by_itself(const Piece& blank);

}  // namespace armwise::console
