// Rows that are not lines: worked by hand.
#include "armwise/console/reply_rows.hpp"

#include <gtest/gtest.h>

#include "armwise/console/profile.hpp"

namespace armwise::console::reply_rows_test {
namespace {

using Lines = std::vector<std::string>;

TEST(ReplyRows, AreTheLinesWhereNothingElseIsSaid) {
  EXPECT_EQ(rows_of({}, {"a b", "c"}), (Lines{"a b", "c"}));
}

TEST(ReplyRows, OfATableOnItsSideAreItsColumns) {
  EXPECT_EQ(rows_of({true, 1}, {"     m1   m2", "pad  T8   T4", "bend -    +"}),
            (Lines{"pad bend", "m1 T8 -", "m2 T4 +"}));
  EXPECT_EQ(rows_of({true, 1}, {}), Lines{});
}

TEST(ReplyRows, OfSeveralLinesBeginAtEachLine) {
  EXPECT_EQ(rows_of({false, 2}, {"motor 1", "on K9", "motor 2", "on K6"}),
            (Lines{"motor 1 on K9", "on K9 motor 2", "motor 2 on K6", "on K6"}));
}

TEST(ReplyRows, AreKeptInTheProfile) {
  for (const std::string rows : {R"("columns")", "3"}) {
    const std::string text = R"({"armwise_profile": 1, "name": "x", "open": {"prompt": "> "},
      "map": {"list": {"send": "map", "lines": ["{motor} {pin}"], "rows": )" +
                             rows + "}}}";
    const Profile profile = load_profile(text);
    EXPECT_EQ(load_profile(profile_text(profile)).map->list.rows, profile.map->list.rows);
    EXPECT_EQ(profile.map->list.rows.columns, rows != "3");
    EXPECT_EQ(profile.map->list.rows.lines, rows == "3" ? 3 : 1);
  }
}

}  // namespace
}  // namespace armwise::console::reply_rows_test
