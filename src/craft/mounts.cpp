#include "armwise/craft/mounts.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdio>

namespace armwise::craft {
namespace {

constexpr std::array all_sides{BoardSide::right_way_up,   BoardSide::upside_down, BoardSide::right_edge_down,
                               BoardSide::left_edge_down, BoardSide::arrow_up,    BoardSide::arrow_down};

YawPitchRoll angles_of(Degrees yaw, BoardSide side) {
  switch (side) {
    case BoardSide::right_way_up:
      return {yaw.value, 0, 0};
    case BoardSide::upside_down:
      return {yaw.value, 0, 180};
    case BoardSide::right_edge_down:
      return {yaw.value, 0, 90};
    case BoardSide::left_edge_down:
      return {yaw.value, 0, -90};
    case BoardSide::arrow_up:
      return {yaw.value, 90, 0};
    case BoardSide::arrow_down:
      return {yaw.value, -90, 0};
  }
  return {};
}

std::string side_in_words(BoardSide side) {
  switch (side) {
    case BoardSide::right_way_up:
      return "";
    case BoardSide::upside_down:
      return "upside down";
    case BoardSide::right_edge_down:
      return "on edge with its right side down";
    case BoardSide::left_edge_down:
      return "on edge with its left side down";
    case BoardSide::arrow_up:
      return "on edge with its arrow up";
    case BoardSide::arrow_down:
      return "on edge with its arrow down";
  }
  return "";
}

std::string mount_in_words(Degrees yaw, BoardSide side) {
  std::string standing = side_in_words(side);
  if (standing.empty()) return turned_in_words(yaw);
  if (yaw.value == 0) return standing;
  return turned_in_words(yaw) + ", " + standing;
}

std::vector<Mount> all_mounts() {
  std::vector<Mount> all;
  for (const BoardSide side : all_sides) {
    for (int eighth = 0; eighth < 8; ++eighth) all.push_back(mount(Degrees{45.0 * eighth}, side));
  }
  return all;
}

std::string short_number(double value) {
  char text[32];
  std::snprintf(text, sizeof text, "%g", std::round(value * 10) / 10);
  return text;
}

}  // namespace

std::string turned_in_words(Degrees yaw) {
  const double turn = wrapped(yaw).value;
  const std::string size = short_number(std::abs(turn));
  if (size == "0") return "not turned";
  if (size == "180") return "facing backward";
  return "turned " + size + (turn > 0 ? " to the right" : " to the left");
}

Mount mount(Degrees yaw, BoardSide side) {
  const Degrees within = wrapped(yaw);
  const YawPitchRoll angles = angles_of(within, side);
  return {angles, CraftFromBoard(angles), side, mount_in_words(within, side)};
}

std::span<const Mount> mounts() {
  static const std::vector<Mount> all = all_mounts();
  return all;
}

NearestMounts nearest_mounts(const CraftFromBoard& rotation) {
  // Any two, farther off than any turn can be.
  NearestMounts found{&mounts()[0], Degrees{361}, &mounts()[1], Degrees{361}};
  for (const Mount& candidate : mounts()) {
    const Degrees off = angle_between(candidate.rotation, rotation);
    if (off < found.off) {
      found.second = found.nearest;
      found.second_off = found.off;
      found.nearest = &candidate;
      found.off = off;
    } else if (off < found.second_off) {
      found.second = &candidate;
      found.second_off = off;
    }
  }
  return found;
}

std::string in_words(const CraftFromBoard& rotation) {
  const NearestMounts near = nearest_mounts(rotation);
  if (near.off.value < 0.5) return near.nearest->words;
  const std::string off = short_number(near.off.value);
  return near.nearest->words + ", but " + off + (off == "1" ? " degree" : " degrees") + " off that";
}

}  // namespace armwise::craft
