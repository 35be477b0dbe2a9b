// A mount as the numbers of a quaternion or a matrix. Checked against what is in every textbook: a turn by an
// angle a about a unit vector v is (cos a/2, v sin a/2); a yaw of 90 degrees takes x to y.
#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

#include "armwise/craft/angle_convention.hpp"

namespace armwise::craft::rotation_numbers_test {
namespace {

using Numbers = std::vector<double>;

void expect_near(const Numbers& found, const Numbers& expected) {
  ASSERT_EQ(found.size(), expected.size());
  for (std::size_t i = 0; i < found.size(); ++i) EXPECT_NEAR(found[i], expected[i], 1e-9) << i;
}

TEST(RotationNumbers, AreThoseOfTheTextbooks) {
  const double half = std::numbers::sqrt2 / 2;
  const CraftFromBoard yaw_90(YawPitchRoll{90, 0, 0}), roll_180(YawPitchRoll{0, 0, 180});
  expect_near(console_numbers(RotationForm::quaternion, {}, yaw_90, 1), {half, 0, 0, half});
  expect_near(console_numbers(RotationForm::quaternion, {}, roll_180, 10000), {0, 10000, 0, 0});
  expect_near(console_numbers(RotationForm::matrix, {}, yaw_90, 1), {0, -1, 0, 1, 0, 0, 0, 0, 1});
}

TEST(RotationNumbers, AreReadAsTheyAreWrittenInEverySign) {
  for (const RotationForm form : {RotationForm::quaternion, RotationForm::matrix}) {
    for (int bits = 0; bits < 16; ++bits) {
      AngleConvention convention;
      for (std::size_t i = 0; i < 3; ++i) convention.signs.at(i) = (bits >> i & 1) ? -1 : 1;
      convention.craft_to_board = bits >> 3;
      for (const YawPitchRoll& angles :
           std::vector<YawPitchRoll>{{10, 20, 30}, {170, -80, 100}, {-90, 5, 179}}) {
        const CraftFromBoard mount(angles);
        const auto read =
            craft_from_numbers(form, convention, console_numbers(form, convention, mount, 16384), 16384);
        ASSERT_TRUE(read);
        EXPECT_LT(angle_between(*read, mount).value, 1e-6);
      }
    }
  }
}

TEST(RotationNumbers, OfTheOppositeRotationAreTheTransposedMatrix) {
  AngleConvention opposite;
  opposite.craft_to_board = true;
  const CraftFromBoard mount(YawPitchRoll{10, 20, 30});
  const Matrix3 transposed = mount.matrix().transposed();
  const Numbers expected(transposed.element.begin(), transposed.element.end());
  expect_near(console_numbers(RotationForm::matrix, opposite, mount, 1), expected);
}

TEST(RotationNumbers, MayBeRoundedButNotAnything) {
  const auto rounded = craft_from_numbers(RotationForm::quaternion, {}, {0.71, 0, 0, 0.71}, 1);
  ASSERT_TRUE(rounded);
  EXPECT_LT(angle_between(*rounded, CraftFromBoard(YawPitchRoll{90, 0, 0})).value, 1e-6);
  EXPECT_FALSE(craft_from_numbers(RotationForm::quaternion, {}, {0, 0, 0, 0}, 1));
  EXPECT_FALSE(craft_from_numbers(RotationForm::quaternion, {}, {1, 1, 0, 0}, 1));
  EXPECT_FALSE(craft_from_numbers(RotationForm::quaternion, {}, {1, 0, 0}, 1));
  // A mirror image, and rows that are not at right angles.
  EXPECT_FALSE(craft_from_numbers(RotationForm::matrix, {}, {1, 0, 0, 0, 1, 0, 0, 0, -1}, 1));
  EXPECT_FALSE(craft_from_numbers(RotationForm::matrix, {}, {1, 0, 0, 1, 0, 0, 0, 0, 1}, 1));
}

}  // namespace
}  // namespace armwise::craft::rotation_numbers_test
