#include "armwise/solve/identify.hpp"

#include <gtest/gtest.h>

namespace armwise::solve::identify_test {
namespace {

using craft::Motor;
using craft::Pin;

const craft::Frame& quad() {
  return *craft::frame_named("quad-x");
}

// Motor 1 on P1 and so on, each seen on this arm.
std::vector<std::string> told_of(const std::vector<const char*>& arms) {
  std::vector<Sighting> sightings;
  for (const char* arm : arms) {
    const int motor = static_cast<int>(sightings.size()) + 1;
    sightings.push_back({Motor{motor}, Pin{"P" + std::to_string(motor)}, quad().find(arm).value()});
  }
  return named_twice(quad(), sightings);
}

TEST(NamedTwice, SaysNothingWhereEachArmWasNamedOnce) {
  EXPECT_TRUE(told_of({"rr", "fr", "rl", "fl"}).empty());
}

TEST(NamedTwice, SaysWhichArmAndWhichByNobody) {
  EXPECT_EQ(
      told_of({"fr", "rl", "fr", "rr"}),
      (std::vector<std::string>{
          "Motor 1 (pin P1) and motor 3 (pin P3) were both seen on front-right, where there is one motor "
          "only. No motor was seen on front-left, so one of them probably sits there. Left and right are "
          "easily taken for each other, most of all with the nose toward you."}));
}

TEST(NamedTwice, DoesNotBlameLeftAndRightWhereTheyAreNotTheMatter) {
  EXPECT_EQ(
      told_of({"fr", "rl", "fr", "fl"}),
      (std::vector<std::string>{
          "Motor 1 (pin P1) and motor 3 (pin P3) were both seen on front-right, where there is one motor "
          "only. No motor was seen on rear-right, so one of them probably sits there."}));
}

TEST(NamedTwice, TellsTwoArmsApart) {
  const std::vector<std::string> told = told_of({"fr", "rl", "fr", "rl"});
  ASSERT_EQ(told.size(), 2U);
  EXPECT_TRUE(told[0].starts_with("Motor 1 (pin P1) and motor 3 (pin P3) were both seen on front-right"));
  EXPECT_TRUE(told[1].starts_with("Motor 2 (pin P2) and motor 4 (pin P4) were both seen on rear-left"));
  EXPECT_NE(told[0].find("No motor was seen on rear-right or front-left, so at least one"), std::string::npos)
      << told[0];
}

TEST(NamedTwice, SaysWhenOneArmWasNamedByAll) {
  const std::vector<std::string> told = told_of({"fr", "fr", "fr", "rl"});
  ASSERT_EQ(told.size(), 1U);
  EXPECT_TRUE(told[0].starts_with(
      "Motor 1 (pin P1), motor 2 (pin P2) and motor 3 (pin P3) were all seen on front-right"))
      << told[0];
}

TEST(NothingMoved, SaysWhatToLookAt) {
  EXPECT_EQ(
      nothing_moved(Motor{2}, Pin{"P2"}),
      "Nothing moved when motor 2 (pin P2) was spun. Either nothing is wired to pin P2, a wire is loose, "
      "or the speed controller has no power. Check the battery and the wire on that pin, then spin motor "
      "2 again.");
  EXPECT_EQ(several_moved(Motor{3}, Pin{"P3"}),
            "More than one motor moved when motor 3 (pin P3) was spun. One pin should drive one motor. Check "
            "that only one signal wire is on pin P3, then spin motor 3 again and look for the one arm that "
            "moves.");
}

}  // namespace
}  // namespace armwise::solve::identify_test
