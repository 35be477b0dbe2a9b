#include "armwise/sheet/picture.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <regex>

#include "armwise/record/files.hpp"
#include "sheet/sample_records.hpp"

namespace armwise::sheet::picture_test {
namespace {

struct Circle {
  double x, y, r;
};

std::vector<Circle> circles(const std::string& picture) {
  const std::regex shape("<circle cx=\"([^\"]+)\" cy=\"([^\"]+)\" r=\"([^\"]+)\"");
  std::vector<Circle> all;
  for (std::sregex_iterator it(picture.begin(), picture.end(), shape), end; it != end; ++it)
    all.push_back({std::stod((*it)[1]), std::stod((*it)[2]), std::stod((*it)[3])});
  return all;
}

struct Box {
  double left, top, right, bottom;
  std::string words;
  bool touches(const Box& other) const {
    return left < other.right && other.left < right && top < other.bottom && other.top < bottom;
  }
};

// A line of words, at the width that sans-serif letters have on average (half their size).
std::vector<Box> words(const std::string& picture) {
  const std::regex shape(
      "<text x=\"([^\"]+)\" y=\"([^\"]+)\" text-anchor=\"([a-z]+)\" font-size=\"([^\"]+)\"[^>]*>([^<]*)<");
  std::vector<Box> all;
  for (std::sregex_iterator it(picture.begin(), picture.end(), shape), end; it != end; ++it) {
    const std::smatch& match = *it;
    const double size = std::stod(match[4]);
    const double width = 0.5 * size * static_cast<double>(match[5].length());
    const double x = std::stod(match[1]);
    const double left = match[3] == "start" ? x : match[3] == "end" ? x - width : x - width / 2;
    const double base = std::stod(match[2]);
    all.push_back({left, base - 0.7 * size, left + width, base + 0.1 * size, match[5]});
  }
  return all;
}

class EveryFrame : public ::testing::TestWithParam<std::string> {};

TEST_P(EveryFrame, HasADiscForEachPlaceAndNoTwoTouch) {
  for (const Side side : {Side::before, Side::after}) {
    const std::string picture = svg(sample(GetParam()), side);
    const std::vector<Circle> all = circles(picture);
    ASSERT_EQ(all.size(), craft::frame_named(GetParam())->places.size());
    for (std::size_t i = 0; i < all.size(); ++i) {
      for (std::size_t j = i + 1; j < all.size(); ++j)
        EXPECT_GT(std::hypot(all[i].x - all[j].x, all[i].y - all[j].y), all[i].r + all[j].r);
    }
  }
}

TEST_P(EveryFrame, NoWordsLieOnOthers) {
  const std::vector<Box> all = words(svg(sample(GetParam()), Side::before));
  EXPECT_GT(all.size(), 12U);
  for (std::size_t i = 0; i < all.size(); ++i) {
    for (std::size_t j = i + 1; j < all.size(); ++j)
      EXPECT_FALSE(all[i].touches(all[j])) << all[i].words << " and " << all[j].words;
  }
}

// Nose up, right side right, as the frame's own coordinates say.
TEST_P(EveryFrame, LiesAsSeenFromAbove) {
  const craft::Frame& frame = *craft::frame_named(GetParam());
  const std::vector<Circle> all = circles(svg(sample(GetParam()), Side::after));
  for (std::size_t i = 0; i < all.size(); ++i) {
    const craft::Place& place = frame.places[i];
    EXPECT_NEAR(std::atan2(all[i].x, -all[i].y), std::atan2(place.y, place.x), 1e-3) << place.name;
  }
}

INSTANTIATE_TEST_SUITE_P(Frames, EveryFrame,
                         ::testing::Values("quad-x", "quad-plus", "quad-wide", "hex-x", "hex-plus", "octo-x",
                                           "octo-plus", "y6", "x8"));

// Reckoned by hand from fixtures/records/version-1.armwise.json.
TEST(Picture, SaysWhatSitsWhereAndWhatShould) {
  const record::CraftRecord record = record::record_from_json(
      record::read_whole(std::string(ARMWISE_FIXTURES) + "/records/version-1.armwise.json"));
  EXPECT_EQ(in_sentences(record, Side::before),
            (std::vector<std::string>{"front-right: motor 1 on pin P1, counter-clockwise; should be 2.",
                                      "rear-right: motor 3 on pin P3, clockwise.",
                                      "rear-left: motor 4 on pin P4, counter-clockwise.",
                                      "front-left: motor 2 on pin P2, clockwise; should be 1."}));
  EXPECT_EQ(
      in_sentences(record, Side::after),
      (std::vector<std::string>{
          "front-right: motor 2 on pin P1, counter-clockwise.", "rear-right: motor 3 on pin P3, clockwise.",
          "rear-left: motor 4 on pin P4, counter-clockwise.", "front-left: motor 1 on pin P2, clockwise."}));
}

// SVG 1.1, 8.3.8: the sweep flag 1 draws in the direction of positive angles, clockwise on the page.
TEST(Picture, ClockwiseIsDrawnClockwise) {
  record::CraftRecord record = sample("quad-x");
  const auto arcs = [](const std::string& picture, const std::string& flag) {
    const std::regex arc("A[0-9.]+ [0-9.]+ 0 1 " + flag + " ");
    return std::distance(std::sregex_iterator(picture.begin(), picture.end(), arc), std::sregex_iterator());
  };
  for (auto& [pin, wired] : record.wiring) wired = wired.substr(0, wired.find(' ')) + " cw";
  EXPECT_EQ(arcs(svg(record, Side::after), "1"), 4);
  EXPECT_EQ(arcs(svg(record, Side::after), "0"), 0);
  for (auto& [pin, wired] : record.wiring) wired = wired.substr(0, wired.find(' ')) + " ccw";
  EXPECT_EQ(arcs(svg(record, Side::after), "0"), 4);
}

// Nothing is told by colour alone: what is wrong is dashed and says what it should be.
TEST(Picture, WhatIsWrongShowsInGrey) {
  const std::string before = svg(sample("quad-x"), Side::before);
  const std::string after = svg(sample("quad-x"), Side::after);
  EXPECT_NE(before.find("stroke-dasharray"), std::string::npos);
  EXPECT_NE(before.find("should be"), std::string::npos);
  EXPECT_EQ(after.find("stroke-dasharray"), std::string::npos);
  EXPECT_EQ(after.find("should be"), std::string::npos);
}

TEST(Picture, StandsAloneAsAFile) {
  const std::string picture = svg(sample("x8"));
  EXPECT_TRUE(picture.starts_with("<svg xmlns=\"http://www.w3.org/2000/svg\""));
  EXPECT_NE(picture.find("<title"), std::string::npos);
  EXPECT_EQ(circles(picture).size(), 16U);
}

}  // namespace
}  // namespace armwise::sheet::picture_test
