#include "armwise/craft/angle.hpp"

#include <gtest/gtest.h>

namespace armwise::craft::angle_test {
namespace {

TEST(Angle, DegreesAndRadiansConvertBothWays) {
  EXPECT_DOUBLE_EQ(Degrees{180}.radians().value, std::numbers::pi);
  EXPECT_DOUBLE_EQ(Degrees(Radians{std::numbers::pi / 2}).value, 90);
}

TEST(Angle, WrapsIntoHalfATurnEitherWay) {
  EXPECT_EQ(wrapped(Degrees{270}), Degrees{-90});
  EXPECT_EQ(wrapped(Degrees{180}), Degrees{180});
  EXPECT_EQ(wrapped(Degrees{-180}), Degrees{180});
  EXPECT_EQ(wrapped(Degrees{-540}), Degrees{180});
  EXPECT_EQ(wrapped(Degrees{725}), Degrees{5});
}

}  // namespace
}  // namespace armwise::craft::angle_test
