#include "board.hpp"

#include <algorithm>
#include <charconv>
#include <cmath>
#include <tuple>

namespace armwise::practice {
namespace {

constexpr Duration longest_bounded_spin{10000};

std::optional<double> number_in(const console::Values& values, const char* name) {
  const auto found = values.find(name);
  if (found == values.end()) return std::nullopt;
  std::string_view text = found->second;
  if (text.starts_with('+')) text.remove_prefix(1);
  double number = 0;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), number);
  if (error != std::errc{} || end != text.data() + text.size() || !std::isfinite(number)) return std::nullopt;
  return number;
}

bool asks_for(const console::Values& values, const char* name) {
  return values.contains(name);
}

}  // namespace

std::string_view in_words(Refusal refusal) {
  switch (refusal) {
    case Refusal::unknown_command:
      return "unknown command";
    case Refusal::unknown_motor:
      return "no such motor";
    case Refusal::unknown_pin:
      return "no such pin";
    case Refusal::pin_taken:
      return "already taken";
    case Refusal::out_of_range:
      return "out of range";
    case Refusal::not_possible:
      return "not possible now";
  }
  return "unknown command";
}

Board::Board(const console::Profile& profile, PracticeCraft craft, int invented_lines)
    : profile_(profile),
      craft_(std::move(craft)),
      invented_(profile_, craft_, invented_lines),
      answers_(profile_, craft_, running_, in_force_, invented_) {
  if (!profile_.codes.motor.empty()) {
    craft_.motors = std::min(craft_.motors, static_cast<int>(profile_.codes.motor.size()));
  }
  saved_ = starting_settings(profile_, craft_);
  restart();
}

void Board::restart() {
  running_ = saved_;
  in_force_ = saved_;
  spinning_.clear();
}

Outcome Board::carry_out(const Phrase& phrase, const console::Values& values, Instant now, const Slip& slip) {
  if (phrase.query != nullptr) return answers_.to(phrase, values, slip);
  Outcome outcome;
  switch (phrase.act) {
    case Act::spin:
      outcome.refusal = spin(values, now);
      break;
    case Act::stop_one:
      outcome.refusal = stop_one(values, !slip.not_stopped);
      break;
    case Act::stop_all:
      if (!slip.not_stopped) spinning_.clear();
      break;
    case Act::keep:
      if (!slip.not_kept) saved_ = running_;
      break;
    case Act::restart:
    case Act::leave:
      break;
    default:
      outcome.refusal = write(phrase.act, values, slip);
      break;
  }
  if (!outcome.refusal && phrase.command->confirms) {
    if (auto line = filled(*phrase.command->confirms, values)) outcome.lines.push_back(std::move(*line));
  }
  return outcome;
}

std::optional<Refusal> Board::write(Act act, const console::Values& values, const Slip& slip) {
  const bool store = !slip.not_stored && !slip.clamped;
  std::optional<Refusal> refusal;
  if (act == Act::put_motor) {
    refusal = put(values, store);
  } else if (act == Act::free_motor) {
    refusal = free(values, store);
  } else if (act == Act::set_turn) {
    refusal = set_turn(values, store);
  } else if (act == Act::set_mount) {
    refusal = set_mount(values, slip);
  } else {
    const auto props = values.find("props");
    const auto scheme = props == values.end() ? std::nullopt : profile_.props_coded(props->second);
    if (!scheme) return Refusal::out_of_range;
    if (store) running_.props = *scheme;
  }
  if (!refusal) come_into_force(act);
  return refusal;
}

void Board::come_into_force(Act act) {
  using console::TakesEffect;
  if (act == Act::set_turn) {
    if (profile_.turn->takes_effect == TakesEffect::at_once) in_force_.turns = running_.turns;
  } else if (act == Act::set_props) {
    if (profile_.props->takes_effect == TakesEffect::at_once) in_force_.props = running_.props;
  } else if (act == Act::set_mount) {
    if (profile_.mount->takes_effect == TakesEffect::after_restart) return;
    in_force_.mount = running_.mount;
    in_force_.mount_code = running_.mount_code;
  } else if (profile_.map->takes_effect == TakesEffect::at_once) {
    in_force_.pin_of_motor = running_.pin_of_motor;
    in_force_.motor_of_pin = running_.motor_of_pin;
  }
}

std::optional<Refusal> Board::put(const console::Values& values, bool store) {
  const auto says = [&](const char* name, const std::string& code) {
    const auto found = values.find(name);
    return !code.empty() && found != values.end() && profile_.same(found->second, code);
  };
  if (says("pin", profile_.map->no_pin) || says("motor", profile_.map->no_motor)) return free(values, store);
  const std::optional<int> motor = codes_.motor_in(values);
  const std::optional<int> pin = codes_.pin_in(values);
  if (!motor) return Refusal::unknown_motor;
  if (!pin) return Refusal::unknown_pin;
  const bool shared = profile_.map->rules.shared_meanwhile;
  const bool per_pin = !running_.motor_of_pin.empty();
  std::vector<int>& table = per_pin ? running_.motor_of_pin : running_.pin_of_motor;
  const int key = per_pin ? *pin : *motor;
  const int value = per_pin ? *motor : *pin;
  for (std::size_t i = 0; i < table.size(); ++i) {
    if (!shared && table[i] == value && static_cast<int>(i) != key) return Refusal::pin_taken;
  }
  if (store) table[static_cast<std::size_t>(key)] = value;
  return std::nullopt;
}

