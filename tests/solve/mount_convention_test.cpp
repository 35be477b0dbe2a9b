// The convention of a console's mount angles, found by how its readings move. What a convention means is held
// against scipy in tests/craft (fixtures/rotations); here the experiment is held against the definition.
#include "armwise/solve/mount_convention.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <iostream>
#include <random>

#include "armwise/craft/rotation.hpp"
#include "support/sweep.hpp"

namespace armwise::solve::mount_convention_test {
namespace {

using craft::AngleConvention;
using craft::ConsoleAngles;

constexpr std::array orders{"yaw-pitch-roll", "yaw-roll-pitch", "pitch-yaw-roll",
                            "pitch-roll-yaw", "roll-yaw-pitch", "roll-pitch-yaw"};
// Degrees; and another convention is as good as told only if it means the same by any angles.
constexpr ConsoleAngles trial{20, 30, 40};
constexpr std::array<ConsoleAngles, 3> others{{{50, -35, 75}, {-110, 20, 15}, {10, 80, -60}}};

bool mean_the_same(const AngleConvention& a, const AngleConvention& b) {
  return std::ranges::all_of(others, [&](const ConsoleAngles& told) {
    return angle_between(craft_from_board(a, told), craft_from_board(b, told)).value < 1e-6;
  });
}

std::vector<AngleConvention> every_convention() {
  std::vector<AngleConvention> all;
  for (const char* order : orders) {
    for (unsigned bits = 0; bits < 16; ++bits) {
      AngleConvention each;
      each.order = craft::angle_order_named(order).value();
      for (std::size_t axis = 0; axis < 3; ++axis) each.signs.at(axis) = (bits >> axis & 1U) ? -1 : 1;
      each.craft_to_board = (bits & 8U) != 0;
      all.push_back(each);
    }
  }
  return all;
}

// Held by hand: the board's z, x and y upwards within `slop` degrees; it trembles by `tremble` in between.
class Hand {
 public:
  Hand(unsigned seed, double slop, double tremble) : random_(seed), slop_(slop), tremble_(tremble) {}

  std::vector<MovedReading> readings(const craft::CraftFromBoard& told) {
    std::vector<MovedReading> all;
    for (const craft::InBoard up : {craft::InBoard{0, 0, -1}, {-1, 0, 0}, {0, -1, 0}}) {
      const craft::InBoard held = tilted(up, slop_);
      const craft::InBoard first = tilted(held, tremble_), second = tilted(held, tremble_);
      const craft::InCraft turned = told * second;
      all.push_back({{first.x, first.y, first.z}, {turned.x, turned.y, turned.z}});
    }
    return all;
  }

 private:
  craft::InBoard tilted(const craft::InBoard& v, double degrees) {
    std::normal_distribution<double> some(0, degrees);
    const craft::CraftFromBoard turn(craft::YawPitchRoll{some(random_), some(random_), some(random_)});
    const craft::InCraft out = turn * v;
    return {out.x, out.y, out.z};
  }
  std::mt19937 random_;
  double slop_, tremble_;
};

TEST(MountConvention, EveryOneIsFoundFromThreeHolds) {
  Hand hand(3, 6, 0.8);
  for (const AngleConvention& truth : every_convention()) {
    const auto answer = convention_from_readings(hand.readings(craft_from_board(truth, trial)), trial, {});
    const auto* found = std::get_if<ConventionFound>(&answer);
    ASSERT_NE(found, nullptr) << craft::angle_order_name(truth.order);
    EXPECT_TRUE(mean_the_same(found->convention, truth)) << craft::angle_order_name(truth.order);
    EXPECT_FALSE(found->convention.craft_to_board);
  }
}

TEST(MountConvention, TheUnitIsTakenOver) {
  AngleConvention radians;
  radians.per_degree = 0.017453292519943295;
  radians.signs = {-1, 1, 1};
  const ConsoleAngles told{0.34907, 0.5236, 0.69813};
  Hand hand(4, 5, 0.5);
  const auto answer = convention_from_readings(hand.readings(craft_from_board(radians, told)), told, radians);
  const auto* found = std::get_if<ConventionFound>(&answer);
  ASSERT_NE(found, nullptr);
  EXPECT_EQ(found->convention, radians);
}

TEST(MountConvention, ReadingsThatAreTakenBeforeTheMountDoNotMove) {
  Hand hand(5, 8, 2);
  test::InTurn in_turn(test::every);
  for (int i = 0; i < 1000; ++i) {
    const auto readings = hand.readings({});
    if (in_turn.is_left_out()) continue;
    const auto answer = convention_from_readings(readings, trial, {});
    EXPECT_TRUE(std::holds_alternative<ReadingsDoNotMove>(answer));
  }
}

struct Rates {
  int unclear = 0, wrong = 0;
};
Rates rates_with(double tremble) {
  Hand hand(6, 10, tremble);
  const std::vector<AngleConvention> all = every_convention();
  Rates rates;
  const int step = test::one_in(1, 203);
  for (auto i = static_cast<std::size_t>(test::first_of(step)); i < 20'000;
       i += static_cast<std::size_t>(step)) {
    const AngleConvention& truth = all[i % all.size()];
    const auto answer = convention_from_readings(hand.readings(craft_from_board(truth, trial)), trial, {});
    const auto* found = std::get_if<ConventionFound>(&answer);
    if (found == nullptr) ++rates.unclear;
    if (found != nullptr && !mean_the_same(found->convention, truth)) ++rates.wrong;
  }
  std::cout << "trembling by " << tremble << " degrees an axis: " << rates.unclear << " of 20,000 unclear, "
            << rates.wrong << " wrong\n";
  return rates;
}

// Two degrees an axis between one reading and the next are more than a hand that tries to hold still.
TEST(MountConvention, AnUnsteadyHandIsAskedAgainAndNotBelievedWrongly) {
  const Rates still = rates_with(1), unsteady = rates_with(2);
  EXPECT_EQ(still.wrong, 0);
  EXPECT_LT(still.unclear, 400);
  EXPECT_EQ(unsteady.wrong, 0);
  EXPECT_LT(unsteady.unclear, 12'000);
}

TEST(MountConvention, OneHoldIsNotEnough) {
  Hand hand(7, 0, 0);
  const auto all = hand.readings(craft_from_board({}, trial));
  const auto answer = convention_from_readings(std::span(all).first(1), trial, {});
  EXPECT_TRUE(std::holds_alternative<ConventionUnclear>(answer));
  EXPECT_TRUE(std::holds_alternative<ConventionUnclear>(convention_from_readings({}, trial, {})));
}

// Turned by half of what was told: the unit is another.
TEST(MountConvention, AnotherUnitFitsNothing) {
  Hand hand(8, 3, 1);
  const ConsoleAngles half{10, 15, 20};
  const auto answer = convention_from_readings(hand.readings(craft_from_board({}, half)), trial, {});
  EXPECT_TRUE(std::holds_alternative<ConventionUnclear>(answer));
}

}  // namespace
}  // namespace armwise::solve::mount_convention_test
