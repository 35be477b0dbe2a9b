#include "armwise/ui/keys.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <map>
#include <set>

namespace armwise::ui::keys_test {
namespace {

// Letters of one's own, which lie as the usual ones do: then no arm has a pair.
const Ring capitals{"Q", "W", "E", "D", "C", "X", "Z", "A"};

std::map<std::string, std::string> digits(const std::string& frame, NoseSide nose = NoseSide::away) {
  std::map<std::string, std::string> map;
  const ArmKeys keys(*craft::frame_named(frame), nose);
  for (const ArmKeys::Cap& cap : keys.caps()) map[cap.arm] = cap.digit;
  return map;
}

// Where a key of the ring lies around the middle one: degrees clockwise from straight up.
double azimuth_of_key(const std::string& digit) {
  for (std::size_t i = 0; i < keypad_ring().size(); ++i) {
    if (keypad_ring()[i] == digit) return -45.0 + 45.0 * static_cast<double>(i);
  }
  return NAN;
}

double apart(double a, double b) {
  const double difference = std::fmod(std::abs(a - b), 360.0);
  return std::min(difference, 360 - difference);
}

// Pairs lie like the arms: left of the middle line with the left hand's letters, each row as far to the front
// as its arms, and the left key of a pair is counter-clockwise.
TEST(KeyPairs, LieLikeTheArmsWhereTheFrameAllowsIt) {
  const auto said = [](std::string_view frame, NoseSide nose, const char* key) -> std::string {
    const craft::Frame& known = *craft::frame_named(frame);
    const auto whole = ArmKeys(known, nose).find_whole(Key::of(key));
    if (!whole) return "";
    return known.places.at(whole->place).name + " " + std::string(craft::name(whole->turn));
  };
  EXPECT_EQ(said("quad-x", NoseSide::away, "q"), "front-left ccw");
  EXPECT_EQ(said("quad-x", NoseSide::away, "W"), "front-left cw");
  EXPECT_EQ(said("quad-x", NoseSide::away, "o"), "front-right ccw");
  EXPECT_EQ(said("quad-x", NoseSide::away, "p"), "front-right cw");
  EXPECT_EQ(said("quad-x", NoseSide::away, "a"), "rear-left ccw");
  EXPECT_EQ(said("quad-x", NoseSide::away, "l"), "rear-right cw");
  EXPECT_EQ(said("quad-x", NoseSide::toward, "q"), "rear-right ccw");
  EXPECT_EQ(said("hex-x", NoseSide::away, "a"), "left ccw");
  EXPECT_EQ(said("hex-x", NoseSide::away, "m"), "rear-right cw");
  EXPECT_EQ(said("quad-x", NoseSide::away, "m"), "");
  EXPECT_EQ(said("hex-x", NoseSide::away, "x"), "rear-left cw");
  for (const char* none : {"quad-plus", "hex-plus", "octo-x", "octo-plus", "x8", "y6"})
    EXPECT_FALSE(ArmKeys(*craft::frame_named(none), NoseSide::away).has_pairs()) << none;
}

TEST(KeyPairs, NeverMeanAnythingElse) {
  for (const craft::Frame& frame : craft::frames()) {
    const ArmKeys keys(frame, NoseSide::away);
    for (const char* taken : {key::nothing_moved, key::several, key::again, key::back, key::help, key::strip,
                              key::learn, key::flip})
      EXPECT_FALSE(keys.find_whole(Key::of(taken))) << frame.name << " " << taken;
  }
}

TEST(ArmKeys, LieAsTheDesignSaysForTheXFrames) {
  const std::map<std::string, std::string> quad{
      {"front-left", "7"}, {"front-right", "9"}, {"rear-left", "1"}, {"rear-right", "3"}};
  EXPECT_EQ(digits("quad-x"), quad);
  EXPECT_EQ(digits("quad-wide"), quad);
  EXPECT_EQ(digits("x8"), quad);
  auto six = quad;
  six["left"] = "4";
  six["right"] = "6";
  EXPECT_EQ(digits("hex-x"), six);
  auto plus =
      std::map<std::string, std::string>{{"front", "8"}, {"left", "4"}, {"right", "6"}, {"rear", "2"}};
  EXPECT_EQ(digits("quad-plus"), plus);
}

TEST(ArmKeys, AreDifferentForEveryArmOfEveryFrame) {
  for (const craft::Frame& frame : craft::frames()) {
    for (const NoseSide nose : {NoseSide::away, NoseSide::toward}) {
      std::set<std::string> seen;
      std::set<craft::PlaceIndex> places;
      const ArmKeys keys(frame, nose, capitals);
      for (const ArmKeys::Cap& cap : keys.caps()) {
        EXPECT_TRUE(seen.insert(cap.digit).second) << frame.name;
        EXPECT_TRUE(seen.insert(cap.letter).second) << frame.name;
        EXPECT_EQ(keys.find(Key::of(cap.digit)), &cap);
        EXPECT_EQ(keys.find(Key::of(cap.letter)), &cap);
        places.insert(cap.places.begin(), cap.places.end());
      }
      EXPECT_EQ(places.size(), frame.places.size()) << frame.name;
    }
  }
}

// An arm's key never lies more than half a step from the arm.
TEST(ArmKeys, LieWhereTheArmsLie) {
  for (const craft::Frame& frame : craft::frames()) {
    for (const NoseSide nose : {NoseSide::away, NoseSide::toward}) {
      const ArmKeys keys(frame, nose, capitals);
      for (const ArmKeys::Cap& cap : keys.caps()) {
        const double seen = azimuth_of(frame.places[cap.places[0]]) + (nose == NoseSide::toward ? 180 : 0);
        EXPECT_LE(apart(seen, azimuth_of_key(cap.digit)), 22.51) << frame.name << " " << cap.arm;
      }
    }
  }
}

TEST(ArmKeys, AreTurnedWithThePictureAndNotMirrored) {
  const std::map<std::string, std::string> opposite{{"7", "3"}, {"8", "2"}, {"9", "1"}, {"6", "4"},
                                                    {"3", "7"}, {"2", "8"}, {"1", "9"}, {"4", "6"}};
  for (const craft::Frame& frame : craft::frames()) {
    const auto turned = digits(frame.name, NoseSide::toward);
    for (const auto& [arm, digit] : digits(frame.name))
      EXPECT_EQ(turned.at(arm), opposite.at(digit)) << frame.name;
  }
}

TEST(ArmKeys, GoAroundInTheOrderOfTheArms) {
  for (const craft::Frame& frame : craft::frames()) {
    std::map<double, double> key_by_azimuth;
    const ArmKeys keys(frame, NoseSide::away);
    for (const ArmKeys::Cap& cap : keys.caps())
      key_by_azimuth[azimuth_of(frame.places[cap.places[0]])] = azimuth_of_key(cap.digit);
    int descents = 0;
    double last = key_by_azimuth.rbegin()->second;
    for (const auto& [azimuth, key] : key_by_azimuth) {
      if (key < last) ++descents;
      last = key;
    }
    EXPECT_EQ(descents, 1) << frame.name;
  }
}

TEST(ArmKeys, TakeTheKeypadWithoutNumLockButNotItsArrows) {
  const ArmKeys keys(*craft::frame_named("octo-plus"), NoseSide::away);
  EXPECT_EQ(keys.find({Key::Kind::home, {}})->arm, "front-left");
  EXPECT_EQ(keys.find({Key::Kind::page_down, {}})->arm, "rear-right");
  EXPECT_EQ(keys.find({Key::Kind::up, {}}), nullptr);
  EXPECT_EQ(keys.find(Key::of("5")), nullptr);
  EXPECT_EQ(keys.find(Key::of("0")), nullptr);
  EXPECT_EQ(keys.find(Key::of("Q"))->arm, "front-left");
}

TEST(ArmKeys, TakeLearnedLetters) {
  const Ring azerty{"a", "z", "e", "d", "c", "x", "w", "q"};
  EXPECT_EQ(why_not_letters(azerty), "");
  const ArmKeys keys(*craft::frame_named("octo-plus"), NoseSide::away, azerty);
  EXPECT_EQ(keys.find(Key::of("a"))->arm, "front-left");
  EXPECT_EQ(keys.find(Key::of("q"))->arm, "left");
}

TEST(Letters, ThatMeanSomethingElseAreRefused) {
  Ring letters = standard_letters();
  EXPECT_EQ(why_not_letters(letters), "");
  letters[3] = "u";
  EXPECT_NE(why_not_letters(letters).find("\"u\""), std::string::npos);
  letters[3] = "q";
  EXPECT_NE(why_not_letters(letters).find("twice"), std::string::npos);
  letters[3] = "1";
  EXPECT_NE(why_not_letters(letters).find("elsewhere"), std::string::npos);
  letters[3] = "";
  EXPECT_NE(why_not_letters(letters), "");
}

TEST(TurnKeys, AreTheArrowsOverTheTopOfTheCircle) {
  EXPECT_EQ(turn_of({Key::Kind::left, {}}), craft::Turn::ccw);
  EXPECT_EQ(turn_of({Key::Kind::right, {}}), craft::Turn::cw);
  EXPECT_EQ(turn_of(Key::of("6")), std::nullopt);
}

// xterm's control sequences (ctlseqs, "VT220-Style Function Keys" and "PC-Style Function Keys").
TEST(KeyDecoder, KnowsTheSequencesOfTheKeys) {
  const std::map<std::string, Key> sequences{{"\x1B[A", {Key::Kind::up, {}}},
                                             {"\x1BOA", {Key::Kind::up, {}}},
                                             {"\x1B[D", {Key::Kind::left, {}}},
                                             {"\x1B[C", {Key::Kind::right, {}}},
                                             {"\x1B[H", {Key::Kind::home, {}}},
                                             {"\x1B[1~", {Key::Kind::home, {}}},
                                             {"\x1B[4~", {Key::Kind::end, {}}},
                                             {"\x1B[5~", {Key::Kind::page_up, {}}},
                                             {"\x1B[6~", {Key::Kind::page_down, {}}},
                                             {"\x1BOq", Key::of("1")},
                                             {"\x1B[1;5C", {Key::Kind::other, {}}},
                                             {"\x03", {Key::Kind::interrupt, {}}},
                                             {"\x04", {Key::Kind::end_of_input, {}}},
                                             {"\r", {Key::Kind::enter, {}}},
                                             {"q", Key::of("q")},
                                             {"\u00E9", Key::of("\u00E9")}};
  for (const auto& [bytes, key] : sequences) {
    KeyDecoder whole;
    EXPECT_EQ(whole.feed(bytes), std::vector<Key>{key}) << bytes;
    EXPECT_FALSE(whole.waiting());
    KeyDecoder pieces;
    std::vector<Key> keys;
    for (const char byte : bytes) {
      for (const Key& one : pieces.feed(std::string(1, byte))) keys.push_back(one);
    }
    EXPECT_EQ(keys, std::vector<Key>{key}) << "cut: " << bytes;
  }
}

TEST(KeyDecoder, TakesALoneEscapeOnlyWhenNothingFollows) {
  KeyDecoder decoder;
  EXPECT_TRUE(decoder.feed("\x1B").empty());
  EXPECT_TRUE(decoder.waiting());
  EXPECT_EQ(decoder.flush(), (std::vector<Key>{{Key::Kind::escape, {}}}));
  EXPECT_EQ(decoder.feed("7"), std::vector<Key>{Key::of("7")});
}

TEST(KeyDecoder, HoldsNoEndlessSequence) {
  KeyDecoder decoder;
  std::size_t keys = 0;
  for (int i = 0; i < 1000; ++i) keys += decoder.feed(i == 0 ? "\x1B[" : "111111").size();
  EXPECT_GT(keys, 0U);
  EXPECT_EQ(decoder.feed("\xFF").size(), 1U);
}

}  // namespace
}  // namespace armwise::ui::keys_test
