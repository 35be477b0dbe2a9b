#include "armwise/solve/sticks.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "craft/check_values.hpp"
#include "flying.hpp"

namespace armwise::solve::sticks_test {
namespace {

using craft::BoardSide;
using craft::Degrees;
using craft::Frame;
using craft::PropScheme;
using nlohmann::json;

StickPlan plan_for(double yaw, const std::string& frame_name, BoardSide side = BoardSide::right_way_up,
                   PropScheme scheme = PropScheme::in) {
  const Frame& frame = *craft::frame_named(frame_name);
  return stick_plan(craft::mount(Degrees{yaw}, side).rotation, frame, scheme, designed(frame).numbering);
}

bool has(const std::vector<StickCost>& costs, const std::string& id) {
  return std::ranges::find(costs, id, &StickCost::id) != costs.end();
}

// Source: check-values.json "stick_mix", computed.
TEST(StickMix, ThePublishedTable) {
  const json values = craft::fixture("check-values.json");
  for (const json& entry : values.at("stick_mix")) {
    const StickMix mix = stick_mix(Degrees{entry.at("alpha_deg").get<double>()});
    EXPECT_NEAR(mix.roll_from_roll, entry.at("cos").get<double>(), 1e-11);
    EXPECT_NEAR(mix.roll_from_pitch, entry.at("sin").get<double>(), 1e-11);
    EXPECT_NEAR(mix.pitch_from_roll, -entry.at("sin").get<double>(), 1e-11);
    EXPECT_NEAR(mix.pitch_from_pitch, entry.at("cos").get<double>(), 1e-11);
    EXPECT_NEAR(mix.corner, entry.at("max_abs").get<double>(), 1e-11);
    EXPECT_EQ(mix.per_cent[0], entry.at("pct")[0]);
    EXPECT_EQ(mix.per_cent[1], entry.at("pct")[1]);
    EXPECT_NEAR(mix.angle_from_per_cent.value, entry.at("angle_from_pct").get<double>(), 1e-5);
    EXPECT_NEAR(mix.gain_from_per_cent, entry.at("gain_from_pct").get<double>(), 1e-6);
  }
}

// Common practice, no source: after a yaw of 90 put right on the radio alone, pitch forward is roll left,
// pull back is roll right, and props out has become props in.
TEST(StickPlan, AYawOf90) {
  const StickPlan plan = plan_for(90, "quad-x", BoardSide::right_way_up, PropScheme::out);
  ASSERT_TRUE(plan.possible) << plan.words;
  EXPECT_TRUE(plan.plain_swap);
  EXPECT_EQ(plan.in_words[0], "Pitch forward is roll left.");
  EXPECT_EQ(plan.in_words[1], "Pull back is roll right.");
  EXPECT_EQ(plan.in_words[2], "Roll right is pitch forward.");
  EXPECT_EQ(plan.scheme_on_craft, PropScheme::in);
  ASSERT_TRUE(has(plan.costs, "prop-scheme"));
  EXPECT_NE(plan.words.find("Props out becomes props in"), std::string::npos);
  EXPECT_LT(craft::largest_difference(plan.sense.gyro_from_asked, craft::Matrix3{}), 1e-9);
}

// By physics: what the pilot asks for in craft axes is what the controller must be asked for in its own.
TEST(StickPlan, TheMixIsTheRotationOfTheRates) {
  for (double yaw = -180; yaw < 180; yaw += 7) {
    const craft::CraftFromBoard mount(craft::YawPitchRoll{yaw, 0, 0});
    const StickMix mix = stick_mix(Degrees{-yaw});
    // Forward on the stick is nose down: a negative pitch rate.
    const craft::InBoard forward = mount.inverse() * craft::InCraft{0, -1, 0};
    const craft::InBoard right = mount.inverse() * craft::InCraft{1, 0, 0};
    EXPECT_NEAR(mix.roll_from_pitch, forward.x, 1e-12);
    EXPECT_NEAR(mix.pitch_from_pitch, -forward.y, 1e-12);
    EXPECT_NEAR(mix.roll_from_roll, right.x, 1e-12);
    EXPECT_NEAR(mix.pitch_from_roll, -right.y, 1e-12);
  }
}

TEST(StickPlan, PropsChangeOverAtOddQuartersOnlyWhereTheFrameMakesThem) {
  EXPECT_EQ(plan_for(90, "quad-x").scheme_on_craft, PropScheme::out);
  EXPECT_EQ(plan_for(-90, "quad-plus").scheme_on_craft, PropScheme::out);
  EXPECT_EQ(plan_for(180, "quad-x").scheme_on_craft, PropScheme::in);
  EXPECT_EQ(plan_for(90, "octo-x").scheme_on_craft, PropScheme::in);
  EXPECT_EQ(plan_for(45, "octo-x").scheme_on_craft, PropScheme::out);
  EXPECT_EQ(plan_for(180, "hex-x").scheme_on_craft, PropScheme::out);
  EXPECT_EQ(plan_for(90, "x8").scheme_on_craft, PropScheme::out);
  EXPECT_FALSE(has(plan_for(180, "quad-x").costs, "prop-scheme"));
}

TEST(StickPlan, ATurnThatMakesAnotherFrameOfItSaysSo) {
  const StickPlan plan = plan_for(45, "quad-x");
  ASSERT_TRUE(plan.possible);
  EXPECT_FALSE(plan.plain_swap);
  ASSERT_NE(plan.frame_to_set, nullptr);
  EXPECT_EQ(plan.frame_to_set->name, "quad-plus");
  EXPECT_TRUE(has(plan.costs, "frame-type"));
  EXPECT_TRUE(has(plan.costs, "corners"));
  EXPECT_LT(craft::largest_difference(plan.sense.gyro_from_asked, craft::Matrix3{}), 1e-9);
  EXPECT_EQ(plan_for(90, "hex-x").frame_to_set->name, "hex-plus");
}

TEST(StickPlan, ATurnThatNoFrameFitsShowsWhatItDoes) {
  const StickPlan plan = plan_for(30, "quad-x");
  EXPECT_TRUE(plan.possible);
  EXPECT_EQ(plan.frame_to_set, nullptr);
  EXPECT_NE(plan.words.find("30 degrees askew"), std::string::npos) << plan.words;
  EXPECT_EQ(plan.words.find("Stick forward then flies"), std::string::npos) << "the mix puts that right";
  EXPECT_TRUE(has(plan.costs, "rates"));
  EXPECT_EQ(plan.settings[0],
            "The roll channel takes +87 % of the roll stick and -50 % of the pitch stick (right and "
            "forward count as plus).");
}

// Only where it flies: beyond 35 degrees of phase a craft with motors that lag swings itself up
// (confusion_test).
TEST(StickPlan, APlanIsPossibleOnlyWhereItFlies) {
  int possible = 0;
  int refused = 0;
  for (const Frame& frame : craft::frames()) {
    for (int yaw = -180; yaw < 180; yaw += 15) {
      const StickPlan plan = plan_for(yaw, frame.name);
      ++(plan.possible ? possible : refused);
      if (plan.possible) {
        EXPECT_LT(plan.sense.phase_lost.value, 35) << frame.name << yaw;
      } else {
        EXPECT_EQ(plan.sense.verdict, FlightSense::Verdict::unsteady) << frame.name << yaw << plan.words;
      }
    }
  }
  EXPECT_GT(possible, 150);
  EXPECT_GE(refused, 10);
  EXPECT_FALSE(plan_for(180, "y6").possible);
}

TEST(StickPlan, UpsideDownIsImpossible) {
  for (const double yaw : {0.0, 90.0, 180.0}) {
    const StickPlan plan = plan_for(yaw, "quad-x", BoardSide::upside_down);
    EXPECT_FALSE(plan.possible);
    EXPECT_EQ(plan.sense.verdict, FlightSense::Verdict::will_not_hold);
    EXPECT_NE(plan.words.find("cannot be put right on the radio: the board is upside down"),
              std::string::npos);
    EXPECT_NE(plan.words.find("thinks down is up"), std::string::npos) << plan.words;
  }
  EXPECT_FALSE(plan_for(0, "quad-x", BoardSide::arrow_up).possible);
}

TEST(StickPlan, ABoardAsDesignedNeedsNothing) {
  const StickPlan plan = plan_for(0, "quad-x");
  EXPECT_NE(plan.words.find("nothing to set"), std::string::npos) << plan.words;
  EXPECT_TRUE(plan.costs.empty());
  EXPECT_EQ(plan.sense.verdict, FlightSense::Verdict::as_designed);
}

}  // namespace
}  // namespace armwise::solve::sticks_test
