// Pointing at a part of what a console said.
#include "../../src/ui/pointer.hpp"

#include <gtest/gtest.h>

#include <set>
#include <string>
#include <vector>

namespace armwise::ui::pointer_test {
namespace {

using session::Choice;
using session::PlaceInText;
using session::Question;

Question asked_of(std::vector<std::string> shown, std::vector<PlaceInText> places) {
  Question question;
  question.kind = Question::Kind::choose;
  question.shown = std::move(shown);
  for (const PlaceInText& place : places) {
    const std::string words = question.shown[place.line].substr(place.begin, place.end - place.begin);
    question.choices.push_back({std::to_string(question.choices.size() + 1), words, {}, place});
  }
  question.choices.push_back({"none", "it does not stand there", "n"});
  return question;
}

// "m/3/P4 on": a word with three parts, and another word.
Question nested() {
  return asked_of({"m/3/P4 on"}, {{0, 0, 6}, {0, 0, 1}, {0, 2, 3}, {0, 4, 6}, {0, 7, 9}});
}

Style room(int count, int columns = 80) {
  Style style;
  style.rows = count;
  style.columns = columns;
  return style;
}

// Without blanks at the end.
std::string text_shown(const Picture& picture, bool only_marked = false) {
  std::string text;
  for (const Line& line : picture.lines) {
    for (const Span& span : line) {
      if (!only_marked || span.ink == Ink::keycap) text += span.text;
    }
    text.erase(text.find_last_not_of(' ') + 1);
    if (!only_marked) text += "\n";
  }
  return text;
}

std::string walked(Pointer& pointer, const std::vector<Key::Kind>& arrows) {
  for (const Key::Kind arrow : arrows) pointer.move(arrow);
  return pointer.choice().words;
}

constexpr auto left = Key::Kind::left, right = Key::Kind::right, up = Key::Kind::up, down = Key::Kind::down;

TEST(Pointer, KnowsAQuestionThatIsPointedAt) {
  EXPECT_TRUE(is_pointed_at(nested()));
  Question without = nested();
  without.choices[1].where.reset();
  EXPECT_FALSE(is_pointed_at(without));
  EXPECT_FALSE(is_pointed_at(asked_of({"text"}, {})));
  Question outside = nested();
  outside.choices[0].where->line = 1;
  EXPECT_FALSE(is_pointed_at(outside));
}

TEST(Pointer, GoesFromWordToWordAndIntoAWordAndOutAgain) {
  const Question question = nested();
  Pointer pointer(question);
  EXPECT_EQ(pointer.choice().words, "m/3/P4");
  EXPECT_EQ(walked(pointer, {right}), "on");
  EXPECT_FALSE(pointer.move(right));
  EXPECT_EQ(walked(pointer, {left}), "m/3/P4");
  EXPECT_FALSE(pointer.move(left));
  EXPECT_EQ(walked(pointer, {down}), "m");
  EXPECT_FALSE(pointer.move(down));
  EXPECT_EQ(walked(pointer, {right, right}), "P4");
  EXPECT_EQ(walked(pointer, {right}), "on");
  EXPECT_EQ(walked(pointer, {left, down, right, up}), "m/3/P4");
}

TEST(Pointer, GoesIntoALineThatIsOneWord) {
  const Question question = asked_of({"{a:b}"}, {{0, 0, 5}, {0, 1, 2}, {0, 3, 4}});
  Pointer pointer(question);
  EXPECT_EQ(walked(pointer, {right}), "a");
  EXPECT_EQ(walked(pointer, {right}), "b");
  EXPECT_FALSE(pointer.move(right));
  EXPECT_EQ(walked(pointer, {left, left}), "{a:b}");
}

TEST(Pointer, ReachesEveryPlaceByArrows) {
  const Question question =
      asked_of({"a,b c", "", "long/er x"},
               {{0, 0, 3}, {0, 0, 1}, {0, 2, 3}, {0, 4, 5}, {2, 0, 7}, {2, 0, 4}, {2, 5, 7}, {2, 8, 9}});
  std::set<std::string> seen;
  std::vector<std::vector<Key::Kind>> ways{{}};
  for (std::size_t i = 0; i < ways.size() && ways[i].size() < 6; ++i) {
    for (const Key::Kind arrow : {left, right, up, down}) {
      Pointer pointer(question);
      auto way = ways[i];
      way.push_back(arrow);
      walked(pointer, way);
      if (seen.insert(pointer.choice().key).second) ways.push_back(way);
    }
  }
  EXPECT_EQ(seen.size(), 8U);
}

TEST(Pointer, GoesFromLineToLine) {
  const Question question = asked_of({"motor 1", "motor 2", "motor 3"}, {{0, 0, 7}, {1, 0, 7}, {2, 0, 7}});
  Pointer pointer(question);
  EXPECT_EQ(walked(pointer, {down, down}), "motor 3");
  EXPECT_FALSE(pointer.move(down));
  EXPECT_EQ(walked(pointer, {up}), "motor 2");
}

TEST(Pointer, MarksWhatIsMeantAndLosesNothingOfTheText) {
  const Question question = nested();
  Pointer pointer(question);
  walked(pointer, {down, right});
  EXPECT_EQ(text_shown(pointer.drawn(room(5)), true), "3");
  EXPECT_EQ(text_shown(pointer.drawn(room(5))), "> m/3/P4 on\n");
}

TEST(Pointer, ShowsTheLinesAroundIt) {
  std::vector<std::string> lines;
  std::vector<PlaceInText> places;
  for (std::size_t i = 0; i < 60; ++i) {
    lines.push_back("line " + std::to_string(i));
    places.push_back({i, 0, lines.back().size()});
  }
  Question question = asked_of(lines, places);
  question.marked = "31";
  const Pointer pointer(question);
  const auto drawn = pointer.drawn(room(9));
  EXPECT_EQ(drawn.lines.size(), 9U);
  EXPECT_EQ(text_shown(drawn).substr(0, 9), "  line 26");
  EXPECT_EQ(text_shown(drawn, true), "line 30");
}

TEST(Pointer, BreaksALongLineAndShowsTheRowsAroundWhatIsMeant) {
  std::string line;
  std::vector<PlaceInText> places;
  for (int i = 0; i < 200; ++i) {
    places.push_back({0, line.size(), line.size() + 4});
    line += std::to_string(1000 + i) + " ";
  }
  Question question = asked_of({line}, places);
  question.marked = "150";
  const Pointer pointer(question);
  const auto drawn = pointer.drawn(room(6, 40));
  EXPECT_EQ(drawn.lines.size(), 6U);
  EXPECT_EQ(text_shown(drawn, true), "1149");
  for (const Line& row : drawn.lines) {
    int columns = 0;
    for (const Span& span : row) columns += columns_of(span.text);
    EXPECT_LE(columns, 40);
  }
  // A part that is broken itself is marked on both rows.
  Question wide = asked_of({std::string(70, 'x')}, {{0, 0, 70}});
  EXPECT_EQ(text_shown(Pointer(wide).drawn(room(6, 40)), true), std::string(70, 'x'));
}

TEST(Pointer, MakesAStrangersBytesSafe) {
  const Question question = asked_of({"a \x1b[31m b"}, {{0, 0, 1}, {0, 8, 9}});
  Pointer pointer(question);
  EXPECT_EQ(walked(pointer, {right}), "b");
  EXPECT_EQ(text_shown(pointer.drawn(room(3))).find('\x1b'), std::string::npos);
  EXPECT_EQ(text_shown(pointer.drawn(room(3)), true), "b");
}

}  // namespace
}  // namespace armwise::ui::pointer_test
