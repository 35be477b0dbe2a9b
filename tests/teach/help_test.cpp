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

const Values turn{{"motor", "3"}, {"turn", "back"}}, props{{"props", "in"}};
const Values angles{{"yaw", "10"}, {"pitch", "20"}, {"roll", "30"}};
const Values spin{{"motor", "3"}, {"strength", "4"}, {"milliseconds", "2500"}};

TEST(HelpLayout, OfObjectsNamesTheirKeys) {
  const auto help =
      help_lines({R"({"do": "pins", "keys": []})", R"({"do": "pin", "keys": ["n", "pad", "dir"]})",
                  R"({"do": "blades", "keys": ["to"]})", R"({"ok": true})"},
                 R"({"do": "help"})");
  EXPECT_EQ(hinted(help, "list-map", {}), R"({"do": "pins"})");
  EXPECT_EQ(hinted(help, "assign-pin", pair), R"({"do": "pin", "n": 3, "pad": "P4"})");
  EXPECT_EQ(hinted(help, "set-turn-cw", turn), R"({"do": "pin", "n": 3, "dir": "back"})");
  EXPECT_EQ(hinted(help, "props-in-command", props), R"({"do": "blades", "to": "in"})");
}

TEST(HelpLayout, SeveralUsagesStandOnALine) {
  const auto brackets =
      help_lines({"(show all)   what is set", "(show craft) (show motors) (show gravity)",
                  "(set craft :blades WAY)   inward, outward",
                  "(set motor N :pin PIN :wind WAY)   either or both", "(rest) (rest N)   stops all, or one"},
                 "(words)");
  EXPECT_EQ(hinted(brackets, "list-map", {}), "(show motors)");
  EXPECT_EQ(hinted(brackets, "assign-pin", pair), "(set motor 3 :pin P4)");
  EXPECT_EQ(hinted(brackets, "set-turn-cw", turn), "(set motor 3 :wind back)");
  EXPECT_EQ(hinted(brackets, "read-props", {}), "(show craft)") << "beside the order";
  EXPECT_EQ(hinted(brackets, "stop-command", {}), "(rest)");
  const auto columns = help_lines({"b  b,in  b,out   blades", "x  x,MOTOR   stop", "t,MOTOR,%,MS   test"});
  EXPECT_EQ(hinted(columns, "read-props", {}), "b");
  EXPECT_EQ(hinted(columns, "props-in-command", props), "b,in");
  EXPECT_EQ(hinted(columns, "spin-command", spin), "t,3,4,2500");
  const auto choices =
      help_lines({"sys id|dump|save|boot", "fans?    in or out; fans in! and fans out! set it"});
  EXPECT_EQ(hinted(choices, "keep", {}), "sys save");
  EXPECT_EQ(hinted(choices, "identify", {}), "sys id");
  EXPECT_EQ(hinted(choices, "read-props", {}), "fans?");
  EXPECT_EQ(hinted(choices, "props-in-command", props), "fans in!");
}

TEST(HelpLayout, TheVerbMayBeLast) {
  const auto help = help_lines(
      {"motor pad wire     -1 is no pad", "wiring   motor, pad, hertz", "flag blades    0 in, 1 out",
       "blades?", "yaw pitch roll lie   degrees", "lie?", "motor power ms whirl", "who all words"},
      "words");
  EXPECT_EQ(hinted(help, "assign-pin", pair), "3 P4 wire");
  EXPECT_EQ(hinted(help, "list-map", {}), "wiring");
  EXPECT_EQ(hinted(help, "props-in-command", {{"props", "0"}}), "0 blades");
  EXPECT_EQ(hinted(help, "read-mount", {}), "lie?");
  EXPECT_EQ(hinted(help, "set-yaw", angles), "10 20 30 lie");
  EXPECT_EQ(hinted(help, "spin-command", spin), "3 4 2500 whirl");
  EXPECT_EQ(hinted(help, "identify", {}), "who");
  EXPECT_EQ(word_for_no_pin(help), "-1");
}

