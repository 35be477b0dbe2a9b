#include "armwise/practice/craft.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <set>

#include "armwise/base/fault.hpp"

namespace armwise::practice::craft_test {
namespace {

void expect_near(const Vector& actual, const Vector& expected, double tolerance = 1e-12) {
  for (std::size_t i = 0; i < 3; ++i) EXPECT_NEAR(actual[i], expected[i], tolerance) << "component " << i;
}

PracticeCraft exact(craft::YawPitchRoll mount) {
  PracticeCraft craft = seeded_craft(*craft::frame_named("quad-x"), 1);
  craft.mount = mount;
  craft.noise_g = craft.noise_dps = craft.pose_error = 0;
  return craft;
}

std::string trouble_with(const std::string& json) {
  try {
    craft_from_json(json);
  } catch (const Fault& fault) {
    EXPECT_EQ(fault.kind(), FaultKind::bad_data);
    return fault.happened();
  }
  return "none";
}

// By the definition of the axes (ISO 1151-1): nose to the right turns x to y, nose up turns x to -z, right
// side down turns y to z.
TEST(RotatedBack, FollowsTheDefinitionOfTheAngles) {
  expect_near(rotated_back({90, 0, 0}, {0, 1, 0}), {1, 0, 0});
  expect_near(rotated_back({0, 90, 0}, {0, 0, -1}), {1, 0, 0});
  expect_near(rotated_back({0, 0, 90}, {0, 0, 1}), {0, 1, 0});
  // Yaw first: a nose that points right and is then raised points up, whatever the yaw.
  expect_near(rotated_back({90, 90, 0}, {0, 0, -1}), {1, 0, 0});
}

TEST(SpecificForce, IsOneGUpwardsInBoardAxes) {
  expect_near(exact({0, 0, 0}).specific_force(0), {0, 0, -1});
  expect_near(exact({0, 0, 180}).specific_force(0), {0, 0, 1});
  PracticeCraft turned = exact({90, 0, 0});
  // The board's x points to the craft's right. Right side down by 60: up lies to the craft's left.
  ASSERT_TRUE(turned.hold("right-side-down"));
  expect_near(turned.specific_force(0), {-std::sqrt(3) / 2, 0, -0.5});
  ASSERT_TRUE(turned.hold("nose-down"));
  // Up lies to the tail; with its x to the right, the board has its y to the tail.
  expect_near(turned.specific_force(0), {0, std::sqrt(3) / 2, -0.5});
}

TEST(SpecificForce, HasTheNoiseOfASeedAndAHandThatMisses) {
  PracticeCraft craft = seeded_craft(*craft::frame_named("quad-x"), 3);
  EXPECT_EQ(craft.specific_force(7), craft.specific_force(7));
  EXPECT_NE(craft.specific_force(7), craft.specific_force(8));
  craft.noise_g = 0;
  EXPECT_EQ(craft.specific_force(7), craft.specific_force(8)) << "the hand's error belongs to the pose";
  const Vector f = craft.specific_force(0);
  EXPECT_NEAR(f[0] * f[0] + f[1] * f[1] + f[2] * f[2], 1, 1e-12);
}

TEST(TurningRate, IsThatOfTheNoseInBoardAxes) {
  PracticeCraft craft = exact({0, 0, 180});
  expect_near(craft.turning_rate(0), {0, 0, 0});
  ASSERT_TRUE(craft.hold("turning-right"));
  expect_near(craft.turning_rate(0), {0, 0, -45}, 1e-9);
}

TEST(SeededCraft, IsTheSameForTheSameSeedAndReachesEveryWiring) {
  const craft::Frame& frame = *craft::frame_named("quad-x");
  EXPECT_EQ(seeded_craft(frame, 5).wiring, seeded_craft(frame, 5).wiring);
  std::set<std::vector<int>> seen;
  for (std::uint64_t seed = 0; seed < 8000; ++seed) {
    std::vector<int> key;
    for (const auto& [pin, end] : seeded_craft(frame, seed).wiring) {
      key.push_back(static_cast<int>(end.place));
      key.push_back(static_cast<int>(end.turn));
    }
    seen.insert(key);
  }
  EXPECT_EQ(seen.size(), 24U * 16U);
}

TEST(CraftFile, ReadsTheOnesThatComeWithTheTool) {
  const std::string folder = std::string(ARMWISE_FIXTURES) + "/crafts/";
  const PracticeCraft designed = craft_from_file(folder + "as-designed.json");
  EXPECT_EQ(designed.pins.size(), 6U);
  EXPECT_EQ(designed.wiring.at("P4").place, designed.frame->find("front-left"));
  const PracticeCraft hex = craft_from_file(folder + "hex-with-spare-pins.json");
  EXPECT_EQ(hex.motors, 8);
  EXPECT_EQ(hex.start.map->front(), "P2");
  EXPECT_EQ(craft_from_file(folder + "board-turned-by-90.json").mount, (craft::YawPitchRoll{90, 0, 0}));
  EXPECT_THROW(craft_from_file(folder + "no-such.json"), Fault);
}

// The board turned by 90 to the right with every wire to the nearest pad: each pad is seen one arm further
// clockwise than on a craft as designed. Common practice, no source.
TEST(CraftFile, ABoardTurnedBy90MakesACycleOfAllFour) {
  const std::string folder = std::string(ARMWISE_FIXTURES) + "/crafts/";
  const PracticeCraft designed = craft_from_file(folder + "as-designed.json");
  const PracticeCraft turned = craft_from_file(folder + "board-turned-by-90.json");
  for (const auto& [pin, end] : designed.wiring) {
    const craft::Place& place = designed.frame->places[end.place];
    const craft::Place& now = turned.frame->places[turned.wiring.at(pin).place];
    // A quarter turn clockwise from above takes (x, y) to (-y, x).
    EXPECT_NEAR(now.x, -place.y, 1e-12) << pin;
    EXPECT_NEAR(now.y, place.x, 1e-12) << pin;
  }
}

TEST(CraftFile, SaysWhereItIsWrong) {
  const std::string wiring = R"("wiring": {"P1": {"place": "front-left", "turn": "cw"}})";
  EXPECT_EQ(trouble_with("[]"), "the craft file: must be an object in braces");
  EXPECT_EQ(trouble_with("{}"), "the craft file: \"frame\" is missing");
  EXPECT_EQ(trouble_with(R"({"frame": "hexagon"})"), "frame: no such frame");
  EXPECT_EQ(trouble_with(R"({"frame": "quad-x"})"), "the craft file: \"wiring\" is missing");
  EXPECT_EQ(trouble_with(R"({"frame": "quad-x", "wirng": {}})"),
            "the craft file: \"wiring\" is missing; is \"wirng\" meant to be it?");
  EXPECT_EQ(trouble_with(R"({"frame": "quad-x", "wiring": {"P1": {"place": "left", "turn": "cw"}}})"),
            "wiring.P1.place: the frame quad-x has no such place");
  EXPECT_EQ(trouble_with(R"({"frame": "quad-x", "wiring": {"P1": {"place": "front-left", "turn": "up"}}})"),
            "wiring.P1.turn: must be \"cw\" or \"ccw\"");
  EXPECT_EQ(trouble_with(R"({"frame": "quad-x", "pins": ["P2"], )" + wiring + "}"),
            "wiring.P1: this pin is not among \"pins\"");
  EXPECT_EQ(trouble_with(R"({"frame": "quad-x", "noise_g": -1, )" + wiring + "}"),
            "noise_g: must lie between 0 and 1");
  EXPECT_EQ(trouble_with(R"({"frame": "quad-x", "start": {"map": ["P9"]}, )" + wiring + "}"),
            "start.map[0]: the controller has no such pin");
}

}  // namespace
}  // namespace armwise::practice::craft_test
