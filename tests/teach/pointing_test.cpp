// Layouts that two pointed examples teach. Worked by hand; the layouts are of consoles that nobody here wrote
// for it.
#include "armwise/teach/pointing.hpp"

#include <gtest/gtest.h>

namespace armwise::teach::pointing_test {
namespace {

Pointed at(const std::string& line, const std::string& motor, const std::string& pin) {
  Pointed pointed{line, {}};
  const auto place = [&](const std::string& text) {
    const std::size_t begin = line.find(text);
    return Span{begin, begin + text.size()};
  };
  pointed.at["motor"] = place(motor);
  pointed.at["pin"] = place(pin);
  return pointed;
}

std::map<std::string, std::string> table(const MapReading& reading) {
  std::map<std::string, std::string> pins;
  for (const auto& row : reading.rows) pins[row.at("motor")] = row.at("pin");
  return pins;
}

TEST(Pointing, PartsOfAWordCanBePointedAt) {
  std::map<std::string, std::string> parts;
  const std::string line = "x /out/3/pin";
  for (const Part& part : parts_of(line))
    parts[line.substr(part.span.begin, part.span.end - part.span.begin)] = part.key;
  EXPECT_TRUE(parts.contains("3"));
  EXPECT_TRUE(parts.contains("out"));
  EXPECT_EQ(parts.at("/out/3/pin"), "2");
  EXPECT_EQ(parts.at("3").front(), '2');
}

TEST(Pointing, NumbersForMotorsAndPinsWithEmptyAndOtherPlaces) {
  const Lines reply{"0 3", "1 0", "2 1", "3 31", "4 2", "5 4", "6 0", "7 12"};
  const auto reading = map_like({at("2 1", "1", "2")}, reply);
  ASSERT_TRUE(reading);
  EXPECT_EQ(reading->no_motor, "0");
  EXPECT_EQ(reading->kept, solve::MapKept::per_pin);
  const std::vector<std::string> codes{"1", "2", "3", "4", "5", "6", "7", "8"};
  EXPECT_EQ(reading->motor_codes, codes);  // 12 and 31 are no motors
  EXPECT_EQ(table(*reading).at("4"), "5");
}

TEST(Pointing, ColumnsOfWhichSomeHappenToBeEqual) {
  const Lines reply{"mot\ttim\tpad\tgrp\tdma", "A\t1\t3\t1\t1", "B\t1\t7\t1\t1", "C\t2\t1\t2\t1",
                    "D\t2\t-\t2\t1"};
  const auto reading = map_like({at("A\t1\t3\t1\t1", "A", "3")}, reply);
  ASSERT_TRUE(reading);
  EXPECT_EQ(table(*reading).at("C"), "1");
  EXPECT_EQ(reading->motor_codes.at(5), "F");
  EXPECT_EQ(reading->no_motor, "");  // the head of the column is no word for none
  EXPECT_EQ(reading->list.lines.at(0).source(), "{motor} {skip} {pin} {rest}");
}

TEST(Pointing, InTheMiddleOfAWordAndInQuotes) {
  const Lines reply{"/out/0/pin \"A4\"", "/out/0/rate 400", "/out/1/pin \"A1\"", "/out/1/rate 400"};
  const auto reading = map_like({at(reply[0], "0", "A4")}, reply);
  ASSERT_TRUE(reading);
  EXPECT_EQ(reading->list.lines.at(0).source(), "/out/{motor:int}/pin \"{pin}\"");
  EXPECT_EQ(table(*reading).size(), 2U);
}

// What is behind may be another value the next time: a turn that all rows happen to share.
TEST(Pointing, WhatAllRowsHappenToShareIsNoText) {
  const Lines reply{"motor=1 pad=D4 sense=rev limit=400"};
  const auto reading = map_like({at(reply[0], "1", "D4")}, reply);
  ASSERT_TRUE(reading);
  EXPECT_TRUE(reading->list.lines.at(0).match("motor=2 pad=D7 sense=norm limit=400"));
}

TEST(Pointing, SentencesWithAFullStop) {
  const Lines reply{"pad-a drives nothing.", "pad-b drives motor 3.", "pad-c drives the tail lamp.",
                    "pad-d drives motor 1."};
  const auto reading = map_like({at(reply[3], "1", "pad-d")}, reply);
  ASSERT_TRUE(reading);
  EXPECT_EQ(table(*reading), (std::map<std::string, std::string>{{"3", "pad-b"}, {"1", "pad-d"}}));
}

TEST(Pointing, TwoBlanksThatTouchAreNoReading) {
  const Lines reply{"AB"};
  EXPECT_FALSE(map_like({at("AB", "A", "B")}, reply));
  const Lines letter_and_digit{"A4", "B2", "C1"};
  const auto reading = map_like({at("A4", "A", "4")}, letter_and_digit);
  ASSERT_TRUE(reading);
  EXPECT_EQ(table(*reading), (std::map<std::string, std::string>{{"A", "4"}, {"B", "2"}, {"C", "1"}}));
}

// What touches a value is text only where it is the same in all rows.
TEST(Pointing, AMarkThatDiffersFromRowToRow) {
  const Lines reply{"1:B2+", "2:B6+", "3:B3-", "4:B8-"};
  const auto reading = map_like({at(reply[0], "1", "B2")}, reply);
  ASSERT_TRUE(reading);
  EXPECT_EQ(table(*reading).at("4"), "B8");
  const auto turns = turn_readings(reply, {"1", "2", "3", "4"}, {"B2", "B6", "B3", "B8"});
  ASSERT_FALSE(turns.empty());
  EXPECT_EQ(turns.front().codes, (std::vector<std::string>{"+", "-"}));
  EXPECT_EQ(turns.front().key, solve::TurnKey::motor);
}

TEST(Pointing, SeveralOnOneLine) {
  const Lines reply{"M1 \xE2\x86\xBA, M2 \xE2\x86\xBB, M3 \xE2\x86\xBB"};
  const auto turns = turn_readings(reply, {"1", "2", "3"}, {"P1", "P2", "P3"});
  ASSERT_FALSE(turns.empty());
  EXPECT_EQ(turns.front().rows.size(), 3U);
  EXPECT_EQ(turns.front().codes.size(), 2U);
}

// A defect found: two on each line were too few, and what stood before the first of them was taken for text.
TEST(Pointing, SomeOnEachOfSeveralLines) {
  const Lines reply{"<o rev=\"no\" n=\"0\" pad=\"a.2\"/><o rev=\"no\" n=\"1\" pad=\"b.1\"/>",
                    "<o rev=\"no\" n=\"2\" pad=\"b.0\"/><o rev=\"no\" n=\"3\" pad=\"a.0\"/>"};
  const auto reading = map_like({at(reply[0], "0", "a.2")}, reply);
  ASSERT_TRUE(reading);
  EXPECT_EQ(table(*reading).size(), 4U);
  const Lines later{"<o rev=\"yes\" n=\"0\" pad=\"b.1\"/><o rev=\"no\" n=\"1\" pad=\"a.2\"/>"};
  const auto rows = rows_read(reading->list, later, false);
  ASSERT_EQ(rows.size(), 2U) << "whatever is set before the first";
  EXPECT_EQ(rows[0].at("pin"), "b.1");
}

// A motor listed twice, in rows that are built alike: nothing tells which one is right.
TEST(Pointing, ALineIsLeftOutWhereItsBuildTells) {
  const Lines reply{"1 K4 +", "2 K9 -", "3 K1 +", "3 motors"};
  const auto reading = map_like({at(reply[0], "1", "K4")}, reply);
  ASSERT_TRUE(reading);
  EXPECT_EQ(table(*reading).size(), 3U);
  EXPECT_EQ(table(*reading).at("3"), "K1");
  EXPECT_EQ(line_without_values("3 motors of 8")->source(), "{skip} motors of {skip}");
  EXPECT_FALSE(line_without_values("3 8"));
}

TEST(Pointing, TheNextOne) {
  EXPECT_EQ(next_codes("ru9").front(), "ru10");
  EXPECT_EQ(next_codes("A"), Lines{"B"});
  EXPECT_EQ(next_codes("-"), Lines{});
  EXPECT_EQ(next_codes("01"), Lines{"02"});
  EXPECT_EQ(next_codes("m09"), (Lines{"m10", "m0A"}));
  EXPECT_TRUE(comes_next("0a", "0B"));
}

}  // namespace
}  // namespace armwise::teach::pointing_test
