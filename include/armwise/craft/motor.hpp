// A motor's number and a pin's name: two things that must not be mixed up.
#pragma once

#include <compare>
#include <string>
#include <vector>

namespace armwise::craft {

// NOLINT below: clang-tidy 14 takes the 0 of a comparison that the compiler writes for a null pointer.

// The controller's mixer output, counted from 1 as a person counts; a profile turns it into the
// console's own code.
struct Motor {
  int number = 0;
  auto operator<=>(const Motor&) const = default;  // NOLINT(modernize-use-nullptr)
};

// The controller's own name for a physical output, as its console prints it.
struct Pin {
  std::string name;
  auto operator<=>(const Pin&) const = default;  // NOLINT(modernize-use-nullptr)
};

// The map (a setting): element i is the pin of motor i+1. An empty pin name: motor on no pin.
struct MotorMap {
  std::vector<Pin> pins;

  int size() const { return static_cast<int>(pins.size()); }
  const Pin& pin_of(Motor motor) const { return pins.at(static_cast<std::size_t>(motor.number - 1)); }
  Pin& pin_of(Motor motor) { return pins.at(static_cast<std::size_t>(motor.number - 1)); }
  // Motor{0} where no motor has it.
  Motor motor_on(const Pin& pin) const;
  bool operator==(const MotorMap&) const = default;
};

}  // namespace armwise::craft
