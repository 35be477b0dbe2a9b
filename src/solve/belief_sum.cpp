// Sums over all wirings.
#include <algorithm>
#include <cmath>
#include <numeric>

#include "armwise/solve/belief.hpp"
#include "belief_tables.hpp"

namespace armwise::solve {
namespace {

using Lane = Belief::Lane;
using LaneRows = std::array<std::array<Lane, most_rows>, most_rows>;  // row, place

// A view under which the answers are this much less likely than the best explanation found so far is not the
// one that the verdict goes by.
constexpr double worth_a_look = 0.1;
constexpr double negligible = 1e-15;

void times(Lane& to, const Lane& by) {
  for (std::size_t i = 0; i < Belief::states; ++i) to[i] *= by[i];
}
void plus_times(Lane& to, const Lane& a, const Lane& b) {
  for (std::size_t i = 0; i < Belief::states; ++i) to[i] += a[i] * b[i];
}
void plus_scaled(Lane& to, const Lane& a, double by) {
  for (std::size_t i = 0; i < Belief::states; ++i) to[i] += a[i] * by;
}

// Of all ways to give each row a place of its own, the sum of the products: row by row over the sets of
// places that are taken, n 2^n steps.
Lane permanent(const LaneRows& at, std::size_t size) {
  std::array<Lane, std::size_t{1} << most_rows> sum;
  const std::size_t sets = std::size_t{1} << size;
  for (std::size_t set = 0; set < sets; ++set) sum[set].fill(0);
  sum[0].fill(1);
  for (std::size_t set = 0; set + 1 < sets; ++set) {
    const auto row = static_cast<std::size_t>(__builtin_popcountll(set));
    for (std::size_t place = 0; place < size; ++place) {
      const std::size_t bit = std::size_t{1} << place;
      if ((set & bit) == 0) plus_times(sum[set | bit], sum[set], at[row][place]);
    }
  }
  return sum[sets - 1];
}

// All 24, each with its prior, by products of pairs of rows.
Lane sum_of_four(const LaneRows& at, const std::vector<LikelyMap>& likely) {
  std::array<std::array<Lane, 4>, 4> front, rear;
  for (std::size_t a = 0; a < 4; ++a) {
    for (std::size_t b = 0; b < 4; ++b) {
      front[a][b] = at[0][a];
      times(front[a][b], at[1][b]);
      rear[a][b] = at[2][a];
      times(rear[a][b], at[3][b]);
    }
  }
  Lane sum{};
  for (const LikelyMap& map : likely) {
    const Lane& first = front[map.place[0]][map.place[1]];
    const Lane& second = rear[map.place[2]][map.place[3]];
    for (std::size_t i = 0; i < Belief::states; ++i) sum[i] += map.prior * first[i] * second[i];
  }
  return sum;
}

Lane sum_of_maps(const LaneRows& at, const BeliefTables& tables) {
  const auto size = static_cast<std::size_t>(tables.size);
  if (size == 4) return sum_of_four(at, tables.likely);
  Lane sum{};
  if (tables.any_map > 0) plus_scaled(sum, permanent(at, size), tables.any_map);
  for (const LikelyMap& map : tables.likely) {
    Lane product = at[0][map.place[0]];
    for (std::size_t row = 1; row < size; ++row) times(product, at[row][map.place[row]]);
    plus_scaled(sum, product, map.prior);
  }
  return sum;
}

}  // namespace

struct Belief::Sums {
  std::array<Lane, components> of;  // each with its prior
  Lane all{};
};

Belief::Sums Belief::sums() const {
  Sums sums;
  const auto size = static_cast<std::size_t>(size_);
  for (std::size_t c = 0; c < components; ++c) {
    LaneRows at;
    for (std::size_t row = 0; row < size; ++row) {
      for (std::size_t place = 0; place < size; ++place) {
        const auto& direction = tables_->direction[c][place];
        const Lane& cw = rows_[row].total[2 * place];
        const Lane& ccw = rows_[row].total[2 * place + 1];
        for (std::size_t i = 0; i < states; ++i)
          at[row][place][i] = direction[0] * cw[i] + direction[1] * ccw[i];
      }
    }
    sums.of[c] = sum_of_maps(at, *tables_);
    for (std::size_t i = 0; i < states; ++i) {
      sums.of[c][i] *= tables_->component[c];
      sums.all[i] += sums.of[c][i];
    }
  }
  return sums;
}

Lane Belief::state_weights() const {
  Lane weights{};
  for (const Lane& view : view_weights_) {
    for (std::size_t i = 0; i < states; ++i) weights[i] += view[i];
  }
  return weights;
}

// Prior times likelihood of one wiring, as named.
Lane Belief::named_weight(const Rows& named) const {
  const auto size = static_cast<std::size_t>(size_);
  Places map{};
  Lane product;
  product.fill(1);
  std::array<double, components> direction = tables_->component;
  for (std::size_t row = 0; row < size; ++row) {
    const auto turn = static_cast<std::size_t>(named[row].turn);
    map[row] = static_cast<std::uint8_t>(named[row].place);
    times(product, rows_[row].total[2 * named[row].place + turn]);
    for (std::size_t c = 0; c < components; ++c)
      direction[c] *= tables_->direction[c][named[row].place][turn];
  }
  const double prior = tables_->prior_of(map) * (direction[0] + direction[1] + direction[2]);
  for (double& each : product) each *= prior;
  return product;
}

// The best wiring, as named, of one kind of craft and one kind of person.
Rows Belief::named_from(int component, int state) const {
  const auto size = static_cast<std::size_t>(size_);
  const auto s = static_cast<std::size_t>(state);
  const auto& direction = tables_->direction[static_cast<std::size_t>(component)];
  std::array<std::array<double, most_rows>, most_rows> best{};
  std::array<std::array<std::uint8_t, most_rows>, most_rows> turn{};
  for (std::size_t row = 0; row < size; ++row) {
    for (std::size_t place = 0; place < size; ++place) {
      const double cw = direction[place][0] * rows_[row].total[2 * place][s];
      const double ccw = direction[place][1] * rows_[row].total[2 * place + 1][s];
      best[row][place] = std::max(cw, ccw);
      turn[row][place] = ccw > cw;
    }
  }
  Places map{};
  double largest = -1;
  const auto weigh = [&](const Places& places, double prior) {
    double product = prior;
    for (std::size_t row = 0; row < size; ++row) product *= best[row][places[row]];
    if (product > largest) {
      largest = product;
      map = places;
    }
  };
  for (const LikelyMap& likely : tables_->likely) weigh(likely.place, likely.prior + tables_->any_map);
  if (tables_->any_map > 0) {
    // The best of all maps alike: as the permanent, with the largest instead of the sum.
    const std::size_t sets = std::size_t{1} << size;
    std::array<double, std::size_t{1} << most_rows> most;
    std::array<std::uint8_t, std::size_t{1} << most_rows> last{};
    std::fill(most.begin(), most.begin() + static_cast<std::ptrdiff_t>(sets), -1.0);
    most[0] = 1;
    for (std::size_t set = 0; set + 1 < sets; ++set) {
      const auto row = static_cast<std::size_t>(__builtin_popcountll(set));
      for (std::size_t place = 0; place < size; ++place) {
        const std::size_t with = set | (std::size_t{1} << place);
        if (with == set || most[set] * best[row][place] <= most[with]) continue;
        most[with] = most[set] * best[row][place];
        last[with] = static_cast<std::uint8_t>(place);
      }
    }
    Places places{};
    for (std::size_t set = sets - 1, row = size; row-- > 0;) {
      places[row] = last[set];
      set &= ~(std::size_t{1} << places[row]);
    }
    weigh(places, tables_->any_map);
  }
  Rows rows;
  for (std::size_t row = 0; row < size; ++row) {
    rows[row] = {map[row], static_cast<craft::Turn>(turn[row][map[row]])};
  }
  return rows;
}

namespace {

Rows turned_over(const BeliefTables& tables, const Rows& rows, int view) {
  Rows seen = rows;
  for (std::size_t row = 0; row < static_cast<std::size_t>(tables.size); ++row) {
    seen[row].place = tables.seen_as[static_cast<std::size_t>(view)][rows[row].place];
    if (view_at(view).below) seen[row].turn = opposite(rows[row].turn);
  }
  return seen;
}

}  // namespace

double Belief::true_weight(const Rows& wiring) const {
  double weight = 0;
  for (int view = 0; view < views; ++view) {
    const Lane& scale = view_weights_[static_cast<std::size_t>(view)];
    if (std::accumulate(scale.begin(), scale.end(), 0.0) <= negligible) continue;
    const Lane named = named_weight(turned_over(*tables_, wiring, view));
    for (std::size_t i = 0; i < states; ++i) weight += scale[i] * named[i];
  }
  return weight;
}

Verdict Belief::verdict() const {
  const Sums all = sums();
  const Lane weights = state_weights();
  double total = 0;
  Lane share{};
  for (std::size_t i = 0; i < states; ++i) total += share[i] = weights[i] * all.all[i];
  Verdict verdict;
  double best = -1;
  Rows before{};
  bool any_before = false;
  // For each way in which view and strip go together, the likelier kind of person.
  for (int group = 0; group < 3; ++group) {
    const int state = 2 * group + (share[2 * static_cast<std::size_t>(group) + 1] >
                                   share[2 * static_cast<std::size_t>(group)]);
    const auto s = static_cast<std::size_t>(state);
    if (share[s] < 0.01 * total) continue;
    int component = 0;
    for (int c = 1; c < components; ++c) {
      if (all.of[static_cast<std::size_t>(c)][s] > all.of[static_cast<std::size_t>(component)][s])
        component = c;
    }
    const Rows named = named_from(component, state);
    if (any_before && named == before) continue;
    before = named;
    any_before = true;
    const Lane named_lane = named_weight(named);
    for (int view = 0; view < views; ++view) {
      double chance = 0;
      for (std::size_t i = 0; i < states; ++i)
        chance += view_weights_[static_cast<std::size_t>(view)][i] * named_lane[i];
      if (chance < worth_a_look * best) continue;
      // Seen so is its own inverse: each of the eight is a mirror image or half a turn.
      const Rows wiring = turned_over(*tables_, named, view);
      const double weight = true_weight(wiring);
      if (weight <= best) continue;
      best = weight;
      verdict.best = wiring;
      verdict.named = named;
      verdict.view = view_at(view);
    }
  }
  verdict.wrong = std::max(0.0, 1 - best / total);
  return verdict;
}

Doubts Belief::doubts(const Verdict& verdict) const {
  const auto size = static_cast<std::size_t>(size_);
  const Lane weights = state_weights();
  const auto total_of = [&](const Rows& rows) {
    const Lane lane = named_weight(rows);
    double sum = 0;
    for (std::size_t i = 0; i < states; ++i) sum += weights[i] * lane[i];
    return sum;
  };
  Doubts doubts;
  const Lane lane = named_weight(verdict.named);
  double sum = 0;
  for (std::size_t i = 0; i < states; ++i) {
    sum += weights[i] * lane[i];
    doubts.kind[i % 2] += weights[i] * lane[i];
  }
  for (double& each : doubts.kind) each /= sum;
  for (int view = 0; view < views; ++view) {
    double chance = 0;
    for (std::size_t i = 0; i < states; ++i)
      chance += view_weights_[static_cast<std::size_t>(view)][i] * lane[i];
    doubts.view[static_cast<std::size_t>(view)] = chance / sum;
  }
  for (std::size_t row = 0; row < size; ++row) {
    Rows other = verdict.named;
    other[row].turn = opposite(other[row].turn);
    doubts.turn[row] = total_of(other) / sum;
    for (std::size_t second = row + 1; second < size; ++second) {
      Rows swapped = verdict.named;
      std::swap(swapped[row].place, swapped[second].place);
      doubts.swap[row][second] = doubts.swap[second][row] = total_of(swapped) / sum;
    }
  }
  return doubts;
}

double Belief::row_wrong(const Verdict& verdict, int row) const {
  const auto at = static_cast<std::size_t>(row);
  const Sums all = sums();
  double total = 0, right = 0;
  for (int view = 0; view < views; ++view) {
    const Lane& scale = view_weights_[static_cast<std::size_t>(view)];
    for (std::size_t i = 0; i < states; ++i) total += scale[i] * all.all[i];
    const Row named = turned_over(*tables_, verdict.best, view)[at];
    Belief only = *this;
    for (std::size_t c = 0; c < 2 * static_cast<std::size_t>(size_); ++c) {
      if (c != 2 * named.place + static_cast<std::size_t>(named.turn)) only.rows_[at].total[c].fill(0);
    }
    const Lane lane = only.sums().all;
    for (std::size_t i = 0; i < states; ++i) right += scale[i] * lane[i];
  }
  return std::max(0.0, 1 - right / total);
}

}  // namespace armwise::solve
