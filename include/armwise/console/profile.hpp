// A console profile: how one family of consoles is spoken. Data from strangers, checked on loading.
// The JSON that it is read from is documented in fixtures/profiles/README.md.
#pragma once

#include <array>
#include <filesystem>
#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "armwise/base/duration.hpp"
#include "armwise/console/template.hpp"
#include "armwise/craft/angle_convention.hpp"
#include "armwise/craft/frame.hpp"
#include "armwise/craft/motor.hpp"
#include "armwise/craft/rotation.hpp"
#include "armwise/craft/turn.hpp"
#include "armwise/solve/plan.hpp"

namespace armwise::console {

// Of one craft, in a profile as in a listing.
inline constexpr int most_motors = 32;

enum class LineEnding { cr, lf, crlf };
enum class TakesEffect { at_once, after_restart };

// One line of a command; a menu takes several, each answered by a prompt of its own.
struct Step {
  Template send;
  std::string prompt;  // empty: the profile's prompt
  bool operator==(const Step&) const = default;
};
using Steps = std::vector<Step>;

// A question: what to send, and how each interesting line of the answer reads. Lines that match none of
// the templates are passed over. Where what is sent has a blank {motor} or {pin}, it is asked for each.
struct Query {
  Steps steps;
  std::vector<Template> lines;
  // Where one line lists several: the line has a blank {items}, and each item reads like this. An item
  // without {motor} counts: the first one is motor 1's.
  std::optional<Template> item;
  std::string between_items = " ";  // only the practice craft writes it; reading needs none
  bool columns = false;             // a line reads what stands in one column of the reply
  // Where a row is several lines: what a heading says counts for the lines below it, of which each template
  // reads one, up to the next heading.
  std::vector<Template> headings;
  bool operator==(const Query&) const = default;
  static Query reading(std::vector<Template> lines) {
    Query query;
    query.lines = std::move(lines);
    return query;
  }
};

// An order: what to send, and, where the console confirms, a line that must come.
struct Command {
  Steps steps;
  std::optional<Template> confirms;
  bool sets_bits() const;  // of a number that holds other things
  bool operator==(const Command&) const = default;
};

// The only control characters that are ever sent to a console in the middle of something: Ctrl-C, Ctrl-U,
// Ctrl-X.
inline constexpr std::string_view abandon_keys = "\x03\x15\x18";

struct Open {
  // What gets into the console; empty: a bare line end. Sent with a line end, unless it ends in a control
  // character (the only place of a profile where one may stand).
  std::string send;
  std::string prompt;                 // stands at the end of each reply; empty: reply_end tells
  std::optional<Template> reply_end;  // a line that ends every reply
  LineEnding line_ending = LineEnding::crlf;
  std::optional<bool> echo;  // absent: found out
  bool echo_in_capitals = false;
  // A harmless command that brings a {word} back, and the line in which it comes back.
  std::optional<Query> barrier;
  std::string more;       // what a paged listing stops with ("-- more --"), empty: never paged
  std::string more_send;  // what makes it go on; empty: a bare line end
  // What gets from the middle of a menu back to its top, sent up to five times; empty: no menus.
  std::string home;
  // What gets out of something half typed that a line end only goes on with: an open bracket or quote, a
  // question. One of abandon_keys, or a line (empty: an empty one). Absent: no need of it is known.
  std::optional<std::string> abandon;
  // What stands before each line, as a time: it is taken off. And lines that the console says by itself,
  // without that: they are left out. See filtered_line.hpp.
  std::optional<Template> stamp;
  std::vector<Template> unasked;
  bool abandons_by_a_key() const;
  bool operator==(const Open&) const = default;
};

struct Timing {
  Duration reply{1000};     // for the first byte of a reply, and between two
  Duration quiet{30};       // silence after a prompt that makes it one
  Duration listing{20000};  // for a whole listing
  Duration restart{15000};  // for the controller to come back
  Duration start{5000};     // of silence, after which its start-up is over
  bool operator==(const Timing&) const = default;
};

// Codes that the console uses for our words, both ways.
struct Codes {
  int first_motor = 1;               // the console's code of motor 1, when codes count up
  std::map<int, std::string> motor;  // explicit codes, motor number -> code; overrides first_motor
  std::string cw = "cw", ccw = "ccw";
  std::string props_in = "in", props_out = "out";
  bool operator==(const Codes&) const = default;
};

struct MapAbility {
  Query list;  // blanks {motor} and {pin}; one line may list several
  solve::MapRules rules;
  std::optional<Command> put;    // blanks {motor} and {pin}
  std::optional<Command> free;   // blanks {motor} and/or {pin}
  std::string no_pin, no_motor;  // how an empty place is shown in the list ("none", "-", "0")
  TakesEffect takes_effect = TakesEffect::at_once;
  bool operator==(const MapAbility&) const = default;
};

struct PropsAbility {
  Query read;  // blank {props}
  std::optional<Command> set;
  TakesEffect takes_effect = TakesEffect::at_once;
  bool operator==(const PropsAbility&) const = default;
};

struct TurnAbility {
  solve::TurnKey key = solve::TurnKey::motor;
  Query read;  // blanks {turn} and {motor} or {pin}; may be asked for each motor in turn
  std::optional<Command> set;
  TakesEffect takes_effect = TakesEffect::at_once;
  bool operator==(const TurnAbility&) const = default;
};

// How the console writes a mount.
struct MountAbility {
  // Blanks {yaw} {pitch} {roll}; or {mount} for one code out of a list; or as the form says (number_names).
  Query read;
  std::optional<Command> set;                           // all at once, in as many steps as it takes, or
  std::optional<Command> set_yaw, set_pitch, set_roll;  // one by one
  craft::RotationForm form = craft::RotationForm::angles;
  double one = 1;                     // console units for 1, where it is no angles
  double per_degree = 1;              // console units for one degree: 1, 10 (tenths), pi/180 (radians)
  int decimals = 0;                   // digits after the point when written
  std::array<int, 3> signs{1, 1, 1};  // of yaw, pitch, roll against ours
  // The axes in the order in which the console applies its angles (intrinsic): "yaw-pitch-roll" is ours.
  std::string order = "yaw-pitch-roll";
  bool craft_to_board = false;  // the console tells the opposite rotation
  bool positive = false;        // angles are written from 0 to less than a whole turn
  // Code -> angles (ours), where the mount is one code out of a list.
  std::map<std::string, craft::YawPitchRoll> codes;
  TakesEffect takes_effect = TakesEffect::at_once;
  std::vector<std::string> blanks() const;
  bool settable() const { return set || (set_yaw && set_pitch && set_roll); }
  craft::AngleConvention convention() const;  // ours, where the mount is a code
  bool operator==(const MountAbility&) const = default;
};

struct SpinAbility {
  Command spin;  // blanks {motor}, {strength} and, where the console bounds a spin itself, {milliseconds}
  std::optional<Command> stop;  // one motor: {motor}
  Command stop_all;             // or the stop of each motor, one behind the other
  // In the console's unit. zero and full scale to 0 % and 100 %.
  double zero = 0, full = 100, lowest = 0, standard = 0, highest = 0;
  int decimals = 0;
  std::string unit;
  bool bounded() const;  // the console itself ends a spin
  double per_cent(double console_value) const;
  bool operator==(const SpinAbility&) const = default;
};

struct SenseAbility {
  Query read;          // blanks {x} {y} {z}, and {gx} {gy} {gz} where there is a gyro
  double per_g = 1;    // console units for 1 g
  double per_dps = 0;  // console units for 1 degree a second; 0: no gyro
  std::array<std::string, 3> axes{"x", "y", "z"};  // which of ours each reading is, with sign: "-y"
  bool after_mount = false;                        // readings already turned by the set mount
  bool specific_force = true;                      // level reads -1 g on z (down); false: gravity, +1 g
  bool operator==(const SenseAbility&) const = default;
};

struct KeepAbility {
  Command keep;
  bool restarts = false;           // by itself, on keeping
  std::optional<Command> restart;  // how to restart it otherwise
  bool operator==(const KeepAbility&) const = default;
};

struct Profile {
  int version = 1;
  std::string name;
  std::vector<std::string> notes;
  bool case_sensitive = false;
  Open open;
  Timing timing;
  Codes codes;
  std::vector<Template> refusals;
  std::optional<Query> identify;  // blanks {board} {firmware} {version} {serial}, any of them
  std::optional<Query> whole_configuration;
  std::optional<MapAbility> map;
  std::optional<PropsAbility> props;
  std::optional<TurnAbility> turn;
  std::optional<MountAbility> mount;
  std::optional<SpinAbility> spin;
  std::optional<SenseAbility> sense;
  std::optional<KeepAbility> keep;
  std::optional<Command> leave;
  std::map<std::string, std::vector<std::string>> numbering;  // frame -> place names, motor 1 first

