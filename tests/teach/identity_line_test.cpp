// Who a console says it is, where the person points at the words.
#include <gtest/gtest.h>

#include "armwise/teach/reply_table.hpp"

namespace armwise::teach {
namespace {

const Lines reply{"moss7 (fenware) 3.2, built 2024-11-02", "up for 81 s"};

PlacedWord pointed(const std::string& word) {
  for (const PlacedWord& placed : words_in(reply)) {
    if (placed.word == word) return placed;
  }
  ADD_FAILURE() << word;
  return {};
}

TEST(WordsIn, AreAllWordsInTheirOrder) {
  std::vector<std::string> words;
  for (const PlacedWord& placed : words_in(reply)) words.push_back(placed.word);
  EXPECT_EQ(words, (std::vector<std::string>{"moss7", "fenware", "3.2", "built", "2024-11-02", "up", "for",
                                             "81", "s"}));
  EXPECT_EQ(words_in(reply, 2).size(), 2U);
}

TEST(IdentityLines, HoldWhatWasPointedAtAndPassOverOtherNumbers) {
  const auto lines = identity_lines(
      reply, {{"board", pointed("moss7")}, {"firmware", pointed("fenware")}, {"version", pointed("3.2")}});
  ASSERT_EQ(lines.size(), 1U);
  EXPECT_EQ(lines[0].source(), "{board} ({firmware}) {version}, built {skip}");
  const auto later = lines[0].match("moss7 (fenware) 3.3, built 2025-02-14");
  ASSERT_TRUE(later);
  EXPECT_EQ(later->at("version"), "3.3");
}

TEST(IdentityLines, OfNothingPointedAtAreNone) {
  EXPECT_TRUE(identity_lines(reply, {}).empty());
  EXPECT_TRUE(identity_lines({}, {{"board", pointed("moss7")}}).empty());
}

}  // namespace
}  // namespace armwise::teach
