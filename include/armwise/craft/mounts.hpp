// The mounts that people build, by name: board edges along the craft's axes, or turned by 45 degrees.
#pragma once

#include <span>
#include <string>
#include <vector>

#include "armwise/craft/rotation.hpp"

namespace armwise::craft {

// Which side of the board is up once it is in the craft.
enum class BoardSide { right_way_up, upside_down, right_edge_down, left_edge_down, arrow_up, arrow_down };

struct Mount {
  YawPitchRoll angles;  // yaw a multiple of 45 within (-180, 180]
  CraftFromBoard rotation;
  BoardSide side = BoardSide::right_way_up;
  std::string words;  // "turned 90 to the right, upside down"; "not turned" for the mount as designed
};

Mount mount(Degrees yaw, BoardSide side);

// All 48: eight yaws, six sides. The first 16 are upright and upside down; the 24 with yaw a multiple of 90
// are the axis-aligned ones. Each is a different rotation: at least 45 degrees apart.
std::span<const Mount> mounts();

struct NearestMounts {
  const Mount* nearest = nullptr;
  Degrees off;
  const Mount* second = nullptr;
  Degrees second_off;
};
NearestMounts nearest_mounts(const CraftFromBoard& rotation);

// Any mount: the name of the nearest, and how far off it is where that is half a degree or more.
std::string in_words(const CraftFromBoard& rotation);
// "turned 90 to the right", "turned 45 to the left", "facing backward", "not turned".
std::string turned_in_words(Degrees yaw);

}  // namespace armwise::craft
