// The controller behind its console: settings, motors, sensors. It carries out what was understood and says
// what is to be answered; bytes, prompts and time-outs are not its business.
#pragma once

#include <map>
#include <optional>
#include <string>
#include <vector>

#include "answers.hpp"
#include "armwise/base/duration.hpp"
#include "armwise/practice/craft.hpp"
#include "grammar.hpp"
#include "invented_entries.hpp"
#include "settings.hpp"

namespace armwise::practice {

class Board {
 public:
  // `profile` outlives the board.
  Board(const console::Profile& profile, PracticeCraft craft, int invented_lines);
  Board(const Board&) = delete;  // its parts look at each other
  Board& operator=(const Board&) = delete;

  Outcome carry_out(const Phrase& phrase, const console::Values& values, Instant now, const Slip& slip);
  bool set_entry(std::string_view line) { return invented_.set(line, running_); }
  // The saved settings are the running ones again, and no motor turns.
  void restart();

  std::vector<Turning> turning(Instant now) const;
  // When a motor next stops by itself.
  std::optional<Instant> next_stop(Instant now) const;

  PracticeCraft& craft() { return craft_; }
  const PracticeCraft& craft() const { return craft_; }
  const Settings& saved() const { return saved_; }
  const Settings& running() const { return running_; }

 private:
  std::optional<Refusal> write(Act act, const console::Values& values, const Slip& slip);
  std::optional<Refusal> put(const console::Values& values, bool store);
  std::optional<Refusal> free(const console::Values& values, bool store);
  std::optional<Refusal> set_turn(const console::Values& values, bool store);
  std::optional<Refusal> set_mount(const console::Values& values, const Slip& slip);
  std::optional<Refusal> spin(const console::Values& values, Instant now);
  std::optional<Refusal> stop_one(const console::Values& values, bool really);
  void come_into_force(Act act);

  const console::Profile& profile_;
  PracticeCraft craft_;
  OutputCodes codes_{profile_, craft_};
  Settings saved_, running_, in_force_;
  InventedEntries invented_;
  Answers answers_;
  std::map<int, std::optional<Instant>> spinning_;  // motor -> when it stops by itself
};

}  // namespace armwise::practice
