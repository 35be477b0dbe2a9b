#include "armwise/craft/turn.hpp"

#include <gtest/gtest.h>

namespace armwise::craft::turn_test {
namespace {

TEST(Turn, NamesReadBackAsWhatTheyName) {
  for (const Turn turn : {Turn::cw, Turn::ccw}) {
    EXPECT_EQ(turn_named(name(turn)), turn);
    EXPECT_EQ(turn_named(in_words(turn)), turn);
    EXPECT_NE(opposite(turn), turn);
    EXPECT_EQ(opposite(opposite(turn)), turn);
  }
  for (const PropScheme scheme : {PropScheme::in, PropScheme::out}) {
    EXPECT_EQ(scheme_named(name(scheme)), scheme);
    EXPECT_EQ(scheme_named(in_words(scheme)), scheme);
    EXPECT_NE(other(scheme), scheme);
  }
}

TEST(Turn, IsReadAsAPersonTypesIt) {
  EXPECT_EQ(turn_named(" CW "), Turn::cw);
  EXPECT_EQ(turn_named("Anticlockwise"), Turn::ccw);
  EXPECT_EQ(turn_named("counterclockwise"), Turn::ccw);
  EXPECT_EQ(scheme_named("Props out"), PropScheme::out);
}

TEST(Turn, IsNeverGuessed) {
  for (const char* text : {"", " ", "c", "w", "cww", "clock", "left", "in", "1"}) {
    EXPECT_FALSE(turn_named(text)) << text;
  }
  for (const char* text : {"", "i", "inn", "cw", "props", "normal"}) EXPECT_FALSE(scheme_named(text)) << text;
}

}  // namespace
}  // namespace armwise::craft::turn_test
