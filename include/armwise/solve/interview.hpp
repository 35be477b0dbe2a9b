// What to ask next, and when enough is known. Pure: it is told each answer, and spins nothing.
//
// First each motor once. What was said is written where it fits together, else what is believed, and each
// motor is spun again, in another order; a spin there may bring a second question about what was just seen,
// in other words. Whatever is still in doubt then is asked by the question that lowers the chance of a wrong
// ending most for each second that it takes: a bound of it, the sum of sqrt(P(best) P(other)) over the others
// (Bhattacharyya), which an answer multiplies by the sum over its outcomes of sqrt(P(outcome | best)
// P(outcome | other)).
#pragma once

#include <bit>
#include <cstdint>
#include <memory>
#include <optional>
#include <vector>

#include "armwise/base/random.hpp"
#include "armwise/solve/belief.hpp"

namespace armwise::solve {

// Why something is asked that was asked before; for one line to the person.
enum class Why {
  in_turn,    // each motor once, or the check
  arm,        // which arm it was does not go together with the other answers
  direction,  // which way it turned does not go together with the other answers
  view,       // a craft that is seen mirrored, from below, or the other way round would look the same
  repeat,     // a motor that is sure, so that being asked again gives nothing away
};

struct Ask {
  Way way = Way::look;
  int row = 0;                  // the motor to spin; of edge, lid and half the one just spun
  craft::PlaceIndex place = 0;  // strip, hand: where; edge: where the motor was just said to be
  Why why = Why::in_turn;
  bool operator==(const Ask&) const = default;
};

constexpr bool needs_spin(Way way) {
  return way == Way::look || way == Way::strip || way == Way::hand;
}

class Interview {
 public:
  // `sure`: the chance of a wrong ending that is taken, over 0 and under 1.
  Interview(std::shared_ptr<const BeliefTables> tables, double sure, std::uint32_t seed);

  enum class Step { ask, write, done, hopeless };
  struct Next {
    Step step;
    Ask ask;  // where step is ask
  };
  // ask: put it. write: `proposed()` is now what to plan with, and what differs from what was written is to
  // be written. done: it is surer than was wanted that what was written is right. hopeless: the answers never
  // agree.
  Next next();

  // The answer to what was asked; row, and what else `ask` fixes, are filled in.
  void answered(Testimony said);
  // There is none, or none that says anything: nothing moved, can't tell.
  void unanswered();
  // An earlier answer to `what`, which the person took back.
  void taken_back(const Ask& what, Testimony said);
  // Instead of the first round: what a record says of each motor.
  void recalled(const Rows& recorded);

  static constexpr unsigned every_motor = ~0U;
  // What was proposed is in force now, and what changed is to be checked; of the motors outside `can_spin`
  // (rows, by bit) none can be spun, so that enough is what the others tell.
  void written(unsigned can_spin = every_motor);
  // Each motor is to be spun once more: the controller has restarted.
  void restarted();

  bool checking() const { return check_.runs; }
  // Motors that are still to be looked at in turn.
  int to_check() const { return static_cast<int>(check_.order.size()); }
  // Motors that were looked at: in the check those of which nothing has been written since, else of the first
  // round.
  int looked_at() const { return std::popcount(check_.runs ? check_.seen : looked_at_); }
  Rows proposed() const;  // what was said in the first round where it fits together; else the likeliest
  const Rows& planned() const { return planned_; }  // as written
  const Belief& belief() const { return belief_; }
  Verdict verdict() const;
  double sure() const { return sure_; }

 private:
  // Of what was written.
  struct Check {
    bool runs = false;
    unsigned seen = 0, can_spin = every_motor;  // rows, by bit
    std::vector<int> order;
  };

  Next ask(Ask what);
  std::optional<Ask> first_round() const;
  std::optional<Ask> about_this_spin();
  Ask best_of_all(const Verdict& verdict);
  std::optional<Ask> repeat_first(const Ask& ask);
  bool may_ask(Way way) const;
  double asked_before(const Ask& ask) const;
  void start_check(unsigned rows);
  void hear(Testimony said);
  bool can_spin(int row) const;
  unsigned clashing() const;

  std::shared_ptr<const BeliefTables> tables_;
  Belief belief_;
  double sure_;
  Random random_;
  Ask asked_;
  unsigned looked_at_ = 0;  // rows, by bit
  Check check_;
  Rows planned_{};
  Rows named_{};                   // in the last look
  std::optional<Row> last_look_;   // of the motor just spun, where it may be asked about further
  unsigned asked_about_spin_ = 0;  // ways, by bit
  std::array<std::array<int, ways>, most_rows> times_asked_{};
  int spins_ = 0;
  bool repeated_ = false;  // the last look was at a motor that is sure
  mutable std::optional<Verdict> verdict_;
};

}  // namespace armwise::solve
