#include "settings.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace armwise::practice {
namespace {

using Rows = std::array<Vector, 3>;
constexpr double degree = std::numbers::pi / 180;

// 0 roll (about x), 1 pitch (about y), 2 yaw (about z), in the order in which the console applies them.
std::array<std::size_t, 3> axes_in_order(const console::MountAbility& ability) {
  std::array<std::size_t, 3> order{2, 1, 0};
  std::size_t at = 0;
  std::string rest = ability.order;
  while (!rest.empty() && at < 3) {
    const std::size_t dash = std::min(rest.find('-'), rest.size());
    const std::string word = rest.substr(0, dash);
    order[at++] = word == "yaw" ? 2 : word == "pitch" ? 1 : 0;
    rest.erase(0, std::min(dash + 1, rest.size()));
  }
  return order;
}

Rows about(std::size_t axis, double angle) {
  const double c = std::cos(angle), s = std::sin(angle);
  if (axis == 0) return {{{1, 0, 0}, {0, c, -s}, {0, s, c}}};
  if (axis == 1) return {{{c, 0, s}, {0, 1, 0}, {-s, 0, c}}};
  return {{{c, -s, 0}, {s, c, 0}, {0, 0, 1}}};
}

Rows product(const Rows& a, const Rows& b) {
  Rows out{};
  for (std::size_t i = 0; i < 3; ++i) {
    for (std::size_t j = 0; j < 3; ++j) {
      for (std::size_t k = 0; k < 3; ++k) out[i][j] += a[i][k] * b[k][j];
    }
  }
  return out;
}

Rows transposed(const Rows& m) {
  return {{{m[0][0], m[1][0], m[2][0]}, {m[0][1], m[1][1], m[2][1]}, {m[0][2], m[1][2], m[2][2]}}};
}

Rows of_our_angles(const craft::YawPitchRoll& angles) {
  return product(product(about(2, angles.yaw * degree), about(1, angles.pitch * degree)),
                 about(0, angles.roll * degree));
}

// The rotation from board to craft that the console's own numbers stand for.
Rows of_console_angles(const console::MountAbility& ability, const std::array<double, 3>& told) {
  Rows out = about(0, 0);
  for (const std::size_t axis : axes_in_order(ability)) {
    const std::size_t index = 2 - axis;  // told: yaw, pitch, roll
    out = product(out, about(axis, told[index] / ability.per_degree * ability.signs[index] * degree));
  }
  return ability.craft_to_board ? transposed(out) : out;
}

// Tait-Bryan angles of R = A_i(a) A_j(b) A_k(c) for any order i, j, k of three different axes; e is +1 for
// a cyclic order: sin b = e R_ik, tan a = -e R_jk / R_kk, tan c = -e R_ij / R_ii.
std::array<double, 3> console_angles(const console::MountAbility& ability, const craft::YawPitchRoll& ours) {
  Rows r = of_our_angles(ours);
  if (ability.craft_to_board) r = transposed(r);
  const auto [i, j, k] = axes_in_order(ability);
  const double e = (j == (i + 1) % 3) ? 1 : -1;
  const std::array<double, 3> found{std::atan2(-e * r[j][k], r[k][k]),
                                    std::asin(std::clamp(e * r[i][k], -1.0, 1.0)),
                                    std::atan2(-e * r[i][j], r[i][i])};
  const std::array<std::size_t, 3> axes{i, j, k};
  std::array<double, 3> told{};
  const double step = std::pow(10.0, -ability.decimals);
  for (std::size_t n = 0; n < 3; ++n) {
    const std::size_t index = 2 - axes[n];
    const double value = found[n] / degree * ability.signs[index] * ability.per_degree;
    told[index] = std::round(value / step) * step + 0.0;
  }
  return told;
}

std::string code_of(const console::MountAbility& ability, const craft::YawPitchRoll& ours) {
  const Rows wanted = of_our_angles(ours);
  for (const auto& [code, angles] : ability.codes) {
    const Rows each = of_our_angles(angles);
    double difference = 0;
    for (std::size_t i = 0; i < 3; ++i) {
      for (std::size_t j = 0; j < 3; ++j) difference += std::abs(each[i][j] - wanted[i][j]);
    }
    if (difference < 1e-6) return code;
  }
  return ability.codes.begin()->first;
}

void start_map(const console::Profile& profile, const PracticeCraft& craft, Settings& settings) {
  const auto pin_index = [&](const std::string& pin) {
    const auto found = std::find(craft.pins.begin(), craft.pins.end(), pin);
    return found == craft.pins.end() ? nothing : static_cast<int>(found - craft.pins.begin());
  };
  std::vector<int> pins(static_cast<std::size_t>(craft.motors), nothing);
  for (std::size_t motor = 0; motor < pins.size(); ++motor) {
    if (craft.start.map) {
      if (motor < craft.start.map->size()) pins[motor] = pin_index((*craft.start.map)[motor]);
    } else if (motor < craft.pins.size()) {
      pins[motor] = static_cast<int>(motor);
    }
  }
  if (profile.map && profile.map->rules.kept == solve::MapKept::per_pin) {
    settings.motor_of_pin.assign(craft.pins.size(), nothing);
    for (std::size_t motor = 0; motor < pins.size(); ++motor) {
      if (pins[motor] != nothing)
        settings.motor_of_pin[static_cast<std::size_t>(pins[motor])] = static_cast<int>(motor);
    }
  } else {
    settings.pin_of_motor = std::move(pins);
  }
}

void start_turns(const console::Profile& profile, const PracticeCraft& craft, Settings& settings) {
  const bool by_pin = profile.turn && profile.turn->key == solve::TurnKey::pin;
  settings.turns.assign(by_pin ? craft.pins.size() : static_cast<std::size_t>(craft.motors), craft::Turn::cw);
  if (by_pin) {
    for (std::size_t pin = 0; pin < craft.pins.size(); ++pin) {
      const auto found = craft.start.turns_by_pin.find(craft.pins[pin]);
      if (found != craft.start.turns_by_pin.end()) settings.turns[pin] = found->second;
    }
  } else if (craft.start.turns_by_motor) {
    for (std::size_t i = 0; i < settings.turns.size() && i < craft.start.turns_by_motor->size(); ++i) {
      settings.turns[i] = (*craft.start.turns_by_motor)[i];
    }
  }
}

}  // namespace

