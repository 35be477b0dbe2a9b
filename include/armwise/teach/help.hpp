// A console's own list of its commands, as hints for what is asked for next. Pure.
//
// A line of it is taken for usages and what they do: `wire MOTOR PIN   puts a motor on a pin`. Words that
// stand for values (in capitals, in brackets, one of several, numbers of an example, names of what is asked
// for) are slots. Nothing is believed of it: a hint is proposed to the person, and then tried like anything
// that they type.
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
  bool json = false;                 // a slot for a JSON value
  bool operator==(const UsagePiece&) const = default;
};
struct HelpLine {
  std::vector<UsagePiece> usage;
  std::string about;        // may be empty
  std::string one_of = {};  // the word that was taken out of a choice of commands
  // Its shell: what that is about, the steps into it and out of it.
  std::string shell = {}, before = {}, behind = {};
  bool operator==(const HelpLine&) const = default;
};

// `reply`: its lines with their blanks as they came, since runs of them part a usage from what it does.
// `typed`: what was answered so.
std::vector<HelpLine> help_lines(const Lines& reply, const std::string& typed = {});

// A shell of its own, which has a list of its own; and how each is left.
struct Shells {
  std::vector<std::string> names, about;
  std::string back;
};
Shells shells_in(const std::vector<HelpLine>& help, const std::string& typed);

// How the map's command is typed, beside its usage.
struct Spoken {
  std::string before, behind;        // steps that it needs besides, and the others that set something
  std::string motor;                 // what stands just before a motor: the "m" of "m3", "/out/"
  std::vector<std::string> between;  // where a usage has no slots: before each value
};
// `typed`: the map's command with its steps in a row; `source`: the same with {motor} and {pin}.
Spoken spoken_like(const std::vector<HelpLine>& help, const std::string& source, const std::string& typed,
                   const console::Values& values, const std::string& row = {});

// What is known besides the values.
struct Setting {
  std::string row;  // the line that shows it as it is
  Spoken spoken;
};
// The command that most likely does what a question of this name asks for ("assign-pin"), with these values
// in it. Empty where none stands out.
std::string hinted(const std::vector<HelpLine>& help, const std::string& ability,
                   const console::Values& values, const Setting& setting = {});

// The word that stands against this one, where the list names two; how it writes that a motor has no pin.
std::string word_against(const std::vector<HelpLine>& help, const std::string& word);
std::string word_for_no_pin(const std::vector<HelpLine>& help);

// Under which name a configuration lists what a question of this name asks for: "acc" of "acc.x 0".
std::string name_in(const Lines& configuration, const std::string& ability);
// The question for that name: by a usage that takes one ("ls PATH"), or as those that were typed, of which
// one word differs ("show all", "show motors").
std::string asked_by_name(const std::vector<HelpLine>& help, const Lines& questions, const std::string& name);

}  // namespace armwise::teach
