#include "guard_answers.hpp"

#include <gtest/gtest.h>

#include <string>

namespace armwise::link::guard_answers_test {
namespace {

TEST(GuardAnswers, AConfirmationThatNoEchoReadsLikeIsEnough) {
  GuardAnswers answers;
  answers.expect("Motors Off", 1);
  answers.begin();
  answers.count(1);
  answers.hear("stop all\r\nmotors o");
  EXPECT_FALSE(answers.acknowledged());
  answers.hear("ff\r\n");
  EXPECT_TRUE(answers.acknowledged());
}

// Each of three stops brings an echo that reads like the confirmation: three of four lines tell nothing.
TEST(GuardAnswers, MoreThanTheEchoesOfAllStopsHaveToCome) {
  GuardAnswers answers;
  answers.expect("stop", 2);
  answers.begin();
  answers.count_of_the_tool(1);
  answers.count(1);
  answers.count(1);
  for (int echo = 0; echo < 3; ++echo) {
    answers.hear("stop\r\n");
    EXPECT_FALSE(answers.acknowledged()) << echo;
  }
  answers.hear("stop\r\n");
  EXPECT_TRUE(answers.acknowledged());
}

// The prompt behind the first stop may be that of a command before it.
TEST(GuardAnswers, APromptTellsOnlyBehindARepeatedStop) {
  GuardAnswers answers;
  answers.expect("# ", 0);
  answers.begin();
  answers.count(1);
  answers.hear("# ");
  EXPECT_FALSE(answers.acknowledged());
  answers.count(1);
  EXPECT_FALSE(answers.acknowledged());
  answers.hear("\r\n# ");
  EXPECT_TRUE(answers.acknowledged());
}

TEST(GuardAnswers, WhatCameOnTheLinePutBeforeCountsNoMore) {
  GuardAnswers answers;
  answers.expect("off", 1);
  answers.begin();
  answers.count(1);
  answers.hear("of");
  answers.begin();
  answers.count(1);
  answers.hear("f");
  EXPECT_FALSE(answers.acknowledged());
}

// A defect found: "ok" was heard in the refusal of the word that spoils, "no such token: qzqz".
TEST(GuardAnswers, APartOfALongerWordIsNoAnswer) {
  for (const std::size_t cut : {0U, 10U, 11U, 12U}) {
    GuardAnswers answers;
    answers.expect("ok", 1);
    answers.begin();
    answers.count(1);
    const std::string refused = "no such token: qzqz\r\nokay\r\n", answer = "OK\r\n";
    answers.hear(refused.substr(0, cut));
    answers.hear(refused.substr(cut));
    EXPECT_FALSE(answers.acknowledged()) << cut;
    for (const char c : answer) answers.hear({&c, 1});
    EXPECT_TRUE(answers.acknowledged()) << cut;
  }
}

TEST(GuardAnswers, WhereAllMayComeUnaskedNothingTells) {
  GuardAnswers answers;
  answers.expect("> ", -1);
  answers.begin();
  answers.count(1);
  answers.count(1);
  answers.hear("down\r\n> > > ");
  EXPECT_FALSE(answers.acknowledged());
}

}  // namespace
}  // namespace armwise::link::guard_answers_test
