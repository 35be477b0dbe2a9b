#include "map_after.hpp"

#include <algorithm>

namespace armwise::solve {
namespace {

using craft::Motor;
using craft::MotorMap;
using craft::Pin;

const Pin& pin_at_place(const Wiring& wiring, craft::PlaceIndex place) {
  return std::find_if(wiring.at.begin(), wiring.at.end(),
                      [&](const auto& entry) { return entry.second.place == place; })
      ->first;
}

// The pins that motors of the frame are on now and that no motor will be on afterwards.
std::vector<Pin> left_behind(const MotorMap& now, const MotorMap& after, int frame_size) {
  std::vector<Pin> pins;
  for (int i = 0; i < std::min(now.size(), frame_size); ++i) {
    const Pin& pin = now.pin_of(Motor{i + 1});
    const bool taken_elsewhere = now.motor_on(pin).number != i + 1;
    if (!pin.name.empty() && !taken_elsewhere && after.motor_on(pin).number == 0) pins.push_back(pin);
  }
  return pins;
}

}  // namespace

MotorMap map_after(const craft::Frame& frame, const MotorMap& now, const Wiring& wiring,
                   const craft::Numbering& numbering) {
  MotorMap after;
  for (int i = 0; i < frame.size(); ++i) {
    after.pins.push_back(pin_at_place(wiring, numbering.place_of(Motor{i + 1})));
  }
  const MotorMap of_frame = after;
  for (int i = frame.size(); i < now.size(); ++i) {
    const Pin& pin = now.pin_of(Motor{i + 1});
    after.pins.push_back(of_frame.motor_on(pin).number > 0 ? Pin{} : pin);
  }
  std::vector<Pin> free = left_behind(now, after, frame.size());
  for (int i = frame.size(); i < now.size() && !free.empty(); ++i) {
    const Motor outside{i + 1};
    if (now.pin_of(outside).name.empty() || !after.pin_of(outside).name.empty()) continue;
    after.pin_of(outside) = free.front();
    free.erase(free.begin());
  }
  return after;
}

}  // namespace armwise::solve
