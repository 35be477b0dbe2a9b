// From commands that a person types, with values that are known, to the template of the command. Pure.
//
// All readings of an example are kept, not the likeliest one: every place where a known value stands may be
// a blank or may be just text that looks alike ("1" in "spin1 1"). Further examples strike out the readings
// that would have written something else. A template is learned only when one reading is left; until then
// the lesson says which further example would tell the readings apart. So a wrong template is never taken
// silently, as long as the right one is among the readings, which holds where
//
//   - each blank is written as the value that was named, letters without case, and
//   - a value that begins or ends with a digit does not touch another digit ("1" is no blank in "12"), nor
//     a point with a digit behind it, and two blanks have something between them.
#pragma once

#include <cstddef>
#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "armwise/console/template.hpp"

namespace armwise::teach {

// One command as typed: a line, or the several lines of a walk through a menu.
using Typed = std::vector<std::string>;
// The same as templates, line by line.
using Reading = std::vector<console::Template>;

// How a value may be written: as it was named; as the same number in another notation; as the number in its
// code ("4" for "P4" or "D"); or counted from another number on, which a slip of the fingers looks like.
enum class Written { as_named, in_another_notation, by_its_number, counted_otherwise };

class CommandLesson {
 public:
  // `must`: blanks that have to occur; `may`: blanks that occur where the console has them.
  // `most`: the furthest that a value may be from what was named.
  explicit CommandLesson(std::vector<std::string> must, std::vector<std::string> may = {},
                         Written most = Written::by_its_number);

  // How these blanks are written where something else told so: blank -> a template's type ("HEX2", or which
  // bits of a number: "HEX4.0-3"). Without its zeros in front, too.
  void knows(std::map<std::string, std::string> types) { types_ = std::move(types); }

  enum class Heard {
    fits,         // at least one reading is left
    lacks,        // a value that must occur is not in it: missing() says which
    contradicts,  // no reading fits this and the earlier examples; it was not taken up
    too_many      // the same values stand in it again and again: it can be read in too many ways
  };
  // `values`: what was named to the person, blank -> text as the console writes it.
  Heard add(const Typed& typed, const console::Values& values);

  const std::vector<std::string>& missing() const { return missing_; }
  const std::vector<Reading>& readings() const { return readings_; }
  std::size_t examples() const { return examples_; }

  // The template, once one reading is left; after two examples, where it counts by more than one otherwise.
  std::optional<Reading> learned() const;
  // The first example counted otherwise than the values that were named.
  bool counts_otherwise() const { return written_ == Written::counted_otherwise; }

  // Of the values that an example could be asked for, those that split the readings best: an example with
  // them leaves the fewest in the worst case. Absent where it is learned, or none of them tells more.
  std::optional<console::Values> deciding(const std::vector<console::Values>& choices) const;

 private:
  bool is_sure() const;

  std::vector<std::string> must_, may_;
  std::vector<std::string> missing_;
  std::map<std::string, std::string> types_;
  Written most_, written_ = Written::as_named;
  std::vector<Reading> readings_;
  std::size_t examples_ = 0;
  std::string first_;  // example
};

// What a reading would write; absent where a value is missing or does not fit its blank.
std::optional<Typed> written(const Reading& reading, const console::Values& values);

}  // namespace armwise::teach