std::optional<Refusal> Board::free(const console::Values& values, bool store) {
  const std::optional<int> motor = codes_.motor_in(values);
  const std::optional<int> pin = codes_.pin_in(values);
  if (!motor && !pin) return asks_for(values, "motor") ? Refusal::unknown_motor : Refusal::unknown_pin;
  const bool per_pin = !running_.motor_of_pin.empty();
  std::vector<int>& table = per_pin ? running_.motor_of_pin : running_.pin_of_motor;
  const std::optional<int> key = per_pin ? pin : motor;
  const std::optional<int> value = per_pin ? motor : pin;
  for (std::size_t i = 0; i < table.size(); ++i) {
    const bool meant = key ? static_cast<int>(i) == *key : table[i] == *value;
    if (meant && store) table[i] = nothing;
  }
  return std::nullopt;
}

std::optional<Refusal> Board::set_turn(const console::Values& values, bool store) {
  const bool by_pin = profile_.turn->key == solve::TurnKey::pin;
  const std::optional<int> key = by_pin ? codes_.pin_in(values) : codes_.motor_in(values);
  if (!key) return by_pin ? Refusal::unknown_pin : Refusal::unknown_motor;
  const auto code = values.find("turn");
  const auto turn = code == values.end() ? std::nullopt : profile_.turn_coded(code->second);
  if (!turn) return Refusal::out_of_range;
  if (store) running_.turns[static_cast<std::size_t>(*key)] = *turn;
  return std::nullopt;
}

std::optional<Refusal> Board::set_mount(const console::Values& values, const Slip& slip) {
  const console::MountAbility& ability = *profile_.mount;
  if (const auto code = values.find("mount"); code != values.end()) {
    for (const auto& [known, angles] : ability.codes) {
      if (!profile_.same(known, code->second)) continue;
      if (!slip.not_stored && !slip.clamped) running_.mount_code = known;
      return std::nullopt;
    }
    return Refusal::out_of_range;
  }
  std::array<double, 3> wanted = running_.mount;
  const std::array<const char*, 3> names{"yaw", "pitch", "roll"};
  const double unit = std::abs(ability.per_degree);
  const double step = std::pow(10.0, -ability.decimals);
  for (std::size_t i = 0; i < names.size(); ++i) {
    if (!asks_for(values, names[i])) continue;
    const std::optional<double> number = number_in(values, names[i]);
    // One whole turn either way, and a hair for what was rounded.
    if (!number || std::abs(*number) > 360 * unit + step) return Refusal::out_of_range;
    wanted[i] = std::round(*number / step) * step;
    if (slip.clamped) wanted[i] = std::clamp(wanted[i], -45 * unit, 45 * unit);
  }
  if (!slip.not_stored) running_.mount = wanted;
  return std::nullopt;
}

std::optional<Refusal> Board::spin(const console::Values& values, Instant now) {
  const std::optional<int> motor = codes_.motor_in(values);
  if (!motor) return Refusal::unknown_motor;
  const console::SpinAbility& ability = *profile_.spin;
  const std::optional<double> strength = number_in(values, "strength");
  if (!strength) return Refusal::out_of_range;
  if (*strength == ability.zero) {
    spinning_.erase(*motor);
    return std::nullopt;
  }
  const double hair = std::pow(10.0, -ability.decimals) / 2;
  if (*strength < ability.lowest - hair || *strength > ability.highest + hair) return Refusal::out_of_range;
  std::optional<Instant> until;
  if (asks_for(values, "milliseconds")) {
    const std::optional<double> length = number_in(values, "milliseconds");
    const auto longest = static_cast<double>(longest_bounded_spin.count());
    if (!length || *length < 1 || *length > longest) return Refusal::out_of_range;
    until = now + Duration(static_cast<Duration::rep>(*length));
  }
  if (in_force_.pins_driven_by(*motor).empty()) return Refusal::not_possible;
  spinning_[*motor] = until;
  return std::nullopt;
}

std::optional<Refusal> Board::stop_one(const console::Values& values, bool really) {
  const std::optional<int> motor = codes_.motor_in(values);
  if (!motor) return Refusal::unknown_motor;
  if (really) spinning_.erase(*motor);
  return std::nullopt;
}

std::vector<Turning> Board::turning(Instant now) const {
  std::vector<Turning> seen;
  for (const auto& [motor, until] : spinning_) {
    if (until && *until <= now) continue;
    for (const int pin : in_force_.pins_driven_by(motor)) {
      const auto end = craft_.wiring.find(craft_.pins[static_cast<std::size_t>(pin)]);
      if (end == craft_.wiring.end()) continue;
      const bool by_pin = profile_.turn && profile_.turn->key == solve::TurnKey::pin;
      const craft::Turn setting = in_force_.turns[static_cast<std::size_t>(by_pin ? pin : motor)];
      const craft::Turn turn = setting == craft::Turn::cw ? end->second.turn : opposite(end->second.turn);
      seen.push_back({craft_.frame->places[end->second.place].name, turn});
    }
  }
  std::sort(seen.begin(), seen.end(), [](const Turning& a, const Turning& b) {
    return std::tie(a.place, a.turn) < std::tie(b.place, b.turn);
  });
  seen.erase(std::unique(seen.begin(), seen.end()), seen.end());
  return seen;
}

std::optional<Instant> Board::next_stop(Instant now) const {
  std::optional<Instant> next;
  for (const auto& [motor, until] : spinning_) {
    if (until && *until > now && (!next || *until < *next)) next = until;
  }
  return next;
}

}  // namespace armwise::practice
