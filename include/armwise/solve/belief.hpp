// What is known of the wiring, as a probability: every answer is evidence, and any may be wrong. Pure.
//
// Hidden are the place and the direction of each motor, the way the person sees the craft for the whole
// session, and the kind of person. Given the last two, the answers about different motors are independent, so
// the sum over all wirings is a permanent for each of them, added up over the kinds of crafts (their
// directions by a scheme, by its opposite, any); the sum is exact but for what is said at FrameBelief::hear.
//
// A person who sees the craft mirrored or from below says the same as one who sees it right does about a
// mirrored craft. So all is reckoned `as named`, and only whether mirror image and direction go together
// (the strip of paper tells) is a case of its own; what the person truly looks at is weighed afterwards.
#pragma once

#include <array>
#include <cstdint>
#include <memory>
#include <optional>
#include <vector>

#include "armwise/craft/frame.hpp"
#include "armwise/solve/answer_model.hpp"

namespace armwise::solve {

// The ways in which one may be asked, and what `Testimony` then holds.
enum class Way : std::uint8_t {
  look,   // a spin: which arm, which way: place, turn
  edge,   // of the spin just seen: where the outer edge of the bell moved: place (as just named), turn
          // (computed)
  lid,    // of the spin just seen: as a lid is closed (cw) or opened: place, turn
  strip,  // a spin, with a strip of paper held at `place`: yes and turn, or no: nothing moved there
  hand,   // a spin, with a hand over `place`: yes or no
  half,   // of the spin just seen: was the motor in the half where the finger on the nose is: yes or no
  above,  // are you looking from above: yes or no
};
constexpr int ways = 7;

struct Testimony {
  Way way = Way::look;
  int row = 0;  // motor, counted from 0
  craft::PlaceIndex place = 0;
  craft::Turn turn = craft::Turn::cw;  // as under the settings of the first round
  bool yes = true;
  bool checking = false;     // asked after writing
  bool as_planned = false;   // and the turn is what the plan expects
  bool undone = false;       // taken back by the person
  bool after_undo = false;   // came instead of one that was taken back
  bool nose_toward = false;  // the craft's nose lay toward the person
};

constexpr int most_rows = 8;

struct Row {
  craft::PlaceIndex place = 0;
  craft::Turn turn = craft::Turn::cw;
  bool operator==(const Row&) const = default;
};
using Rows = std::array<Row, most_rows>;  // those of the motors that the frame has

// How the person sees the craft.
struct View {
  bool left_right = false, front_rear = false, below = false;
  bool operator==(const View&) const = default;
};
constexpr int views = 8;
constexpr View view_at(int index) {  // 0: as it is
  return {(index & 1) != 0, (index & 2) != 0, (index & 4) != 0};
}

struct Verdict {
  Rows best;         // the most probable wiring
  Rows named;        // the same, as this person names it
  View view;         // how they most probably see it
  double wrong = 1;  // probability that anything of `best` is wrong
};

// What may be wrong of a verdict, as probabilities; for choosing what to ask next.
struct Doubts {
  std::array<double, most_rows> turn{};                         // this motor's direction
  std::array<std::array<double, most_rows>, most_rows> swap{};  // these two motors' arms
  std::array<double, views> view{};                             // seen this way, the likeliest of them 0
  std::array<double, 2> kind{};                                 // what sort of person this is
};

struct BeliefTables;

class Belief {
 public:
  // One table serves any number of sessions. Throws Fault(internal) for more than eight motors.
  static std::shared_ptr<const BeliefTables> tables(const craft::Frame& frame,
                                                    const craft::Numbering& numbering,
                                                    const AnswerModel& model = {});
  explicit Belief(std::shared_ptr<const BeliefTables> tables);

  // `half` counts for the arm that is the likeliest at the moment, so it is to be asked where that is not in
  // doubt.
  void hear(const Testimony& testimony);

  Verdict verdict() const;
  Doubts doubts(const Verdict& verdict) const;
  // Probability that the place or direction of this motor is wrong in the verdict.
  double row_wrong(const Verdict& verdict, int row) const;

  int size() const { return size_; }

  static constexpr int states = 6;  // (view goes with direction, or not, or answers as planned) x kind
  using Lane = std::array<double, states>;

 private:
  struct Answers {
    std::array<Lane, std::size_t{2} * most_rows> looks, first, other, total;  // 2 * place + turn
    bool looked = false, same = true;
    Row first_look;
  };
  struct Sums;

  void put_together(Answers& row);
  void hear_of_row(const Testimony& testimony);
  void hear_of_view(const Testimony& testimony);
  Sums sums() const;
  Lane named_weight(const Rows& named) const;
  Rows named_from(int component, int state) const;
  double true_weight(const Rows& wiring) const;
  void weigh_views();
  Lane state_weights() const;

  std::shared_ptr<const BeliefTables> tables_;
  int size_;
  std::array<Answers, most_rows> rows_;
  std::array<std::array<double, 2>, views> stance_;  // how well each view explains what was said of it
  std::array<Lane, views> view_weights_;
};

}  // namespace armwise::solve
