#include "armwise/practice/craft.hpp"

#include <cmath>
#include <functional>
#include <numbers>

#include "armwise/base/random.hpp"

namespace armwise::practice {
namespace {

using Rows = std::array<Vector, 3>;

// Row by row out of the three turns, written out: R = Rz(yaw) Ry(pitch) Rx(roll).
Rows matrix(const craft::YawPitchRoll& angles) {
  constexpr double radians = std::numbers::pi / 180;
  const double cy = std::cos(angles.yaw * radians), sy = std::sin(angles.yaw * radians);
  const double cp = std::cos(angles.pitch * radians), sp = std::sin(angles.pitch * radians);
  const double cr = std::cos(angles.roll * radians), sr = std::sin(angles.roll * radians);
  return {{{cy * cp, cy * sp * sr - sy * cr, cy * sp * cr + sy * sr},
           {sy * cp, sy * sp * sr + cy * cr, sy * sp * cr - cy * sr},
           {-sp, cp * sr, cp * cr}}};
}

std::uint64_t hashed(std::string_view text) {
  return std::hash<std::string_view>{}(text);
}

// A pose is held once and read many times: the hand's error belongs to the pose, not to the reading.
craft::YawPitchRoll as_held(const PracticeCraft& craft) {
  const auto found = poses().find(craft.pose);
  if (found == poses().end()) return {};
  craft::YawPitchRoll attitude = found->second;
  if (craft.pose_error == 0) return attitude;
  Random random(craft.seed * 31 + hashed(craft.pose));
  // A person asked to tip the nose tips it somewhere between 42 and 80 degrees. Less is asked for again,
  // which whoever practises could not do.
  const double tip = 42 + 38 * random.fraction();
  if (std::abs(attitude.pitch) == 60) attitude.pitch = std::copysign(tip, attitude.pitch);
  if (std::abs(attitude.roll) == 60) attitude.roll = std::copysign(tip, attitude.roll);
  attitude.yaw = 360 * random.fraction();
  // For level it stands on a table.
  const double error = craft.pose == "level" ? craft.pose_error / 4 : craft.pose_error;
  attitude.pitch += error * random.normal();
  attitude.roll += error * random.normal();
  return attitude;
}

Vector with_noise(Vector value, double deviation, std::uint64_t seed) {
  Random random(seed);
  for (double& component : value) component += deviation * random.normal();
  return value;
}

}  // namespace

Vector rotated_back(const craft::YawPitchRoll& angles, const Vector& v) {
  const Rows r = matrix(angles);
  return {r[0][0] * v[0] + r[1][0] * v[1] + r[2][0] * v[2], r[0][1] * v[0] + r[1][1] * v[1] + r[2][1] * v[2],
          r[0][2] * v[0] + r[1][2] * v[1] + r[2][2] * v[2]};
}

const std::map<std::string, craft::YawPitchRoll, std::less<>>& poses() {
  static const std::map<std::string, craft::YawPitchRoll, std::less<>> known{
      {"level", {0, 0, 0}},
      {"nose-down", {0, -60, 0}},
      {"nose-up", {0, 60, 0}},
      {"right-side-down", {0, 0, 60}},
      {"left-side-down", {0, 0, -60}},
      {"upside-down", {0, 0, 180}},
      {"board-level", {0, 0, 0}},
      {"board-arrow-down", {0, -85, 0}},
      {"board-right-edge-down", {0, 0, 85}},
      {"turning-right", {0, 0, 0}},
      {"turning-right-nose-down", {0, -60, 0}},
      {"turning-right-right-side-down", {0, 0, 60}},
      {"turning-left", {0, 0, 0}}};
  return known;
}

bool PracticeCraft::reverse(std::string_view place) {
  const std::optional<craft::PlaceIndex> index = frame->find(place);
  if (!index) return false;
  for (auto& [pin, soldered] : wiring) {
    if (soldered.place == *index) {
      soldered.turn = opposite(soldered.turn);
      return true;
    }
  }
  return false;
}

bool PracticeCraft::hold(std::string_view pose_name) {
  if (!poses().contains(pose_name)) return false;
  pose = pose_name;
  return true;
}

Vector PracticeCraft::specific_force(std::uint64_t reading) const {
  // At rest the accelerometer is pushed up by one g; up is -z in axes that are level with the ground.
  const Vector in_craft = rotated_back(as_held(*this), {0, 0, -1});
  // Held by the board itself, it does not matter how that sits in the craft.
  const Vector in_board = pose.starts_with("board-") ? in_craft : rotated_back(mount, in_craft);
  return with_noise(in_board, noise_g, seed * 1000003 + reading * 2 + 1);
}

Vector PracticeCraft::turning_rate(std::uint64_t reading) const {
  constexpr double by_hand = 45;
  // About the vertical, however the craft is held meanwhile.
  Vector about_down{0, 0, 0};
  if (pose.starts_with("turning-right")) about_down[2] = by_hand;
  if (pose == "turning-left") about_down[2] = -by_hand;
  const Vector in_craft = rotated_back(as_held(*this), about_down);
  return with_noise(rotated_back(mount, in_craft), noise_dps, seed * 1000003 + reading * 2 + 2);
}

PracticeCraft seeded_craft(const craft::Frame& frame, std::uint64_t seed, std::vector<std::string> pins) {
  Random random(seed ^ 0x61726D77697365ULL);
  PracticeCraft craft;
  craft.frame = &frame;
  craft.motors = frame.size();
  craft.seed = seed;
  if (pins.empty()) {
    for (int i = 1; i <= frame.size() + 2; ++i) pins.push_back("P" + std::to_string(i));
  }
  std::vector<craft::PlaceIndex> order(frame.places.size());
  for (std::size_t i = 0; i < order.size(); ++i) order[i] = i;
  random.shuffle(order);
  for (std::size_t i = 0; i < order.size() && i < pins.size(); ++i) {
    craft.wiring[pins[i]] = {order[i], random.one_in(2) ? craft::Turn::cw : craft::Turn::ccw};
  }
  craft.pins = std::move(pins);
  craft.mount.yaw = 90.0 * static_cast<double>(random.below(4));
  craft.mount.roll = random.one_in(4) ? 180 : 0;
  constexpr std::string_view digits = "0123456789ABCDEF";
  craft.serial = "AW";
  for (int i = 0; i < 8; ++i) craft.serial += digits[random.below(16)];
  return craft;
}

}  // namespace armwise::practice
