// The map as a console keeps it, refusing every write that its rules forbid. Written apart from the
// planner, from the rules alone.
#pragma once

#include <map>
#include <string>

#include "armwise/solve/write_order.hpp"

namespace armwise::solve {

class FakeTable {
 public:
  FakeTable(const craft::MotorMap& start, MapRules rules) : rules_(rules) {
    for (int i = 0; i < start.size(); ++i) {
      const std::string& pin = start.pins[static_cast<std::size_t>(i)].name;
      if (pin.empty()) continue;
      if (by_motor()) {
        pin_of_[i + 1] = pin;
      } else {
        motor_on_[pin] = i + 1;
      }
    }
  }

  // What the console answers; empty: done.
  std::string write(const MapWrite& write) {
    ++writes_;
    return write.kind == MapWrite::Kind::free ? free(write) : put(write);
  }

  // As the console would list it; a motor on no pin is not listed.
  std::map<int, std::string> listed() const {
    if (by_motor()) return pin_of_;
    std::map<int, std::string> out;
    for (const auto& [pin, motor] : motor_on_) out[motor] = out.contains(motor) ? "two pins" : pin;
    return out;
  }

  int writes() const { return writes_; }

 private:
  bool by_motor() const { return rules_.kept == MapKept::per_motor; }

  std::string put(const MapWrite& write) {
    const int motor = write.motor.number;
    const std::string& pin = write.pin.name;
    if (pin.empty()) return "put on no pin";
    if (by_motor()) {
      for (const auto& [other, stands] : pin_of_) {
        if (!rules_.shared_meanwhile && other != motor && stands == pin) return "pin " + pin + " is taken";
      }
      pin_of_[motor] = pin;
      return {};
    }
    for (const auto& [other, on] : motor_on_) {
      if (!rules_.shared_meanwhile && other != pin && on == motor) return "motor is on pin " + other;
    }
    motor_on_[pin] = motor;
    return {};
  }

  std::string free(const MapWrite& write) {
    const int motor = write.motor.number;
    if (by_motor()) {
      if (!pin_of_.contains(motor) || pin_of_.at(motor) != write.pin.name) return "motor is not on that pin";
      pin_of_.erase(motor);
      return {};
    }
    const auto stands = motor_on_.find(write.pin.name);
    if (stands == motor_on_.end() || stands->second != motor) return "motor is not on that pin";
    motor_on_.erase(stands);
    return {};
  }

  MapRules rules_;
  std::map<int, std::string> pin_of_;
  std::map<std::string, int> motor_on_;
  int writes_ = 0;
};

inline std::map<int, std::string> listed(const craft::MotorMap& map) {
  std::map<int, std::string> out;
  for (int i = 0; i < map.size(); ++i) {
    const std::string& pin = map.pins[static_cast<std::size_t>(i)].name;
    if (!pin.empty()) out[i + 1] = pin;
  }
  return out;
}

constexpr MapRules every_rule[] = {{MapKept::per_motor, true},
                                   {MapKept::per_motor, false},
                                   {MapKept::per_pin, true},
                                   {MapKept::per_pin, false}};

inline std::string in_words(MapRules rules) {
  return std::string(rules.kept == MapKept::per_motor ? "per motor" : "per pin") +
         (rules.shared_meanwhile ? ", shared" : ", not shared");
}

}  // namespace armwise::solve
