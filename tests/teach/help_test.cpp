// What a console's list of commands hints at. All lists are invented for these tests.
#include "armwise/teach/help.hpp"

#include <gtest/gtest.h>

namespace armwise::teach::help_test {
namespace {

using console::Values;

const Values pair{{"motor", "3"}, {"pin", "P4"}};

TEST(Help, PartsAUsageFromWhatItDoes) {
  const auto help =
      help_lines({"  wire MOTOR PIN     puts a motor on a pin", "quiet - ends all noise", "", "bye: leaves"});
  ASSERT_EQ(help.size(), 3U);
  EXPECT_EQ(help[0].about, "puts a motor on a pin");
  ASSERT_EQ(help[0].usage.size(), 4U);
  EXPECT_EQ(help[0].usage[0].text, "wire ");
  EXPECT_EQ(help[0].usage[1].kind, UsagePiece::Kind::slot);
  EXPECT_EQ(help[0].usage[3].text, "PIN");
  EXPECT_EQ(help[1].about, "ends all noise");
  EXPECT_EQ(help[2].about, "leaves");
}

TEST(Help, SlotsAreFilledByTheirNamesAndElseInOrder) {
  EXPECT_EQ(hinted(help_lines({"wire MOTOR PIN   puts a motor on a pin"}), "assign-pin", pair), "wire 3 P4");
  EXPECT_EQ(hinted(help_lines({"pad <pin> <motor>   which motor a pin has"}), "assign-pin", pair),
            "pad P4 3");
  EXPECT_EQ(hinted(help_lines({"put A B   a motor onto its pin"}), "assign-pin", pair), "put 3 P4");
  EXPECT_EQ(hinted(help_lines({"pin(motor, \"pad\")   puts it there"}), "assign-pin", pair),
            "pin(3, \"P4\")");
  EXPECT_EQ(hinted(help_lines({"let PAD have motor N   puts it there"}), "assign-pin", pair),
            "let P4 have motor 3");
}

TEST(Help, WhatIsOptionalIsLeftOutOfAQuestionAndTypedInAnOrder) {
  const auto help = help_lines({"blades [in|out]   which way the propellers sweep"});
  EXPECT_EQ(hinted(help, "read-props", {}), "blades");
  EXPECT_EQ(hinted(help, "props-out-command", {{"props", "out"}}), "blades out");
  EXPECT_EQ(hinted(help, "props-out-command", {{"props", "outward"}}), "") << "none of its words";
  const auto call = help_lines({"blades([\"way\"])   which way the propellers sweep"});
  EXPECT_EQ(hinted(call, "read-props", {}), "blades()");
  EXPECT_EQ(hinted(call, "props-out-command", {{"props", "out"}}), "blades(\"out\")");
}

TEST(Help, OfSeveralOptionalPartsThoseAreTypedThatAreAskedFor) {
  const auto help =
      help_lines({"/outputs set N [pin=PIN|none] [dir=fwd|rev]", "/outputs spin N level=L% time=Tms",
                  "/system save [yes]", "/board print", "/system about"});
  EXPECT_EQ(hinted(help, "assign-pin", pair), "/outputs set 3 pin=P4");
  EXPECT_EQ(hinted(help, "set-turn-ccw", {{"motor", "4"}, {"turn", "rev"}}), "/outputs set 4 dir=rev");
  EXPECT_EQ(hinted(help, "spin-command", {{"motor", "3"}, {"strength", "4"}, {"milliseconds", "2500"}}),
            "/outputs spin 3 level=4% time=2500ms");
  EXPECT_EQ(hinted(help, "keep", {}), "/system save yes");
  EXPECT_EQ(hinted(help, "identify", {}), "/system about");
}

TEST(Help, AStatusBeforeEachLineIsNoneOfItAndAUsageMayStandInWhatIsSaid) {
  const auto help = help_lines(
      {"214-WIRE n p  put output n on pin p", "214-WAYS      which way a motor turns; WAYS n cw|ccw"});
  EXPECT_EQ(hinted(help, "assign-pin", pair), "WIRE 3 P4");
  EXPECT_EQ(hinted(help, "read-turn", {}), "WAYS");
  EXPECT_EQ(hinted(help, "set-turn-ccw", {{"motor", "4"}, {"turn", "ccw"}}), "WAYS 4 ccw");
}

TEST(Help, ASpinNeedNotTakeATime) {
  const Values spin{{"motor", "4"}, {"strength", "5"}, {"milliseconds", "2500"}};
  EXPECT_EQ(hinted(help_lines({"go MS M LEVEL   spins a motor"}), "spin-command", spin), "go 2500 4 5");
  EXPECT_EQ(hinted(help_lines({"go MOTOR PERCENT   spins a motor"}), "spin-command", spin), "go 4 5");
}

// A spin is no proposal for a pin, nor a stop for a question, however much of the words they share.
TEST(Help, ASpinAndAStopAreHintedAtAsNothingElse) {
  const auto help =
      help_lines({"test OUTPUT PIN   test run of a motor on a pin", "halt all   stops all motors and pins",
                  "way MOTOR W   spin direction of a motor"});
  EXPECT_EQ(hinted(help, "assign-pin", pair), "");
  EXPECT_EQ(hinted(help, "list-map", {}), "");
  EXPECT_EQ(hinted(help, "whole-configuration", {}), "");
  EXPECT_EQ(hinted(help, "stop-command", {}), "halt all");
  EXPECT_EQ(hinted(help, "set-turn-cw", {{"motor", "3"}, {"turn", "cw"}}), "way 3 cw");
  EXPECT_EQ(hinted(help, "spin-command", {{"motor", "3"}, {"strength", "5"}}), "test 3 5");
}

TEST(Help, WhatWipesOrGoesToALoaderIsNeverHintedAt) {
  const auto help = help_lines({"reset   back to factory settings", "boot   restarts into the loader"});
  EXPECT_EQ(hinted(help, "restarts", {}), "");
  EXPECT_EQ(hinted(help_lines({"save   writes defaults"}), "keep", {}), "");
}

TEST(Help, WhatStandsForNothingThatIsAskedForHintsAtNothing) {
  const auto help = help_lines({"lamp N   switches a lamp", "", "|", "<x>", std::string(500, 'x')});
  for (const char* ability : {"identify", "list-map", "keep", "leave", "stop-command", "no-such-question"})
    EXPECT_EQ(hinted(help, ability, pair), "") << ability;
}

}  // namespace
}  // namespace armwise::teach::help_test
