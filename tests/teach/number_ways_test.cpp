// Numbers as consoles write them. Worked by hand; 0xA is 10, and F800 as 16 bits in two's complement is
// -2048.
#include "armwise/teach/number_ways.hpp"

#include <gtest/gtest.h>

namespace armwise::teach::number_ways_test {
namespace {

using Values = std::vector<std::string>;

Values likeliest(const std::string& line) {
  Values values;
  const auto ways = number_ways(line);
  if (ways.empty()) return values;
  for (const NumberAt& number : ways.front()) values.push_back(number.value);
  return values;
}

TEST(NumberWays, WordsOfTheirOwn) {
  EXPECT_EQ(likeliest("yaw 10, pitch -20, roll 30.5"), (Values{"10", "-20", "30.5"}));
  EXPECT_EQ(likeliest("A,12,-3,1000"), (Values{"12", "-3", "1000"}));
  EXPECT_EQ(likeliest("none here"), Values{});
}

TEST(NumberWays, DecimalCommas) {
  EXPECT_EQ(likeliest("x=-0,02 y=0,00 z=9,81"), (Values{"-0.02", "0.00", "9.81"}));
  EXPECT_EQ(likeliest("0,03 0,08 1,0"), (Values{"0.03", "0.08", "1.0"}));
}

TEST(NumberWays, BaseSixteen) {
  EXPECT_EQ(likeliest("00A 014 01E"), (Values{"10", "20", "30"}));
  EXPECT_EQ(likeliest("(0xa, 0x14)"), (Values{"10", "20"}));
  EXPECT_EQ(likeliest("F800 0000 07FF"), (Values{"-2048", "0", "2047"}));
  // Only zeros in front: decimal first, base 16 as another way.
  EXPECT_EQ(likeliest("0000 0000 0800"), (Values{"0000", "0000", "0800"}));
  EXPECT_GT(number_ways("0000 0000 0800").size(), 1U);
}

TEST(NumberWays, TouchedByUnitsAndNames) {
  EXPECT_EQ(likeliest("10\xC2\xB0 20\xC2\xB0 \xE2\x88\x92"
                      "30\xC2\xB0"),
            (Values{"10", "20", "-30"}));
  EXPECT_EQ(likeliest("x-0"), Values{"-0"});
  EXPECT_EQ(likeliest("3% 8% 100%"), (Values{"3", "8", "100"}));
}

}  // namespace
}  // namespace armwise::teach::number_ways_test
