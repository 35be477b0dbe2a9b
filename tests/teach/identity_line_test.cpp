// Who a console says it is, where the person points at the words.
#include <gtest/gtest.h>

#include "armwise/teach/pointing.hpp"

namespace armwise::teach::identity_line_test {
namespace {

TEST(WordsOf, AreAllWordsInTheirOrder) {
  const std::string line = "moss7 (fenware) 3.2, built 2024-11-02.";
  std::vector<std::string> words;
  for (const Span& word : words_of(line)) words.push_back(line.substr(word.begin, word.end - word.begin));
  EXPECT_EQ(words, (std::vector<std::string>{"moss7", "fenware", "3.2", "built", "2024-11-02"}));
}

TEST(LineOfItsOwn, HoldsWhatWasPointedAtAndPassesOverOtherNumbers) {
  const std::string line = "moss7 (fenware) 3.2, built 2024-11-02";
  std::vector<Pointed> pointed;
  point_in(pointed, line, "board", {0, 5});
  point_in(pointed, line, "firmware", {7, 14});
  point_in(pointed, line, "version", {16, 19});
  ASSERT_EQ(pointed.size(), 1U);
  const auto like = line_of_its_own(pointed.front());
  ASSERT_TRUE(like);
  EXPECT_EQ(like->source(), "{board} ({firmware}) {version}, built {skip}");
  const auto later = like->match("moss7 (fenware) 3.3, built 2025-02-14");
  ASSERT_TRUE(later);
  EXPECT_EQ(later->at("version"), "3.3");
}

// Alone in its line, it is known by its kind: else every line with one word would be it.
TEST(LineOfItsOwn, WhereTheValueStandsAlone) {
  const auto like = line_of_its_own({"1", {{"props", {0, 1}}}});
  ASSERT_TRUE(like);
  EXPECT_TRUE(like->match("0"));
  EXPECT_FALSE(like->match("[10"));
}

}  // namespace
}  // namespace armwise::teach::identity_line_test
