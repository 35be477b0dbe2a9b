#include "armwise/ui/strip.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

namespace armwise::ui::strip_test {
namespace {

using craft::Turn;

struct Point {
  double north = 0, east = 0;  // on the page: north is the nose, east the right side
};

// A clock's hand that points `degrees` clockwise from the nose.
Point hand(double degrees, double length) {
  const double radians = degrees * std::numbers::pi / 180;
  return {length * std::cos(radians), length * std::sin(radians)};
}

// Where a point of the bell's rim moves when the hand goes on by a little: no vector product, a clock.
Point movement(Point hold, Turn turn) {
  const double now = std::atan2(hold.east, hold.north) * 180 / std::numbers::pi;
  const double step = turn == Turn::cw ? 1 : -1;
  const Point before = hand(now, 1);
  const Point after = hand(now + step, 1);
  return {after.north - before.north, after.east - before.east};
}

TEST(StripTest, IsHeldOutsideTheCraftAndMovesAsTheBellDoes) {
  for (const craft::Frame& frame : craft::frames()) {
    for (craft::PlaceIndex place = 0; place < frame.places.size(); ++place) {
      const craft::Place& at = frame.places[place];
      const craft::StripTest test = craft::strip_test(frame, place);
      SCOPED_TRACE(frame.name + " " + at.name);
      EXPECT_NEAR(std::hypot(test.hold_x, test.hold_y), 1, 1e-12);
      EXPECT_GT(test.hold_x * at.x + test.hold_y * at.y, 0) << "held on the inside";
      for (const Turn turn : {Turn::cw, Turn::ccw}) {
        const Point moved = movement({test.hold_x, test.hold_y}, turn);
        const std::string& toward = turn == Turn::cw ? test.cw_toward : test.ccw_toward;
        if (toward == "nose") {
          EXPECT_GT(moved.north, 10 * std::abs(moved.east));
        } else if (toward == "tail") {
          EXPECT_GT(-moved.north, 10 * std::abs(moved.east));
        } else {
          // Toward a neighbour: that arm lies on the side to which the paper goes.
          const auto neighbour = std::find_if(frame.places.begin(), frame.places.end(),
                                              [&](const craft::Place& one) { return one.arm == toward; });
          ASSERT_NE(neighbour, frame.places.end());
          EXPECT_GT(moved.east * (neighbour->y - at.y) + moved.north * (neighbour->x - at.x), 0);
        }
        EXPECT_EQ(turn_by_strip(frame, place, toward), turn);
      }
    }
  }
}

// Worked by hand: a clock lies on the right arm; its hand at three o'clock, outside, goes down: to the tail.
TEST(StripTest, GivesTheHandWorkedCases) {
  const craft::Frame& quad = *craft::frame_named("quad-x");
  EXPECT_EQ(turn_by_strip(quad, *quad.find("front-right"), "tail"), Turn::cw);
  EXPECT_EQ(turn_by_strip(quad, *quad.find("rear-right"), "nose"), Turn::ccw);
  EXPECT_EQ(turn_by_strip(quad, *quad.find("front-left"), "nose"), Turn::cw);
  EXPECT_EQ(turn_by_strip(quad, *quad.find("rear-left"), "Tail"), Turn::ccw);
  EXPECT_EQ(turn_by_strip(quad, *quad.find("rear-left"), "left"), std::nullopt);
  const craft::Frame& plus = *craft::frame_named("quad-plus");
  EXPECT_EQ(turn_by_strip(plus, *plus.find("front"), "right"), Turn::cw);
  EXPECT_EQ(turn_by_strip(plus, *plus.find("rear"), "left"), Turn::cw);
  EXPECT_EQ(turn_by_strip(plus, *plus.find("rear"), "nose"), std::nullopt);
}

TEST(StripArrows, PointAsThePictureShows) {
  const craft::Frame& quad = *craft::frame_named("quad-x");
  const craft::PlaceIndex right = *quad.find("front-right");
  const Key up{Key::Kind::up, {}}, down{Key::Kind::down, {}}, left{Key::Kind::left, {}},
      right_key{Key::Kind::right, {}};
  EXPECT_EQ(turn_by_strip(quad, right, up, NoseSide::away), Turn::ccw);
  EXPECT_EQ(turn_by_strip(quad, right, down, NoseSide::away), Turn::cw);
  EXPECT_EQ(turn_by_strip(quad, right, up, NoseSide::toward), Turn::cw);
  EXPECT_EQ(turn_by_strip(quad, right, left, NoseSide::away), std::nullopt);
  const craft::Frame& plus = *craft::frame_named("quad-plus");
  EXPECT_EQ(turn_by_strip(plus, *plus.find("front"), right_key, NoseSide::away), Turn::cw);
  EXPECT_EQ(turn_by_strip(plus, *plus.find("front"), right_key, NoseSide::toward), Turn::ccw);
  EXPECT_EQ(turn_by_strip(plus, *plus.find("rear"), left, NoseSide::away), Turn::cw);
}

}  // namespace
}  // namespace armwise::ui::strip_test
