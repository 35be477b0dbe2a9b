// What a person points at in a reply, made into the lines that read it, below the level of words. Pure.
//
// What was pointed at becomes a blank; what touches it stays text, letter by letter. Of the other words,
// those in front of the first blank are text where every row has them, and those between and behind may be
// other values the next time (TEACHING: text only if it must be), so they are passed over. Numbers always
// are.
#pragma once

#include <cstddef>
#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "armwise/teach/reply_table.hpp"

namespace armwise::teach {

struct Span {
  std::size_t begin = 0, end = 0;  // bytes of the line
  bool operator==(const Span&) const = default;
};

// A line, and what was pointed at there: blank -> where it stands.
struct Pointed {
  std::string line;
  std::map<std::string, Span> at;
};

// What may be pointed at in a line: each word as "1", "2", …, and its parts as "2a", "2b", …; signs are
// parts, too.
struct Part {
  std::string key;
  Span span;
};
std::vector<Part> parts_of(std::string_view line, std::size_t most = 60);

// The numbers of a line that something else touches: a unit behind ("90°"), a name before ("y90"). With their
// signs.
std::vector<Span> numbers_touched(const std::string& line);

// The templates that read the lines built like those pointed at. Empty where two blanks touch.
std::vector<console::Template> lines_like(const std::vector<Pointed>& examples, const Lines& reply);

// The map, of which the lines of motor 1 and perhaps of further motors, in their order, were pointed at:
// {motor} and {pin} in each. `reply` may be the answers to several questions. Absent where nothing can be
// read so.
std::optional<MapReading> map_like(const std::vector<Pointed>& examples, const Lines& reply);

// What a console that counts so would call the next motor: "2" after "1", "B" after "A". Absent: it does not
// count.
std::optional<std::string> next_code(std::string_view code);

}  // namespace armwise::teach
