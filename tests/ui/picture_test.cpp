#include "armwise/ui/picture.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <map>
#include <sstream>
#include <string>

#include "canvas.hpp"
#include "support/sweep.hpp"

namespace armwise::ui::picture_test {
namespace {

// Letters of one's own, which lie as the usual ones do: then no arm has a pair.
const Ring capitals{"Q", "W", "E", "D", "C", "X", "Z", "A"};

using craft::Turn;
using session::CraftView;

Style style_of(bool unicode, int columns) {
  Style style;
  style.unicode = unicode;
  style.columns = columns;
  return style;
}

CraftView view_of(const craft::Frame& frame, const std::string& title) {
  CraftView view;
  view.frame = &frame;
  view.title = title;
  for (craft::PlaceIndex i = 0; i < frame.places.size(); ++i) {
    view.at[i] = {craft::Motor{static_cast<int>(i) + 1},
                  craft::Pin{std::string("P") + static_cast<char>('A' + i)},
                  frame.wanted(i, craft::PropScheme::in), frame.wanted(i, craft::PropScheme::in)};
  }
  return view;
}

std::string text_of(const Picture& picture) {
  std::string text;
  for (const std::string& line : rendered(picture, {})) text += line + "\n";
  return text;
}

struct Spot {
  int row = -1, column = -1;
};

// Where a text stands; the first time, from the top left.
Spot spot_of(const Picture& picture, const std::string& text) {
  const std::vector<std::string> lines = rendered(picture, {});
  for (std::size_t row = 0; row < lines.size(); ++row) {
    const std::size_t found = lines[row].find(text);
    if (found != std::string::npos)
      return {static_cast<int>(row), columns_of(lines[row].substr(0, found)) + columns_of(text) / 2};
  }
  return {};
}

// The middle of the craft: between its nose and its tail.
Spot hub_of(const Picture& picture, NoseSide nose) {
  Spot hub = spot_of(picture, nose == NoseSide::away ? "/^\\" : "\\v/");
  hub.row += nose == NoseSide::away ? 1 : -1;
  return hub;
}

std::vector<Picture> all_pictures(const craft::Frame& frame, const Style& style) {
  std::vector<Picture> pictures;
  for (const NoseSide nose : {NoseSide::away, NoseSide::toward}) {
    pictures.push_back(asking_picture(frame, ArmKeys(frame, nose), style));
    const Spinning spinning{{{1, {"P1", Turn::ccw}}}, {{0, Turn::cw}}, 3};
    pictures.push_back(asking_picture(frame, ArmKeys(frame, nose), style, spinning));
  }
  const std::vector<CraftView> views{view_of(frame, "as it is now"), view_of(frame, "as it will be")};
  pictures.push_back(craft_picture(views[0], style));
  pictures.push_back(craft_pictures(views, style));
  return pictures;
}

TEST(Pictures, AreThereForEveryFrameAtEightyAndSixtyColumns) {
  for (const craft::Frame& frame : craft::frames()) {
    for (const int columns : {80, 60}) {
      for (const Picture& picture : all_pictures(frame, style_of(true, columns))) {
        EXPECT_FALSE(picture.empty()) << frame.name << " at " << columns;
      }
    }
  }
}

// The row in which it stands as a word of its own; -1: in none.
int row_of(const Picture& picture, const std::string& word) {
  for (std::size_t row = 0; row < picture.lines.size(); ++row) {
    std::istringstream words(text_of(Picture{{picture.lines[row]}}));
    for (std::string each; words >> each;) {
      if (each == word) return static_cast<int>(row);
    }
  }
  return -1;
}

// A defect found: hex-plus stood with its rear arms a row apart.
TEST(Pictures, HaveMirrorImagesInOneRow) {
  test::InTurn in_turn;
  for (const craft::Frame& frame : craft::frames()) {
    for (int rows = 0; rows <= 24; ++rows) {
      if (in_turn.is_left_out()) continue;
      Style style = style_of(true, 80);
      style.rows = rows;
      const Picture picture = asking_picture(frame, ArmKeys(frame, NoseSide::away), style);
      for (const craft::Place& place : frame.places) {
        const std::size_t left = place.arm.find("left");
        if (left == std::string::npos) continue;
        std::string mirrored = place.arm;
        mirrored.replace(left, 4, "right");
        EXPECT_EQ(row_of(picture, place.arm), row_of(picture, mirrored)) << text_of(picture);
      }
    }
  }
}

TEST(Pictures, AreNeverWiderThanTheTerminal) {
  test::InTurn in_turn;
  for (const craft::Frame& frame : craft::frames()) {
    for (int columns = 20; columns <= 120; columns += 5) {
      if (in_turn.is_left_out()) continue;
      for (const Picture& picture : all_pictures(frame, style_of(true, columns))) {
        EXPECT_LE(picture.columns(), columns) << frame.name << "\n" << text_of(picture);
      }
    }
  }
}

TEST(Pictures, FitTheHeightOfASmallTerminal) {
  for (const craft::Frame& frame : craft::frames()) {
    for (const Picture& picture : all_pictures(frame, style_of(true, 80)))
      EXPECT_LE(picture.lines.size(), 24U) << frame.name << "\n" << text_of(picture);
  }
}

TEST(Pictures, AreSevenBitInAscii) {
  for (const craft::Frame& frame : craft::frames()) {
    for (const Picture& picture : all_pictures(frame, style_of(false, 80))) {
      const std::string text = text_of(picture);
      EXPECT_TRUE(std::all_of(text.begin(), text.end(), [](char c) {
        return c == '\n' || (c >= ' ' && c <= '~');
      })) << text;
    }
  }
}

TEST(Pictures, SayTheSameWithAndWithoutColour) {
  const craft::Frame& frame = *craft::frame_named("quad-x");
  Style coloured = style_of(true, 80);
  coloured.colour = ColourDepth::two_hundred_and_fifty_six;
  for (const Picture& picture : all_pictures(frame, coloured)) {
    std::string stripped;
    bool inside = false, any = false;
    for (const std::string& line : rendered(picture, coloured)) {
      for (const char c : line) {
        if (c == '\x1B') inside = any = true;
        if (!inside) stripped += c;
        if (c == 'm') inside = false;
      }
      stripped += "\n";
    }
    EXPECT_TRUE(any);
    EXPECT_EQ(stripped, text_of(picture));
  }
}

// Every keycap stands, seen from the middle, in the direction of its key on the keypad.
TEST(AskingPicture, HasTheKeycapsWhereTheKeysLie) {
  const std::map<std::string, Spot> direction{{"7", {-1, -1}}, {"8", {-1, 0}}, {"9", {-1, 1}}, {"4", {0, -1}},
                                              {"6", {0, 1}},   {"1", {1, -1}}, {"2", {1, 0}},  {"3", {1, 1}}};
  const auto sign = [](int value) { return (value > 0) - (value < 0); };
  for (const craft::Frame& frame : craft::frames()) {
    if (frame.name == "octo-x") continue;  // its arms lie between two keys
    for (const NoseSide nose : {NoseSide::away, NoseSide::toward}) {
      const ArmKeys keys(frame, nose, capitals);
      const Picture picture = asking_picture(frame, keys, style_of(false, 80));
      const Spot hub = hub_of(picture, nose);
      ASSERT_GT(hub.row, 0) << text_of(picture);
      for (const ArmKeys::Cap& cap : keys.caps()) {
        const Spot spot = spot_of(picture, "[" + cap.digit + "] [" + cap.letter + "]");
        ASSERT_GE(spot.row, 0) << text_of(picture);
        EXPECT_EQ(sign(spot.row - hub.row), direction.at(cap.digit).row) << text_of(picture);
        EXPECT_EQ(sign(spot.column - hub.column), direction.at(cap.digit).column) << text_of(picture);
      }
    }
  }
}

TEST(AskingPicture, TurnsAllOfItWithTheNose) {
  for (const craft::Frame& frame : craft::frames()) {
    const Picture away = asking_picture(frame, ArmKeys(frame, NoseSide::away), style_of(false, 80));
    const Picture toward = asking_picture(frame, ArmKeys(frame, NoseSide::toward), style_of(false, 80));
    EXPECT_EQ(spot_of(away, "nose").row, 0) << text_of(away);
    EXPECT_GT(spot_of(toward, "nose").row, 5) << text_of(toward);
    for (const craft::Place& place : frame.places) {
      const int up = spot_of(away, place.arm).row - hub_of(away, NoseSide::away).row;
      const int down = spot_of(toward, place.arm).row - hub_of(toward, NoseSide::toward).row;
      if (place.x > 0.3) {
        EXPECT_LT(up, down) << frame.name;
      }
    }
  }
}

// Every arm alike: with pairs, both directions at each.
TEST(AskingPicture, DoesNotGiveTheAnswerAway) {
  for (const craft::Frame& frame : craft::frames()) {
    const ArmKeys keys(frame, NoseSide::away);
    const std::string text = text_of(asking_picture(frame, keys, style_of(false, 80)));
    std::size_t directions = 0;
    for (std::size_t at = text.find("cw"); at != std::string::npos; at = text.find("cw", at + 1))
      ++directions;
    EXPECT_EQ(directions, keys.has_pairs() ? 2 * keys.caps().size() : 0) << text;
    EXPECT_EQ(text.find('>'), std::string::npos) << text;
    EXPECT_EQ(text.find('<'), std::string::npos) << text;
  }
}

TEST(AskingPicture, FillsIn) {
  const craft::Frame& frame = *craft::frame_named("quad-x");
  Spinning spinning;
  spinning.noted[*frame.find("fl")] = {"P2", Turn::cw};
  const std::string text =
      text_of(asking_picture(frame, ArmKeys(frame, NoseSide::away), style_of(true, 80), spinning));
  EXPECT_NE(text.find("✓ P2 ↻"), std::string::npos) << text;
  EXPECT_EQ(text.find(" q "), std::string::npos) << text;
  EXPECT_NE(text.find(" o "), std::string::npos) << text;
}

TEST(AskingPicture, GrowsWithTheRoomAndKeepsWithinIt) {
  for (const craft::Frame& frame : craft::frames()) {
    std::size_t before = 0;
    for (int rows = 4; rows <= 40; ++rows) {
      Style style = style_of(true, 200);
      style.rows = rows;
      const Picture picture = asking_picture(frame, ArmKeys(frame, NoseSide::away), style);
      EXPECT_LE(picture.lines.size(), static_cast<std::size_t>(rows)) << frame.name;
      EXPECT_LE(picture.columns(), 78) << frame.name;
      EXPECT_GE(picture.lines.size() + 2, before) << frame.name << " at " << rows;
      before = picture.lines.size();
    }
    EXPECT_GT(before, 15U) << frame.name;
  }
}

TEST(CraftPicture, HasEveryMotorOnceAndMarksTheWrongTurn) {
  for (const craft::Frame& frame : craft::frames()) {
    CraftView view = view_of(frame, "now");
    const std::string right = text_of(craft_picture(view, style_of(false, 80)));
    EXPECT_EQ(right.find('!'), std::string::npos) << right;
    for (int motor = 1; motor <= frame.size(); ++motor) {
      EXPECT_EQ(std::count(right.begin(), right.end(), static_cast<char>('0' + motor)), 1) << right;
    }
    view.at[1].turn = craft::opposite(*view.at[1].wanted);
    const std::string wrong = text_of(craft_picture(view, style_of(false, 80)));
    EXPECT_EQ(std::count(wrong.begin(), wrong.end(), '!'), 1) << wrong;
  }
}

TEST(CraftPictures, MarkWhatChanges) {
  const craft::Frame& frame = *craft::frame_named("quad-x");
  std::vector<CraftView> views{view_of(frame, "now"), view_of(frame, "after")};
  views[0].at[2].turn = craft::opposite(*views[0].at[2].turn);
  std::swap(views[1].at[0].pin, views[1].at[1].pin);
  const std::string text = text_of(craft_pictures(views, style_of(false, 80)));
  EXPECT_EQ(std::count(text.begin(), text.end(), '*'), 3) << text;
  EXPECT_EQ(std::count(text.begin(), text.end(), '!'), 3)
      << text << "each that changes is marked as it is now, too";
}

// Clockwise goes to the right over the top, and an arc runs on the way it points.
TEST(Arcs, PointAndRunTheWayThatTheyTurn) {
  const Glyphs& glyphs = glyphs_of(style_of(false, 80));
  const std::vector<std::vector<Span>> inside{{{"   ", Ink::plain}}};
  const auto drawn = [&](std::optional<Turn> turn, int step) {
    return text_of(Picture{ringed(inside, 5, {turn, step, Ink::plain}, glyphs)});
  };
  EXPECT_EQ(drawn(std::nullopt, 0), ".---.\n|   |\n'---'\n");
  EXPECT_EQ(drawn(Turn::cw, 0), "...>.\n.   |\n'---'\n") << "the trail is behind the head";
  EXPECT_EQ(drawn(Turn::ccw, 0), ".<...\n|   .\n'---'\n");
  EXPECT_EQ(drawn(Turn::cw, 1).substr(0, 5), "....v");
  EXPECT_EQ(drawn(Turn::ccw, 1).substr(0, 5), "v....");
  EXPECT_EQ(drawn(Turn::cw, 12), drawn(Turn::cw, 0));
}

TEST(CraftPicture, ShowsWhatIsNotKnownYet) {
  const craft::Frame& frame = *craft::frame_named("x8");
  CraftView view;
  view.frame = &frame;
  view.title = "so far";
  view.at[0] = {craft::Motor{0}, {}, std::nullopt, std::nullopt};
  const std::string text = text_of(craft_picture(view, style_of(false, 80)));
  EXPECT_EQ(std::count(text.begin(), text.end(), '?'), 8) << text;
  EXPECT_TRUE(craft_picture(CraftView{}, style_of(false, 80)).empty());
}

TEST(CraftPictures, StandSideBySideAtEightyColumnsAndUnderEachOtherAtForty) {
  const craft::Frame& frame = *craft::frame_named("hex-x");
  const std::vector<CraftView> views{view_of(frame, "as it is now"), view_of(frame, "as it will be")};
  const Picture wide = craft_pictures(views, style_of(false, 80));
  EXPECT_EQ(spot_of(wide, "as it is now").row, spot_of(wide, "as it will be").row) << text_of(wide);
  const Picture narrow = craft_pictures(views, style_of(false, 50));
  EXPECT_LT(spot_of(narrow, "as it is now").row, spot_of(narrow, "as it will be").row) << text_of(narrow);
  EXPECT_FALSE(narrow.empty());
}

TEST(CraftPictures, KeepEscapeCodesOfATitleOut) {
  CraftView view = view_of(*craft::frame_named("quad-x"), "now\x1B[2J\x07");
  const std::string text = text_of(craft_picture(view, style_of(false, 80)));
  EXPECT_EQ(text.find('\x1B'), std::string::npos);
  view.at[0].pin.name = "P\x1B]0;x\x07";
  for (const std::string& sentence : in_sentences(view)) EXPECT_EQ(sentence.find('\x1B'), std::string::npos);
}

TEST(AskingPicture, MarksOnlyWhatMoves) {
  const craft::Frame& frame = *craft::frame_named("quad-x");
  const ArmKeys keys(frame, NoseSide::away);
  const std::string still = text_of(asking_picture(frame, keys, style_of(false, 80)));
  for (craft::PlaceIndex place = 0; place < frame.places.size(); ++place) {
    const Picture picture = asking_picture(frame, keys, style_of(false, 80), {{}, {{place, Turn::ccw}}, 0});
    EXPECT_NE(text_of(picture), still);
    const Spot head = spot_of(picture, "<"), hub = hub_of(picture, NoseSide::away);
    ASSERT_GE(head.row, 0) << text_of(picture);
    EXPECT_EQ(head.column > hub.column, frame.places[place].y > 0) << text_of(picture);
    EXPECT_EQ(head.row<hub.row, frame.places[place].x> 0) << text_of(picture);
  }
}

// As on a bench: whoever looks from the side sees the nose low; left and right as from behind.
TEST(PosePicture, DrawsEachPoseOfTheCraft) {
  for (const char* pose :
       {"level", "nose-down", "nose-up", "right-side-down", "left-side-down", "upside-down"})
    EXPECT_FALSE(pose_picture(pose, style_of(false, 60)).empty()) << pose;
  EXPECT_TRUE(pose_picture("board-1", style_of(false, 60)).empty());
  const Picture down = pose_picture("nose-down", style_of(false, 60));
  EXPECT_GT(spot_of(down, "nose").row, spot_of(down, "tail").row);
  const Picture right = pose_picture("right-side-down", style_of(false, 60));
  EXPECT_GT(spot_of(right, "right").row, spot_of(right, "left").row);
  EXPECT_GT(spot_of(right, "right").column, spot_of(right, "left").column);
}

TEST(AskingPicture, SaysWhichOfTheTwoOnACoaxialArmMoves) {
  const craft::Frame& frame = *craft::frame_named("y6");
  const ArmKeys keys(frame, NoseSide::away);
  const auto drawn = [&](const std::vector<std::string>& places) {
    Spinning spinning;
    for (const std::string& place : places) spinning.moving.push_back({*frame.find(place), Turn::cw});
    return text_of(asking_picture(frame, keys, style_of(false, 80), spinning, Caps::shown));
  };
  EXPECT_EQ(drawn({}).find("upper"), std::string::npos);
  EXPECT_NE(drawn({"front-right-upper"}).find("upper"), std::string::npos);
  EXPECT_NE(drawn({"rear-lower"}).find("lower"), std::string::npos);
  EXPECT_NE(drawn({"rear-lower", "rear-upper"}).find("both"), std::string::npos);
}

TEST(TurnPicture, HasCounterClockwiseAtTheLeft) {
  const Picture picture = turn_picture(style_of(false, 80));
  EXPECT_LT(spot_of(picture, "counter-clockwise").column, spot_of(picture, "right arrow").column);
  EXPECT_LT(spot_of(picture, "<").column, spot_of(picture, ">").column);
}

TEST(Sentences, SayEveryPlaceAndWhatIsWrong) {
  const craft::Frame& frame = *craft::frame_named("y6");
  CraftView view = view_of(frame, "as it is now");
  view.at[2].turn = craft::opposite(*view.at[2].wanted);
  view.at.erase(5);
  const std::vector<std::string> sentences = in_sentences(view);
  ASSERT_EQ(sentences.size(), frame.places.size() + 1);
  EXPECT_EQ(sentences[0], "The y6 as it is now:");
  EXPECT_EQ(sentences[1], "front-right-upper: motor 1 on pin PA, turning counter-clockwise.");
  EXPECT_EQ(sentences[3],
            "rear-upper: motor 3 on pin PC, turning counter-clockwise, but it should turn clockwise.");
  EXPECT_NE(sentences[6].find("not known"), std::string::npos);
  const Moving moving{0, Turn::cw};
  EXPECT_EQ(in_sentences(frame, std::span(&moving, 1))[0],
            "The upper motor at front-right turns clockwise, seen from above.");
  EXPECT_EQ(in_sentences(frame, std::span<const Moving>{})[0], "Nothing moves.");
}

}  // namespace
}  // namespace armwise::ui::picture_test