std::vector<int> Settings::pins_driven_by(int motor) const {
  std::vector<int> pins;
  if (!pin_of_motor.empty()) {
    const int pin = pin_of_motor[static_cast<std::size_t>(motor)];
    if (pin != nothing) pins.push_back(pin);
    return pins;
  }
  for (std::size_t pin = 0; pin < motor_of_pin.size(); ++pin) {
    if (motor_of_pin[pin] == motor) pins.push_back(static_cast<int>(pin));
  }
  return pins;
}

Settings starting_settings(const console::Profile& profile, const PracticeCraft& craft) {
  Settings settings;
  start_map(profile, craft, settings);
  start_turns(profile, craft, settings);
  settings.entries = craft.start.entries;
  settings.props = craft.start.props.value_or(craft::PropScheme::in);
  if (profile.mount) {
    const craft::YawPitchRoll mount = craft.start.mount.value_or(craft::YawPitchRoll{});
    settings.mount = console_angles(*profile.mount, mount);
    if (!profile.mount->codes.empty()) settings.mount_code = code_of(*profile.mount, mount);
  }
  return settings;
}

Vector turned_by_mount(const console::MountAbility& ability, const Settings& settings, const Vector& v) {
  const auto code = ability.codes.find(settings.mount_code);
  const Rows r =
      code != ability.codes.end() ? of_our_angles(code->second) : of_console_angles(ability, settings.mount);
  Vector out{};
  for (std::size_t i = 0; i < 3; ++i) out[i] = r[i][0] * v[0] + r[i][1] * v[1] + r[i][2] * v[2];
  return out;
}

}  // namespace armwise::practice
