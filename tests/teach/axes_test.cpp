// The axes of an accelerometer, from three holds. At rest it reads specific force, one g upwards (common
// practice, no source); what a held board reads is turned here by the rotations that tests/craft holds
// against scipy.
#include "armwise/teach/axes.hpp"

#include <gtest/gtest.h>

#include <random>

namespace armwise::teach::axes_test {
namespace {

using craft::InBoard;

// The console's numbers where its axes are these and its readings are turned by that mount.
std::array<Numbers, 3> held(const SenseAxes& truth, const craft::ToldFromBoard& mount, std::mt19937& random,
                            double slop) {
  std::array<Numbers, 3> all{};
  const std::array<InBoard, 3> ups{{{0, 0, -1}, {-1, 0, 0}, {0, -1, 0}}};
  std::normal_distribution<double> some(0, slop);
  for (std::size_t i = 0; i < 3; ++i) {
    const craft::CraftFromBoard tip(craft::YawPitchRoll{some(random), some(random), some(random)});
    const craft::InCraft tipped = tip * ups.at(i);
    const craft::InTold told = mount * InBoard{tipped.x, tipped.y, tipped.z};
    const Numbers ours{told.x, told.y, told.z};
    const double unit = truth.per_g * (truth.specific_force ? 1 : -1);
    for (std::size_t k = 0; k < 3; ++k) {
      const std::string& axis = truth.axes.at(k);
      const double value = ours.at(static_cast<std::size_t>(axis.back() - 'x'));
      all.at(i).at(k) = unit * (axis.size() > 1 ? -value : value);
    }
  }
  return all;
}

std::vector<SenseAxes> right_handed() {
  std::vector<SenseAxes> all;
  for (const std::array<std::string, 3>& axes : {std::array<std::string, 3>{"x", "y", "z"},
                                                 {"y", "z", "x"},
                                                 {"z", "x", "y"},
                                                 {"-y", "x", "z"},
                                                 {"x", "-y", "-z"},
                                                 {"-z", "-y", "-x"},
                                                 {"y", "x", "-z"},
                                                 {"-x", "-y", "z"}}) {
    for (const bool force : {true, false}) {
      for (const double per_g : {1.0, 9.80665, 1000.0, 4096.0}) all.push_back({axes, force, per_g});
    }
  }
  return all;
}

TEST(SenseAxes, AreFoundThoughItIsHeldBadly) {
  std::mt19937 random(11);
  for (int round = 0; round < 50; ++round) {
    for (const SenseAxes& truth : right_handed()) {
      const auto found = axes_from_holds(held(truth, {}, random, 7), {});
      ASSERT_TRUE(found);
      EXPECT_EQ(found->axes, truth.axes);
      EXPECT_EQ(found->specific_force, truth.specific_force);
      EXPECT_NEAR(found->per_g, truth.per_g, 1e-9);
    }
  }
}

// Asked to hold it straight down, a person tips it by 40 degrees.
TEST(SenseAxes, HowFarItIsTippedDoesNotMatter) {
  const double part = 0.6428, rest = 0.7660;  // sine and cosine of 40 degrees
  const auto found =
      axes_from_holds({{{0, 0, 9.81}, {-9.81 * part, 0, 9.81 * rest}, {0, 9.81 * part, 9.81 * rest}}});
  ASSERT_TRUE(found);
  EXPECT_EQ(found->axes, (std::array<std::string, 3>{"x", "-y", "-z"}));
  EXPECT_TRUE(found->specific_force);
  EXPECT_NEAR(found->per_g, 9.80665, 1e-9);
}

TEST(SenseAxes, AMountThatIsSetIsTakenIntoAccount) {
  std::mt19937 random(12);
  std::uniform_real_distribution<double> angle(-180, 180);
  for (int round = 0; round < 20; ++round) {
    const craft::ToldFromBoard mount(craft::YawPitchRoll{angle(random), angle(random) / 2, angle(random)});
    for (const SenseAxes& truth : right_handed()) {
      const auto found = axes_from_holds(held(truth, mount, random, 5), mount);
      ASSERT_TRUE(found);
      EXPECT_EQ(found->axes, truth.axes);
      EXPECT_EQ(found->specific_force, truth.specific_force);
    }
  }
}

// The console counts x, y to the left and z up: two mirrored axes, right-handed. One alone reads as gravity.
TEST(SenseAxes, AnOddNumberOfMirroredAxesIsGravity) {
  const std::array<Numbers, 3> one_mirrored{{{0, 0, 1}, {-1, 0, 0}, {0, -1, 0}}};
  const auto found = axes_from_holds(one_mirrored);
  ASSERT_TRUE(found);
  EXPECT_FALSE(found->specific_force);
  EXPECT_EQ(found->axes, (std::array<std::string, 3>{"-x", "-y", "z"}));
}

TEST(SenseAxes, TheSameHoldThreeTimesTellsNothing) {
  EXPECT_FALSE(axes_from_holds({{{0, 0, -1}, {0, 0, -1}, {0, 0, -1}}}));
  EXPECT_FALSE(axes_from_holds({{{0, 0, -1}, {0, 0, -1}, {0, -1, 0}}}));
  EXPECT_FALSE(axes_from_holds({{{0, 0, 0}, {0, 0, 0}, {0, 0, 0}}}));
}

// Where a mount of 45 degrees is in the readings and is not known, no axes fit.
TEST(SenseAxes, AMountThatIsNotKnownIsNoticed) {
  std::mt19937 random(13);
  const craft::ToldFromBoard mount(craft::YawPitchRoll{45, 0, 0});
  const SenseAxes plain{{"x", "y", "z"}, true, 1};
  EXPECT_FALSE(axes_from_holds(held(plain, mount, random, 0), {}));
}

}  // namespace
}  // namespace armwise::teach::axes_test
