// What the lessons of teach() share.
#pragma once

#include <array>
#include <functional>
#include <map>
#include <memory>
#include <optional>
#include <set>
#include <string>
#include <vector>

#include "armwise/base/fault.hpp"
#include "armwise/base/permit.hpp"
#include "armwise/craft/angle_convention.hpp"
#include "armwise/session/consent.hpp"
#include "armwise/session/teach.hpp"
#include "armwise/solve/mount_convention.hpp"
#include "armwise/teach/axes.hpp"
#include "armwise/teach/command_lesson.hpp"
#include "armwise/teach/guesses.hpp"
#include "armwise/teach/gyro.hpp"
#include "armwise/teach/help.hpp"
#include "armwise/teach/pointing.hpp"
#include "armwise/teach/reply_table.hpp"
#include "ear.hpp"
#include "recall.hpp"
#include "said.hpp"
#include "walk.hpp"

namespace armwise::session {

// The person wants to go one question back; caught by the station.
using WantsBack = WentBack;

// A setting as it was when it was first read.
struct AsFound {
  std::string what;
  console::Query read;
  console::Values asked;
  teach::Lines lines;
};

// A way in which the board was held, and what it read.
struct Hold {
  teach::Lines lines;  // as they came, where no trial was made
  teach::Numbers unturned{};
  std::optional<teach::Numbers> turned;  // under the trial
  std::optional<teach::Numbers> turned_in_finer;
};

constexpr const char* order_assumed_note =
    "Mount: the order in which the angles are applied was not tested; yaw, pitch, roll is assumed. bench "
    "proves the mount by poses before it is kept.";

// The steps of a command as a person types them at once: "1 ; 2 ; P4".
// The question names its motor, so it is asked of each.
bool is_asked_of_each(const console::Steps& steps);
std::string setting_in_words(const std::string& blank);  // "prop direction" for "props"

// What a lesson adds to, and what going back takes away again.
struct Learning {
  bool begun = false;
  console::Profile profile_;
  std::optional<Said> configuration_;
  std::optional<teach::Listing> listing_;
  std::vector<AsFound> as_found_;
  std::vector<console::Values> rows_;  // of the map, as it was read
  bool kept_is_sure_ = false;
};

class TeachFlow final : private Learning, private Understanding {
 public:
  TeachFlow(console::Plug& plug, Person& person, Clock& clock, const TeachOptions& options);

  Task<TeachResult> run();

 private:
  using Typed = teach::Typed;
  using Values = console::Values;

  // A command as learned, and what the first example answered.
  struct Learned {
    console::Command command;
    Said said;
    Said between;  // what was read before it was put back, where it was tried
    teach::Reading reading;
  };

  // Blank -> the words for it that are known.
  using Known = std::vector<std::pair<std::string, std::vector<std::string>>>;

  using Writes = std::vector<std::pair<console::Steps, Values>>;
  // A change that is put back after, come what may.
  struct Trial {
    std::string what;  // "the map", for the sentence that says what could not be put back
    Writes change;
    // Ways to put it back: the first after which it reads as before is the right one.
    std::vector<Writes> back;
    console::Query read;
    Values asked;                                // for a question that is asked of one motor or pin
    teach::Lines before;                         // its answer as it was
    std::function<Task<void>()> meanwhile = {};  // done while it is changed
  };
  struct Tried {
    Said change, read;      // the last step of the change; and the read after it
    std::vector<Said> all;  // every step of the change
  };
  // What is known of the motors. Going back to a lesson takes none of it away.
  enum class Motors { not_spun, stop_not_seen, stop_seen };

  // The lessons, in their order.
  Task<TeachResult> lessons();
  Task<void> listen();
  Task<void> learn_help();
  std::string hint_for(const std::string& asked_id, const Values& asked) const;
  Task<bool> learn_barrier_by_shape();
  Task<void> learn_way_out();
  bool is_at_the_top(const teach::HeardReply& reply) const;
  Task<bool> goes_on_after(std::string line);
  Task<bool> is_way_out(std::string way);
  Task<void> listen_until_heard();
  Task<void> learn_identify();
  Task<std::vector<console::Template>> point_at_identity(teach::Lines lines);
  Task<void> learn_configuration();
  Task<void> learn_map();
  Task<void> learn_assign();
  Task<void> learn_free();
  Task<void> learn_props();
  Task<void> learn_turn();
  Task<void> learn_mount();
  Task<void> learn_stop();
  Task<void> learn_spin();
  Task<void> learn_sense();
  Task<void> learn_gyro();
  std::optional<teach::Numbers> sensed_in(const teach::Lines& lines);
  Task<void> learn_numbering();
  Task<void> learn_takes_effect();
  Task<void> learn_keep();
  Task<bool> may_be_kept();
  bool is_taught_already(const Typed& typed);
  Task<void> learn_restart(console::KeepAbility& keep);
  Task<void> learn_leave();
  Task<TeachResult> finish();
  void say_how_it_went(const Rehearsal& rehearsal);
  [[noreturn]] void end_stopped(StoppedByPerson::How how);
  void say_where_no_stop_was_seen();
  std::string how_it_is_left() const;
  Task<Move> visit(Task<void> (TeachFlow::*lesson)(), std::shared_ptr<Learning> entry, Entered how);
  std::string usual_leave() const;
  console::Profile draft() const;

