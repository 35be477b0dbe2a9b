#include "question_worth.hpp"

#include <algorithm>
#include <cmath>

namespace armwise::solve {
namespace {

// Over the outcomes, sqrt(P | one) (P | other), for one right answer each and `ways_wrong` alike wrong ones.
double overlap(double wrong, double ways_wrong) {
  const double each = wrong / ways_wrong;
  return 2 * std::sqrt((1 - wrong) * each) + (ways_wrong - 1) * each;
}

double seconds(const AnswerModel& model, Way way) {
  switch (way) {
    case Way::look:
      return model.seconds_spin;
    case Way::strip:
      return model.seconds_strip;
    case Way::hand:
      return model.seconds_hand;
    default:
      return model.seconds_other;
  }
}

class Question {
 public:
  Question(const BeliefTables& tables, const Ask& ask, double wrong)
      : tables_(tables), ask_(ask), wrong_(wrong) {}

  // What is left, of 1, of a doubt about this motor's direction.
  double left_of_turn() const {
    switch (ask_.way) {
      case Way::look:
        return overlap(wrong_ / 2, 1);
      case Way::edge:
      case Way::lid:
        return overlap(wrong_, 1);
      case Way::strip:
        return overlap(wrong_, 2);
      default:
        return 1;
    }
  }

  double left_of_arm(craft::PlaceIndex one, craft::PlaceIndex other) const {
    switch (ask_.way) {
      case Way::look: {
        const double arm = wrong_ / 2, slip = tables_.slip[one][other];
        return 2 * std::sqrt((1 - arm) * arm * slip) + arm * (1 - slip);
      }
      case Way::strip:
        return overlap(wrong_, 2);
      case Way::hand:
        return overlap(wrong_, 1);
      default:
        return 1;
    }
  }

  double left_of_view(const View& one, const View& other, const Row& named) const {
    switch (ask_.way) {
      case Way::edge:
        return coherent(one) == coherent(other) ? 1 : overlap(wrong_, 1);
      case Way::strip:
        return coherent(one) == coherent(other) ? 1 : overlap(wrong_, 2);
      case Way::above:
        return one.below == other.below ? 1 : overlap(wrong_, 1);
      case Way::half:
        return one.front_rear == other.front_rear || tables_.ahead[named.place] == 0 ? 1 : overlap(wrong_, 1);
      default:
        return 1;
    }
  }

 private:
  const BeliefTables& tables_;
  const Ask& ask_;
  double wrong_;
};

int index_of(const View& view) {
  return (view.left_right ? 1 : 0) + (view.front_rear ? 2 : 0) + (view.below ? 4 : 0);
}

}  // namespace

Worth worth_of(const BeliefTables& tables, const Ask& ask, const Verdict& verdict, const Doubts& doubts) {
  double wrong = 0;
  for (std::size_t kind = 0; kind < 2; ++kind) wrong += doubts.kind[kind] * tables.model.kinds[kind].wrong;
  const Question question(tables, ask, wrong);
  const auto row = static_cast<std::size_t>(ask.row);
  const bool of_row = ask.way <= Way::hand;
  double turn = 0, arm = 0, view = 0;
  if (of_row) {
    turn = std::sqrt(doubts.turn[row]) * (1 - question.left_of_turn());
    for (std::size_t other = 0; other < static_cast<std::size_t>(tables.size); ++other) {
      if (other == row || doubts.swap[row][other] <= 0) continue;
      arm += std::sqrt(doubts.swap[row][other]) *
             (1 - question.left_of_arm(verdict.named[row].place, verdict.named[other].place));
    }
  }
  const double likeliest = std::sqrt(doubts.view[static_cast<std::size_t>(index_of(verdict.view))]);
  for (int other = 0; other < views; ++other) {
    if (view_at(other) == verdict.view) continue;
    const double left = question.left_of_view(verdict.view, view_at(other), verdict.named[row]);
    if (left < 1) view += std::sqrt(doubts.view[static_cast<std::size_t>(other)]) * likeliest * (1 - left);
  }
  Worth worth;
  worth.per_second = (turn + arm + view) / seconds(tables.model, ask.way);
  if (arm > turn) worth.why = Why::arm;
  if (view > turn + arm) worth.why = Why::view;
  return worth;
}

}  // namespace armwise::solve
