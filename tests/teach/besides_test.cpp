// Stamps before lines, and lines that come unasked. The forms of stamps: common practice, no source.
#include <gtest/gtest.h>

#include <string>
#include <vector>

#include "armwise/teach/listening.hpp"

namespace armwise::teach::besides_test {
namespace {

// Two answers to each of three words, and to a good command.
std::vector<Lines> replies_with(const std::vector<std::string>& stamps) {
  std::vector<Lines> replies;
  for (const std::string& stamp : stamps) replies.push_back({stamp + "cmd failed: what? (1 of 3)"});
  return replies;
}

std::string sure(const std::vector<Lines>& replies) {
  const auto stamp = stamp_of(replies);
  return !stamp ? "none" : stamp->sure ? stamp->like.source() : "unsure";
}

TEST(Stamp, IsATimeOrACountInAnyForm) {
  EXPECT_EQ(sure(replies_with({"003.123 ", "003.2 ", "003.25 ", "010.1 ", "011.0 ", "011.0 "})),
            "{skip:digits}.{skip:digits} ");
  EXPECT_EQ(sure(replies_with(
                {"[    9.5] ", "[   10.1] ", "[   10.2] ", "[   12.0] ", "[  112.0] ", "[99999.1] "})),
            "[{skip:digits}.{skip:digits}] ");
  EXPECT_EQ(sure(replies_with(
                {"E 12:59:59 ", "E 12:59:59 ", "E 12:59:59 ", "W 13:00:00 ", "E 13:00:00 ", "E 13:00:00 "})),
            "{skip:letters} {skip:digits}:{skip:digits}:{skip:digits} ");
  EXPECT_EQ(
      sure(replies_with({"E (950): ", "E (1011): ", "I (1099): ", "E (2000): ", "E (2011): ", "W (2012): "})),
      "{skip:letters} ({skip:digits}): ");
}

TEST(Stamp, ACountOfRefusalsIsNoneUntilOtherLinesAreCountedToo) {
  std::vector<Lines> replies = replies_with({"1: ", "2: ", "3: ", "4: ", "5: ", "6: "});
  EXPECT_EQ(sure(replies), "unsure");
  replies.push_back({"7: map list", "8: map put"});
  EXPECT_EQ(sure(replies), "{skip:digits}: ");
  replies.push_back({"map 1 P3"});
  EXPECT_EQ(sure(replies), "none");
}

TEST(Stamp, IsNoneThatDoesNotRiseOrBelongsToTheLine) {
  EXPECT_EQ(sure(replies_with({"4.1 ", "3.2 ", "3.3 ", "4.1 ", "4.2 ", "4.3 "})), "none") << "it falls";
  EXPECT_EQ(sure(replies_with({"3.1 ", "3.1 ", "3.1 ", "3.1 ", "3.1 ", "3.1 "})), "unsure");
  EXPECT_EQ(sure(replies_with({"3.1 ", "3.2 ", "3.3 "})), "unsure") << "too few lines";
  EXPECT_EQ(sure(replies_with({"500 ", "500 ", "500 ", "500 ", "500 ", "500 "})), "none");
  EXPECT_EQ(sure(replies_with({"{\"t\":1.5,\"a\":", "{\"t\":2.5,\"a\":", "{\"t\":3.5,\"a\":",
                               "{\"t\":4.5,\"a\":", "{\"t\":5.5,\"a\":", "{\"t\":6.5,\"a\":"})),
            "none")
      << "in a bracket that goes on";
  EXPECT_EQ(sure({}), "none");
}

std::vector<std::string> sources(const std::vector<console::Template>& all) {
  std::vector<std::string> texts;
  for (const console::Template& each : all) texts.push_back(each.source());
  return texts;
}

TEST(Unasked, HasTheSameWordsWithAnyNumbers) {
  EXPECT_EQ(
      sources(unasked_like({"gps no fix, 0 sats", "bat -5.02V", "gps no fix, 1 sats", "link idle"}, {})),
      (std::vector<std::string>{"gps no fix, {skip:decimal} sats", "bat -{skip:digits}.{skip:digits}V",
                                "link idle"}));
}

TEST(Unasked, IsNothingWithoutAWordAndNothingThatAnswers) {
  EXPECT_TRUE(unasked_like({"12 34 56", "5 V", "", "a 1"}, {}).empty());
  EXPECT_EQ(sources(unasked_like({"link up", "unknown 3"}, {{"unknown 1", "link up"}, {"unknown 2"}})),
            (std::vector<std::string>{"link up"}));
}

}  // namespace
}  // namespace armwise::teach::besides_test