  // Asking. Each throws WantsBack.
  // `proposed`: what the person only has to confirm; then it does not count as typed.
  Task<std::optional<Typed>> ask_command(std::string id, std::string text, Values values = {},
                                         std::string proposed = {});
  // The same of what changes something: what is typed is what may be sent.
  Task<std::optional<WritePermit>> ask_to_send(std::string id, std::string text, Values values = {},
                                               std::string proposed = {});
  // Whether these may be sent for a moment; absent: rather not.
  Task<std::optional<WritePermit>> may_try(std::string text, const Writes& writes);
  static std::vector<std::string> lines_of(const Writes& writes);
  Task<std::string> ask_text(std::string id, std::string text, std::string suggestion = {});
  // Absent: nothing more, the console waits for any command again.
  Task<std::optional<std::string>> ask_next(std::string id, Typed typed, std::string prompt);
  Task<std::string> choose(std::string id, std::string text, std::vector<Choice> choices);
  Task<bool> confirm(std::string id, std::string text);
  Task<std::string> put(Question question);

  // Sending.
  Task<void> open_line();
  // After the line was lost and is there again.
  Task<void> enter_console();
  Task<void> wake_console();
  Task<bool> answers_to(console::LineEnding ending, Duration patience);
  Task<bool> try_line_endings();
  Task<bool> ask_for_the_way_in();
  Task<void> learn_barrier();
  Task<Said> say(Typed typed, std::string id);
  void take_step(Said& said, const std::string& step, const Ear::Heard& heard) override;
  void take_off_end(teach::Lines& lines) const;
  bool is_refusal(const teach::Lines& lines) const;
  Task<Said> say_again(const console::Steps& steps, const Values& values);
  // What changes something.
  Task<Said> set_to(console::Steps steps, Values values, const MayWrite& permit);
  Task<Said> say_agreed(const WritePermit& agreed, std::string id);
  Task<teach::Lines> read(const console::Query& query);
  void refuse_or_tell(const Said& said);
  Task<void> reopen();

  // A question whose reply is of interest: asked, sent, and its answer given back. Absent: skipped.
  Task<std::optional<Said>> learn_question(std::string id, std::string text, std::string proposed = {});
  // A command that is sent as typed, once the values stand in it; asked again until it is unambiguous.
  struct Wanted {
    std::string id, text, proposed;
    std::vector<std::string> must, may;
    std::vector<Values> choices;  // values that change nothing
    std::vector<Values> unsent;   // values for examples that are only typed
    std::optional<Trial> trial;   // where sending changes something: how it is put back
  };
  Task<std::optional<Learned>> learn_command(Wanted wanted);
  void show_as_used(const teach::Reading& reading, const Wanted& wanted, const Values& typed);
  Task<Tried> send_example(const Wanted& wanted, const WritePermit& agreed, const Values& values);
  Task<bool> holds_what_is_set(const teach::CommandLesson& lesson, const Typed& typed, const Values& values);
  console::Steps steps_of(const Said& said) const;
  console::Steps steps_of(const teach::Reading& reading, const Said& said) const;
  std::optional<console::Template> confirmation_of(const Said& said, const Values& values) const;
  std::optional<console::Template> confirmation_among(const Said& said, const Values& values) const;
  std::optional<console::Template> plain_confirmation_of(const Said& said) const;
  // The prompt that waits for any command, not that of a menu.
  bool is_top(const std::string& prompt) const;
  void follow_prompt(const std::string& prompt);
  void take_as_top(const std::string& prompt);
  void follow_inner_prompts(const console::Steps& steps, const Said& said);

