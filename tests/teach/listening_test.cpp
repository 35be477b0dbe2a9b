// What nonsense brings out of a console. The exchanges are written by hand.
#include "armwise/teach/listening.hpp"

#include <gtest/gtest.h>

namespace armwise::teach::listening_test {
namespace {

TEST(Listening, SplitsEchoLinesAndPrompt) {
  const HeardReply heard = split_reply({"tell me", "tell me\r\n\x1b[1mline one\x1b[0m\r\n\r\nline  two\n> "});
  EXPECT_TRUE(heard.echoed);
  EXPECT_EQ(heard.lines, (Lines{"line one", "line two"}));
  EXPECT_EQ(heard.prompt, "> ");
}

TEST(Listening, AnEchoAloneIsNoPrompt) {
  const HeardReply heard = split_reply({"qzv", "qzv"});
  EXPECT_TRUE(heard.echoed);
  EXPECT_TRUE(heard.prompt.empty());
}

// A console that draws its line anew with each key shows it once to whoever looks at the screen.
TEST(Listening, ALineThatIsDrawnOverIsOneLine) {
  const HeardReply heard =
      split_reply({"tak", "\r\x1b[Khrn) t\r\x1b[Khrn) ta\r\x1b[Khrn) tak\r\nru1 golc\r\nhrn) "});
  EXPECT_TRUE(heard.echoed);
  EXPECT_EQ(heard.lines, (Lines{"ru1 golc"}));
  EXPECT_EQ(heard.prompt, "hrn) ");
}

TEST(Listening, AnAnswerOnTheLineOfItsEcho) {
  const ListenedTo found =
      listened_to({{"qzva", "qzva qzva ?\r\n"}, {"qzvb 1 2", "qzvb 1 2 qzvb 1 2 ?\r\n"}});
  EXPECT_TRUE(found.glued_echo);
  EXPECT_TRUE(found.echo);
  ASSERT_TRUE(found.barrier);
  EXPECT_EQ(found.barrier->lines[0].source(), "{word} {word} ?");
  const HeardReply heard = split_reply({"map", "map pin[0]=S2\r\npin[1]=S6 ok\r\n"}, true);
  EXPECT_EQ(heard.lines, (Lines{"pin[0]=S2", "pin[1]=S6 ok"}));
  const auto end = reply_end_of({{"1 ?"}, {"a ok"}, {"b", "c ok"}, {"d ok"}, {"ok"}});
  ASSERT_TRUE(end);
  EXPECT_TRUE(end->match("pin[1]=S6 ok"));
  EXPECT_TRUE(end->match("ok"));
  EXPECT_FALSE(end->match("pin[0]=S2"));
}

TEST(Listening, AnEchoInCapitals) {
  const ListenedTo found =
      listened_to({{"qzva", "QZVA\r\n?01 COMMAND\r\nQM/"}, {"qzvb 1", "QZVB 1\r\n?01 COMMAND\r\nQM/"}});
  EXPECT_TRUE(found.echo);
  EXPECT_TRUE(found.echo_in_capitals);
  ASSERT_EQ(found.refusals.size(), 1U);
  EXPECT_EQ(found.refusals[0].source(), "?01 {rest}");
  EXPECT_FALSE(found.barrier);
  // A word that is all of the answer is no echo of it, nor is what only one of them came back as.
  EXPECT_FALSE(listened_to({{"qzva", "QZVA\r\nQM/"}, {"qzvb", "QZVB\r\nQM/"}}).echo);
  EXPECT_FALSE(listened_to({{"qzva", "QZVA\r\nno\r\n> "}, {"qzvb", "qzvb\r\nno\r\n> "}}).echo_in_capitals);
}

TEST(Listening, FindsPromptEchoRefusalAndBarrier) {
  const ListenedTo found =
      listened_to({{"qzva", "qzva\r\nno: qzva\r\ntarn> "}, {"qzvb 1", "qzvb 1\r\nno: qzvb 1\r\ntarn> "}});
  EXPECT_EQ(found.prompt, "tarn> ");
  EXPECT_TRUE(found.echo);
  ASSERT_EQ(found.refusals.size(), 1U);
  EXPECT_EQ(found.refusals[0].source(), "no: {rest}");
  ASSERT_TRUE(found.barrier);
  EXPECT_EQ(found.barrier->lines[0].source(), "no: {word}");
}

TEST(Listening, APromptThatChangesIsKnownByItsEnd) {
  const ListenedTo found =
      listened_to({{"qzva", "? qzva\nbench> "}, {"qzvb", "? qzvb\nbench*> "}, {"qzvc", "? qzvc\nbench*> "}});
  EXPECT_EQ(found.prompt, "> ");
  EXPECT_FALSE(found.echo);
}

TEST(Listening, AQuestionThatCameGarbledOnceIsStillKnownByItsWholeEnd) {
  EXPECT_EQ(end_of_question({{"Motor? ", 9}, {"Motor~ ", 1}, {"Mtor? ", 1}}), "Motor? ");
  // Garbled where it was first heard.
  EXPECT_EQ(end_of_question({{"Motr? ", 1}, {"Motor? ", 4}}), "Motor? ");
  // A value is another one each time, and always at the same place.
  EXPECT_EQ(end_of_question({{"Yaw (now 0)? ", 3}, {"Yaw (now 10)? ", 1}, {"Yaw (now 20)? ", 1}}), ")? ");
  EXPECT_EQ(end_of_question({{"Blades (now in)? ", 1}, {"Blades (now out)? ", 1}}), ")? ");
}

TEST(Listening, WithoutAPromptTheRepliesShareTheirBeginning) {
  const ListenedTo found = listened_to(
      {{"qzva", "{\"re\":\"no\",\"why\":\"unknown\"}\n"}, {"qzvb", "{\"re\":\"no\",\"why\":\"unknown\"}\n"}});
  EXPECT_TRUE(found.prompt.empty());
  ASSERT_EQ(found.refusals.size(), 1U);
  EXPECT_EQ(found.refusals[0].source(), "{{\"re\":\"no\",{rest}");
  EXPECT_FALSE(found.barrier);
  const auto end = reply_end_of({{"{\"re\":\"no\",\"why\":\"x\"}"}, {"{\"re\":\"map\"}"}});
  ASSERT_TRUE(end);
  EXPECT_TRUE(end->match("{\"re\":\"anything\"}"));
  EXPECT_FALSE(end->match("a line in between"));
}

TEST(Listening, ARefusalIsAsGeneralAsItsMark) {
  EXPECT_EQ(refusal_like({"!! not known"}, "qzv")->source(), "!! {rest}");
  EXPECT_EQ(refusal_like({"-ERR what"}, "qzv")->source(), "-ERR {rest}");
  EXPECT_EQ(refusal_like({"no choice qzv"}, "qzv")->source(), "no choice {rest}");
  EXPECT_EQ(refusal_like({"not possible: already taken"}, "2")->source(), "not possible: {rest}");
  EXPECT_EQ(refusal_like({"Unknown command"}, "qzv")->source(), "Unknown command");
  EXPECT_FALSE(refusal_like({}, "qzv"));
}

// A defect found: where a bare word is answered by "cannot read that", nothing seemed to bring a word back.
TEST(Listening, NonsenseBuiltLikeACommandBringsItsWordBack) {
  EXPECT_EQ(nonsense_like("help()", "qzv"), "qzv()");
  EXPECT_EQ(nonsense_like("help", "qzv"), "") << "as a bare word";
  EXPECT_EQ(nonsense_like("/help", "qzv"), "") << "it begins with none";
  const ListenedTo found = listened_to(
      {{"qzv()", "qzv()\r\nerror: no qzv\r\nfailed\r\n"}, {"qzw()", "qzw()\r\nerror: no qzw\r\nfailed\r\n"}});
  ASSERT_TRUE(found.barrier);
  EXPECT_EQ(found.barrier->steps.front().send.format({{"word", "abc1"}}), "abc1()");
  EXPECT_TRUE(found.barrier->lines.front().match("error: no abc1"));
}

// A status in front of each last line, a dash behind it in all others. (RFC 5321,
// section 4.2.1, from memory, ends replies so.)
TEST(ReplyEnd, IsALineWithAStatusWhereNoOtherLineHasOne) {
  const auto end = reply_end_of({{"500 unknown"}, {"214-help", "214-more", "214 end"}, {"200 ok"}});
  ASSERT_TRUE(end);
  EXPECT_TRUE(end->match("250 at rest"));
  EXPECT_FALSE(end->match("210-out 1 pin G"));
  EXPECT_FALSE(reply_end_of({{"1 P1", "2 P2"}, {"3 P3", "4 P4"}}));
}

// What the consoles of strangers answered (tests/consoles: reed, bracken).
TEST(ReplyEnd, MayHaveAChecksumBehindIt) {
  const auto end = reply_end_of(
      {{"?10: *2F", "10 4 pin of motor 1 *11", "OK *04"}, {"11=3: OK *0B"}, {"m0 1000: OK *66"}, {"OK *04"}});
  ASSERT_TRUE(end);
  EXPECT_TRUE(end->match("90=1: OK *7C"));
  EXPECT_TRUE(end->match("OK *04"));
  EXPECT_FALSE(end->match("10 4 pin of motor 1 *11"));
  const auto done = reply_end_of(
      {{"7.1 cmd a", "7.2 cmd done"}, {"7.5 cmd done"}, {"8.0 mot x", "8.0 cmd done"}, {"9.3 cmd done"}});
  ASSERT_TRUE(done);
  EXPECT_TRUE(done->match("12.5 cmd done"));
  EXPECT_FALSE(done->match("12.5 cmd a"));
}

TEST(Listening, PassesOverWhatDiffersFromAnswerToAnswer) {
  const ListenedTo sums = listened_to({{"qzva", "qzva: ERR syntax *3F\r\n"},
                                       {"qzvb 1", "qzvb 1: ERR syntax *07\r\n"},
                                       {"qzvc", "qzvc: ERR syntax *5C\r\n"}});
  ASSERT_EQ(sums.refusals.size(), 1U);
  EXPECT_TRUE(sums.refusals[0].match("11=99: ERR syntax *E1"));
  EXPECT_FALSE(sums.refusals[0].match("11=9: OK *E1"));
  ASSERT_TRUE(sums.barrier);
  EXPECT_EQ(sums.barrier->lines[0].match("abc1: ERR syntax *44")->at("word"), "abc1");
  EXPECT_EQ(refusal_like({"000012.590 cmd failed: what?"}, "qzv")->source(), "{skip} cmd failed: {rest}");
}

TEST(LineThatTells, StandsOnceInBothAnswersAndInNoOther) {
  const std::vector<Lines> refused{{"(error \"no\")", "(ready)"}, {"(error \"no\")", "(ready)"}};
  EXPECT_FALSE(line_that_tells({"(ready)"}, {"(ready)"}, refused));
  EXPECT_EQ(line_that_tells(refused[0], refused[1], {{"(ready)"}, {"(ready)"}})->source(), "(error \"no\")");
  const auto timed = line_that_tells({"1.5 cmd help", "1.5 cmd done"}, {"2.7 cmd help", "2.8 cmd done"},
                                     {{"2.0 cmd failed"}});
  ASSERT_TRUE(timed);
  EXPECT_EQ(timed->source(), "{skip} cmd done");
  EXPECT_FALSE(line_that_tells({"up 3 s"}, {"down 4 s"}, {})) << "it is answered otherwise each time";
}

TEST(ReplyEnd, IsStillAStatusWhereOneReplyInTenCameGarbled) {
  std::vector<Lines> replies(9, Lines{"210-a 1", "210 end"});
  replies.push_back({"2O0 ok"});
  ASSERT_FALSE(reply_end_of(replies) && reply_end_of(replies)->source() == "{skip:digits} {rest}");
  replies[0] = {"200 ok"};
  ASSERT_TRUE(reply_end_of(replies));
  EXPECT_EQ(reply_end_of(replies)->source(), "{skip:digits} {rest}");
  replies.push_back({"2OO ok"});
  EXPECT_FALSE(reply_end_of(replies) && reply_end_of(replies)->source() == "{skip:digits} {rest}");
}

}  // namespace
}  // namespace armwise::teach::listening_test
