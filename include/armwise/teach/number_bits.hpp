// Numbers that hold several things, each in some of their bits. Pure.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "armwise/teach/command_lesson.hpp"
#include "armwise/teach/reply_table.hpp"

namespace armwise::teach {

// As it looks, these numbers may hold more than a name or a count.
bool may_hold_several(const std::vector<std::string>& texts);

// The same map, with pins that are some bits of what was read for them; the likeliest first.
std::vector<MapReading> maps_in_bits(const MapReading& reading, const Lines& reply, std::size_t most);
// Whether the bits above those of the pins are zero in every row, so that pins may take more of them.
bool may_be_higher(const MapReading& reading);
// With as many bits as this pin takes. Absent where it is none, or needs bits that hold something else.
std::optional<MapReading> with_highest_pin(const MapReading& reading, const Lines& reply,
                                           const std::string& highest);

// How a setting is read out of a number.
struct BitsTold {
  std::string type;  // "HEX4.15"
  std::string now, then, held;
  bool operator==(const BitsTold&) const = default;
};
// By a command that sets it otherwise, and changes nothing else in a number that reads `now`. `beside`: the
// line in which that stands; its other words are no such number. `value`: what is set, out of values of which
// that is the largest; otherwise it is one bit that changes.
std::vector<BitsTold> bits_told(const std::string& now, const Typed& typed, const std::string& beside,
                                const std::string& value = {}, const std::string& largest = {});

}  // namespace armwise::teach
