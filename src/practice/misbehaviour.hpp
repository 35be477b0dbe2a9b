// When a practice controller does what its mischief says: it counts what it hears, and knows what goes wrong
// with it.
#pragma once

#include <cstdint>
#include <optional>
#include <string>

#include "answers.hpp"
#include "armwise/practice/mischief.hpp"
#include "grammar.hpp"

namespace armwise::practice {

class Misbehaviour {
 public:
  explicit Misbehaviour(const MischiefPlan& plan) : plan_(plan) {}

  // No more of it.
  void end() { plan_ = {}; }
  std::uint64_t seed() const { return plan_.seed; }

  void count_command() { ++commands_; }
  void count_write() { ++writes_; }
  // A command that was understood, and was counted as one.
  void count(Act act);
  // Whether it happens at what was counted last.
  bool strikes_command(Mischief what) const { return plan_.strikes(what, commands_); }
  bool strikes_write(Mischief what) const { return plan_.strikes(what, writes_); }
  bool strikes_stop(Mischief what) const { return plan_.strikes(what, stops_); }
  bool strikes_listing(Mischief what) const { return plan_.strikes(what, listings_); }
  bool echoes_nothing() const { return plan_.strikes(Mischief::echo_nothing, commands_); }

  Slip slip_in(Act act, bool names_motors);
  std::optional<Refusal> refusal_of(Act act) const;
  // An answer with what gets into it.
  std::string with_its_own(std::string answer, const std::string& line_end) const;

 private:
  MischiefPlan plan_;
  std::uint64_t commands_ = 0, writes_ = 0, stops_ = 0, keeps_ = 0, listings_ = 0;
  bool named_wrong_ = false;
};

}  // namespace armwise::practice
