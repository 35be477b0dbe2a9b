#include "armwise/solve/pose.hpp"

#include <gtest/gtest.h>

#include <cmath>

namespace armwise::solve::pose_test {
namespace {

using craft::Degrees;
using craft::InCraft;

TEST(Pose, ATiltOfAnyAngleFits) {
  for (const double tipped : {20.0, 45.0, 90.0, 120.0}) {
    EXPECT_LT(misfit(Pose::nose_down, up_in(Pose::nose_down, Degrees{tipped})).value, 1e-9);
  }
  EXPECT_NEAR(misfit(Pose::nose_down, up_in(Pose::level)).value, least_tilt.value, 1e-9);
}

TEST(Pose, WhatLiesAcrossATiltIsItsMisfit) {
  EXPECT_NEAR(misfit(Pose::nose_down, up_in(Pose::right_down)).value, 90, 1e-9);
  EXPECT_NEAR(misfit(Pose::nose_down, InCraft{-1, 0.1, -1}).value,
              Degrees{craft::Radians{std::asin(0.1 / std::sqrt(2.01))}}.value, 1e-9);
  EXPECT_NEAR(misfit(Pose::level, up_in(Pose::inverted)).value, 180, 1e-9);
  EXPECT_GT(misfit(Pose::nose_down, up_in(Pose::nose_up)).value, 90);
}

}  // namespace
}  // namespace armwise::solve::pose_test
