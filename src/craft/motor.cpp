#include "armwise/craft/motor.hpp"

#include <algorithm>

namespace armwise::craft {

Motor MotorMap::motor_on(const Pin& pin) const {
  // An empty name is no pin: motors that are on none must not be found by it.
  if (pin.name.empty()) return Motor{0};
  const auto found = std::find(pins.begin(), pins.end(), pin);
  return found == pins.end() ? Motor{0} : Motor{static_cast<int>(found - pins.begin()) + 1};
}

}  // namespace armwise::craft
