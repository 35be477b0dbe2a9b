// The plain symmetries of a frame's places: turns and mirror images about its centre, upper places onto upper
// ones.
#pragma once

#include <array>
#include <cstdint>
#include <vector>

#include "armwise/craft/frame.hpp"

namespace armwise::solve {

constexpr std::size_t most_motors = 8;
using Places = std::array<std::uint8_t, most_motors>;  // place -> place, or row -> place

struct FrameSymmetry {
  std::vector<Places> all;  // the identity first
  bool has_left_right = false, has_front_rear = false, has_half_turn = false;
  Places left_right{}, front_rear{}, half_turn{};  // the identity where the frame does not have it
};

// Throws Fault(internal) for a frame of more than eight places.
FrameSymmetry symmetry_of(const craft::Frame& frame);

}  // namespace armwise::solve