TEST(HelpLayout, WhatFramesEachLineIsNoneOfIt) {
  const auto clock = help_lines({"000001.200 cmd mot list   pins", "000001.201 cmd mot pin mN PIN   sets it",
                                 "000001.202 cmd craft props [in|out]", "000001.203 cmd done"});
  EXPECT_EQ(hinted(clock, "list-map", {}), "mot list");
  EXPECT_EQ(hinted(clock, "assign-pin", pair), "mot pin m3 P4");
  EXPECT_EQ(hinted(clock, "read-props", {}), "craft props");
  const auto sums = help_lines({"?            the whole list *3D", "wires    motors and pins *57", "OK *04"});
  EXPECT_EQ(hinted(sums, "list-map", {}), "wires");
}

TEST(HelpLayout, UnitsAndExamplesAreTakenUp) {
  EXPECT_EQ(hinted(help_lines({"sit [Y P R]   mounting in tenths of a degree"}), "set-yaw", angles),
            "sit 100 200 300");
  EXPECT_EQ(hinted(help_lines({"run N PART SECONDS   spins one"}), "spin-command", spin), "run 3 4 2.5");
  EXPECT_EQ(hinted(help_lines({"spin 2 8% 900ms"}), "spin-command", spin), "spin 3 4% 2500ms");
}

TEST(Help, WhereSettingsHaveNamesTheRowTellsIt) {
  const auto help = help_lines({"list [NAME]     what begins so", "set NAME VALUE  changes it"});
  EXPECT_EQ(hinted(help, "assign-pin", pair, {"motor3.pin P4", {}}), "set motor3.pin P4");
  EXPECT_EQ(hinted(help_lines({"N=VALUE   sets one"}), "assign-pin", pair, {"12 P4 pin of motor 3", {}}),
            "12=P4");
  EXPECT_EQ(name_in({"motor3.pin P4", "accel.x 0", "knob.1 3"}, "sense"), "accel");
  EXPECT_EQ(asked_by_name(help, {}, "accel"), "list accel");
  EXPECT_EQ(asked_by_name({}, {"show all", "show motors"}, "blades"), "show blades");
  EXPECT_EQ(asked_by_name({}, {"?all", "tell motors"}, "blades"), "");
}

TEST(Help, AsTheMapsCommandIsTypedSoAreOthers) {
  const auto draft = help_lines({"motor MOTOR plug PLUG   puts it there", "motor MOTOR way ahead|back"});
  const Spoken steps =
      spoken_like(draft, "open ; motor {motor} plug {pin} ; close", "open ; motor 3 plug P4 ; close", pair);
  EXPECT_EQ(hinted(draft, "set-turn-cw", turn, {"", steps}), "open ; motor 3 way back ; close");
  const auto menu = help_lines({"p  put a motor on a pin", "r  reverse a motor", "l  list motors"});
  const Spoken asks = spoken_like(menu, "p ; {motor} ; {pin}", "p ; 3 ; P4", pair);
  EXPECT_EQ(hinted(menu, "set-turn-cw", turn, {"", asks}), "r ; 3 ; back");
  EXPECT_EQ(hinted(menu, "list-map", {}), "l");
  const auto named =
      help_lines({"hang PAD MOTOR   puts the motor on the pad", "whirr MOTOR PART MS   spins it"});
  EXPECT_EQ(hinted(named, "spin-command", spin,
                   {"", spoken_like(named, "hang {pin} m{motor}", "hang P4 m3", pair)}),
            "whirr m3 4 2500");
}

TEST(Help, NamesTheWordAgainstAnother) {
  EXPECT_EQ(word_against(help_lines({"flip MOTOR ahead|astern"}), "astern"), "ahead");
  EXPECT_EQ(word_against(help_lines({"b  b,I  b,O   blades"}), "I"), "O");
  EXPECT_EQ(word_against(help_lines({"rig WAY   toward, away: of the blades"}), "toward"), "away");
  EXPECT_EQ(word_against(help_lines({"rig WAY   toward"}), "toward"), "");
}

TEST(Help, ShellsAreKnownByTheWayOut) {
  EXPECT_EQ(
      shells_in(help_lines({"motors    outputs", "stop   all", "back   leaves this shell", "help"}), "help")
          .names,
      Lines{"motors"});
  EXPECT_TRUE(
      shells_in(help_lines({"motors    outputs", "quit   says goodbye", "help"}), "help").names.empty());
}

}  // namespace
}  // namespace armwise::teach::help_test
