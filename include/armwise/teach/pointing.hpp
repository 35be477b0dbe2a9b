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
  std::string of(const std::string& line) const { return line.substr(begin, end - begin); }
};

// A line, and what was pointed at there: blank -> where it stands, and in which notation (a template's type).
struct Pointed {
  std::string line;
  std::map<std::string, Span> at;
  std::map<std::string, std::string> notations = {};
  // Where a row is several lines: the line below it in which the rest stands.
  std::vector<Pointed> below = {};
  std::string text(const std::string& blank) const;
};

// Whether something was pointed at there, or in a part of it.
bool is_pointed_at(const Pointed& line, Span at);
// One more of them, in a line that was pointed at before or not.
void point_in(std::vector<Pointed>& lines, const std::string& line, const std::string& blank, Span at);

// What may be pointed at in a line: each word as "1", "2", …, and its parts as "2a", "2b", …; signs are
// parts, too.
struct Part {
  std::string key;
  Span span;
};
std::vector<Part> parts_of(std::string_view line, std::size_t most = 60);

// Words between blanks and these signs, without the full stop or comma of a sentence.
std::vector<Span> words_of(std::string_view line, std::string_view signs = ",;:=()[]{}<>|\"'");

// What reads this very line, where its values stand alone: all words but numbers are text. Absent as below.
std::optional<console::Template> line_of_its_own(const Pointed& example);

// What reads a line that is about something else: its words are text. Absent where it has none.
std::optional<console::Template> line_without_values(const std::string& line);

// The same with nothing that is read.
console::Template passed_over(const console::Template& like);

// What is taken of the words that nobody pointed at: whatever stands there; or these very words (but for
// numbers and words that are known for values) between two values; or behind them, too.
enum class Between { anything, text_between, text };

// What reads all that is built like what was pointed at, on lines of its own or several on one line (without
// its steps). Absent where nothing tells where one value ends and the next begins.
std::optional<console::Query> query_like(const std::vector<Pointed>& examples, const Lines& reply,
                                         Between between);

// Which way each motor turns, or the motor on each pin, of which lines were pointed at: {turn} and {motor} or
// {pin}. Absent where not every one of them is read so, or more than two words are.
std::optional<TurnReading> turn_like(const std::vector<Pointed>& examples, const Lines& reply,
                                     const std::vector<std::string>& motors,
                                     const std::vector<std::string>& pins);

// The lines of the reply in which numbers were pointed at, each by its name; absent as above, or where they
// are not told from its other lines.
std::optional<NumbersReading> numbers_like(const std::vector<Pointed>& examples, const Lines& reply);
// Every way to point at numbers for these blanks, the likeliest first. `known`: each line of the reply, and
// what was pointed at there already; what is read has that, too.
std::vector<NumbersReading> number_readings(const Lines& reply, const std::vector<std::string>& blanks,
                                            std::size_t most = 12, std::vector<Pointed> known = {});

// The map, of which the lines of motor 1 and perhaps of further motors, in their order, were pointed at:
// {motor} and {pin} in each. `reply` may be the answers to several questions. Absent where nothing can be
// read so.
std::optional<MapReading> map_like(const std::vector<Pointed>& examples, const Lines& reply,
                                   Between between = Between::anything);

// What a console that counts like this may call the next motor, the usual first: "2" after "1", "B" after
// "A", "10" or "0A" after "09". Empty: it does not count.
std::vector<std::string> next_codes(std::string_view code);
bool comes_next(std::string_view code, std::string_view next);

}  // namespace armwise::teach
