// People who answer, simulated, and whole sessions with them: by the interview, and the plain way. Nothing
// here knows what the belief believes; a wrong answer is drawn as said at Person.
#pragma once

#include <array>
#include <cstdint>
#include <optional>

#include "armwise/base/random.hpp"
#include "armwise/solve/interview.hpp"

namespace armwise::solve {

struct PersonKind {
  double wrong = 0;           // of each answer; about a spin, half of the wrong ones name another arm
  double left_right = 0.7;    // of the wrong arms: the mirror image left for right,
  double front_rear = 0.15;   // front for rear; else any
  double repeats = 0;         // that a slip at a motor comes again when the same is asked of it
  View view;                  // how they see the craft, all along
  bool answers_plan = false;  // after writing: the direction that the arm ought to have
};

struct Ending {
  bool kept = false, right = false;
  int spins = 0, questions = 0;
  double seconds = 0;
};

// Every frame here is seen mirrored onto itself, as x and y say.
class Person {
 public:
  Person(const craft::Frame& frame, const PersonKind& kind, const Rows& truth, Random& dice)
      : frame_(frame), kind_(kind), truth_(truth), dice_(dice) {}

  // Absent: the answer says nothing.
  std::optional<Testimony> answer(const Ask& ask, bool checking, const Rows& planned);

 private:
  Row look(int row, bool checking, const Rows& planned);
  bool slips(Way way, int row);
  craft::PlaceIndex mirror(craft::PlaceIndex place, bool left_right, bool front_rear) const;
  int strip_at(craft::PlaceIndex place, craft::Turn turn) const;
  std::optional<Testimony> edge(const Ask& ask);

  const craft::Frame& frame_;
  const PersonKind& kind_;
  const Rows& truth_;
  Random& dice_;
  std::array<std::optional<Row>, most_rows> slip_at_{};  // what was said wrongly of a motor
  std::array<unsigned, most_rows> slipped_{};            // ways, by bit
};

Ending interviewed(const std::shared_ptr<const BeliefTables>& tables, double sure, const craft::Frame& frame,
                   const PersonKind& kind, const Rows& truth, std::uint64_t seed);

// Each motor once, asked again where arms are named twice, then each once more; an answer of the second round
// that differs is asked again, and what differs still is planned anew. No belief.
Ending plainly(const craft::Frame& frame, const PersonKind& kind, const Rows& truth, std::uint64_t seed);

}  // namespace armwise::solve
