// A craft with its controller, as solder, screws and settings make it turn. Written apart from the planner.
#pragma once

#include <gtest/gtest.h>

#include <cstdint>
#include <map>
#include <optional>
#include <random>
#include <string>
#include <utility>
#include <vector>

#include "armwise/craft/frame.hpp"
#include "armwise/solve/identify.hpp"
#include "armwise/solve/plan.hpp"
#include "fake_table.hpp"

namespace armwise::solve {

// Random numbers that are the same on every machine.
class Dice {
 public:
  explicit Dice(std::uint64_t seed) : engine_(seed) {}
  std::size_t below(std::size_t count) { return static_cast<std::size_t>(engine_() % count); }
  bool coin() { return below(2) == 1; }
  craft::Turn turn() { return coin() ? craft::Turn::cw : craft::Turn::ccw; }
  template <typename List>
  void shuffle(List& list) {
    for (std::size_t left = list.size(); left > 1; --left) std::swap(list[left - 1], list[below(left)]);
  }

 private:
  std::mt19937_64 engine_;
};

struct FakeCraft {
  struct Soldered {
    craft::PlaceIndex place = 0;
    craft::Turn turn = craft::Turn::cw;  // while its setting is cw
  };

  const craft::Frame* frame = nullptr;
  std::map<std::string, Soldered> wires;  // by pin
  std::map<int, std::string> map;         // motor -> pin
  int motors = 0;
  std::optional<craft::PropScheme> props;
  TurnKey turn_key = TurnKey::not_settable;
  std::map<int, craft::Turn> turn_of_motor;
  std::map<std::string, craft::Turn> turn_of_pin;
  std::optional<craft::YawPitchRoll> mount;
  MapRules rules;

  craft::Turn setting(int motor) const {
    if (turn_key == TurnKey::motor) return turn_of_motor.at(motor);
    if (turn_key == TurnKey::pin) return turn_of_pin.at(map.at(motor));
    return craft::Turn::cw;
  }

  Wired seen(int motor) const {
    const Soldered& wire = wires.at(map.at(motor));
    return {wire.place, setting(motor) == craft::Turn::ccw ? craft::opposite(wire.turn) : wire.turn};
  }

  Snapshot snapshot() const {
    Snapshot snapshot;
    for (int motor = 1; motor <= motors; ++motor) {
      const bool on_a_pin = map.contains(motor);
      snapshot.map.pins.push_back(craft::Pin{on_a_pin ? map.at(motor) : ""});
      if (turn_key == TurnKey::not_settable) continue;
      const bool known = turn_key == TurnKey::motor || on_a_pin;
      snapshot.turns.push_back(known ? setting(motor) : craft::Turn::cw);
    }
    snapshot.props = props;
    snapshot.turn_key = turn_key;
    snapshot.mount = mount;
    snapshot.map_rules = rules;
    return snapshot;
  }

  // By what a person who makes no mistake says.
  Wiring identified() const {
    Wiring wiring;
    const craft::MotorMap now = snapshot().map;
    for (int motor = 1; motor <= frame->size(); ++motor)
      wiring.at[now.pin_of(craft::Motor{motor})] = seen(motor);
    return wiring;
  }

  // Does what the plan says, change by change, and the hand work after it.
  void apply(const Plan& plan) {
    craft::MotorMap before = snapshot().map;
    FakeTable table(before, rules);
    int stage = 0;
    for (const Change& change : plan.changes) {
      EXPECT_GE(static_cast<int>(change.what.index()), stage)
          << "map, props, turns, mount: " << change.reason;
      stage = static_cast<int>(change.what.index());
      EXPECT_TRUE(change.reason.ends_with('.')) << change.reason;
      if (const auto* write = std::get_if<SetMap>(&change.what)) {
        EXPECT_EQ(write->before, before.pin_of(write->write.motor));
        EXPECT_EQ(table.write(write->write), "");
        map = table.listed();
      } else if (const auto* set_props = std::get_if<SetProps>(&change.what)) {
        EXPECT_EQ(props, set_props->from);
        props = set_props->to;
      } else if (const auto* turn = std::get_if<SetTurn>(&change.what)) {
        apply(*turn);
      } else if (const auto* set_mount = std::get_if<SetMount>(&change.what)) {
        EXPECT_EQ(mount, set_mount->from);
        mount = set_mount->to;
      }
    }
    for (const HandWork& work : plan.by_hand) swap_two_wires(work);
  }

 private:
  void apply(const SetTurn& turn) {
    EXPECT_EQ(turn.key, turn_key);
    EXPECT_EQ(map.at(turn.motor.number), turn.pin.name);
    EXPECT_EQ(setting(turn.motor.number), turn.from);
    EXPECT_NE(turn.from, turn.to);
    if (turn_key == TurnKey::motor) {
      turn_of_motor[turn.motor.number] = turn.to;
    } else {
      turn_of_pin[turn.pin.name] = turn.to;
    }
  }

  void swap_two_wires(const HandWork& work) {
    EXPECT_EQ(turn_key, TurnKey::not_settable);
    EXPECT_EQ(map.at(work.motor.number), work.pin.name);
    Soldered& wire = wires.at(work.pin.name);
    EXPECT_EQ(wire.place, work.place);
    EXPECT_EQ(wire.turn, work.seen);
    wire.turn = craft::opposite(wire.turn);
    EXPECT_EQ(wire.turn, work.wanted);
  }
};

}  // namespace armwise::solve
