#include "words.hpp"

#include <algorithm>
#include <cmath>
#include <sstream>

namespace armwise::solve::words {
std::string listed(const std::vector<std::string>& items, std::string_view last) {
  std::string out;
  for (std::size_t i = 0; i < items.size(); ++i) {
    if (i > 0) out += i + 1 == items.size() ? " " + std::string(last) + " " : ", ";
    out += items[i];
  }
  return out;
}

std::string motor(craft::Motor motor) {
  return "motor " + std::to_string(motor.number);
}

std::string pin(const craft::Pin& pin) {
  return pin.name.empty() ? "no pin" : "pin " + pin.name;
}

std::string motor_on_pin(craft::Motor which, const craft::Pin& on) {
  return motor(which) + " (" + pin(on) + ")";
}

std::string place(const craft::Frame& frame, craft::PlaceIndex place) {
  return frame.places.at(place).name;
}

std::string mount(const craft::YawPitchRoll& mount) {
  std::ostringstream out;
  // Adding zero makes a negative zero a plain one.
  out << "yaw " << mount.yaw + 0.0 << ", pitch " << mount.pitch + 0.0 << ", roll " << mount.roll + 0.0
      << " degrees";
  return out.str();
}

std::string mount_rounded(const craft::YawPitchRoll& exact) {
  return mount({std::round(exact.yaw), std::round(exact.pitch), std::round(exact.roll)});
}

bool same_mount(const craft::YawPitchRoll& a, const craft::YawPitchRoll& b, double step) {
  // As rotations: the same mount has more than one set of angles. Each of three angles is rounded by half a
  // step at most; with the nose straight up or down two of them turn about one axis, and the third about one
  // across it.
  constexpr double told_apart_by_nobody = 0.75;
  const double same_within = std::max(told_apart_by_nobody, 1.01 * std::sqrt(5) / 2 * step);
  return craft::angle_between(craft::CraftFromBoard(a), craft::CraftFromBoard(b)).value < same_within;
}

std::string capitalised(std::string text) {
  if (!text.empty() && text.front() >= 'a' && text.front() <= 'z') {
    text.front() = static_cast<char>(text.front() - 'a' + 'A');
  }
  return text;
}

}  // namespace armwise::solve::words
