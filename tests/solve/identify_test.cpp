#include "armwise/solve/identify.hpp"

#include <gtest/gtest.h>

#include <algorithm>

#include "fake_craft.hpp"

namespace armwise::solve {
namespace {

using craft::Motor;
using craft::Pin;
using craft::PlaceIndex;
using craft::Turn;
using Seen = Sighting::Seen;

const craft::Frame& quad() {
  return *craft::frame_named("quad-x");
}

craft::MotorMap pins(const std::vector<std::string>& names) {
  craft::MotorMap map;
  for (const std::string& name : names) map.pins.push_back(Pin{name});
  return map;
}

Sighting one(int motor, const char* place, Turn turn = Turn::cw) {
  return {Motor{motor}, Seen::one, quad().find(place).value(), turn};
}
Sighting none(int motor) {
  return {Motor{motor}, Seen::none, 0, Turn::cw};
}
Sighting several(int motor) {
  return {Motor{motor}, Seen::several, 0, Turn::cw};
}

std::vector<Contradiction> contradictions(const std::vector<Sighting>& sightings,
                                          const std::vector<std::string>& map = {"P1", "P2", "P3", "P4"}) {
  const Identified found = identify(quad(), pins(map), sightings);
  if (const auto* all = std::get_if<std::vector<Contradiction>>(&found)) return *all;
  ADD_FAILURE() << "taken for a wiring";
  return {{"", {}}};
}

std::vector<Motor> motors(const std::vector<int>& numbers) {
  std::vector<Motor> all;
  all.reserve(numbers.size());
  for (const int number : numbers) all.push_back(Motor{number});
  return all;
}

TEST(Identify, TakesSoundAnswersForTheWiring) {
  const Identified found =
      identify(quad(), pins({"P4", "P1", "P2", "P9"}),
               {one(1, "rr"), one(2, "fr", Turn::ccw), one(3, "rl", Turn::ccw), one(4, "fl")});
  const Wiring expected{{{Pin{"P4"}, {quad().find("rr").value(), Turn::cw}},
                         {Pin{"P1"}, {quad().find("fr").value(), Turn::ccw}},
                         {Pin{"P2"}, {quad().find("rl").value(), Turn::ccw}},
                         {Pin{"P9"}, {quad().find("fl").value(), Turn::cw}}}};
  ASSERT_TRUE(std::holds_alternative<Wiring>(found));
  EXPECT_EQ(std::get<Wiring>(found), expected);
}

TEST(Identify, CountsTheLastAnswerOfEachMotor) {
  const Identified found =
      identify(quad(), pins({"P1", "P2", "P3", "P4"}),
               {one(1, "fl"), none(2), one(2, "rr"), one(3, "rl"), one(4, "fl"), one(1, "fr", Turn::ccw)});
  ASSERT_TRUE(std::holds_alternative<Wiring>(found));
  EXPECT_EQ(std::get<Wiring>(found).at.at(Pin{"P1"}), (Wired{quad().find("fr").value(), Turn::ccw}));
}

TEST(Identify, PassesOverMotorsBeyondTheFrame) {
  const Identified found = identify(quad(), pins({"P1", "P2", "P3", "P4", "P5"}),
                                    {one(1, "fr"), one(2, "rr"), one(3, "rl"), one(4, "fl"), one(5, "fl")});
  ASSERT_TRUE(std::holds_alternative<Wiring>(found));
  EXPECT_FALSE(std::get<Wiring>(found).at.contains(Pin{"P5"}));
}

TEST(Identify, SaysWhichArmWasNamedTwiceAndWhichByNobody) {
  const auto found = contradictions({one(1, "fr"), one(2, "rl"), one(3, "fr"), one(4, "rr")});
  ASSERT_EQ(found.size(), 1U) << "that nobody named front-left follows, and is no second contradiction";
  EXPECT_EQ(found[0].sentence,
            "Motor 1 (pin P1) and motor 3 (pin P3) were both seen on front-right, where there is one motor "
            "only. No motor was seen on front-left, so one of them probably sits there. Left and right are "
            "easily taken for each other, most of all with the nose toward you. Spin both again.");
  EXPECT_EQ(found[0].spin_again, motors({1, 3}));
}

TEST(Identify, DoesNotBlameLeftAndRightWhereTheyAreNotTheMatter) {
  const auto found = contradictions({one(1, "fr"), one(2, "rl"), one(3, "fr"), one(4, "fl")});
  ASSERT_EQ(found.size(), 1U);
  EXPECT_EQ(found[0].sentence,
            "Motor 1 (pin P1) and motor 3 (pin P3) were both seen on front-right, where there is one motor "
            "only. No motor was seen on rear-right, so one of them probably sits there. Spin both again.");
}

TEST(Identify, TellsTwoArmsNamedTwiceApart) {
  const auto found = contradictions({one(1, "fr"), one(2, "rl"), one(3, "fr"), one(4, "rl")});
  ASSERT_EQ(found.size(), 2U);
  EXPECT_EQ(found[0].spin_again, motors({1, 3}));
  EXPECT_EQ(found[1].spin_again, motors({2, 4}));
  EXPECT_NE(found[0].sentence.find("No motor was seen on rear-right or front-left"), std::string::npos)
      << found[0].sentence;
}

TEST(Identify, SaysWhenOneArmWasNamedByAll) {
  const auto found = contradictions({one(1, "fr"), one(2, "fr"), one(3, "fr"), one(4, "rl")});
  ASSERT_EQ(found.size(), 1U);
  EXPECT_TRUE(found[0].sentence.starts_with(
      "Motor 1 (pin P1), motor 2 (pin P2) and motor 3 (pin P3) were all seen on front-right"))
      << found[0].sentence;
  EXPECT_TRUE(found[0].sentence.ends_with("Spin them all again."));
  EXPECT_EQ(found[0].spin_again, motors({1, 2, 3}));
}

TEST(Identify, SaysWhatToLookAtWhereNothingMoved) {
  const auto found = contradictions({one(1, "fr"), none(2), one(3, "rl"), one(4, "fl")});
  ASSERT_EQ(found.size(), 1U);
  EXPECT_EQ(
      found[0].sentence,
      "Nothing moved when motor 2 (pin P2) was spun, and no motor was seen on rear-right. Either nothing "
      "is wired to pin P2, a wire is loose, or the speed controller has no power. Check the battery and "
      "the wire on that pin, then spin motor 2 again.");
  EXPECT_EQ(found[0].spin_again, motors({2}));
}

TEST(Identify, SaysWhatToLookAtWhereSeveralMoved) {
  const auto found = contradictions({one(1, "fr"), one(2, "rr"), several(3), one(4, "fl")});
  ASSERT_EQ(found.size(), 1U);
  EXPECT_EQ(
      found[0].sentence,
      "More than one motor moved when motor 3 (pin P3) was spun, and no motor was seen on rear-left. One "
      "pin should drive one motor. Check that only one signal wire is on pin P3, then spin motor 3 again "
      "and look for the one arm that moves.");
  EXPECT_EQ(found[0].spin_again, motors({3}));
}

TEST(Identify, AsksForAMotorThatWasNotSpun) {
  const auto found = contradictions({one(1, "fr"), one(2, "rr"), one(4, "fl")});
  ASSERT_EQ(found.size(), 1U);
  EXPECT_EQ(found[0].sentence, "Motor 3 (pin P3) has not been spun yet. Spin it now.");
  EXPECT_EQ(found[0].spin_again, motors({3}));
  EXPECT_EQ(contradictions({}).size(), 4U);
}

TEST(Identify, SaysThatAMotorIsOnNoPin) {
  const auto found =
      contradictions({one(1, "fr"), none(2), one(3, "rl"), one(4, "fl")}, {"P1", "", "P3", "P4"});
  ASSERT_EQ(found.size(), 1U);
  EXPECT_EQ(
      found[0].sentence,
      "The controller has motor 2 on no pin, so it can move nothing on this craft. Put motor 2 on a pin in "
      "the controller's console, then spin it again.");
  EXPECT_EQ(contradictions({one(1, "fr"), one(2, "rr"), one(3, "rl"), one(4, "fl")}, {"P1", "P2"}).size(), 2U)
      << "a map shorter than the frame";
}

TEST(Identify, SaysThatTwoMotorsAreOnOnePin) {
  for (const char* second : {"fr", "rr"}) {
    const auto found =
        contradictions({one(1, "fr"), one(2, second), one(3, "rl"), one(4, "fl")}, {"P1", "P1", "P3", "P4"});
    ASSERT_EQ(found.size(), 1U) << second;
    EXPECT_EQ(found[0].sentence,
              "The controller has motor 1 and motor 2 on the same pin, P1, so they move the same motor. Give "
              "each a pin of its own in the controller's console, then spin them again.");
    EXPECT_EQ(found[0].spin_again, motors({1, 2}));
  }
}

// Whatever a person answers: a wiring comes out exactly where every arm was named once, and every
// contradiction says which motors of the frame to spin again.
TEST(Identify, FindsAWiringExactlyWhereEveryArmWasNamedOnce) {
  int sound = 0;
  for (int answers = 0; answers < 6 * 6 * 6 * 6; ++answers) {
    std::vector<Sighting> sightings;
    std::vector<int> named(4, 0);
    for (int motor = 1, rest = answers; motor <= 4; ++motor, rest /= 6) {
      const int answer = rest % 6;
      sightings.push_back(answer == 4 ? none(motor) : several(motor));
      if (answer >= 4) continue;
      sightings.back() = {Motor{motor}, Seen::one, static_cast<PlaceIndex>(answer), Turn::ccw};
      ++named[static_cast<std::size_t>(answer)];
    }
    const Identified found = identify(quad(), pins({"P1", "P2", "P3", "P4"}), sightings);
    const bool bijection = std::all_of(named.begin(), named.end(), [](int times) { return times == 1; });
    ASSERT_EQ(std::holds_alternative<Wiring>(found), bijection) << answers;
    if (bijection) {
      ++sound;
      EXPECT_EQ(std::get<Wiring>(found).at.size(), 4U);
      continue;
    }
    for (const Contradiction& each : std::get<std::vector<Contradiction>>(found)) {
      EXPECT_FALSE(each.spin_again.empty());
      EXPECT_TRUE(each.sentence.ends_with('.')) << each.sentence;
    }
  }
  EXPECT_EQ(sound, 24);
}

}  // namespace
}  // namespace armwise::solve
