#include "belief_tables.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <numeric>

namespace armwise::solve {
namespace {

constexpr double on_the_line = 0.1;  // arm lengths

int sign_of(double value) {
  if (std::abs(value) < on_the_line) return 0;
  return value > 0 ? 1 : -1;
}

Places identity_of(int size) {
  Places places{};
  for (int i = 0; i < size; ++i) places[static_cast<std::size_t>(i)] = static_cast<std::uint8_t>(i);
  return places;
}

// Two arms that are each other's mirror image, exchanged.
std::vector<Places> mirror_swaps(const FrameSymmetry& symmetry, int size) {
  std::vector<Places> all;
  for (const Places& mirror : {symmetry.left_right, symmetry.front_rear}) {
    for (std::size_t i = 0; i < static_cast<std::size_t>(size); ++i) {
      if (mirror[i] <= i) continue;
      Places swapped = identity_of(size);
      std::swap(swapped[i], swapped[mirror[i]]);
      all.push_back(swapped);
    }
  }
  return all;
}

void fill_maps(BeliefTables& tables, const FrameSymmetry& symmetry, const craft::Numbering& numbering) {
  const auto size = static_cast<std::size_t>(tables.size);
  const std::vector<Places> swaps = mirror_swaps(symmetry, tables.size);
  const AnswerModel& model = tables.model;
  std::map<Places, double> likelier;
  for (const Places& turned : symmetry.all) {
    Places map{};
    for (std::size_t row = 0; row < size; ++row) map[row] = turned[numbering.place_of_motor.at(row)];
    likelier[map] += model.plain_map / static_cast<double>(symmetry.all.size());
    for (const Places& swap : swaps) {
      Places swapped{};
      for (std::size_t row = 0; row < size; ++row) swapped[row] = swap[map[row]];
      likelier[swapped] += model.one_swap / static_cast<double>(symmetry.all.size() * swaps.size());
    }
  }
  double maps = 1;
  for (int i = 2; i <= tables.size; ++i) maps *= i;
  const double rest = 1 - model.plain_map - (swaps.empty() ? 0 : model.one_swap);
  tables.any_map = rest / maps;
  if (size <= 4) {
    Places map = identity_of(tables.size);
    do {
      tables.likely.push_back({map, likelier[map] + tables.any_map});
    } while (std::next_permutation(map.begin(), map.begin() + tables.size));
    tables.any_map = 0;
  } else {
    for (const auto& [map, prior] : likelier) tables.likely.push_back({map, prior});
  }
  // Both ways in ascending order.
  for (const LikelyMap& map : tables.likely) tables.keys.push_back(key_of(map.place));
}

void fill_directions(BeliefTables& tables) {
  const AnswerModel& model = tables.model;
  tables.component = {model.by_scheme / 2, model.by_scheme / 2, 1 - model.by_scheme};
  for (std::size_t place = 0; place < static_cast<std::size_t>(tables.size); ++place) {
    const auto in = static_cast<std::size_t>(tables.frame->wanted(place, craft::PropScheme::in));
    tables.direction[0][place][in] = tables.direction[1][place][1 - in] = 1 - model.off_scheme;
    tables.direction[0][place][1 - in] = tables.direction[1][place][in] = model.off_scheme;
    tables.direction[2][place] = {0.5, 0.5};
  }
}

void fill_slips(BeliefTables& tables, const FrameSymmetry& symmetry) {
  const auto size = static_cast<std::size_t>(tables.size);
  const AnswerModel& model = tables.model;
  for (std::size_t place = 0; place < size; ++place) {
    auto& to = tables.slip[place];
    const double others = (1 - model.slip_left_right - model.slip_front_rear) / static_cast<double>(size - 1);
    for (std::size_t named = 0; named < size; ++named) to[named] = named == place ? 0 : others;
    if (symmetry.left_right[place] != place) to[symmetry.left_right[place]] += model.slip_left_right;
    if (symmetry.front_rear[place] != place) to[symmetry.front_rear[place]] += model.slip_front_rear;
    const double sum = std::accumulate(to.begin(), to.end(), 0.0);
    for (double& each : to) each /= sum;
  }
}

void fill_views(BeliefTables& tables, const FrameSymmetry& symmetry) {
  const AnswerModel& model = tables.model;
  const Places same = identity_of(tables.size);
  double others = 0;
  for (int index = 0; index < views; ++index) {
    const View view = view_at(index);
    const auto at = static_cast<std::size_t>(index);
    const bool possible = (!view.left_right || view.front_rear || symmetry.has_left_right) &&
                          (!view.front_rear || view.left_right || symmetry.has_front_rear) &&
                          (!view.front_rear || !view.left_right || symmetry.has_half_turn);
    tables.seen_as[at] = same;
    if (!possible) continue;
    if (view.left_right && view.front_rear) {
      tables.seen_as[at] = symmetry.half_turn;
    } else if (view.left_right) {
      tables.seen_as[at] = symmetry.left_right;
    } else if (view.front_rear) {
      tables.seen_as[at] = symmetry.front_rear;
    }
    tables.view[at] = model.any_other_view;
    if (view == View{false, false, true}) tables.view[at] = model.from_below;
    if (view == View{true, false, false}) tables.view[at] = model.left_for_right;
    if (view == View{false, true, false}) tables.view[at] = model.front_for_rear;
    if (view == View{true, true, false}) tables.view[at] = model.nose_for_tail;
    if (view == View{true, false, true}) tables.view[at] = model.turned_over;
    if (index != 0) others += tables.view[at];
  }
  tables.view[0] = 1 - others;
}

}  // namespace

double BeliefTables::prior_of(const Places& map) const {
  const std::uint64_t wanted = key_of(map);
  const auto found = std::lower_bound(keys.begin(), keys.end(), wanted);
  if (found == keys.end() || *found != wanted) return any_map;
  return any_map + likely[static_cast<std::size_t>(found - keys.begin())].prior;
}

std::shared_ptr<const BeliefTables> Belief::tables(const craft::Frame& frame,
                                                   const craft::Numbering& numbering,
                                                   const AnswerModel& model) {
  const FrameSymmetry symmetry = symmetry_of(frame);
  auto tables = std::make_shared<BeliefTables>();
  tables->frame = &frame;
  tables->model = model;
  tables->size = frame.size();
  fill_maps(*tables, symmetry, numbering);
  fill_directions(*tables);
  fill_slips(*tables, symmetry);
  fill_views(*tables, symmetry);
  for (std::size_t place = 0; place < frame.places.size(); ++place) {
    tables->side[place] = sign_of(frame.places[place].y);
    tables->ahead[place] = sign_of(frame.places[place].x);
  }
  return tables;
}

}  // namespace armwise::solve
