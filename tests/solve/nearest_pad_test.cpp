// What a turned board calls for when every wire goes to the nearest pad.
//
// Common practice, no source: yaw 90 on a quad-x makes the map a cycle of all four motors and puts the other
// prop scheme on the arms unless all four turns are reversed; yaw 180 makes two swaps across the diagonals
// and no turn changes; upside down about the roll axis mirrors left and right.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <functional>
#include <numbers>
#include <utility>
#include <vector>

#include "armwise/solve/plan.hpp"
#include "fake_craft.hpp"

namespace armwise::solve::nearest_pad_test {
namespace {

using craft::Pin;
using craft::PlaceIndex;
using craft::PropScheme;
using Point = std::pair<double, double>;  // toward the nose, to the right

// Positive yaw turns the board's nose to the right.
std::function<Point(Point)> yawed(double degrees) {
  const double angle = degrees * std::numbers::pi / 180;
  return [=](Point at) {
    return Point{at.first * std::cos(angle) - at.second * std::sin(angle),
                 at.first * std::sin(angle) + at.second * std::cos(angle)};
  };
}

Point rolled_over(Point at) {
  return {at.first, -at.second};
}

PlaceIndex nearest_place(const craft::Frame& frame, Point at) {
  PlaceIndex best = 0;
  double best_distance = 10;
  for (PlaceIndex i = 0; i < frame.places.size(); ++i) {
    const double distance = std::hypot(frame.places[i].x - at.first, frame.places[i].y - at.second);
    if (distance < best_distance) best = i;
    best_distance = std::min(best_distance, distance);
  }
  return best;
}

// Motor i belongs on the i-th place and its pad i lies at that corner of the board. Each pad turns its motor
// as the corner of the board wants it.
struct TurnedBoard {
  const craft::Frame& frame = *craft::frame_named("quad-x");
  Wanted wanted{PropScheme::in, {{0, 1, 2, 3}}, std::nullopt};
  Snapshot now;
  Wiring wiring;

  explicit TurnedBoard(const std::function<Point(Point)>& turned) {
    for (PlaceIndex corner = 0; corner < frame.places.size(); ++corner) {
      const Pin pin{"P" + std::to_string(corner + 1)};
      const craft::Place& on_board = frame.places[corner];
      now.map.pins.push_back(pin);
      wiring.at[pin] = {nearest_place(frame, turned({on_board.x, on_board.y})),
                        frame.wanted(corner, wanted.scheme)};
    }
    now.turn_key = TurnKey::pin;
    now.turns.assign(4, craft::Turn::cw);
  }

  Plan planned() const { return plan(frame, now, wiring, wanted); }

  // The motor that is after the plan on the pin which motor i has now.
  std::vector<int> handed_to(const Plan& plan) const {
    std::vector<int> motors;
    for (const Pin& pin : now.map.pins) motors.push_back(plan.map_after.motor_on(pin).number);
    return motors;
  }
};

long turn_changes(const Plan& plan) {
  return std::count_if(plan.changes.begin(), plan.changes.end(),
                       [](const Change& change) { return std::holds_alternative<SetTurn>(change.what); });
}

TEST(NearestPad, OfAStraightBoardCallsForNothing) {
  EXPECT_TRUE(TurnedBoard(yawed(0)).planned().empty());
}

TEST(NearestPad, OfABoardYawedBy90MakesACycleOfFourAndTheOtherScheme) {
  for (const double yaw : {90.0, -90.0}) {
    TurnedBoard board(yawed(yaw));
    const Plan plan = board.planned();
    // Clockwise: what pad 1 drives has come to the place of motor 2, and so on round.
    const std::vector<int> cycle = yaw > 0 ? std::vector<int>{2, 3, 4, 1} : std::vector<int>{4, 1, 2, 3};
    EXPECT_EQ(board.handed_to(plan), cycle);
    EXPECT_TRUE(plan.every_turn_opposite);
    EXPECT_EQ(turn_changes(plan), 4) << "one way out: reverse all";
    board.wanted.scheme = PropScheme::out;
    EXPECT_EQ(turn_changes(board.planned()), 0) << "the other way out: change over";
    EXPECT_FALSE(board.planned().every_turn_opposite);
    EXPECT_EQ(board.handed_to(board.planned()), cycle);
  }
}

TEST(NearestPad, OfABoardYawedBy180MakesTwoSwapsAcrossTheDiagonalsAndNoTurnChanges) {
  const TurnedBoard board(yawed(180));
  const Plan plan = board.planned();
  EXPECT_EQ(board.handed_to(plan), (std::vector<int>{3, 4, 1, 2}));
  EXPECT_EQ(turn_changes(plan), 0);
  EXPECT_EQ(plan.changes.size(), 4U) << "sharing allowed: one write for each motor that moves";
}

// Custom says nothing of the turns here: they depend on how the phases are wired to the board's underside.
TEST(NearestPad, OfABoardUpsideDownAboutTheRollAxisMirrorsLeftAndRight) {
  const TurnedBoard board(rolled_over);
  const Plan plan = board.planned();
  EXPECT_EQ(board.handed_to(plan), (std::vector<int>{4, 3, 2, 1}));
  for (int i = 1; i <= 4; ++i) {
    const craft::Place& before = board.frame.places[static_cast<std::size_t>(i - 1)];
    const craft::Place& after = board.frame.places[board.wiring.at.at(Pin{"P" + std::to_string(i)}).place];
    EXPECT_NEAR(after.x, before.x, 1e-12);
    EXPECT_NEAR(after.y, -before.y, 1e-12);
  }
}

}  // namespace
}  // namespace armwise::solve::nearest_pad_test
