#include "output_codes.hpp"

#include <algorithm>

#include "settings.hpp"

namespace armwise::practice {

std::optional<int> OutputCodes::motor_in(const console::Values& values) const {
  const auto found = values.find("motor");
  if (found == values.end()) return std::nullopt;
  const std::optional<craft::Motor> motor = profile.motor_coded(found->second);
  if (!motor || motor->number < 1 || motor->number > craft.motors) return std::nullopt;
  return motor->number - 1;
}

std::optional<int> OutputCodes::pin_in(const console::Values& values) const {
  const auto found = values.find("pin");
  if (found == values.end()) return std::nullopt;
  const auto same = [&](const std::string& pin) { return profile.same(pin, found->second); };
  const auto pin = std::find_if(craft.pins.begin(), craft.pins.end(), same);
  if (pin == craft.pins.end()) return std::nullopt;
  return static_cast<int>(pin - craft.pins.begin());
}

std::string OutputCodes::motor_text(int motor) const {
  return motor == nothing ? profile.map->no_motor : profile.motor_code(craft::Motor{motor + 1});
}

std::string OutputCodes::pin_text(int pin) const {
  if (pin == nothing) return profile.map ? profile.map->no_pin : std::string();
  return craft.pins[static_cast<std::size_t>(pin)];
}

}  // namespace armwise::practice
