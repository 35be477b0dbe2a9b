#include "armwise/craft/angle_convention.hpp"

#include <gtest/gtest.h>

#include "check_values.hpp"

namespace armwise::craft::angle_convention_test {
namespace {

using nlohmann::json;

AngleConvention convention_from(const json& entry) {
  AngleConvention convention;
  convention.per_degree = entry.at("per_degree");
  convention.signs = entry.at("signs").get<std::array<int, 3>>();
  convention.order = angle_order_named(entry.at("order").get<std::string>()).value();
  convention.craft_to_board = entry.at("craft_to_board");
  return convention;
}

// Source: scipy Rotation, see scripts/reference-rotations.
TEST(AngleConvention, AgreesWithTheReferenceLibraryBothWays) {
  const json reference = fixture("reference-rotations.json");
  for (const json& entry : reference.at("conventions")) {
    const AngleConvention convention = convention_from(entry);
    const auto [yaw, pitch, roll] = angles_from(entry.at("console"));
    const CraftFromBoard meant = craft_from_board(convention, {yaw, pitch, roll});
    EXPECT_LT(largest_difference(meant.matrix(), matrix_from(entry.at("craft_from_board"))), 1e-9) << entry;
    EXPECT_LT(largest_difference(ours_from(convention, {yaw, pitch, roll}), angles_from(entry.at("ours"))),
              1e-8);
    const ConsoleAngles back =
        console_angles(convention, CraftFromBoard(matrix_from(entry.at("craft_from_board"))));
    EXPECT_NEAR(back.yaw / convention.per_degree, yaw / convention.per_degree, 1e-8) << entry;
    EXPECT_NEAR(back.pitch / convention.per_degree, pitch / convention.per_degree, 1e-8) << entry;
    EXPECT_NEAR(back.roll / convention.per_degree, roll / convention.per_degree, 1e-8) << entry;
  }
}

TEST(AngleConvention, OrderNames) {
  const auto order = angle_order_named("roll-pitch-yaw");
  ASSERT_TRUE(order);
  EXPECT_EQ(order->front(), AngleAxis::roll);
  EXPECT_EQ(angle_order_name(*order), "roll-pitch-yaw");
  EXPECT_FALSE(angle_order_named("yaw-yaw-roll"));
  EXPECT_FALSE(angle_order_named(""));
}

TEST(AngleConvention, OursInTenthsIsKeptAsItStandsAtGimbalLockToo) {
  AngleConvention tenths;
  tenths.per_degree = 10;
  EXPECT_EQ(theirs_from(tenths, {45, 90, 30}), (ConsoleAngles{450, 900, 300}));
}

TEST(AngleConvention, ARoundTripAtGimbalLockIsTheSameMount) {
  for (const std::string order : {"yaw-pitch-roll", "yaw-roll-pitch", "pitch-yaw-roll", "pitch-roll-yaw",
                                  "roll-pitch-yaw", "roll-yaw-pitch"}) {
    AngleConvention convention;
    convention.order = angle_order_named(order).value();
    convention.signs = {-1, 1, -1};
    for (int step = 0; step < 64; ++step) {
      const CraftFromBoard mount(YawPitchRoll{90.0 * (step % 4), 90.0 * (step / 4 % 4), 90.0 * (step / 16)});
      const CraftFromBoard back = craft_from_board(convention, console_angles(convention, mount));
      EXPECT_LT(angle_between(mount, back).value, 1e-9) << order << " " << step;
    }
  }
}

}  // namespace
}  // namespace armwise::craft::angle_convention_test