  // The map.
  std::string motor_words(const std::string& code) const;  // "motor 3 (written \"2\")"
  Task<std::optional<teach::MapReading>> choose_map_reading(const teach::Lines& reply);
  Task<bool> is_read_right(teach::MapReading reading);
  // What cannot be worked out, the person points at. `steps`: asked of each motor from then on, where they
  // ask for one. `known`: what stands once in the line is not asked for.
  Task<std::optional<teach::Pointed>> point_at(teach::Lines reply, std::string line_of,
                                               std::vector<std::string> blanks, Known known);
  Task<std::optional<teach::TurnReading>> point_at_turns(teach::Lines reply);
  Task<std::optional<teach::NumbersReading>> point_at_numbers(teach::Lines reply,
                                                              std::vector<std::string> names);
  Task<std::optional<teach::MapReading>> point_at_map(const Said& said, console::Steps& steps);
  Task<teach::Lines> ask_each_motor(const Said& said, const teach::Pointed& first, console::Steps& steps);
  Task<Said> say_for_each(const console::Steps& steps, Values values);
  std::vector<Values> map_rows() const;
  std::vector<Values> values_that_change_nothing() const;
  std::vector<Values> values_not_sent() const;
  std::vector<std::string> motor_codes() const;
  std::vector<std::string> pin_names() const;
  Task<void> prove_assign(const Learned& learned, const Values& first);
  Task<void> try_sharing();
  Task<void> ask_how_kept();

  Task<std::optional<console::Query>> choose_word(teach::Lines reply, std::string blank, std::string id,
                                                  std::string question, std::string& value);
  Task<std::string> learn_other_code(std::string id, std::string question, std::string now);
  // Changes, reads, puts back, reads again: what was read in between. Throws Fault(left_changed).
  Task<Tried> tried(Trial trial, WritePermit agreed);
  void leave_word(const Trial& trial);
  void take_word_back();
  Task<void> come_to_rest();
  Task<teach::Lines> read_as_it_is(const console::Query& query, const Values& asked);
  Task<bool> try_change(const console::Command& set, const console::Query& read, Values now, Values other,
                        std::string blank);
  void remember(std::string what, const console::Query& query, const Values& asked,
                const teach::Lines& lines);
  Task<std::string> what_has_changed();
  Task<void> require_as_before();

  std::optional<teach::MapSpeech> map_speech() const;
  const teach::Listing& listing();
  std::string whole_configuration_typed() const;
  std::string prepared_for(const std::string& asked_id, const Values& asked) const;
  std::string set_proposal(const Said& said, const console::Query& query, const Values& now,
                           const std::string& key, const std::string& value) const;

  Task<std::optional<Said>> ask_for_props();
  void read_in_question(console::Query& query, const std::string& value);
  Task<std::optional<console::Command>> learn_set_word(std::string id, const Said& said,
                                                       const console::Query& read, std::string blank,
                                                       std::string now, std::string other);
  Task<std::string> learn_turn_codes(const teach::TurnReading& reading);
  std::string turn_question_proposed(const std::string& motor);
  Task<std::vector<teach::TurnReading>> turns_one_by_one(const Said& said, std::string motor,
                                                         console::Steps& steps);
  Task<std::optional<teach::TurnReading>> choose_turn(std::vector<teach::TurnReading> readings,
                                                      teach::Lines reply);
  Task<void> learn_set_turn(console::TurnAbility& turn, const teach::TurnReading& reading, std::string other,
                            bool is_cw);

  std::string mount_question_proposed();
  static std::optional<teach::NumbersReading> mount_as_set(const teach::Lines& lines, const Values& values);
  Task<void> learn_set_mount(console::MountAbility& mount, const Said& said);
  Task<Tried> try_mount(WritePermit agreed, const console::MountAbility& mount, const Said& said,
                        const teach::Reading& reading, const Said& literally);
  Task<void> learn_below_zero(console::MountAbility& mount, const Said& said);
  Task<void> learn_other_angles(console::MountAbility& mount, const console::Command& yaw, const Said& said);
  Task<void> learn_mount_angles(const Said& said);
  Task<void> learn_mount_code(const Said& said);
  Task<std::map<std::string, craft::YawPitchRoll>> learn_mount_list();
  Task<std::map<std::string, craft::YawPitchRoll>> learn_own_mount_list();