  // The console's codes for our words, and back; absent where a code means nothing.
  std::string motor_code(craft::Motor motor) const;
  // The motors that the stop of all motors names one by one, as where the console has no word for all of
  // them; empty where it stops them all at once. Where `spin.stop` says how one is named, that counts;
  // without it, of lines that differ in nothing but numbers as many as there are, from motor 1 on.
  std::vector<craft::Motor> motors_stopped_one_by_one() const;
  std::optional<craft::Motor> motor_coded(std::string_view code) const;
  std::string turn_code(craft::Turn way) const;
  std::optional<craft::Turn> turn_coded(std::string_view code) const;
  std::string props_code(craft::PropScheme scheme) const;
  std::optional<craft::PropScheme> props_coded(std::string_view code) const;
  // Two texts of the console's that mean the same: letters without case, unless case_sensitive.
  bool same(std::string_view a, std::string_view b) const;
  // Absent where the profile has none for this frame.
  std::optional<craft::Numbering> numbering_for(const craft::Frame& frame) const;
  bool operator==(const Profile&) const = default;
};

constexpr int profile_version = 1;

// Throws Fault(bad_profile) whose sentence starts with the JSON path: "map.list.lines[0]: …".
Profile load_profile(std::string_view json_text);
// Throws Fault(file) where it cannot be read, and Fault(bad_profile) with the file's name before the path.
Profile load_profile_file(const std::filesystem::path& path);

// The profile as JSON that load_profile() reads back as an equal one: two spaces deep, what is short on one
// line, and nothing that is as it would be without being said.
std::string profile_text(const Profile& profile);

// Of the answers that the profile knows, one that would be left out with a line like this; or a word about an
// order that reads such a line. Absent: there is none.
std::optional<Template> answer_hidden_by(const Template& unasked, const Profile& profile);

// What can be done with it and what cannot, one sentence a line, for `armwise profile check`.
std::vector<std::string> abilities(const Profile& profile);

}  // namespace armwise::console
