// What each answer says, and how the answers about one motor go together.
#include "armwise/solve/belief.hpp"

#include <algorithm>

#include "belief_tables.hpp"

namespace armwise::solve {
namespace {

using craft::PlaceIndex;
using craft::Turn;
using Lane = Belief::Lane;

constexpr double most_wrong = 0.45;  // an answer is never worse than a guess
constexpr double planned_but_not_said =
    0.05;  // how often who answers as planned says what they see after all

constexpr std::size_t kind_of(std::size_t state) {
  return state % 2;
}
constexpr bool is_coherent(std::size_t state) {
  return state / 2 != 1;
}
constexpr bool as_planned(std::size_t state) {
  return state / 2 == 2;
}

constexpr std::size_t cell(std::size_t place, std::size_t turn) {
  return 2 * place + turn;
}

double wrong_at(const AnswerModel& model, const Testimony& said, std::size_t kind) {
  if (said.undone) return model.undone_wrong;
  const double wrong = model.kinds[kind].wrong * (said.after_undo ? model.doubt_after_undo : 1);
  return std::min(wrong, most_wrong);
}

// Of a direction said in words, whose case is `state`.
double words_right(const Testimony& said, std::size_t turn, std::size_t state, double wrong) {
  if (said.checking && as_planned(state)) return said.as_planned ? 1 : planned_but_not_said;
  return static_cast<std::size_t>(said.turn) == turn ? 1 - wrong : wrong;
}

// Which way the strip flies at a place for a clockwise motor (craft/strip.hpp): 1 nose, -1 tail; on the
// nose-to-tail line it flies sideways, 2 right, -2 left.
int strip_cw(const BeliefTables& tables, std::size_t place) {
  return tables.side[place] != 0 ? -tables.side[place] : 2 * tables.ahead[place];
}

int strip_at(const BeliefTables& tables, std::size_t place, std::size_t turn) {
  const int cw = strip_cw(tables, place);
  return turn == static_cast<std::size_t>(Turn::cw) ? cw : -cw;
}

double edge_right(const BeliefTables& tables, const Testimony& said, std::size_t place, std::size_t turn,
                  double wrong) {
  const int expected = strip_at(tables, place, turn);
  const int seen = strip_at(tables, said.place, static_cast<std::size_t>(said.turn));
  if (expected != seen && expected != -seen) return 0.5;
  return expected == seen ? 1 - wrong : wrong;
}

double row_likelihood(const BeliefTables& tables, const Testimony& said, std::size_t place, std::size_t turn,
                      std::size_t state) {
  const double wrong = wrong_at(tables.model, said, kind_of(state));
  const std::size_t strip_turn = is_coherent(state) ? turn : 1 - turn;
  switch (said.way) {
    case Way::look: {
      const double half = said.undone ? wrong : wrong / 2;
      const double arm =
          std::min(half * (said.nose_toward ? tables.model.nose_toward_factor : 1), most_wrong);
      const double of_place = place == said.place ? 1 - arm : arm * tables.slip[place][said.place];
      return of_place * words_right(said, turn, state, half);
    }
    case Way::edge:
      return edge_right(tables, said, place, strip_turn, wrong);
    case Way::lid:
      return words_right(said, turn, state, wrong);
    case Way::strip:
      if (place != said.place) return said.yes ? wrong / 2 : 1 - wrong;
      if (!said.yes) return wrong / 2;
      return static_cast<std::size_t>(said.turn) == strip_turn ? 1 - wrong : wrong / 2;
    case Way::hand:
      return (place == said.place) == said.yes ? 1 - wrong : wrong;
    case Way::half:
    case Way::above:
      break;
  }
  return 1;
}

double stance_likelihood(const BeliefTables& tables, const Testimony& said, const View& view,
                         const Row& named, double wrong) {
  switch (said.way) {
    case Way::above:
      return said.yes != view.below ? 1 - wrong : wrong;
    case Way::half: {
      if (tables.ahead[named.place] == 0) return 1;
      const bool near = (tables.ahead[named.place] > 0) != view.front_rear;
      return near == said.yes ? 1 - wrong : wrong;
    }
    case Way::look:
    case Way::edge:
    case Way::lid:
    case Way::strip:
    case Way::hand:
      break;
  }
  return 1;
}

}  // namespace

Belief::Belief(std::shared_ptr<const BeliefTables> tables)
    : tables_(std::move(tables)), size_(tables_->size) {
  for (std::size_t i = 0; i < static_cast<std::size_t>(size_); ++i) {
    Answers& row = rows_[i];
    row.looked = false;
    row.same = true;
    for (std::size_t at = 0; at < 2 * static_cast<std::size_t>(size_); ++at) {
      row.looks[at].fill(1);
      row.first[at].fill(1);
      row.other[at].fill(1);
      row.total[at].fill(1);
    }
  }
  for (auto& each : stance_) each.fill(1);
  weigh_views();
}

void Belief::hear(const Testimony& said) {
  const bool of_row = said.way <= Way::hand;
  of_row ? hear_of_row(said) : hear_of_view(said);
}

void Belief::hear_of_row(const Testimony& said) {
  Answers& row = rows_[static_cast<std::size_t>(said.row)];
  const bool look = said.way == Way::look && !said.undone;
  const bool first = look && !row.looked;
  if (first) row.first_look = {said.place, said.turn};
  if (look) {
    row.looked = true;
    row.same = row.same && row.first_look == Row{said.place, said.turn};
  }
  for (std::size_t place = 0; place < static_cast<std::size_t>(size_); ++place) {
    for (std::size_t turn = 0; turn < 2; ++turn) {
      const std::size_t at = cell(place, turn);
      Lane& to = look ? row.looks[at] : row.other[at];
      for (std::size_t state = 0; state < states; ++state) {
        const double likelihood = row_likelihood(*tables_, said, place, turn, state);
        to[state] *= likelihood;
        if (first) row.first[at][state] = likelihood;
      }
    }
  }
  put_together(row);
}

// A slip that comes again tells nothing new; so, with that chance, only the first look counts. Scaled, so
// that no row gets too small to reckon with.
void Belief::put_together(Answers& row) {
  const double again = row.looked && row.same ? tables_->model.repeated_slip : 0;
  double largest = 0;
  const auto cells = 2 * static_cast<std::size_t>(size_);
  for (std::size_t at = 0; at < cells; ++at) {
    for (std::size_t state = 0; state < states; ++state) {
      const double looks =
          (1 - tables_->model.repeated_slip) * row.looks[at][state] + again * row.first[at][state];
      row.total[at][state] = looks * row.other[at][state];
      largest = std::max(largest, row.total[at][state]);
    }
  }
  const double scale = 1 / largest;
  for (std::size_t at = 0; at < cells; ++at) {
    for (std::size_t state = 0; state < states; ++state) {
      row.total[at][state] *= scale;
      row.other[at][state] *= scale;
    }
  }
}

void Belief::hear_of_view(const Testimony& said) {
  const Row named = said.way == Way::half ? verdict().named[static_cast<std::size_t>(said.row)] : Row{};
  for (std::size_t view = 0; view < views; ++view) {
    for (std::size_t kind = 0; kind < 2; ++kind) {
      const double wrong = wrong_at(tables_->model, said, kind);
      stance_[view][kind] *= stance_likelihood(*tables_, said, view_at(static_cast<int>(view)), named, wrong);
    }
  }
  weigh_views();
}

// The view's prior times how well it explains what was said of it, in each state that it can be in.
void Belief::weigh_views() {
  const AnswerModel& model = tables_->model;
  for (std::size_t at = 0; at < views; ++at) {
    const View seen = view_at(static_cast<int>(at));
    for (std::size_t state = 0; state < states; ++state) {
      double weight = tables_->view[at] * model.kinds[kind_of(state)].share * stance_[at][kind_of(state)];
      const bool planned_for = as_planned(state);
      if (planned_for) {
        weight *= at == 0 ? model.answers_as_planned : 0;
      } else if (coherent(seen) != is_coherent(state)) {
        weight = 0;
      } else if (at == 0) {
        weight *= 1 - model.answers_as_planned;
      }
      view_weights_[at][state] = weight;
    }
  }
}

}  // namespace armwise::solve
