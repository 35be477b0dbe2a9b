// Templates: text with named, typed blanks. One template is both how a command is written and how a
// reply is read.
//
//   wiring put {motor} {pin}            {{"motor":{motor}}}   ("{{" and "}}" are literal braces)
//   attitude {yaw:decimal} {rest}
//
// Types: int (whole number, sign allowed), decimal, word (no white space), rest (to the end of the
// line, may be empty), text (anything, shortest that lets the next literal match). A name without a type
// has the type of the well-known blank of that name (motor, pin, turn, props, mount: word; yaw, pitch,
// roll, strength, x, y, z, gx, gy, gz: decimal; milliseconds: int; skip: word; rest: rest; items: text),
// else word.
//
// Below the level of words: letters, digits, name (letters, digits and _), sign (one mark that is neither).
// These end by themselves, so another blank may follow at once: {motor:digits}:{skip:name}{turn:sign}.
//
// Notations. The value is what armwise counts with, the line what the console writes: comma (a decimal
// comma); hex and HEX (base 16, in small or capital letters), oct and bin (base 8 and 2), with a number of
// digits where it is always so many (HEX4; a value below zero is then its two's complement); number,
// number+1, number-1 (the number in a code, that of a single letter its place in the alphabet: motor "D" is
// 4, or 3 where the console counts from zero).
//
// Some bits of a number that holds other things, too: HEX4.0-7 (the lowest is bit 0), int.15. The value is
// written in the number's own base, without zeros in front. The whole number is read beside it, as
// held_with(blank), and needed to write: its other bits stay as they are.
//
// White space in a reply is matched loosely (any run of blanks and tabs equals one, also inside a value;
// none is needed at either end); letters are matched without case unless told otherwise. A number is read
// as far as it goes, its minus may be U+2212; a word ends where the next literal first matches. A blank that
// occurs twice must read the same both times ({skip} need not). No regular expressions, no back-tracking
// beyond one literal: time is linear in the line's length for each blank.
#pragma once

#include <array>
#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace armwise::console {

enum class BlankType { whole, decimal, word, rest, text, letters, digits, name, sign, comma, hex, number };

struct Piece {
  bool blank = false;
  std::string text;  // literal text, or the blank's name
  BlankType type = BlankType::word;
  int detail = 0;         // of hex: how many digits, 0: as many as it takes; of number: what is added
  bool capitals = false;  // of hex
  int base = 10;          // of hex: 16, 8 or 2
  // Of hex and whole: the value is these bits of it.
  std::optional<std::array<int, 2>> bits = {};  // the lowest and the highest
  bool operator==(const Piece&) const = default;
};

using Values = std::map<std::string, std::string>;

// The number of which a blank is some bits, in decimal digits. No blank has such a name.
std::string held_with(const std::string& blank);
bool is_held(const std::string& name);
Values without_held(Values values);

class Template {
 public:
  Template() = default;
  // Throws Fault(bad_profile) that says which character is wrong and why.
  static Template parse(std::string_view source);
  // Text without a blank, whatever braces stand in it.
  static Template literal(std::string_view text);

  const std::string& source() const { return source_; }
  const std::vector<Piece>& pieces() const { return pieces_; }
  bool has(std::string_view blank) const;
  bool empty() const { return pieces_.empty(); }

  // Throws Fault(internal) where a blank has no value, Fault(bad_data) where a value does not fit its
  // blank's type or holds a control character.
  std::string format(const Values& values) const;

  // The values where the whole line reads as this template.
  std::optional<Values> match(std::string_view line, bool case_sensitive = false) const;

  // All matches of this template inside the text, left to right, not overlapping: for replies that list
  // several motors on one line. Here a word also ends at , ; ( ) [ ] { }, and no value is longer than 256
  // characters.
  std::vector<Values> match_all(std::string_view text, bool case_sensitive = false) const;

  bool operator==(const Template& other) const { return source_ == other.source_; }

 private:
  std::string source_;
  std::vector<Piece> pieces_;
};

}  // namespace armwise::console
