#include "armwise/teach/saved_session.hpp"

#include <gtest/gtest.h>

#include "armwise/base/text.hpp"

namespace armwise::teach::saved_session_test {
namespace {

const KnownFromLog known{{"1", "2", "3", "4"}, {"P1", "P2", "P3", "P4"}, "nothing", {"left", "right"}};

std::vector<std::string> likely(const std::string& id, const std::string& log,
                                const KnownFromLog& all = known, const console::Values& asked = {}) {
  return proposed_by(saved_session(log, "rig> "), id, asked, all);
}

using Commands = std::vector<std::string>;

TEST(SavedSession, IsPromptCommandsAndReplies) {
  const SavedSession session =
      saved_session("up\nrig> who\nmoss7 3.2\nrig> \nrig> wiring\na\nb\nrig> bye\n", "rig> ");
  ASSERT_EQ(session.size(), 3U);
  EXPECT_EQ(session[1].command, "wiring");
  EXPECT_EQ(session[1].reply, (Lines{"a", "b"}));
}

TEST(SavedSession, APromptThatCountsIsKnownByItsEnd) {
  const SavedSession session = saved_session("up\n(1) rig> who\nmoss7 3.2\n(2) rig> wiring\na\n", ") rig> ");
  ASSERT_EQ(session.size(), 2U);
  EXPECT_EQ(session[1].command, "wiring");
}

TEST(SavedSession, AHostileLogIsBoundedAndPrintable) {
  std::string log;
  for (int i = 0; i < 20; ++i) {
    log += "evil> show\x1b[2J\x07 map\xff\xfe\n";
    log += "motor 1 on P1 \xc3\x28\nmotor 2 on P2\x1b]0;title\x07\n";
    log += std::string(100000, 'A') + "\n";
  }
  log += "evil> " + std::string(1U << 20U, '{') + std::string("\0\0", 2) + "\n";
  const SavedSession saved = saved_session(log, "evil> ");
  ASSERT_EQ(saved.size(), 21U);
  for (const SavedExchange& exchange : saved) {
    EXPECT_EQ(exchange.command, printable(exchange.command));
    EXPECT_LE(exchange.command.size(), 4000U);
    for (const std::string& line : exchange.reply) {
      EXPECT_EQ(line, printable(line));
      EXPECT_LE(line.size(), 4000U);
    }
  }
  for (const char* id : {"identify", "list-map", "assign-pin", "set-yaw", "spin-command", "keep"})
    EXPECT_LE(proposed_by(saved, id, {{"motor", "1"}, {"pin", "P1"}}, known).size(), 2U) << id;
}

TEST(SavedSession, ATextWithoutAPromptHoldsNone) {
  for (const std::string& text : {std::string(), std::string("one\ntwo\nthree\n"), std::string(100000, '>')})
    EXPECT_TRUE(saved_session(text, "rig> ").empty());
}

// Words of a line may be counted as motors, too: the table that names them comes first, the longer one
// before.
TEST(LikelyForTheMap, ATableThatNamesItsMotorsComesFirst) {
  const std::string log =
      "rig> fans\nP1 P2 P3 P4\n"
      "rig> half\nmotor 1 on P1\nmotor 2 on P2\nmotor 3 on P3\n"
      "rig> wiring\nmotor 1 on P1\nmotor 2 on P2\nmotor 3 on P3\nmotor 4 on P4\n"
      "rig> keep\nkept\n";
  const Commands commands = likely("list-map", log, {});
  ASSERT_GE(commands.size(), 3U);
  EXPECT_EQ(commands[0], "wiring");
  EXPECT_EQ(commands[1], "half");
  EXPECT_EQ(commands[2], "fans");
}

TEST(LikelyForTheMap, AWholeConfigurationIsNone) {
  std::string all = "rig> all\n";
  for (int i = 1; i <= 4; ++i) all += "motor " + std::to_string(i) + " on P" + std::to_string(i) + "\n";
  for (int i = 0; i < 30; ++i) all += "amber_" + std::to_string(i) + " = 3\n";
  EXPECT_TRUE(likely("list-map", all + "rig> keep\nkept\nrig> bye\n", {}).empty());
  EXPECT_EQ(likely("whole-configuration", all + "rig> keep\nkept\nrig> bye\n", {}), Commands{"all"});
}

TEST(LikelyForTheMap, WhatWasTypedTwiceIsOfferedOnce) {
  const std::string once = "rig> wiring\nmotor 1 on P1\nmotor 2 on P2\nmotor 3 on P3\n";
  EXPECT_EQ(likely("list-map", once + once + "rig> bye\n", {}), Commands{"wiring"});
}

const std::string orders =
    "rig> put 2 on P2\nok\n"
    "rig> put 2 on nothing\nok\n"
    "rig> way 3 left\nok\n"
    "rig> props right\nok\n"
    "rig> board 10 20 30\nok\n"
    "rig> go 2 at 7\nok\n"
    "rig> calm\nok\n"
    "rig> stop lamp\nok\n"
    "rig> save\nsaved\n";

TEST(LikelyForASetting, IsAnOrderWithTheValuesThatAreAskedFor) {
  EXPECT_EQ(likely("assign-pin", orders, known, {{"motor", "4"}, {"pin", "P3"}}), Commands{"put 4 on P3"});
  EXPECT_EQ(likely("free-pin", orders, known, {{"motor", "4"}, {"pin", "P3"}}), Commands{"put 4 on nothing"});
  EXPECT_EQ(likely("props-in-command", orders, known, {{"props", "left"}}).front(), "props left");
  EXPECT_EQ(likely("set-turn-ccw", orders, known, {{"motor", "1"}, {"turn", "right"}}),
            Commands{"way 1 right"});
  EXPECT_EQ(likely("set-yaw", orders, known, {{"yaw", "1"}, {"pitch", "2"}, {"roll", "3"}}),
            Commands{"board 1 2 3"});
}

const console::Values spin{{"motor", "4"}, {"strength", "3"}, {"milliseconds", "900"}};

TEST(LikelyForASpin, IsAMotorAndAnotherNumberAndTheStopFollows) {
  EXPECT_EQ(likely("spin-command", orders, known, spin), Commands{"go 4 at 3"});
  EXPECT_EQ(likely("stop-command", orders), (Commands{"stop lamp", "calm"}));
}

TEST(LikelyForASpin, ALongListIsNoOrder) {
  const std::string log = "rig> spin 2 at 7\none\ntwo\nthree\nfour\nrig> x\nrig> y\n";
  EXPECT_TRUE(likely("spin-command", log, known, spin).empty());
}

}  // namespace
}  // namespace armwise::teach::saved_session_test
