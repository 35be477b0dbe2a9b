// From a console's reply to the tables that can be read out of it, without knowing a word of it. Pure.
//
// Lines that differ only in some of their words are rows of one table; so are pieces of one line that
// repeat. What a table means (which column is the motor?) is asked of the person, who sees it as read:
// every reading given here was run on the reply, and says exactly what the templates read there.
#pragma once

#include <cstddef>
#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "armwise/console/query_values.hpp"

namespace armwise::teach {

using Lines = std::vector<std::string>;

// All of it as one row, for what is not a table; nothing where a blank reads in two ways.
console::Values values_read(const console::Query& query, const Lines& reply);

// One way to read a motor -> pin table.
struct MapReading {
  console::Query list;                   // without its steps
  int first_motor = 1;                   // as in console::Codes
  std::vector<std::string> motor_codes;  // motor 1's first; empty: they count up from first_motor
  solve::MapKept kept = solve::MapKept::per_motor;
  bool kept_is_sure = false;  // an empty place was listed, which tells; otherwise the person is asked
  std::string no_pin, no_motor;
  std::vector<console::Values> rows;  // {motor} and {pin} as read, empty places included
  std::vector<std::string> others;    // lines of the reply that are something else
  int likely = 0;                     // for putting the likeliest first
};
// Of a longer reply nobody would say which lines belong together, or which columns.
constexpr std::size_t longest_laid_out = 60;
// Where what stands below this line ends: at the next one that is built like it.
std::size_t end_of_section(const Lines& reply, std::size_t heading);
// The likeliest first, at most `most`. Each shows another table.
std::vector<MapReading> map_readings(const Lines& reply, std::size_t most = 12);

// One way to read which way each motor (or pin) turns. All rows may say the same.
struct TurnReading {
  console::Query list;
  solve::TurnKey key = solve::TurnKey::motor;
  std::vector<std::string> codes;  // one or two words of the console's
  std::vector<console::Values> rows;
  // By where the word stands it may as well be a word of the row's sentence: no reading is better.
  bool doubtful = false;
};
// `motors` and `pins`: as the console writes them. Each reading has a row for every motor, or for pins. No
// two show the same; words that only belong to a row's sentence are left out where there are better ones.
std::vector<TurnReading> turn_readings(const Lines& reply, const std::vector<std::string>& motors,
                                       const std::vector<std::string>& pins, std::size_t most = 12);

// The same, where a number stands in the place of the word, which tells the turn in one of its bits, and may
// be another one in each row.
std::vector<TurnReading> turn_numbers(const Lines& reply, const std::vector<std::string>& motors,
                                      const std::vector<std::string>& pins);

// The same out of an answer for each motor that does not name it: `answers` in the order of `motors`.
std::vector<TurnReading> turns_of_each(const std::vector<Lines>& answers,
                                       const std::vector<std::string>& motors);

// A value that stands once in a reply: {props}, {mount}, … Each reading is one word of the reply as the
// blank, in the line where it stands; the last word of a line first.
struct WordReading {
  console::Template line;
  std::string value;
  std::size_t in = 0, begin = 0, end = 0;  // where it stands: which line of the reply, and which of its bytes
};
std::vector<WordReading> word_readings(const Lines& reply, const std::string& blank, std::size_t most = 24);

// Several numbers: yaw, pitch, roll or x, y, z. `named`: each number stands behind the name of its blank,
// so the order is sure; otherwise it is the order given.
struct NumbersReading {
  console::Query list;  // without its steps
  console::Values values;
  bool named = false;
};

// A line of what a console says of itself: {board}, {firmware}, {version}, {serial}, each behind its own word
// or as it looks, or by where it stands beside a version. Absent where nothing in it is one of these.
std::optional<console::Template> identity_line(const std::string& line, bool only_by_name = false);

}  // namespace armwise::teach
