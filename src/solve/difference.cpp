#include "armwise/solve/difference.hpp"

#include <algorithm>
#include <map>
#include <optional>

#include "words.hpp"

namespace armwise::solve {
namespace {

using craft::Motor;
using craft::Pin;
using craft::Turn;

// The turn setting that belongs to motor `index` of `map`, read out of a snapshot whose own map may differ.
std::optional<Turn> turn_setting(const Snapshot& from, const craft::MotorMap& map, int index) {
  if (from.turn_key == TurnKey::not_settable || from.turns.empty()) return std::nullopt;
  int at = index;
  if (from.turn_key == TurnKey::pin) {
    const Pin& pin = map.pins.at(static_cast<std::size_t>(index));
    at = pin.name.empty() ? -1 : from.map.motor_on(pin).number - 1;
  }
  if (at < 0 || at >= static_cast<int>(from.turns.size())) return std::nullopt;
  return from.turns[static_cast<std::size_t>(at)];
}

// Where the console keeps a motor for each pin, a put takes the pin away from the motor that stood on it.
void displace(craft::MotorMap& map, const MapWrite& write) {
  const Motor stood = write.kind == MapWrite::Kind::put ? map.motor_on(write.pin) : Motor{};
  if (stood.number > 0 && stood != write.motor) map.pin_of(stood) = {};
}

}  // namespace

std::vector<Change> difference(const Snapshot& now, const Snapshot& target, std::string_view reason) {
  std::vector<Change> changes;
  const auto add = [&](auto what) { changes.push_back({what, std::string(reason)}); };
  for (const MapWrite& write : write_order(now.map, target.map, now.map_rules)) {
    add(SetMap{write, now.map.pin_of(write.motor)});
  }
  if (now.props && target.props && *now.props != *target.props) add(SetProps{*now.props, *target.props});
  for (int i = 0; i < target.map.size(); ++i) {
    const auto from = turn_setting(now, target.map, i);
    const auto to = turn_setting(target, target.map, i);
    if (from && to && *from != *to) {
      add(SetTurn{Motor{i + 1}, target.map.pins[static_cast<std::size_t>(i)], now.turn_key, *from, *to});
    }
  }
  if (now.mount && target.mount &&
      !words::same_mount(*now.mount, *target.mount, std::max(now.mount_step, target.mount_step))) {
    add(SetMount{*now.mount, *target.mount});
  }
  return changes;
}

std::vector<std::string> differences_in_words(const Snapshot& now, const Snapshot& target) {
  std::vector<std::string> out;
  const auto motor = [](int index) { return "motor " + std::to_string(index + 1); };
  if (now.map.size() != target.map.size()) {
    out.push_back("the map lists " + std::to_string(now.map.size()) + " motors instead of " +
                  std::to_string(target.map.size()));
  }
  for (int i = 0; i < std::min(now.map.size(), target.map.size()); ++i) {
    const Pin& is = now.map.pin_of(Motor{i + 1});
    const Pin& should = target.map.pin_of(Motor{i + 1});
    if (is != should)
      out.push_back(motor(i) + " is on " + words::pin(is) + " instead of " + words::pin(should));
  }
  if (now.props && target.props && *now.props != *target.props) {
    out.push_back("the prop direction is " + std::string(in_words(*now.props)) + " instead of " +
                  std::string(in_words(*target.props)));
  }
  for (int i = 0; i < target.map.size(); ++i) {
    const auto is = turn_setting(now, target.map, i);
    const auto should = turn_setting(target, target.map, i);
    if (is && should && *is != *should) {
      out.push_back("the turn setting of " + motor(i) + " is " + std::string(name(*is)) + " instead of " +
                    std::string(name(*should)));
    }
  }
  if (now.mount && target.mount &&
      !words::same_mount(*now.mount, *target.mount, std::max(now.mount_step, target.mount_step))) {
    out.push_back("the mount is " + words::mount(*now.mount) + " instead of " + words::mount(*target.mount));
  }
  return out;
}

Snapshot with_changes(const Snapshot& now, const std::vector<Change>& changes) {
  Snapshot after = now;
  // Turn settings by pin belong to the pin: kept by name while the map changes under them.
  std::map<Pin, Turn> by_pin;
  if (now.turn_key == TurnKey::pin) {
    for (std::size_t i = 0; i < now.turns.size(); ++i) by_pin[now.map.pins.at(i)] = now.turns[i];
  }
  for (const Change& change : changes) {
    if (const auto* map = std::get_if<SetMap>(&change.what)) {
      if (now.map_rules.kept == MapKept::per_pin) displace(after.map, map->write);
      after.map.pin_of(map->write.motor) = map->write.kind == MapWrite::Kind::put ? map->write.pin : Pin{};
    } else if (const auto* props = std::get_if<SetProps>(&change.what)) {
      after.props = props->to;
    } else if (const auto* turn = std::get_if<SetTurn>(&change.what)) {
      if (turn->key == TurnKey::pin) {
        by_pin[turn->pin] = turn->to;
      } else {
        after.turns.at(static_cast<std::size_t>(turn->motor.number - 1)) = turn->to;
      }
    } else if (const auto* mount = std::get_if<SetMount>(&change.what)) {
      after.mount = mount->to;
    }
  }
  if (now.turn_key == TurnKey::pin) {
    for (std::size_t i = 0; i < after.turns.size(); ++i) {
      const auto found = by_pin.find(after.map.pins.at(i));
      if (found != by_pin.end()) after.turns[i] = found->second;
    }
  }
  return after;
}

}  // namespace armwise::solve
