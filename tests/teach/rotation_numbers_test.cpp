// Mounts in four or nine numbers. No turn is 1 0 0 0, or the matrix with ones from corner to corner.
#include "armwise/teach/rotation_numbers.hpp"

#include <gtest/gtest.h>

namespace armwise::teach::rotation_numbers_test {
namespace {

using craft::RotationForm;

TEST(RotationReadings, OnLinesOfTheirOwnAreNamed) {
  const auto found =
      rotation_readings({"Seat w is 0.7071.", "Seat x is 0.0000.", "Seat y is 0.0000.", "Seat z is 0.7071."});
  ASSERT_EQ(found.size(), 1U);
  EXPECT_EQ(found[0].form, RotationForm::quaternion);
  EXPECT_EQ(found[0].one, 1);
  EXPECT_EQ(found[0].labels, (std::vector<std::string>{"w", "x", "y", "z"}));
  EXPECT_EQ(found[0].numbers.values.at("qw"), "0.7071");
  EXPECT_EQ(found[0].numbers.values.at("qz"), "0.7071");
}

TEST(RotationReadings, WithWLastWhereTheNamesSaySo) {
  const auto found = rotation_readings({"att qx=0.0 qy=0.0 qz=0.6 qw=0.8"});
  ASSERT_EQ(found.size(), 1U);
  EXPECT_EQ(found[0].numbers.values.at("qw"), "0.8");
  EXPECT_EQ(found[0].numbers.values.at("qz"), "0.6");
}

// "a value that reads in two ways is asked, never guessed": no turn, or half a turn about z.
TEST(RotationReadings, OfFourBareNumbersAreTwo) {
  const auto found = rotation_readings({"seat 0 0 0 1"});
  ASSERT_EQ(found.size(), 2U);
  EXPECT_FALSE(found[0].w_last);
  EXPECT_TRUE(found[1].w_last);
  EXPECT_EQ(found[0].numbers.values.at("qz"), "1");
  EXPECT_EQ(found[1].numbers.values.at("qw"), "1");
}

TEST(RotationReadings, CountInOtherUnits) {
  const auto found = rotation_readings({"q 16384 0 0 0"});
  ASSERT_EQ(found.size(), 2U);
  EXPECT_EQ(found[0].one, 16384);
  EXPECT_EQ(rotation_readings({"q 10000, 0, 0, 0"}).at(0).one, 10000);
}

TEST(RotationReadings, OfNineNumbersInRowsOrOnOneLine) {
  const auto rows = rotation_readings({"1.000 0.000 0.000", "0.000 0.000 -1.000", "0.000 1.000 0.000"});
  ASSERT_EQ(rows.size(), 1U);
  EXPECT_EQ(rows[0].form, RotationForm::matrix);
  EXPECT_EQ(rows[0].numbers.values.at("m23"), "-1.000");
  EXPECT_EQ(rows[0].numbers.values.at("m32"), "1.000");
  const auto line = rotation_readings({"rot 1 0 0 0 1 0 0 0 1"});
  ASSERT_EQ(line.size(), 1U);
  EXPECT_EQ(line[0].form, RotationForm::matrix);
}

TEST(RotationReadings, AreNoneOfNumbersThatAreNoRotation) {
  EXPECT_TRUE(rotation_readings({"seat 10 20 30"}).empty());
  EXPECT_TRUE(rotation_readings({"seat 3 10 20 30"}).empty());
  EXPECT_TRUE(rotation_readings({"1 2 3", "4 5 6", "7 8 9"}).empty());
  EXPECT_TRUE(rotation_readings({}).empty());
}

TEST(WithLabel, MakesTheCommandOfOneThatOfAnother) {
  const Reading w{console::Template::parse("let seat W be {qw}")};
  const auto x = with_label(w, "w", "x");
  ASSERT_TRUE(x);
  EXPECT_EQ(x->front().source(), "let seat x be {qw}");
  EXPECT_FALSE(with_label({console::Template::parse("w set w {qw}")}, "w", "x"));  // which of them?
  EXPECT_FALSE(with_label({console::Template::parse("new {qw}")}, "w", "x"));
}

}  // namespace
}  // namespace armwise::teach::rotation_numbers_test
