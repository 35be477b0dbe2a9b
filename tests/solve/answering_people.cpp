#include "answering_people.hpp"

#include <algorithm>
#include <cmath>

namespace armwise::solve {
namespace {

using craft::PlaceIndex;
using craft::Turn;

constexpr double near = 1e-6;

double seconds_of(const AnswerModel& model, Way way) {
  if (way == Way::look) return model.seconds_spin;
  if (way == Way::strip) return model.seconds_strip;
  return way == Way::hand ? model.seconds_hand : model.seconds_other;
}

}  // namespace

PlaceIndex Person::mirror(PlaceIndex place, bool left_right, bool front_rear) const {
  const craft::Place& from = frame_.places[place];
  const double x = front_rear ? -from.x : from.x, y = left_right ? -from.y : from.y;
  for (PlaceIndex to = 0; to < frame_.places.size(); ++to) {
    const craft::Place& other = frame_.places[to];
    if (other.level == from.level && std::hypot(other.x - x, other.y - y) < near) return to;
  }
  return place;
}

bool Person::slips(Way way, int row) {
  unsigned& before = slipped_[static_cast<std::size_t>(row)];
  const unsigned bit = 1U << static_cast<unsigned>(way);
  if ((before & bit) != 0 && dice_.happens(kind_.repeats)) return true;
  if (!dice_.happens(kind_.wrong)) return false;
  before |= bit;
  return true;
}

Row Person::look(int row, bool checking, const Rows& planned) {
  const auto at = static_cast<std::size_t>(row);
  if (slip_at_[at] && dice_.happens(kind_.repeats)) return *slip_at_[at];
  Row said{mirror(truth_[at].place, kind_.view.left_right, kind_.view.front_rear),
           kind_.view.below ? opposite(truth_[at].turn) : truth_[at].turn};
  if (kind_.answers_plan && checking) said.turn = planned[at].turn;
  if (!dice_.happens(kind_.wrong)) return said;
  if (dice_.happens(0.5)) {
    said.turn = opposite(said.turn);
  } else {
    const double which = dice_.fraction();
    const PlaceIndex right = said.place;
    if (which < kind_.left_right) {
      said.place = mirror(right, true, false);
    } else if (which < kind_.left_right + kind_.front_rear) {
      said.place = mirror(right, false, true);
    }
    while (said.place == right) said.place = dice_.below(frame_.places.size());
  }
  slip_at_[at] = said;
  return said;
}

// As a bell that turns clockwise from above throws a strip held at its outside: z x r = (-r_y, r_x). 1 nose,
// -1 tail, 2 right, -2 left.
int Person::strip_at(PlaceIndex place, Turn turn) const {
  const craft::Place& at = frame_.places[place];
  const int cw = std::abs(at.y) > 0.1 ? (at.y > 0 ? -1 : 1) : (at.x > 0 ? 2 : -2);
  return turn == Turn::cw ? cw : -cw;
}

std::optional<Testimony> Person::edge(const Ask& ask) {
  const Row& truth = truth_[static_cast<std::size_t>(ask.row)];
  int flies = strip_at(truth.place, truth.turn);
  if (std::abs(flies) == 1 && kind_.view.front_rear) flies = -flies;
  if (std::abs(flies) == 2 && kind_.view.left_right) flies = -flies;
  const int for_cw = strip_at(ask.place, Turn::cw);
  if (std::abs(for_cw) != std::abs(flies)) return std::nullopt;  // neither of the two that are asked for
  if (slips(ask.way, ask.row)) flies = -flies;
  Testimony said;
  said.turn = flies == for_cw ? Turn::cw : Turn::ccw;
  return said;
}

std::optional<Testimony> Person::answer(const Ask& ask, bool checking, const Rows& planned) {
  Testimony said;
  const auto at = static_cast<std::size_t>(ask.row);
  const PlaceIndex named = mirror(truth_[at].place, kind_.view.left_right, kind_.view.front_rear);
  switch (ask.way) {
    case Way::look: {
      const Row row = look(ask.row, checking, planned);
      said.place = row.place;
      said.turn = row.turn;
      return said;
    }
    case Way::edge:
      return edge(ask);
    case Way::lid:
      said.turn = kind_.view.below ? opposite(truth_[at].turn) : truth_[at].turn;
      if (kind_.answers_plan && checking) said.turn = planned[at].turn;
      if (slips(ask.way, ask.row)) said.turn = opposite(said.turn);
      return said;
    case Way::strip: {
      const bool there = named == ask.place;
      const auto flown = there ? edge({Way::edge, ask.row, ask.place, ask.why}) : std::optional<Testimony>{};
      said.yes = there;
      if (flown) said.turn = flown->turn;
      if (!there && slips(ask.way, ask.row)) {
        said.yes = true;
        said.turn = dice_.happens(0.5) ? Turn::cw : Turn::ccw;
      }
      return said;
    }
    case Way::hand:
      said.yes = (named == ask.place) != slips(ask.way, ask.row);
      return said;
    case Way::half:
      said.yes = (frame_.places[truth_[at].place].x > 0) != slips(ask.way, ask.row);
      return said;
    case Way::above:
      said.yes = kind_.view.below == dice_.happens(kind_.wrong);
      return said;
  }
  return std::nullopt;
}

Ending interviewed(const std::shared_ptr<const BeliefTables>& tables, double sure, const craft::Frame& frame,
                   const PersonKind& kind, const Rows& truth, std::uint64_t seed) {
  Random dice(seed);
  Person person(frame, kind, truth, dice);
  Interview interview(tables, sure, static_cast<std::uint32_t>(dice.next()));
  Rows planned{};
  Ending ending;
  for (;;) {
    const Interview::Next next = interview.next();
    if (next.step == Interview::Step::hopeless) return ending;
    if (next.step == Interview::Step::write) {
      planned = interview.proposed();
      interview.written();
      continue;
    }
    if (next.step == Interview::Step::done) break;
    ++ending.questions;
    ending.spins += needs_spin(next.ask.way) ? 1 : 0;
    ending.seconds += seconds_of(AnswerModel{}, next.ask.way);
    const auto said = person.answer(next.ask, interview.checking(), planned);
    said ? interview.answered(*said) : interview.unanswered();
  }
  ending.kept = true;
  ending.right = std::equal(planned.begin(), planned.begin() + frame.size(), truth.begin());
  return ending;
}

Ending plainly(const craft::Frame& frame, const PersonKind& kind, const Rows& truth, std::uint64_t seed) {
  constexpr int most_rounds = 6;
  Random dice(seed);
  Person person(frame, kind, truth, dice);
  const auto size = static_cast<std::size_t>(frame.size());
  Ending ending;
  const auto look = [&](std::size_t row, bool checking, const Rows& planned) {
    ++ending.spins;
    ++ending.questions;
    ending.seconds += AnswerModel{}.seconds_spin;
    const auto said = person.answer({Way::look, static_cast<int>(row), 0, Why::in_turn}, checking, planned);
    return Row{said->place, said->turn};
  };
  const auto named_twice = [&](const Rows& rows, std::size_t row) {
    for (std::size_t other = 0; other < size; ++other) {
      if (other != row && rows[other].place == rows[row].place) return true;
    }
    return false;
  };
  Rows seen{};
  for (std::size_t row = 0; row < size; ++row) seen[row] = look(row, false, seen);
  const auto settle = [&](Rows& rows, bool checking, const Rows& planned) {
    for (int round = 0; round < most_rounds; ++round) {
      std::vector<std::size_t> again;
      for (std::size_t row = 0; row < size; ++row) {
        if (named_twice(rows, row)) again.push_back(row);
      }
      if (again.empty()) return true;
      for (const std::size_t row : again) rows[row] = look(row, checking, planned);
    }
    return false;
  };
  if (!settle(seen, false, seen)) return ending;
  for (int round = 0; round < most_rounds; ++round) {
    Rows proof{};
    bool same = true;
    for (std::size_t row = 0; row < size; ++row) {
      proof[row] = look(row, true, seen);
      if (proof[row] != seen[row]) proof[row] = look(row, true, seen);
      same = same && proof[row] == seen[row];
    }
    if (same) {
      ending.kept = true;
      ending.right = std::equal(seen.begin(), seen.begin() + frame.size(), truth.begin());
      return ending;
    }
    if (!settle(proof, true, seen)) return ending;
    seen = proof;
  }
  return ending;
}

}  // namespace armwise::solve
