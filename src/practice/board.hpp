// The controller behind its console: settings, motors, sensors. It carries out what was understood and says
// what is to be answered; bytes, prompts and time-outs are not its business.
#pragma once

#include <map>
#include <optional>
#include <string>
#include <vector>

#include "armwise/base/duration.hpp"
#include "armwise/practice/craft.hpp"
#include "grammar.hpp"
#include "settings.hpp"

namespace armwise::practice {

enum class Refusal { unknown_command, unknown_motor, unknown_pin, pin_taken, out_of_range, not_possible };
std::string_view in_words(Refusal refusal);

struct Outcome {
  std::vector<std::string> lines;
  std::optional<Refusal> refusal;
};

// How the controller misbehaves in what it is told to do this once.
struct Slip {
  bool not_stored = false;   // confirmed, but not done
  bool clamped = false;      // an angle is cut to 45 degrees, any other value is not stored
  bool not_kept = false;     // keeping confirmed, but not done
  bool not_stopped = false;  // a stop confirmed, but not done
  bool wrong_motor = false;  // the answer names the next motor
};

class Board {
 public:
  // `profile` outlives the board.
  Board(const console::Profile& profile, PracticeCraft craft, int invented_lines);

  Outcome carry_out(const Phrase& phrase, const console::Values& values, Instant now, const Slip& slip);
  // "name = value", where the console sets the rest of its configuration as it prints it; false: it does not,
  // or has no such entry.
  bool set_entry(std::string_view line);
  // The saved settings are the running ones again, and no motor turns.
  void restart();

  std::vector<Turning> turning(Instant now) const;
  // When a motor next stops by itself.
  std::optional<Instant> next_stop(Instant now) const;

  PracticeCraft& craft() { return craft_; }
  const PracticeCraft& craft() const { return craft_; }
  const Settings& saved() const { return saved_; }
  const Settings& running() const { return running_; }

  // The template with its blanks filled; absent where a value is missing that must not be invented.
  std::optional<std::string> filled(const console::Template& line, console::Values values) const;

 private:
  using Entries = std::vector<console::Values>;

  Outcome answer(const Phrase& phrase, const console::Values& values, const Slip& slip);
  Outcome table(const Phrase& phrase, const console::Values& values, const Slip& slip);
  Entries map_entries(std::optional<int> motor, std::optional<int> pin) const;
  Entries turn_entries(std::optional<int> motor, std::optional<int> pin) const;
  console::Values identity() const;
  console::Values mount_values() const;
  console::Values sensed();
  std::vector<std::string> rendered(const console::Query& query, const Entries& entries) const;
  std::vector<std::string> listing() const;
  std::string entry_as_line(int number) const;
  std::vector<std::string> settings_as_lines() const;
  void add_query(std::vector<std::string>& lines, const console::Query& query, const Entries& entries) const;

  std::optional<Refusal> write(Act act, const console::Values& values, const Slip& slip);
  std::optional<Refusal> put(const console::Values& values, bool store);
  std::optional<Refusal> free(const console::Values& values, bool store);
  std::optional<Refusal> set_turn(const console::Values& values, bool store);
  std::optional<Refusal> set_mount(const console::Values& values, const Slip& slip);
  std::optional<Refusal> spin(const console::Values& values, Instant now);
  std::optional<Refusal> stop_one(const console::Values& values, bool really);
  void come_into_force(Act act);

  std::string motor_text(int motor) const;
  std::string pin_text(int pin) const;
  std::optional<int> motor_in(const console::Values& values) const;
  std::optional<int> pin_in(const console::Values& values) const;

  const console::Profile& profile_;
  PracticeCraft craft_;
  int invented_lines_;
  Settings saved_, running_, in_force_;
  std::map<int, std::optional<Instant>> spinning_;  // motor -> when it stops by itself
  std::uint64_t readings_ = 0;
};

}  // namespace armwise::practice
