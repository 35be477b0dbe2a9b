// Wahba's problem: the rotation that fits pairs of directions best. Pure.
#pragma once

#include <array>
#include <span>
#include <vector>

#include "armwise/craft/rotation.hpp"

namespace armwise::solve {

struct DirectionPair {
  craft::InCraft in_craft;
  craft::InBoard in_board;
  double weight = 1;
};

struct DirectionFit {
  craft::CraftFromBoard craft_from_board;
  double root_sum_squared = 0;  // square root of sum weight |craft - R board|^2
  std::vector<craft::Degrees> residuals;
  std::array<double, 3> singular_values{};
  // The fit without the demand of a proper rotation would be a mirror image.
  bool mirrored = false;
  // Fewer than two different directions: any rotation about the only one fits as well.
  bool undetermined = false;
};

// Minimises sum weight |craft - R board|^2 over proper rotations, by the singular value decomposition of
// sum weight craft board^T (Markley 1988, J. Astronaut. Sci. 36:245 [from memory]). Lengths count as weights
// do: normalise first where they should not.
DirectionFit fit_directions(std::span<const DirectionPair> pairs);

// The part of a vector at right angles to a unit vector.
template <class Axes>
craft::Vector<Axes> across(const craft::Vector<Axes>& v, const craft::Vector<Axes>& unit_vector) {
  return v - craft::dot(v, unit_vector) * unit_vector;
}

}  // namespace armwise::solve
