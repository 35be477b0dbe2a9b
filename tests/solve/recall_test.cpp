#include "armwise/solve/recall.hpp"

#include <gtest/gtest.h>

#include "armwise/base/fault.hpp"

namespace armwise::solve::recall_test {
namespace {

using craft::Turn;

const craft::Frame& quad() {
  return *craft::frame_named("quad-x");
}

Wiring on_pins(const std::vector<std::string>& pins, Turn turn = Turn::cw) {
  Wiring wiring;
  for (std::size_t i = 0; i < pins.size(); ++i) wiring.at[craft::Pin{pins[i]}] = {i, turn, std::nullopt};
  return wiring;
}

Snapshot settings(const std::vector<std::string>& pins, TurnKey key, const std::vector<Turn>& turns = {}) {
  Snapshot snapshot;
  for (const std::string& pin : pins) snapshot.map.pins.push_back({pin});
  snapshot.turn_key = key;
  snapshot.turns = turns;
  return snapshot;
}

const std::vector<std::string> pins{"A", "B", "C", "D"};

TEST(Recall, AnotherTurnSettingTurnsTheMotorTheOtherWay) {
  const Snapshot then = settings(pins, TurnKey::motor, {Turn::ccw, Turn::cw, Turn::cw, Turn::ccw});
  const Snapshot now = settings(pins, TurnKey::motor, {Turn::cw, Turn::cw, Turn::cw, Turn::cw});
  const Recalled recalled = recall(quad(), on_pins(pins), then, now);
  EXPECT_FALSE(recalled.other_names);
  EXPECT_FALSE(recalled.turns_uncertain);
  EXPECT_EQ(recalled.wiring.at.at({"A"}), (Wired{0, Turn::ccw, std::nullopt}));
  EXPECT_EQ(recalled.wiring.at.at({"B"}), (Wired{1, Turn::cw, std::nullopt}));
  EXPECT_EQ(recalled.wiring.at.at({"D"}), (Wired{3, Turn::ccw, std::nullopt}));
}

// The setting of one console stays with the number, that of the other with the pin: what counts is what acts
// on the pin.
TEST(Recall, SettingsByMotorAndByPinAreComparedOnThePin) {
  const Snapshot then =
      settings({"D", "C", "B", "A"}, TurnKey::motor, {Turn::ccw, Turn::cw, Turn::cw, Turn::cw});
  const Snapshot now = settings(pins, TurnKey::pin, {Turn::cw, Turn::cw, Turn::cw, Turn::cw});
  const Recalled recalled = recall(quad(), on_pins(pins), then, now);
  EXPECT_EQ(recalled.wiring.at.at({"D"}).turn, Turn::ccw);
  EXPECT_EQ(recalled.wiring.at.at({"A"}).turn, Turn::cw);
}

TEST(Recall, APinWithoutAMotorKeepsTheSettingThatItWasSeenUnder) {
  const Snapshot then = settings(pins, TurnKey::motor, {Turn::ccw, Turn::cw, Turn::cw, Turn::cw});
  const Snapshot now =
      settings({"B", "C", "D", "E"}, TurnKey::motor, {Turn::cw, Turn::cw, Turn::cw, Turn::cw});
  const Recalled recalled = recall(quad(), on_pins(pins), then, now);
  EXPECT_EQ(recalled.wiring.at.at({"A"}), (Wired{0, Turn::cw, Turn::ccw}));
  // The plan reckons with it: motor 1 comes onto A with the setting cw, so what was cw under ccw turns ccw.
  Wanted wanted;
  wanted.numbering.place_of_motor = {0, 1, 2, 3};
  const Plan made = plan(quad(), now, recalled.wiring, wanted);
  for (const Change& change : made.changes) {
    if (const auto* turn = std::get_if<SetTurn>(&change.what)) {
      if (turn->motor.number != 1) continue;
      EXPECT_EQ(turn->from, Turn::cw);
      EXPECT_EQ(quad().wanted(0, wanted.scheme), Turn::cw);  // else no change would be needed
    }
  }
  const bool motor_1_is_turned = quad().wanted(0, wanted.scheme) == Turn::cw;
  bool changed = false;
  for (const Change& change : made.changes) {
    const auto* turn = std::get_if<SetTurn>(&change.what);
    changed = changed || (turn != nullptr && turn->motor.number == 1);
  }
  EXPECT_EQ(changed, motor_1_is_turned);
}

TEST(Recall, OtherNamesForAllPinsSayNothingAboutTheWires) {
  const Snapshot then = settings(pins, TurnKey::not_settable);
  const Recalled recalled =
      recall(quad(), on_pins(pins), then, settings({"W", "X", "Y", "Z"}, TurnKey::motor));
  EXPECT_TRUE(recalled.other_names);
  EXPECT_TRUE(recalled.wiring.at.empty());
}

TEST(Recall, WhereOneConsoleHasNoTurnSettingTheDirectionsAreUncertain) {
  const Snapshot then = settings(pins, TurnKey::motor, {Turn::ccw, Turn::cw, Turn::cw, Turn::cw});
  const Recalled recalled = recall(quad(), on_pins(pins), then, settings(pins, TurnKey::not_settable));
  EXPECT_TRUE(recalled.turns_uncertain);
  EXPECT_EQ(recalled.wiring.at.at({"A"}).turn, Turn::cw);
}

TEST(Recall, ARecordThatDoesNotCoverEveryArmIsRefused) {
  const Snapshot now = settings(pins, TurnKey::not_settable);
  Wiring three = on_pins({"A", "B", "C"});
  EXPECT_THROW(recall(quad(), three, now, now), Fault);
  three.at[{"D"}] = {2, Turn::cw, std::nullopt};  // two pins on one arm
  EXPECT_THROW(recall(quad(), three, now, now), Fault);
}

}  // namespace
}  // namespace armwise::solve::recall_test
