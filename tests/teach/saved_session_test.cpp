#include "armwise/teach/saved_session.hpp"

#include <gtest/gtest.h>

namespace armwise::teach {
namespace {

const KnownFromLog known{{"1", "2", "3", "4"}, {"P1", "P2", "P3", "P4"}, "nothing", {"left", "right"}};

std::vector<std::string> likely(const std::string& id, const std::string& log,
                                const KnownFromLog& all = known) {
  const SavedSession session = saved_session(log);
  std::vector<std::string> commands;
  for (const std::size_t at : likely_for(id, session, all)) commands.push_back(session.exchanges[at].command);
  return commands;
}

using Commands = std::vector<std::string>;

TEST(SavedSession, IsPromptCommandsAndReplies) {
  const SavedSession session = saved_session("up\nrig> who\nmoss7 3.2\nrig> \nrig> wiring\na\nb\nrig> bye\n");
  EXPECT_EQ(session.prompt, "rig> ");
  ASSERT_EQ(session.exchanges.size(), 3U);
  EXPECT_EQ(session.exchanges[1].command, "wiring");
  EXPECT_EQ(session.exchanges[1].reply, (Lines{"a", "b"}));
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

TEST(LikelyForASetting, IsAnOrderThatSaysWhatItIsAbout) {
  EXPECT_EQ(likely("assign-pin", orders), Commands{"put 2 on P2"});
  EXPECT_EQ(likely("free-pin", orders), Commands{"put 2 on nothing"});
  EXPECT_EQ(likely("set-turn-cw", orders), Commands{"way 3 left"});
  EXPECT_EQ(likely("props-in-command", orders).front(), "props right");
  EXPECT_EQ(likely("set-yaw", orders), Commands{"board 10 20 30"});
}

TEST(LikelyForASpin, IsAMotorAndAnotherNumberAndTheStopFollows) {
  EXPECT_EQ(likely("spin-command", orders), Commands{"go 2 at 7"});
  EXPECT_EQ(likely("stop-command", orders), (Commands{"stop lamp", "calm"}));
}

TEST(LikelyForASpin, ALongListIsNoOrder) {
  const std::string log = "rig> spin 2 at 7\none\ntwo\nthree\nfour\nrig> x\nrig> y\n";
  EXPECT_TRUE(likely("spin-command", log).empty());
}

}  // namespace
}  // namespace armwise::teach
