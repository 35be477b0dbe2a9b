// A place and a direction, and the one text that stands for them in records. A convention of this tool, no
// source.
#include "armwise/craft/placed_turn.hpp"

#include <gtest/gtest.h>

namespace armwise::craft::placed_turn_test {
namespace {

TEST(PlacedTurn, IsReadBackFromItsTextOnEveryPlaceOfEveryFrame) {
  for (const Frame& frame : frames()) {
    for (PlaceIndex place = 0; place < frame.places.size(); ++place) {
      for (const Turn turn : {Turn::cw, Turn::ccw}) {
        const PlacedTurn at{place, turn};
        EXPECT_EQ(placed_turn_named(frame, text(frame, at)), at) << frame.name << ": " << text(frame, at);
      }
    }
  }
  EXPECT_EQ(text(*frame_named("quad-x"), {3, Turn::cw}), "front-left cw");
}

TEST(PlacedTurn, IsNotReadOutOfAnythingElse) {
  const Frame& frame = *frame_named("quad-x");
  for (const char* other : {"", " ", "cw", "front-left", "front-left ", " cw", "front-left cw ",
                            "front-left left", "front-middle cw", "none", "several", "again"}) {
    EXPECT_FALSE(placed_turn_named(frame, other)) << other;
  }
}

}  // namespace
}  // namespace armwise::craft::placed_turn_test
