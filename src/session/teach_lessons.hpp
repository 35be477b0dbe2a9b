// The lessons of teach(), and what they share: commands that are learned, changes that are put back,
// pointing.
#pragma once

#include <functional>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "armwise/session/teach.hpp"
#include "armwise/teach/number_bits.hpp"
#include "armwise/teach/pointing.hpp"
#include "teach_asking.hpp"
#include "teach_dialogue.hpp"
#include "teach_draft.hpp"

namespace armwise::session {

// What is known of the motors. Going back to a lesson takes none of it away.
enum class Motors { not_spun, stop_not_seen, stop_seen };

// What a lesson is given.
struct Teaching {
  Teaching(console::Plug& port, Person& whom, Clock& time, const TeachOptions& wanted);

  console::Plug& plug;
  Clock& clock;
  const TeachOptions& options;
  Draft draft;
  Teacher person;
  Dialogue talk;
  Motors motors = Motors::not_spun;
  bool told_to_keep = false;
  std::optional<SpinPermit> sworn;
};

// The lessons, in their order. A lesson that finds what it teaches in the draft leaves it as it is.
Task<void> listen(Teaching& t);
Task<void> learn_way_out(Teaching& t);
Task<void> learn_identify(Teaching& t);
Task<void> learn_configuration(Teaching& t);
Task<void> learn_map(Teaching& t);
Task<void> learn_assign(Teaching& t);
Task<void> learn_free(Teaching& t);
Task<void> learn_props(Teaching& t);
Task<void> learn_turn(Teaching& t);
Task<void> learn_mount(Teaching& t);
Task<void> learn_angle_unit(Teaching& t);
Task<void> learn_takes_effect(Teaching& t);
Task<void> learn_sense(Teaching& t);
Task<void> learn_gyro(Teaching& t);
Task<void> learn_stop(Teaching& t);
Task<void> learn_spin(Teaching& t);
Task<void> learn_numbering(Teaching& t);
Task<void> learn_keep(Teaching& t);
Task<void> learn_leave(Teaching& t);

// A change that is put back after, come what may.
struct Trial {
  std::string what;  // "the map", for the sentence that says what could not be put back
  Writes change;
  // Ways to put it back: the first after which it reads as before is the right one.
  std::vector<Writes> back;
  console::Query read;
  console::Values asked;                       // for a question that is asked of one motor or pin
  teach::Lines before;                         // its answer as it was
  std::function<Task<void>()> meanwhile = {};  // done while it is changed
};
struct Tried {
  Said change, read;      // the last step of the change; and the read after it
  std::vector<Said> all;  // every step of the change
};
// Changes, reads, puts back, reads again: what was read in between. Throws Fault(left_changed).
Task<Tried> tried(Teaching& t, Trial trial, WritePermit agreed);
// Sets the other value, reads it, puts the old one back, reads that. True where both were read.
Task<bool> try_change(Teaching& t, console::Command& set, const console::Query& query, console::Values now,
                      console::Values other, std::string blank);
// What is to be put back.
Task<teach::Lines> read_as_it_is(Teaching& t, const console::Query& query, const console::Values& asked);
// What was read once reads the same again, or a command that was typed has changed it.
Task<std::string> what_has_changed(Teaching& t);
Task<void> require_as_before(Teaching& t);
// True where everything reads as it was found again.
Task<bool> put_back_as_found(Teaching& t, std::string what);
std::string setting_in_words(const std::string& blank);  // "prop direction" for "props"

// A question whose reply is of interest: asked, sent, and its answer given back. Absent: skipped.
Task<std::optional<Said>> learn_question(Teaching& t, std::string id, std::string text,
                                         std::string proposed = {});
// The console's list of its commands, and those of its shells.
Task<void> read_help(Teaching& t, Said said);
// A command that is sent as typed, once the values stand in it; asked again until it is unambiguous.
struct WantedCommand {
  std::string id, text, proposed;
  std::vector<std::string> must, may;
  std::vector<console::Values> choices;  // values that change nothing
  std::vector<console::Values> unsent;   // values for examples that are only typed
  std::optional<Trial> trial;            // where sending changes something: how it is put back
  console::Values types = {};            // how a blank is written, where its question showed it
  // The same where it names something else, as a motor's pin: what is typed tells.
  std::vector<WantedCommand> or_else = {};
};
// A command as learned, and what the first example answered.
struct Learned {
  console::Command command;
  Said said;
  Said between;  // what was read before it was put back, where it was tried
  teach::Reading reading;
};
Task<std::optional<Learned>> learn_command(Teaching& t, WantedCommand wanted);
void say_why_not_heard(Teaching& t, teach::CommandLesson::Heard heard, const teach::CommandLesson& lesson);
// The command that sets a word: typed as it is now, tried with the other word, and put back.
Task<std::optional<console::Command>> learn_set_word(Teaching& t, std::string id, const Said& said,
                                                     const console::Query& read, std::string blank,
                                                     std::string now, std::string other);
// One of the words of the reply is the value: the person points at it.
Task<std::optional<console::Query>> choose_word(Teaching& t, teach::Lines reply, std::string blank,
                                                std::string id, std::string question, std::string& value);
// A setting that is some bits of a number.
struct InBits {
  console::Query shown;  // reads the whole number in the place of the blank
  console::Values row;   // as it reads: that number, and whose it is
  std::string blank;     // "turn", "mount"
  teach::Lines reply;
  std::string value = {}, largest = {};  // what the command sets; empty: it changes one bit
};
struct LearnedBits {
  console::Query read;
  console::Command set;
  std::string now, then;
};
constexpr const char* not_one_bit =
    "We don't see that it changes some bits of a number that was shown. It was not sent.";
std::vector<teach::BitsTold> bits_told(const InBits& wanted, const teach::Typed& typed);
// By a command that sets it otherwise: sent, read, and put back. Absent: not understood, which is said.
Task<std::optional<LearnedBits>> learn_bits(Teaching& t, InBits wanted, WritePermit agreed);

// Whether it was learned as something else. Says so.
bool is_taught_already(Teaching& t, const teach::Typed& typed);

// What cannot be worked out, the person points at.
Task<std::optional<teach::MapReading>> point_at_map(Teaching& t, const Said& said, console::Steps& steps);
Task<std::optional<teach::TurnReading>> point_at_turns(Teaching& t, teach::Lines reply);
Task<std::optional<teach::NumbersReading>> point_at_numbers(Teaching& t, teach::Lines reply,
                                                            std::vector<std::string> names);
Task<bool> is_read_right(Teaching& t, teach::MapReading reading);

// Spinning.
void leave_out_spin(Teaching& t, const std::string& why);
// False where the props were not said to be off.
Task<bool> swear_before_the_stop(Teaching& t);

}  // namespace armwise::session
