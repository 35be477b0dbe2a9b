#include "armwise/craft/motor.hpp"

#include <gtest/gtest.h>

namespace armwise::craft::motor_test {
namespace {

TEST(MotorMap, TellsWhichMotorStandsOnAPin) {
  const MotorMap map{{Pin{"P3"}, Pin{"P1"}, Pin{}}};
  EXPECT_EQ(map.motor_on(Pin{"P3"}), Motor{1});
  EXPECT_EQ(map.motor_on(Pin{"P1"}), Motor{2});
  EXPECT_EQ(map.motor_on(Pin{"P2"}), Motor{0});
  EXPECT_EQ(map.pin_of(Motor{2}), Pin{"P1"});
}

TEST(MotorMap, FindsNoMotorByAnEmptyPin) {
  const MotorMap map{{Pin{}, Pin{"P1"}}};
  EXPECT_EQ(map.motor_on(Pin{}), Motor{0});
}

TEST(MotorMap, RefusesAMotorThatItDoesNotHave) {
  const MotorMap map{{Pin{"P1"}}};
  EXPECT_THROW(static_cast<void>(map.pin_of(Motor{0})), std::out_of_range);
  EXPECT_THROW(static_cast<void>(map.pin_of(Motor{2})), std::out_of_range);
}

}  // namespace
}  // namespace armwise::craft::motor_test
