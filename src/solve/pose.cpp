#include "armwise/solve/pose.hpp"

#include <algorithm>
#include <cmath>

namespace armwise::solve {
namespace {

using craft::Degrees;
using craft::InCraft;
using craft::Radians;

struct PoseText {
  std::string_view name, words, instruction;
};

constexpr std::array<PoseText, 6> texts{{
    {"level", "level", "Stand it level, as before take-off."},
    {"nose-down", "nose down", "Point its nose straight down."},
    {"right-side-down", "right side down", "Point its right side straight down."},
    {"nose-up", "nose up", "Point its nose straight up."},
    {"left-side-down", "left side down", "Point its left side straight down."},
    {"upside-down", "upside down", "Hold it level, upside down."},
}};

const PoseText& text_of(Pose pose) {
  return texts.at(static_cast<std::size_t>(pose));
}

constexpr InCraft up{0, 0, -1};

}  // namespace

std::string_view name(Pose pose) {
  return text_of(pose).name;
}
std::string_view in_words(Pose pose) {
  return text_of(pose).words;
}
std::string_view instruction(Pose pose) {
  return text_of(pose).instruction;
}

InCraft up_in(Pose pose) {
  switch (pose) {
    case Pose::level:
      return up;
    case Pose::nose_down:
      return {-1, 0, 0};
    case Pose::right_down:
      return {0, -1, 0};
    case Pose::nose_up:
      return {1, 0, 0};
    case Pose::left_down:
      return {0, 1, 0};
    case Pose::inverted:
      return {0, 0, 1};
  }
  return up;
}

InCraft up_in(Pose pose, Degrees tipped) {
  if (!is_tilt(pose)) return up_in(pose);
  const double angle = tipped.radians().value;
  return std::sin(angle) * up_in(pose) + std::cos(angle) * up;
}

Degrees misfit(Pose pose, const InCraft& reading) {
  if (!is_tilt(pose)) return angle_between(reading, up_in(pose));
  const Degrees tipped{Radians{std::atan2(dot(reading, up_in(pose)), dot(reading, up))}};
  const Degrees allowed = std::clamp(tipped, least_tilt, greatest_tilt);
  return angle_between(reading, up_in(pose, allowed));
}

PoseReading before_mount(Pose pose, const craft::InTold& reading, const craft::ToldFromBoard& set_mount) {
  return {pose, set_mount.inverse() * reading};
}

}  // namespace armwise::solve
