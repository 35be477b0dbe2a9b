// What a belief knows of its frame beforehand; made once.
#pragma once

#include "armwise/solve/belief.hpp"
#include "frame_symmetry.hpp"

namespace armwise::solve {

constexpr int components = 3;  // of directions: by the scheme, by its opposite, any

struct LikelyMap {
  Places place{};  // row -> place
  double prior = 0;
};

// Orders maps as their places do.
inline std::uint64_t key_of(const Places& map) {
  std::uint64_t key = 0;
  for (const std::uint8_t place : map) key = key << 8U | place;
  return key;
}

struct BeliefTables {
  const craft::Frame* frame = nullptr;
  AnswerModel model;
  int size = 0;
  std::vector<LikelyMap> likely;    // every map of a frame of four, else those that are likelier than any
  std::vector<std::uint64_t> keys;  // of `likely`, ascending
  double any_map = 0;               // what each map has beside that
  std::array<std::array<std::array<double, 2>, most_rows>, components> direction{};  // of a turn at a place
  std::array<double, components> component{};
  std::array<std::array<double, most_rows>, most_rows> slip{};  // true place -> named one, the slip given
  std::array<Places, views> seen_as{};                          // place -> place as named
  std::array<double, views> view{};                             // 0 where the frame cannot be seen so
  std::array<int, most_rows> side{};   // of the nose-to-tail line: 1 right, -1 left, 0 on it
  std::array<int, most_rows> ahead{};  // 1 front, -1 rear, 0 between

  double prior_of(const Places& map) const;
};

inline bool mirrored(const View& view) {
  return view.left_right != view.front_rear;
}
// Whether mirror image and direction go together: such a person's strip of paper agrees with their words.
inline bool coherent(const View& view) {
  return mirrored(view) == view.below;
}

}  // namespace armwise::solve
