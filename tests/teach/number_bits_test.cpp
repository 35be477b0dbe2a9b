// Settings that are some bits of a number. Worked by hand: 0x8303 has bits 0, 1, 8, 9 and 15.
#include "armwise/teach/number_bits.hpp"

#include <gtest/gtest.h>

namespace armwise::teach::number_bits_test {
namespace {

using Pins = std::vector<std::string>;

MapReading plain(const Lines& reply) {
  MapReading reading;
  reading.list.lines = {console::Template::parse("{motor}: {pin}")};
  reading.rows = console::rows_read(reading.list, reply, false);
  return reading;
}

Pins pins_of(const MapReading& reading) {
  Pins pins;
  for (const console::Values& row : reading.rows) pins.push_back(row.at("pin"));
  return pins;
}

std::string type_in(const MapReading& reading) {
  return reading.list.lines.front().source();
}

TEST(MapsInBits, FindTheFieldThatTellsTheMotorsApart) {
  const Lines reply{"20: 0302", "21: 8303", "22: 8307", "23: 0306"};
  const auto found = maps_in_bits(plain(reply), reply, 2);
  ASSERT_FALSE(found.empty());
  EXPECT_EQ(pins_of(found[0]), (Pins{"2", "3", "7", "6"}));
  EXPECT_EQ(type_in(found[0]), "{motor}: {pin:HEX4.0-2}");
  EXPECT_EQ(found[0].rows[1].at(console::held_with("pin")), "33539");
}

// Digits alone say nothing of the letters' size.
TEST(MapsInBits, WriteLettersAsTheConsoleDoes) {
  const Lines capitals{"20: 8306", "21: 830B", "22: 8305", "23: 0303"};
  EXPECT_EQ(pins_of(maps_in_bits(plain(capitals), capitals, 1).at(0)), (Pins{"6", "B", "5", "3"}));
  const Lines small{"20: 8306", "21: 830b", "22: 8305", "23: 0303"};
  EXPECT_EQ(pins_of(maps_in_bits(plain(small), small, 1).at(0)), (Pins{"6", "b", "5", "3"}));
}

TEST(MapsInBits, CountInDecimalAndBinaryToo) {
  const Lines decimal{"1: 773", "2: 33543", "3: 777", "4: 33547"};  // 0x305, 0x8307, 0x309, 0x830B
  const auto in_decimal = maps_in_bits(plain(decimal), decimal, 3);
  ASSERT_FALSE(in_decimal.empty());
  // Bit 0 is the same in all of them, so it may be another thing's, but a field begins low.
  EXPECT_EQ(pins_of(in_decimal[0]), (Pins{"5", "7", "9", "11"}));
  const Lines binary{"1: 01000001", "2: 11000010", "3: 01000011", "4: 11000100"};
  const auto in_binary = maps_in_bits(plain(binary), binary, 1);
  ASSERT_FALSE(in_binary.empty());
  EXPECT_EQ(pins_of(in_binary[0]), (Pins{"1", "10", "11", "100"}));
  EXPECT_EQ(type_in(in_binary[0]), "{motor}: {pin:bin8.0-2}");
}

TEST(MapsInBits, AreNoneWhereTheNumbersAreNames) {
  const Lines small{"1: 5", "2: 12", "3: 7", "4: 9"};
  EXPECT_TRUE(maps_in_bits(plain(small), small, 3).empty());
  const Lines words{"1: PA3", "2: PA7", "3: PB1", "4: PB9"};
  EXPECT_TRUE(maps_in_bits(plain(words), words, 3).empty());
}

TEST(HighestPin, TakesTheBitsThatAreZeroAndNoOthers) {
  const Lines reply{"20: 0302", "21: 8303", "22: 8307", "23: 0306"};
  const MapReading found = maps_in_bits(plain(reply), reply, 1).at(0);
  EXPECT_TRUE(may_be_higher(found));
  const auto four_bits = with_highest_pin(found, reply, "F");
  ASSERT_TRUE(four_bits);
  EXPECT_EQ(type_in(*four_bits), "{motor}: {pin:HEX4.0-3}");
  EXPECT_EQ(type_in(*with_highest_pin(found, reply, "3")), "{motor}: {pin:HEX4.0-2}");
  EXPECT_TRUE(with_highest_pin(found, reply, "FF"));
  // Bits 8 and 9 hold something else.
  EXPECT_FALSE(with_highest_pin(found, reply, "1FF"));
  EXPECT_FALSE(with_highest_pin(found, reply, "P4"));
  EXPECT_FALSE(with_highest_pin(found, reply, ""));
}

TEST(BitsTold, ByACommandThatChangesOneBit) {
  const auto told = bits_told("0306", {"w 23 8306"}, "23: 0306");
  ASSERT_EQ(told.size(), 1U);
  EXPECT_EQ(told[0], (BitsTold{"HEX4.15", "0", "1", "774"}));
  // Set, and cleared: 0 may be the one that is reversed.
  EXPECT_EQ(bits_told("flags", {"x"}, "").size(), 0U);
  const auto cleared = bits_told("101", {"set 1 flags 69"}, "1 flags 101");
  ASSERT_EQ(cleared.size(), 1U);
  EXPECT_EQ(cleared[0], (BitsTold{"int.5", "1", "0", "101"}));
}

TEST(BitsTold, NothingByACommandThatChangesMore) {
  EXPECT_TRUE(bits_told("0306", {"w 23 8305"}, "23: 0306").empty());
  EXPECT_TRUE(bits_told("0306", {"w 23 0306"}, "23: 0306").empty());
  EXPECT_TRUE(bits_told("0306", {"w 23"}, "23: 0306").empty());
}

TEST(BitsTold, AValueStandsWhereItWasSet) {
  const auto told = bits_told("0060", {"w 30 0063"}, "30: 0060", "3", "7");
  ASSERT_EQ(told.size(), 1U);
  EXPECT_EQ(told[0], (BitsTold{"HEX4.0-2", "0", "3", "96"}));
  // What it sets besides is not the mount's.
  EXPECT_TRUE(bits_told("0060", {"w 30 0073"}, "30: 0060", "3", "7").empty());
  const auto high = bits_told("0x40", {"w 30 0x70"}, "30: 0x40", "3", "7");
  EXPECT_TRUE(high.empty());  // with its mark it is no number; the mark is no part of it
  const auto without_mark = bits_told("40", {"w 30 112"}, "30: 40", "4", "7");
  EXPECT_TRUE(without_mark.empty());
}

TEST(BitsTold, SeveralWaysAreAllTold) {
  // 16 and 48 differ in bit 5; of three bits that hold 3 in 48 there is bits 4 to 6 alone.
  EXPECT_EQ(bits_told("16", {"w 48"}, "16", "3", "7").size(), 1U);
  // One bit was set; whether the value 1 is two bits or three is what `largest` says.
  EXPECT_EQ(bits_told("64", {"w 65"}, "64", "1", "3").front().type, "int.0-1");
  EXPECT_EQ(bits_told("64", {"w 65"}, "64", "1", "7").front().type, "int.0-2");
}

}  // namespace
}  // namespace armwise::teach::number_bits_test
