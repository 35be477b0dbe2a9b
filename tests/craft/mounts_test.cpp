#include "armwise/craft/mounts.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <set>

#include "check_values.hpp"
#include "support/some_mounts.hpp"

namespace armwise::craft::mounts_test {
namespace {

TEST(Mounts, AreDistinctAndNoNearerThan45Degrees) {
  ASSERT_EQ(mounts().size(), 48U);
  double nearest = 360;
  for (const Mount& a : mounts()) {
    for (const Mount& b : mounts()) {
      if (&a != &b) nearest = std::min(nearest, angle_between(a.rotation, b.rotation).value);
    }
  }
  EXPECT_NEAR(nearest, 45, 1e-9);
}

// The distinct rotations among 24 axis-aligned mounts each turned by the 8 yaws are these 48.
TEST(Mounts, AreTheAxisAlignedOnesTurnedByTheEightYaws) {
  const auto aligned = testing::axis_aligned_mounts();
  ASSERT_EQ(aligned.size(), 24U);
  std::set<const Mount*> reached;
  for (const Mount& mount : aligned) {
    for (int eighth = 0; eighth < 8; ++eighth) {
      const Rotation<CraftAxes, CraftAxes> yaw(YawPitchRoll{45.0 * eighth, 0, 0});
      const NearestMounts near = nearest_mounts(yaw * mount.rotation);
      EXPECT_LT(near.off.value, 1e-9);
      reached.insert(near.nearest);
    }
  }
  EXPECT_EQ(reached.size(), 48U);
}

// Source: check-values.json "preset_grids": all 90 degree triples are 24 distinct rotations.
TEST(Mounts, EveryTripleOfRightAnglesIsAxisAligned) {
  std::set<const Mount*> reached;
  for (int triple = 0; triple < 64; ++triple) {
    const CraftFromBoard rotation(
        YawPitchRoll{90.0 * (triple % 4), 90.0 * (triple / 4 % 4), 90.0 * (triple / 16)});
    const NearestMounts near = nearest_mounts(rotation);
    EXPECT_LT(near.off.value, 1e-9);
    reached.insert(near.nearest);
  }
  EXPECT_EQ(reached.size(), fixture("check-values.json").at("preset_grids")[0].at("distinct"));
}

// Source: check-values.json "preset_grids": all 45 degree triples are 208 distinct rotations, so a mount
// cannot be named out of them by its nearest, and the 48 names are fewer.
TEST(Mounts, TriplesOf45AreTooCloseToBeNames) {
  std::vector<CraftFromBoard> distinct;
  double nearest = 360;
  for (int triple = 0; triple < 512; ++triple) {
    const CraftFromBoard rotation(
        YawPitchRoll{45.0 * (triple % 8), 45.0 * (triple / 8 % 8), 45.0 * (triple / 64)});
    double near = 360;
    for (const CraftFromBoard& other : distinct) near = std::min(near, angle_between(rotation, other).value);
    if (near < 1e-6) continue;
    nearest = std::min(nearest, near);
    distinct.push_back(rotation);
  }
  const auto published = fixture("check-values.json").at("preset_grids")[1];
  EXPECT_EQ(distinct.size(), published.at("distinct"));
  // Exact is 33.68423247; the published figure has lost its last digits.
  EXPECT_NEAR(nearest, published.at("nearest_deg")[0].get<double>(), 2e-5);
}

TEST(Mounts, SixteenAreFlat) {
  EXPECT_EQ(testing::flat_mounts().size(), 16U);
}

TEST(Mounts, HaveNamesOfTheirOwn) {
  std::set<std::string> names;
  for (const Mount& mount : mounts()) names.insert(mount.words);
  EXPECT_EQ(names.size(), 48U);
  EXPECT_EQ(mount(Degrees{90}, BoardSide::upside_down).words, "turned 90 to the right, upside down");
  EXPECT_EQ(mount(Degrees{270}, BoardSide::right_way_up).words, "turned 90 to the left");
  EXPECT_EQ(mount(Degrees{0}, BoardSide::right_way_up).words, "not turned");
  EXPECT_EQ(mount(Degrees{180}, BoardSide::arrow_up).words, "facing backward, on edge with its arrow up");
}

// The words say where the arrow is and what is up; both are read off the rotation itself here.
TEST(Mounts, TheirWordsAreTrue) {
  for (const Mount& mount : mounts()) {
    const InCraft arrow = mount.rotation * InBoard{1, 0, 0};
    const InCraft right = mount.rotation * InBoard{0, 1, 0};
    const InCraft bottom = mount.rotation * InBoard{0, 0, 1};
    const bool upside_down = mount.words.find("upside down") != std::string::npos;
    EXPECT_EQ(upside_down, bottom.z < -0.9) << mount.words;
    EXPECT_EQ(mount.words.find("arrow up") != std::string::npos, arrow.z < -0.9) << mount.words;
    EXPECT_EQ(mount.words.find("arrow down") != std::string::npos, arrow.z > 0.9) << mount.words;
    EXPECT_EQ(mount.words.find("right side down") != std::string::npos, right.z > 0.9) << mount.words;
    if (std::abs(arrow.z) > 0.5) continue;
    EXPECT_EQ(mount.words.find("to the right") != std::string::npos, arrow.y > 0.1) << mount.words;
    EXPECT_EQ(mount.words.find("to the left") != std::string::npos, arrow.y < -0.1) << mount.words;
  }
}

TEST(Mounts, AMountThatIsOffSaysByHowMuch) {
  EXPECT_EQ(in_words(CraftFromBoard(YawPitchRoll{97, 0, 180})),
            "turned 90 to the right, upside down, but 7 degrees off that");
  const NearestMounts near = nearest_mounts(CraftFromBoard(YawPitchRoll{20, 0, 0}));
  EXPECT_EQ(near.nearest->words, "not turned");
  EXPECT_NEAR(near.off.value, 20, 1e-9);
  EXPECT_EQ(near.second->words, "turned 45 to the right");
  EXPECT_NEAR(near.second_off.value, 25, 1e-9);
}

}  // namespace
}  // namespace armwise::craft::mounts_test
