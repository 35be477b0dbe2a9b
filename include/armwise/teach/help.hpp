// A console's own list of its commands, as hints for what is asked for next. Pure.
//
// A line of it is taken for a usage and what it does: `wire MOTOR PIN   puts a motor on a pin`. Words that
// stand for values (in capitals, in brackets, one of several, within a call's brackets) are slots. Nothing
// is believed of it: a hint is proposed to the person, and then tried like anything that they type.
#pragma once

#include <string>
#include <vector>

#include "armwise/console/template.hpp"
#include "armwise/teach/reply_table.hpp"

namespace armwise::teach {

// A piece of a usage: text as it is typed, or a slot with its name, or with the words that it may be.
struct UsagePiece {
  enum class Kind { text, slot, choice };
  Kind kind = Kind::text;
  std::string text;                  // of a choice: as it stands
  std::vector<std::string> choices;  // of a choice
  int optional = 0;                  // which of the groups that may be left out; 0: none of them
  bool operator==(const UsagePiece&) const = default;
};
struct HelpLine {
  std::vector<UsagePiece> usage;
  std::string about;  // may be empty
  bool operator==(const HelpLine&) const = default;
};

// `reply`: its lines with their blanks as they came, since runs of them part a usage from what it does.
std::vector<HelpLine> help_lines(const Lines& reply);

// The command that most likely does what a question of this name asks for ("assign-pin"), with these values
// in it. Empty where none stands out.
std::string hinted(const std::vector<HelpLine>& help, const std::string& ability,
                   const console::Values& values);

}  // namespace armwise::teach