  // Another mount for a moment, to see how the readings follow.
  using MountWrites = Writes;
  struct MountTrial {
    std::optional<WritePermit> agreed;
    MountWrites none, other, back;
    teach::Lines before;
    std::string words;          // "yaw 20, pitch 30 and roll 40 degrees"
    craft::ConsoleAngles told;  // where it is told by angles
    double per_degree = 1;      // their unit
    std::optional<craft::YawPitchRoll> code_means;
    // The same angles in the next finer unit, where there is one: whoever typed 10 for ten tenths of a degree
    // would see nothing move.
    MountWrites in_finer;
    craft::ConsoleAngles told_in_finer;
    double finer_per_degree = 0;
  };
  using Holds = std::array<Hold, 3>;
  enum class HeldUnderTrial { read, moved, not_possible };
  Task<void> learn_axes();
  MountWrites mount_writes(const Values& values) const;
  std::optional<MountTrial> mount_trial() const;
  Task<std::optional<MountTrial>> agreed_mount_trial();
  Task<HeldUnderTrial> hold_under_trial(const MountTrial& trial, Hold& hold);
  std::optional<teach::Numbers> average_reading(const std::vector<Said>& readings);
  Task<std::optional<Hold>> hold_so(std::size_t way, std::optional<MountTrial>& trial);
  Task<bool> make_sense_of(const std::optional<MountTrial>& trial, const Holds& holds);
  void take_axes(const teach::SenseAxes& axes, bool after_mount);
  bool learn_convention(const MountTrial& trial, const std::vector<solve::MovedReading>& readings);
  bool is_as_the_list_says(const MountTrial& trial, const std::vector<solve::MovedReading>& readings);
  void take_convention(const craft::AngleConvention& found);
  Task<craft::ToldFromBoard> set_mount_now();
  Task<bool> ask_whether_mounted();
  void leave_out_sense(const std::string& why);

  // The gyro.
  struct SensedAt {
    double seconds = 0;
    teach::Lines lines;
  };
  using Turns = std::array<std::vector<SensedAt>, 3>;
  struct FoundGyro {
    console::Query way;
    teach::GyroFound found;
  };
  Task<std::vector<SensedAt>> sense_for(Duration length, std::size_t lines);
  Task<Turns> turn_in_three_ways(std::size_t lines);
  static teach::Turning turning_of(const std::vector<SensedAt>& sensed, const console::Query& way);
  std::variant<FoundGyro, teach::NoGyro> find_gyro(const std::vector<console::Query>& ways,
                                                   const std::vector<SensedAt>& still,
                                                   const Turns& turns) const;
  Task<bool> turned_to_the_right(const FoundGyro& gyro);
  void take_gyro(const FoundGyro& gyro);

  void leave_out_spin(const std::string& why);
  Values as_written(Values values) const;
  Task<std::string> learn_strength(console::SpinAbility& spin);
  std::vector<Values> spins_to_ask_for(const console::SpinAbility& spin, const std::string& lowest) const;
  Task<std::optional<SpinPermit>> ask_for_spin_permit();
  Task<void> see_when_it_takes_effect(std::string lowest, SpinPermit permit);
  Task<void> spin_and_compare(Values values, SpinPermit permit, std::string* seen);
  Task<void> take_effect_as_seen(bool at_once);
  Task<std::optional<Learned>> type_spin(std::vector<Values> choices);
  Task<bool> learn_spin_command(std::string lowest, SpinPermit permit);
  Task<bool> swear_before_the_stop();
  std::vector<std::string> listed_motor_codes() const;
  Task<std::optional<teach::Reading>> stop_of_one_motor(Typed typed);
  Task<bool> take_stop_of_each(teach::Reading reading);
  Task<bool> holds_no_greater_number(const Typed& typed, const Values& values);
  bool is_the_stop_a_spin(const teach::Reading& spin) const;
  void say_why_not_heard(teach::CommandLesson::Heard heard, const teach::CommandLesson& lesson);
  Task<Said> spin_once(teach::Reading reading, Values values, const SpinPermit& permit);

  console::Plug& plug_;
  Person& person_;
  Clock& clock_;
  const TeachOptions& options_;
  Ear ear_;
  std::optional<console::Profile> prepared_;  // whose commands are proposed
  int typed_ = 0, asked_ = 0;
  Motors motors_ = Motors::not_spun;
  bool sent_ = false, told_to_keep_ = false;  // a command of the person's
  bool decimal_comma_ = false;                // in the strengths as typed
  std::string top_prompt_;
  // A question on the way as it was first asked, and the end that all its forms share.
  std::map<std::string, std::string> inner_prompts_;
  std::set<std::string> question_ends_;  // of questions in which a value is read
  std::optional<SpinPermit> sworn_;
  std::vector<teach::NumbersReading> sense_ways_;  // of the accelerometer's reply
  std::vector<teach::Lines> sensed_;               // all its answers so far
  teach::Lines turns_answered_;                    // one motor after the other
  std::set<std::string> odd_answers_;              // to a spin, that told of other numbers
  std::vector<teach::Lines> replies_;              // all so far, for consoles without a prompt
  std::vector<teach::HelpLine> help_;              // the console's own list of its commands
  teach::Typed help_typed_;
  std::set<std::string> hints_taken_;  // question and hint, once it was answered
};

}  // namespace armwise::session
