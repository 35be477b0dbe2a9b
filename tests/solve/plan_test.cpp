#include "armwise/solve/plan.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <numeric>

#include "armwise/base/fault.hpp"
#include "armwise/solve/difference.hpp"
#include "fake_craft.hpp"
#include "support/sweep.hpp"

namespace armwise::solve::plan_test {
namespace {

using craft::Motor;
using craft::Pin;
using craft::PropScheme;
using craft::Turn;

constexpr TurnKey every_key[] = {TurnKey::not_settable, TurnKey::motor, TurnKey::pin};

std::string pin_named(int number) {
  return "P" + std::to_string(number);
}

// Motor i on pin i, every turn setting cw, and `wires` for the rest.
FakeCraft craft_with(const craft::Frame& frame, const std::vector<craft::PlaceIndex>& place_of_pin,
                     unsigned turns) {
  FakeCraft craft;
  craft.frame = &frame;
  craft.motors = frame.size();
  for (int i = 0; i < frame.size(); ++i) {
    const auto at = static_cast<std::size_t>(i);
    craft.map[i + 1] = pin_named(i + 1);
    craft.wires[pin_named(i + 1)] = {place_of_pin[at], (turns >> at & 1U) != 0 ? Turn::cw : Turn::ccw};
    craft.turn_of_motor[i + 1] = Turn::cw;
    craft.turn_of_pin[pin_named(i + 1)] = Turn::cw;
  }
  return craft;
}

// What DESIGN asks for at the end: wiring(map(i)) = (a(i), s(i)).
void expect_right(const FakeCraft& craft, const Wanted& wanted) {
  for (int i = 1; i <= craft.frame->size(); ++i) {
    const craft::PlaceIndex place = wanted.numbering.place_of(Motor{i});
    const Wired expected{place, craft.frame->wanted(place, wanted.scheme)};
    EXPECT_EQ(craft.seen(i), expected) << "motor " << i;
  }
  EXPECT_EQ(craft.props.value_or(wanted.scheme), wanted.scheme);
  if (wanted.mount) {
    EXPECT_EQ(craft.mount.value_or(*wanted.mount), *wanted.mount);
  }
}

// The whole way: look, plan, do it, look again. Twice, and the second time nothing is left to do.
Plan planned_and_done(FakeCraft& craft, const Wanted& wanted) {
  const Snapshot before = craft.snapshot();
  Plan first = plan(*craft.frame, before, craft.identified(), wanted);
  craft.apply(first);
  expect_right(craft, wanted);
  const Snapshot after = craft.snapshot();
  EXPECT_EQ(after.map, first.map_after);
  EXPECT_EQ(craft.identified(), first.wiring_after);
  const Snapshot foretold = with_changes(before, first.changes);
  EXPECT_EQ(foretold.map, after.map);
  EXPECT_EQ(foretold.turns, after.turns);
  const Plan second = plan(*craft.frame, after, craft.identified(), wanted);
  EXPECT_TRUE(second.empty()) << second.changes.size() << " changes, " << second.by_hand.size() << " by hand";
  EXPECT_FALSE(second.every_turn_opposite);
  return first;
}

template <typename What>
long count(const Plan& plan) {
  return std::count_if(plan.changes.begin(), plan.changes.end(),
                       [](const Change& change) { return std::holds_alternative<What>(change.what); });
}

// A numbering that is neither the order of the places nor its own inverse.
craft::Numbering around(const craft::Frame& frame) {
  craft::Numbering numbering;
  for (std::size_t i = 0; i < frame.places.size(); ++i) {
    numbering.place_of_motor.push_back((i + 1) % frame.places.size());
  }
  return numbering;
}

TEST(Plan, PutsEveryWiringOfAQuadRight) {
  const craft::Frame& frame = *craft::frame_named("quad-x");
  Dice dice(20251125);
  std::vector<craft::PlaceIndex> places(4);
  std::iota(places.begin(), places.end(), craft::PlaceIndex{0});
  int runs = 0;
  test::InTurn in_turn(test::every);
  do {
    for (unsigned turns = 0; turns < 16; ++turns) {
      for (const PropScheme scheme : {PropScheme::in, PropScheme::out}) {
        for (const TurnKey key : every_key) {
          for (const MapRules rules : every_rule) {
            FakeCraft craft = craft_with(frame, places, turns);
            craft.turn_key = key;
            craft.rules = rules;
            for (auto& [motor, turn] : craft.turn_of_motor) turn = dice.turn();
            for (auto& [pin, turn] : craft.turn_of_pin) turn = dice.turn();
            if (dice.coin()) craft.props = dice.coin() ? PropScheme::in : PropScheme::out;
            ++runs;
            if (in_turn.is_left_out()) continue;
            planned_and_done(craft, {scheme, around(frame), std::nullopt});
            if (testing::Test::HasFailure()) return;
          }
        }
      }
    }
  } while (std::next_permutation(places.begin(), places.end()));
  EXPECT_EQ(runs, 24 * 16 * 2 * 3 * 4);
}

class EveryFrame : public testing::TestWithParam<std::string> {};

FakeCraft any_craft(const craft::Frame& frame, Dice& dice) {
  FakeCraft craft;
  craft.frame = &frame;
  craft.motors = frame.size() + static_cast<int>(dice.below(3));
  craft.turn_key = every_key[dice.below(3)];
  craft.rules = every_rule[dice.below(4)];
  std::vector<std::string> pins;
  for (int i = 1; i <= craft.motors + 2; ++i) pins.push_back(pin_named(i));
  dice.shuffle(pins);
  std::vector<craft::PlaceIndex> places(frame.places.size());
  std::iota(places.begin(), places.end(), craft::PlaceIndex{0});
  dice.shuffle(places);
  for (const std::string& pin : pins) craft.turn_of_pin[pin] = dice.turn();
  for (int i = 0; i < craft.motors; ++i) {
    const std::string& pin = pins[static_cast<std::size_t>(i)];
    craft.turn_of_motor[i + 1] = dice.turn();
    if (i < frame.size()) craft.wires[pin] = {places[static_cast<std::size_t>(i)], dice.turn()};
    if (i < frame.size() || dice.coin()) craft.map[i + 1] = pin;
  }
  if (dice.coin()) craft.props = dice.coin() ? PropScheme::in : PropScheme::out;
  if (dice.coin()) craft.mount = craft::YawPitchRoll{90.0 * static_cast<double>(dice.below(4)), 0, 0};
  return craft;
}

TEST_P(EveryFrame, IsPutRightFromAnyWiring) {
  const craft::Frame& frame = *craft::frame_named(GetParam());
  Dice dice(20251125);
  test::InTurn in_turn(test::every);
  for (int run = 0; run < 2000; ++run) {
    SCOPED_TRACE(run);
    FakeCraft craft = any_craft(frame, dice);
    const std::map<int, std::string> map_before = craft.map;
    Wanted wanted;
    wanted.scheme = dice.coin() ? PropScheme::in : PropScheme::out;
    wanted.numbering = around(frame);
    dice.shuffle(wanted.numbering.place_of_motor);
    if (dice.coin()) wanted.mount = craft::YawPitchRoll{90.0 * static_cast<double>(dice.below(4)), 0, 0};
    if (in_turn.is_left_out()) continue;
    planned_and_done(craft, wanted);
    for (int i = frame.size() + 1; i <= craft.motors; ++i) {
      const auto pin_of_spare = [&](const auto& map) { return map.contains(i) ? map.at(i) : std::string(); };
      EXPECT_EQ(pin_of_spare(craft.map), pin_of_spare(map_before)) << "beyond the frame";
    }
    if (HasFailure()) return;
  }
}

std::vector<std::string> all_frames() {
  std::vector<std::string> names;
  for (const craft::Frame& frame : craft::frames()) names.push_back(frame.name);
  return names;
}

INSTANTIATE_TEST_SUITE_P(Frames, EveryFrame, testing::ValuesIn(all_frames()), [](const auto& parameter) {
  std::string name = parameter.param;
  std::replace(name.begin(), name.end(), '-', '_');
  return name;
});

// Motor i belongs on the i-th place: front-right, rear-right, rear-left, front-left.
craft::Numbering in_order(const craft::Frame& frame) {
  craft::Numbering numbering;
  for (std::size_t i = 0; i < frame.places.size(); ++i) numbering.place_of_motor.push_back(i);
  return numbering;
}

// Turns right for props in on a quad-x are ccw, cw, ccw, cw: bits 1 and 3.
constexpr unsigned props_in_turns = 0b1010;

TEST(Plan, ChangesNothingOnACraftThatIsRight) {
  const craft::Frame& frame = *craft::frame_named("quad-x");
  for (const TurnKey key : every_key) {
    FakeCraft craft = craft_with(frame, {0, 1, 2, 3}, props_in_turns);
    craft.turn_key = key;
    craft.props = PropScheme::in;
    craft.mount = craft::YawPitchRoll{90, 0, 0};
    const Plan plan =
        planned_and_done(craft, {PropScheme::in, in_order(frame), craft::YawPitchRoll{90, 0, 0}});
    EXPECT_TRUE(plan.empty());
    EXPECT_FALSE(plan.every_turn_opposite);
  }
}

TEST(Plan, SaysWhyInWords) {
  const craft::Frame& frame = *craft::frame_named("quad-x");
  // Pins 1 and 2 lead to each other's arm, and the motor on rear-left turns clockwise.
  FakeCraft craft = craft_with(frame, {1, 0, 2, 3}, 0b1101);
  craft.turn_key = TurnKey::pin;
  craft.props = PropScheme::out;
  craft.mount = craft::YawPitchRoll{0, 0, 0};
  craft.rules = {MapKept::per_motor, false};
  const Plan plan =
      planned_and_done(craft, {PropScheme::in, in_order(frame), craft::YawPitchRoll{90, 0, 180}});
  std::vector<std::string> reasons;
  for (const Change& change : plan.changes) reasons.push_back(change.reason);
  ASSERT_EQ(reasons.size(), 6U);
  EXPECT_EQ(reasons[0],
            "This controller takes no pin for two motors at a time, so motor 1 leaves pin P1 first and comes "
            "back further down.");
  EXPECT_EQ(reasons[1], "Motor 2 is the rear-right one, and that one is wired to pin P1.");
  EXPECT_EQ(reasons[2], "Motor 1 is the front-right one, and that one is wired to pin P2.");
  EXPECT_EQ(reasons[3], "The craft is to fly props in; the controller is set to props out.");
  EXPECT_EQ(
      reasons[4],
      "The motor on rear-left was seen turning clockwise; props in needs it to turn counter-clockwise.");
  EXPECT_EQ(reasons[5],
            "The board sits at yaw 90, pitch 0, roll 180 degrees; the controller is set to yaw 0, pitch 0, "
            "roll 0 degrees.");
}

TEST(Plan, GivesTheHandsASentenceWhereTheConsoleCannotReverse) {
  const craft::Frame& frame = *craft::frame_named("quad-x");
  FakeCraft craft = craft_with(frame, {0, 1, 2, 3}, 0b1110);
  const Plan plan = planned_and_done(craft, {PropScheme::in, in_order(frame), std::nullopt});
  EXPECT_TRUE(plan.changes.empty());
  ASSERT_EQ(plan.by_hand.size(), 1U);
  EXPECT_EQ(
      plan.by_hand[0].instruction,
      "The motor on rear-left (motor 3, pin P3) turns clockwise; props in needs it to turn "
      "counter-clockwise. Unplug the battery, then reverse it in the speed controller's own settings, or "
      "swap any two of the motor's three wires; then it is checked again.");
}

// The setting stays with the number: a map change alone can make a motor that turned right turn wrong.
TEST(Plan, ReckonsWithTurnSettingsThatStayWithTheMotorNumber) {
  const craft::Frame& frame = *craft::frame_named("quad-x");
  FakeCraft craft = craft_with(frame, {2, 1, 0, 3}, props_in_turns);
  craft.turn_key = TurnKey::motor;
  craft.turn_of_motor[1] = Turn::ccw;
  craft.wires.at("P1").turn = Turn::cw;  // so that it is seen turning ccw, as wanted on rear-left
  const Plan plan = planned_and_done(craft, {PropScheme::in, in_order(frame), std::nullopt});
  EXPECT_EQ(count<SetMap>(plan), 2);
  EXPECT_EQ(count<SetTurn>(plan), 2) << "the settings of motors 1 and 3 change places";
  EXPECT_EQ(plan.changes.back().reason,
            "The motor on rear-left was seen turning counter-clockwise, as props in needs it, but driven by "
            "motor 1. The direction stays with the number, and that of motor 3 would reverse it.");
  craft = craft_with(frame, {2, 1, 0, 3}, props_in_turns);
  craft.turn_key = TurnKey::pin;
  craft.turn_of_pin["P1"] = Turn::ccw;
  craft.wires.at("P1").turn = Turn::cw;
  EXPECT_EQ(count<SetTurn>(planned_and_done(craft, {PropScheme::in, in_order(frame), std::nullopt})), 0)
      << "a setting by pin goes with the pin";
}

TEST(Plan, SaysWhenEveryTurnIsOpposite) {
  const craft::Frame& frame = *craft::frame_named("quad-x");
  for (const TurnKey key : every_key) {
    FakeCraft craft = craft_with(frame, {0, 1, 2, 3}, ~props_in_turns);
    craft.turn_key = key;
    const Snapshot now = craft.snapshot();
    const Wiring wiring = craft.identified();
    const Plan reverse_all = plan(frame, now, wiring, {PropScheme::in, in_order(frame), std::nullopt});
    EXPECT_TRUE(reverse_all.every_turn_opposite);
    EXPECT_EQ(count<SetTurn>(reverse_all) + static_cast<long>(reverse_all.by_hand.size()), 4);
    const Plan change_over = plan(frame, now, wiring, {PropScheme::out, in_order(frame), std::nullopt});
    EXPECT_FALSE(change_over.every_turn_opposite);
    EXPECT_TRUE(change_over.empty());
  }
}

TEST(Plan, DoesNotSayOppositeWhereOneTurnIsRight) {
  const craft::Frame& frame = *craft::frame_named("quad-x");
  FakeCraft craft = craft_with(frame, {0, 1, 2, 3}, ~props_in_turns ^ 1U);
  EXPECT_FALSE(planned_and_done(craft, {PropScheme::in, in_order(frame), std::nullopt}).every_turn_opposite);
}

TEST(Plan, LeavesTheMountAloneWhereItIsNotAskedForNotSettableOrTheSame) {
  const craft::Frame& frame = *craft::frame_named("quad-x");
  FakeCraft craft = craft_with(frame, {0, 1, 2, 3}, props_in_turns);
  const Wiring wiring = craft.identified();
  const auto mounts = [&](std::optional<craft::YawPitchRoll> set, std::optional<craft::YawPitchRoll> is) {
    Snapshot now = craft.snapshot();
    now.mount = set;
    return count<SetMount>(plan(frame, now, wiring, {PropScheme::in, in_order(frame), is}));
  };
  using Mount = craft::YawPitchRoll;
  EXPECT_EQ(mounts(Mount{0, 0, 0}, std::nullopt), 0);
  EXPECT_EQ(mounts(std::nullopt, Mount{90, 0, 0}), 0);
  EXPECT_EQ(mounts(Mount{-180, 0, 0}, Mount{180, 0, 0}), 0) << "a whole turn apart";
  EXPECT_EQ(mounts(Mount{180, 0, 180}, Mount{0, 180, 0}), 0) << "the same rotation by other angles";
  // Consoles round to whole degrees, so up to half of one is what was meant.
  EXPECT_EQ(mounts(Mount{0, 0, 10}, Mount{0, 0, 10.5}), 0);
  EXPECT_EQ(mounts(Mount{0, 0, 10}, Mount{0, 0, 11}), 1);
  EXPECT_EQ(mounts(Mount{0, 0, 0}, Mount{90, 0, 0}), 1);
}

// A craft of which a motor beyond the frame holds a pin that the frame needs.
FakeCraft crowded(const craft::Frame& frame, MapRules rules) {
  FakeCraft craft = craft_with(frame, {0, 1, 2, 3}, props_in_turns);
  craft.rules = rules;
  craft.motors = 6;
  craft.map[5] = "P9";
  craft.map[6] = "P4";
  craft.map[4] = "P7";
  return craft;
}

TEST(Plan, LetsAMotorBeyondTheFrameMakeRoomOnThePinThatTheFrameLeaves) {
  const craft::Frame& frame = *craft::frame_named("quad-x");
  const Wiring wiring = craft_with(frame, {0, 1, 2, 3}, props_in_turns).identified();
  for (const MapRules rules : every_rule) {
    FakeCraft craft = crowded(frame, rules);
    const Wanted wanted{PropScheme::in, in_order(frame), std::nullopt};
    const Plan first = plan(frame, craft.snapshot(), wiring, wanted);
    craft.apply(first);
    expect_right(craft, wanted);
    EXPECT_EQ(craft.map.at(5), "P9");
    EXPECT_EQ(craft.map.at(6), "P7");
    EXPECT_TRUE(std::any_of(first.changes.begin(), first.changes.end(), [](const Change& change) {
      return change.reason ==
             "Motor 6 drives no arm of quad-x and makes room on pin P4 for motor 4; it takes pin P7, which "
             "no "
             "arm needs.";
    })) << in_words(rules);
  }
}

TEST(Plan, LeavesAMotorBeyondTheFrameWithoutAPinWhereNoneIsLeft) {
  const craft::Frame& frame = *craft::frame_named("quad-x");
  const Wiring wiring = craft_with(frame, {0, 1, 2, 3}, props_in_turns).identified();
  for (const MapRules rules : every_rule) {
    FakeCraft craft = crowded(frame, rules);
    craft.map.erase(4);
    const Wanted wanted{PropScheme::in, in_order(frame), std::nullopt};
    const Snapshot before = craft.snapshot();
    const Plan first = plan(frame, before, wiring, wanted);
    craft.apply(first);
    expect_right(craft, wanted);
    EXPECT_FALSE(craft.map.contains(6)) << in_words(rules);
    EXPECT_EQ(first.map_after, craft.snapshot().map);
    EXPECT_EQ(with_changes(before, first.changes).map, craft.snapshot().map) << in_words(rules);
  }
}

// A wiring known from before, on a map that a new firmware has set back.
TEST(Plan, RefusesToReckonWithATurnSettingThatItDoesNotKnow) {
  const craft::Frame& frame = *craft::frame_named("quad-x");
  FakeCraft craft = craft_with(frame, {0, 1, 2, 3}, props_in_turns);
  const Wiring wiring = craft.identified();
  craft.map[4] = "P7";
  craft.turn_of_pin["P7"] = Turn::cw;
  craft.turn_key = TurnKey::motor;
  try {
    plan(frame, craft.snapshot(), wiring, {PropScheme::in, in_order(frame), std::nullopt});
    FAIL();
  } catch (const Fault& fault) {
    EXPECT_EQ(fault.kind(), FaultKind::mismatch);
    EXPECT_EQ(fault.happened(), "The direction setting of the motor on pin P4 is not known");
  }
}

TEST(Plan, RefusesAWiringThatDoesNotCoverTheFrame) {
  const craft::Frame& frame = *craft::frame_named("quad-x");
  const FakeCraft craft = craft_with(frame, {0, 1, 2, 3}, props_in_turns);
  const Wanted wanted{PropScheme::in, in_order(frame), std::nullopt};
  Wiring wiring = craft.identified();
  wiring.at.erase(Pin{"P3"});
  try {
    plan(frame, craft.snapshot(), wiring, wanted);
    FAIL();
  } catch (const Fault& fault) {
    EXPECT_EQ(fault.kind(), FaultKind::mismatch);
    EXPECT_EQ(
        fault.sentence(),
        "No pin is known to drive rear-left. A plan needs to know what is wired to every arm of quad-x. "
        "Spin every motor again.");
  }
  wiring = craft.identified();
  wiring.at[Pin{"P9"}] = {2, Turn::cw};
  EXPECT_THROW(plan(frame, craft.snapshot(), wiring, wanted), Fault);
  EXPECT_THROW(plan(frame, craft.snapshot(), {}, wanted), Fault);
}

TEST(Plan, RefusesANumberingThatDoesNotCoverTheFrame) {
  const craft::Frame& frame = *craft::frame_named("quad-x");
  const FakeCraft craft = craft_with(frame, {0, 1, 2, 3}, props_in_turns);
  for (const std::vector<craft::PlaceIndex>& places :
       {std::vector<craft::PlaceIndex>{}, {0, 1, 2}, {0, 1, 2, 2}, {0, 1, 2, 4}, {0, 1, 2, 3, 3}}) {
    EXPECT_THROW(plan(frame, craft.snapshot(), craft.identified(), {PropScheme::in, {places}, std::nullopt}),
                 Fault);
  }
}

}  // namespace
}  // namespace armwise::solve::plan_test
