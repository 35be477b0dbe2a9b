// Rows that are not lines: worked by hand.
#include "armwise/console/reply_rows.hpp"

#include <gtest/gtest.h>

#include "armwise/base/fault.hpp"
#include "armwise/console/query_values.hpp"

namespace armwise::console::reply_rows_test {
namespace {

using Lines = std::vector<std::string>;

TEST(ReplyRows, AreTheLinesWhereNothingElseIsSaid) {
  EXPECT_EQ(rows_of(false, {"a b", "c"}), (Lines{"a b", "c"}));
}

TEST(ReplyRows, OfATableOnItsSideAreItsColumns) {
  EXPECT_EQ(rows_of(true, {"     m1   m2", "pad  T8   T4", "bend -    +"}),
            (Lines{"pad bend", "m1 T8 -", "m2 T4 +"}));
  EXPECT_EQ(rows_of(true, {}), Lines{});
}

Query sections(const std::vector<std::string>& headings, const std::vector<std::string>& lines) {
  Query query;
  for (const std::string& each : headings) query.headings.push_back(Template::parse(each));
  for (const std::string& each : lines) query.lines.push_back(Template::parse(each));
  return query;
}

using Rows = std::vector<Values>;
const Rows two{{{"motor", "1"}, {"pin", "K9"}}, {{"motor", "2"}, {"pin", "K6"}}};

TEST(Sections, CarryWhatTheirHeadingSaysToTheLinesBelow) {
  const Query query = sections({"[drive.{motor:int}]"}, {"pin = {pin}"});
  EXPECT_EQ(
      rows_read(query, {"pin = K1", "[drive.1]", "pin = K9", "[drive.2]", "limit = 3", "pin = K6"}, false),
      two);
}

TEST(Sections, EndAtOtherHeadingsAndMayLackALine) {
  const Query query = sections({"[drive.{motor:int}]", "[{skip}]"}, {"pin = {pin}"});
  EXPECT_EQ(
      rows_read(query,
                {"[drive.1]", "pin = K9", "[drive.2]", "pin = K6", "[drive.3]", "[servo.1]", "pin = K7"},
                false),
      two);
}

TEST(Sections, OfLinesThatAreBuiltAlikeAreReadInTheirOrder) {
  const Query query = sections({"motor {motor:int}"}, {"{skip}", "{pin}", "{skip}"});
  EXPECT_EQ(rows_read(query, {"motor 1", "on", "K9", "80", "motor 2", "off", "K6", "90"}, false), two);
}

TEST(Sections, ThatReadInTwoWaysAreNoRows) {
  const Query query = sections({"motor {motor:int}"}, {"pin = {pin}"});
  EXPECT_EQ(
      rows_read(query, {"motor 1", "pin = K9", "motor 2", "pin = K6", "motor 3", "pin = K1", "pin = K2"},
                false),
      two);
}

TEST(Rows, OfALineToLeaveOutThereAreNone) {
  const Query query = sections({}, {"{skip} CHANNELS", "{motor:int} {pin} {rest}"});
  EXPECT_EQ(rows_read(query, {"1 K9 +", "2 K6 -", "2 CHANNELS"}, false), two);
}

Profile with_map(const std::string& list) {
  return load_profile(R"({"armwise_profile": 1, "name": "x", "open": {"prompt": "> "}, "map": {"list": )" +
                      list + "}}");
}

TEST(ReplyRows, AreKeptInTheProfile) {
  for (const std::string list :
       {R"({"send": "map", "lines": ["{motor} {pin}"], "rows": "columns"})",
        R"({"send": "map", "lines": ["{skip} LINES", "{motor} {pin}"]})",
        R"({"send": "map", "lines": ["{pin}"], "headings": ["[{motor}]", "[{skip}.{skip}]"]})"}) {
    const Profile profile = with_map(list);
    EXPECT_EQ(load_profile(profile_text(profile)).map->list, profile.map->list);
  }
  EXPECT_THROW(with_map(R"({"send": "map", "lines": ["{motor} {pin}"], "rows": 3})"), Fault);
  EXPECT_THROW(with_map(R"({"send": "map", "lines": ["{pin}"], "headings": ["a {skip}"]})"), Fault);
}

}  // namespace
}  // namespace armwise::console::reply_rows_test
