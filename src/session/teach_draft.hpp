// What the lessons of teach() have found out so far. A lesson adds to it; going back takes that away again,
// by going back to the draft as it was before.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "armwise/console/profile.hpp"
#include "armwise/teach/command_lesson.hpp"
#include "armwise/teach/guesses.hpp"
#include "armwise/teach/reply_table.hpp"

namespace armwise::session {

// A command with its several steps, as it was sent and answered.
struct Said {
  teach::Typed typed;
  std::vector<std::string> prompts;  // after each step
  teach::Lines lines;                // of all steps
  teach::Lines as_they_came;         // the same with their blanks
  teach::Lines left_out = {};        // what came unasked meanwhile
  bool closed = false;
  bool refused = false;
  bool suspended = false;      // a spin that Ctrl-Z ended
  std::string otherwise = {};  // what a spin was answered that told of other numbers than were sent
  std::string unended = {};    // see ProfileConsole::unended_answer()
};

// A setting as it was when it was first read.
struct AsFound {
  std::string what;
  console::Query read;
  console::Values asked;
  teach::Lines lines;
};

struct Draft {
  console::Profile profile;
  std::optional<Said> configuration;  // the whole one, as it was printed
  std::vector<console::Values> rows;  // of the map, as it was read
  bool kept_is_sure = false;          // whether each motor has a pin or each pin a motor
  std::vector<AsFound> as_found;
  std::optional<teach::Listing> looked_into;  // the configuration, once it has been

  const teach::Listing& listing();
  // Of the map, where a motor is on a pin.
  std::vector<console::Values> map_rows() const;
  std::vector<console::Values> values_that_change_nothing() const;
  std::vector<console::Values> values_not_sent() const;
  std::vector<std::string> motor_codes() const;
  std::vector<std::string> pin_names() const;
  std::vector<std::string> listed_motor_codes() const;     // those without a pin, too
  std::string motor_words(const std::string& code) const;  // "motor 3 (written \"2\")"

  std::optional<teach::MapSpeech> map_speech() const;
  std::string whole_configuration_typed() const;
  // Under which name the whole configuration lists what a question of this name asks for.
  std::string listed_as(const std::string& ability) const;
  teach::Lines questions_typed() const;
  // A usual word, begun as all commands of this console begin; none where they are no words.
  teach::Lines map_lines() const;
  bool shows_turns_in_map() const;
  std::string map_listed_by(const console::Values& row) const;  // as it was typed
  // The line of what was found, or of the whole configuration, that reads these; empty where none does.
  std::string row_that_shows(const console::Values& values) const;
  std::string question_proposed(const teach::Lines& others) const;
  std::string usual_word(const std::string& word) const;
  // `value`: the blank that is set; empty: all of `now`.
  std::string set_proposal(const Said& said, const console::Query& query, const console::Values& now,
                           const std::string& key, const std::string& value) const;
};

// One row's motor on the other's pin: with what else the number holds where that is set.
console::Values on_pin_of(const console::MapAbility& map, const console::Values& motor,
                          const console::Values& pin);
// How the blanks are written that are some bits of a number there: blank -> a template's type.
console::Values types_of_bits(const console::Query& query);

// The question names its motor, so it is asked of each.
bool is_asked_of_each(const console::Steps& steps);

// The words in which a console says that it was done. A single line that holds the values, or some of them:
// more than one reading of it says nothing sure. Among others: the line that names most of what was sent.
// Plain: without any number.
std::optional<console::Template> confirmation_of(const Said& said, const console::Values& values);
std::optional<console::Template> confirmation_among(const Said& said, const console::Values& values);
std::optional<console::Template> plain_confirmation_of(const Said& said,
                                                       const std::optional<console::Template>& reply_end);
// Words that do not come again, with the values that were sent this time, confirm nothing.
void forget_unless_confirmed(console::Command& command, const Said& said, const console::Values& values);

}  // namespace armwise::session
