// What earlier examples imply. The consoles here are invented for each case.
#include "armwise/teach/guesses.hpp"

#include <gtest/gtest.h>

namespace armwise::teach::guesses_test {
namespace {

using console::Template;
using console::Values;

Shown shown(std::string read, std::string line, const std::string& like, Values now, std::string key,
            std::string value, bool asked_each = false) {
  return {std::move(read), asked_each,     std::move(line), Template::parse(like),
          std::move(now),  std::move(key), std::move(value)};
}

TEST(SetLike, IsTheLineItselfWhereItReadsNameEqualsValue) {
  EXPECT_EQ(set_like(std::nullopt, shown("", "way.P2 = back", "way.{pin} = {turn}",
                                         {{"pin", "P2"}, {"turn", "back"}}, "pin", "turn")),
            "way.P2 = back");
}

TEST(SetLike, DoesAsTheMapsCommandDoesToTheMapsListing) {
  const MapSpeech path{"/out", Template::parse("/out/{motor} <- {pin}"), false};
  EXPECT_EQ(set_like(path, shown("/turn", "| M4 | right |", "| {motor} | {turn} |",
                                 {{"motor", "M4"}, {"turn", "right"}}, "motor", "turn")),
            "/turn/M4 <- right");
  EXPECT_EQ(
      set_like(path, shown("/props", "| inboard |", "| {props} |", {{"props", "inboard"}}, "", "props")),
      "/props <- inboard");
  const MapSpeech letters{"WL", Template::parse("WM,{motor},{pin}"), false};
  EXPECT_EQ(set_like(letters,
                     shown("TL", "+TL 4:F", "+TL {items}", {{"motor", "4"}, {"turn", "F"}}, "motor", "turn")),
            "TM,4,F");
  EXPECT_EQ(set_like(letters, shown("PD", "+PD IN", "+PD {props}", {{"props", "IN"}}, "", "props")), "PD,IN");
  const MapSpeech each{"map", Template::parse("map {motor} {pin}"), false};
  EXPECT_EQ(set_like(each, shown("turn 4", "4 turns 1", "{motor} turns {turn}",
                                 {{"motor", "4"}, {"turn", "1"}}, "motor", "turn", true)),
            "turn 4 1");
  const MapSpeech verbs{"show map", Template::parse("set map {motor} {pin}"), false};
  EXPECT_EQ(set_like(verbs, shown("show turns", "4 turns cw", "{motor} turns {turn}",
                                  {{"motor", "4"}, {"turn", "cw"}}, "motor", "turn")),
            "set turns 4 cw");
}

TEST(SetLike, MakesAnOrderOfASentence) {
  const MapSpeech map{"tell wiring", Template::parse("wire motor {motor} to {pin}"), false};
  EXPECT_EQ(set_like(map, shown("tell turns", "motor 4 turns clockwise", "motor {motor} turns {turn}",
                                {{"motor", "4"}, {"turn", "clockwise"}}, "motor", "turn")),
            "turn motor 4 clockwise");
  EXPECT_EQ(set_like(map, shown("", "props sweep inward", "props sweep {props}", {{"props", "inward"}}, "",
                                "props")),
            "sweep props inward");
}

// "/props/M <- inboard" was proposed.
TEST(SetLike, WithoutAKeyLeavesOutWhatBelongsToIt) {
  const MapSpeech path{"/out", Template::parse("/out/M{motor} <- {pin}"), false};
  EXPECT_EQ(
      set_like(path, shown("/props", "| inboard |", "| {props} |", {{"props", "inboard"}}, "", "props")),
      "/props <- inboard");
  // Here nothing tells where the command ends and the key begins.
  const MapSpeech letters{"w", Template::parse("wm{motor} {pin}"), false};
  EXPECT_EQ(set_like(letters, shown("w", "in", "{props}", {{"props", "in"}}, "", "props")), "");
}

// "go output 4 sunwise" was proposed to a console of which every order begins with "please".
TEST(SetLike, MakesNoOrderWhereOrdersDoNotBeginWithAVerb) {
  const auto turns = shown("", "output 4 goes sunwise", "output {motor} goes {turn}",
                           {{"motor", "4"}, {"turn", "sunwise"}}, "motor", "turn");
  EXPECT_EQ(
      set_like(MapSpeech{"recite", Template::parse("please wire output {motor} to {pin}"), false}, turns),
      "");
  EXPECT_EQ(set_like(MapSpeech{"recite", Template::parse("wire output {motor} to {pin}"), false}, turns),
            "go output 4 sunwise");
}

// The consoles of tests/consoles taught these.
TEST(SetLike, IsAVerbAndWhatTheLineShowsWhereTheMapIsSetSo) {
  MapSpeech map{"show motor=3", Template::parse("set motor={motor} pad={pin}"), false};
  map.row = "motor=3 pad=P4 sense=norm limit=400";
  map.now = {{"motor", "3"}, {"pin", "P4"}};
  EXPECT_EQ(set_like(map, shown("show motor=4", "motor=4 pad=P1 sense=rev limit=400",
                                "motor={motor} pad={skip} sense={turn} {rest}",
                                {{"motor", "4"}, {"turn", "rev"}}, "motor", "turn", true)),
            "set motor=4 sense=rev");
  EXPECT_EQ(set_like(map, shown("show blades", "blades sweep=in", "blades sweep={props}", {{"props", "in"}},
                                "", "props")),
            "set blades sweep=in");
  EXPECT_EQ(set_like(map, shown("show seat", "seat yaw=10 pitch=20 roll=30",
                                "seat yaw={yaw} pitch={pitch} roll={roll}",
                                {{"yaw", "10"}, {"pitch", "20"}, {"roll", "30"}}, "", "")),
            "set seat yaw=10 pitch=20 roll=30");
  MapSpeech asks{"show pad_of_m", Template::parse("set pad_of_{motor} {pin}"), false};
  asks.row = "pad_of_m1 L3";
  asks.now = {{"motor", "m1"}, {"pin", "L3"}};
  asks.put = Template::parse("set pad_of_{motor} {pin} ; y");
  EXPECT_EQ(
      set_like(asks, shown("show fan.", "fan.way in", "fan.way {props}", {{"props", "in"}}, "", "props")),
      "set fan.way in ; y");
  // Where nothing in the line names what it shows, the verb does.
  MapSpeech bare{"slot", Template::parse("slot {pin} {motor}"), true};
  bare.row = "1 4";
  bare.now = {{"motor", "4"}, {"pin", "1"}};
  EXPECT_EQ(set_like(bare, shown("blade", "1", "{props:int}", {{"props", "1"}}, "", "props")), "blade 1");
  EXPECT_EQ(set_like(bare, shown("aim", "00A 014 01E", "{yaw:HEX3} {pitch:HEX3} {roll:HEX3}",
                                 {{"yaw", "10"}, {"pitch", "20"}, {"roll", "30"}}, "", "")),
            "aim 00A 014 01E");
}

TEST(SetLike, CallsASettingAsItsRowOrItsColumnDoes) {
  MapSpeech marked{"outs", Template::parse("out n={motor} pad={pin}"), false};
  marked.row = R"(<out rev="no" n="2" pad="b.0"/>)";
  marked.now = {{"motor", "2"}, {"pin", "b.0"}};
  EXPECT_EQ(set_like(marked, shown("outs", R"(<out rev="yes" n="3" pad="b.1"/>)",
                                   R"(<out rev="{turn}" n="{motor}" {rest})",
                                   {{"motor", "3"}, {"turn", "yes"}}, "motor", "turn")),
            "out n=3 rev=yes");
  EXPECT_EQ(set_like(marked, shown("props", R"(<props sweep="in"/>)", R"(<props sweep="{props}"/>)",
                                   {{"props", "in"}}, "", "props")),
            "props sweep=in");
  MapSpeech cells{"show", Template::parse("B{motor}={pin}"), false};
  cells.row = "| 2 | m2 | K9 | <- |";
  cells.head = "|   | A  | B  | C  |";
  cells.now = {{"motor", "2"}, {"pin", "K9"}};
  Shown cell = shown("show", "| 4 | m4 | K8 | -> |", "| {motor} | {skip} | {skip} | {turn} |",
                     {{"motor", "4"}, {"turn", "->"}}, "motor", "turn");
  cell.head = cells.head;
  EXPECT_EQ(set_like(cells, cell), "C4=->");
}

// "turn(4), "on")" was proposed, and "blade, "in")".
TEST(SetLike, KeepsBracketsAndQuotesInOrder) {
  const MapSpeech map{"pins()", Template::parse("pin({motor}, \"{pin}\")"), false};
  EXPECT_EQ(set_like(map, shown("turn(4)", "'on'", "'{turn}'", {{"motor", "4"}, {"turn", "on"}}, "motor",
                                "turn", true)),
            "turn(4, \"on\")");
  EXPECT_EQ(
      set_like(map, shown("dir(4)", "-1", "{turn}", {{"motor", "4"}, {"turn", "-1"}}, "motor", "turn", true)),
      "dir(4, -1)");
  EXPECT_EQ(set_like(map, shown("blades()", "'in'", "'{props}'", {{"props", "in"}}, "", "props")),
            "blades(\"in\")");
  EXPECT_EQ(set_like(map, shown("seat()", "(10, 20, 30)", "({yaw}, {pitch}, {roll})",
                                {{"yaw", "10"}, {"pitch", "20"}, {"roll", "30"}}, "", "")),
            "seat(10, 20, 30)");
  const MapSpeech places{"pins", Template::parse("pin[{motor}]={pin}"), false};
  EXPECT_EQ(set_like(places,
                     shown("way[3]", "-", "{turn}", {{"motor", "3"}, {"turn", "-"}}, "motor", "turn", true)),
            "way[3]=-");
}

TEST(QuestionLike, NamesOthersAsTheMapsNamesItsOwn) {
  const Lines outs{"/out/0/pin \"A4\"", "/out/1/pin \"A1\""};
  EXPECT_EQ(question_like("ls /out", outs, {"/seat/yaw 0", "/seat/pitch 0", "/seat/roll 0"}), "ls /seat");
  EXPECT_EQ(question_like("ls /out", outs, {"/blades/sweep \"inward\""}), "ls /blades");
  EXPECT_EQ(question_like("show motor=4", {"motor=4 pad=P1"}, {"seat yaw=0 pitch=0 roll=0"}), "show seat");
  EXPECT_EQ(question_like("show pad_of_m", {"pad_of_m1 L3", "pad_of_m2 L1"}, {"sit.yaw 0", "sit.pitch 0"}),
            "show sit.");
  EXPECT_EQ(question_like("wires", {"1 | P4", "2 | P5"}, {"sweep | in"}), "") << "it names nothing";
}

TEST(WordLike, IsAWordOnlyWhereTheOthersAre) {
  EXPECT_EQ(word_like("exit", {"tell wiring", "keep it"}), "exit");
  EXPECT_EQ(word_like("exit", {"/out", "/store"}), "/exit");
  EXPECT_EQ(word_like("exit", {"/out", "store"}), "");
  EXPECT_EQ(word_like("exit", {"WL", "SV"}), "");
  EXPECT_EQ(word_like("exit", {"LIST", "SAVE"}), "");
  EXPECT_EQ(word_like("exit", {"output.*", "keep"}), "");
  EXPECT_EQ(word_like("exit", {"1", "8"}), "");
  EXPECT_EQ(word_like("exit", {"p", "w"}), "");
  EXPECT_EQ(word_like("exit", {"", ""}), "");
}

TEST(SetLike, SaysNothingWhereNothingIsImplied) {
  const MapSpeech map{"recite", Template::parse("please wire {motor} to {pin}"), false};
  EXPECT_EQ(set_like(map, shown("", "| 4 |", "| {props} |", {{"props", "4"}}, "", "props")), "");
}

TEST(FreeLike, TakesTheWordForNoPinOrTheOppositeOfTheVerb) {
  const Values now{{"motor", "2"}, {"pin", "P3"}};
  EXPECT_EQ(free_like({"out", Template::parse("out {motor} {pin}"), false}, "out 2 P3", "-", now), "out 2 -");
  EXPECT_EQ(free_like({"recite", Template::parse("please wire output {motor} to {pin}"), false},
                      "output 2 is wired to P3", "", now),
            "please unwire output 2");
  EXPECT_EQ(free_like({"out", Template::parse("drive {motor} {pin}"), false}, "motor 2: P3", "", now), "");
}

TEST(Listing, NamesTheCommandsWhoseAnswersStandInIt) {
  const Lines lines{"some_gain = 4", "+WL 1:P1 2:P2", "+PD IN", "+TL 1:F 2:F"};
  const Listing listing = looked_into(lines, "WL");
  EXPECT_EQ(listing.before, "+");
  EXPECT_FALSE(listing.cut);
  EXPECT_EQ(named_in(listing, "+TL 1:F 2:F"), "TL");
  EXPECT_EQ(named_in(listing, "some_gain = 4"), "");
  EXPECT_EQ(lines_of_props(listing), Lines{"+PD IN"});
}

TEST(Listing, IsCutWhereAnswersStandInARow) {
  const Lines lines{
      R"({"re":"config","entries":[{"re":"map","m":1},{"re":"props","out":false},{"re":"mount","yaw":0}]})"};
  const Listing listing = looked_into(lines, "map");
  EXPECT_TRUE(listing.cut);
  EXPECT_EQ(lines_of_props(listing), Lines{R"({"re":"props","out":false})"});
  EXPECT_EQ(named_in(listing, lines_of_props(listing).front()), "props");
}

TEST(Listing, NamesNothingWhereTheMapsCommandIsNotInIt) {
  const Listing listing = looked_into({"motor 1 drives P1", "a+b = 2"}, "tell wiring");
  EXPECT_EQ(named_in(listing, "motor 1 drives P1"), "");
  EXPECT_EQ(looked_into({"WL+WL"}, "").before, "");
}

TEST(OppositeWord, KeepsCapitals) {
  EXPECT_EQ(opposite_word("IN"), "OUT");
  EXPECT_EQ(opposite_word("inward"), "outward");
  EXPECT_EQ(opposite_word("amber"), "");
}

}  // namespace
}  // namespace armwise::teach::guesses_test
