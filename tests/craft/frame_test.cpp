#include "armwise/craft/frame.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <fstream>
#include <map>
#include <nlohmann/json.hpp>
#include <numbers>
#include <set>
#include <stdexcept>

namespace armwise::craft::frame_test {
namespace {

constexpr double tolerance = 1e-12;

double sign(Turn turn) {
  return turn == Turn::cw ? 1 : -1;
}

// Degrees clockwise from the nose, 0 to 360.
double azimuth(const Place& place) {
  const double degrees = std::atan2(place.y, place.x) * 180 / std::numbers::pi;
  return degrees < -1e-9 ? degrees + 360 : degrees;
}

bool nose_on_an_arm(const Frame& frame) {
  return frame.places.front().y == 0;
}

const Place* mirrored(const Frame& frame, const Place& place) {
  for (const Place& other : frame.places) {
    if (std::abs(other.x - place.x) < tolerance && std::abs(other.y + place.y) < tolerance &&
        other.level == place.level) {
      return &other;
    }
  }
  return nullptr;
}

const Frame& frame(std::string_view name) {
  const Frame* found = frame_named(name);
  if (found == nullptr) throw std::runtime_error("no frame " + std::string(name));
  return *found;
}

nlohmann::json allocation() {
  std::ifstream file(ARMWISE_FIXTURES "/check-values.json");
  return nlohmann::json::parse(file).at("control_allocation");
}

class EveryFrame : public testing::TestWithParam<std::string> {
 protected:
  const Frame& frame_ = frame(GetParam());
};

TEST_P(EveryFrame, IsBalancedByDefinition) {
  double x = 0, y = 0, turns = 0, turning_x = 0, turning_y = 0, farthest = 0;
  for (const Place& place : frame_.places) {
    const double turn = sign(place.turn_props_in);
    x += place.x;
    y += place.y;
    turns += turn;
    turning_x += turn * place.x;
    turning_y += turn * place.y;
    farthest = std::max(farthest, std::hypot(place.x, place.y));
  }
  EXPECT_NEAR(x, 0, tolerance) << "equal thrust pitches the craft";
  EXPECT_NEAR(y, 0, tolerance) << "equal thrust rolls the craft";
  EXPECT_EQ(turns, 0) << "equal thrust yaws the craft";
  EXPECT_NEAR(turning_x, 0, tolerance) << "pitching yaws the craft";
  EXPECT_NEAR(turning_y, 0, tolerance) << "rolling yaws the craft";
  EXPECT_NEAR(farthest, 1, tolerance);
}

TEST_P(EveryFrame, IsTheSameOnBothSides) {
  for (const Place& place : frame_.places) {
    const Place* other = mirrored(frame_, place);
    ASSERT_NE(other, nullptr) << place.name << " has no counterpart";
    if (other == &place) {
      EXPECT_EQ(place.y, 0) << place.name;
    } else if (nose_on_an_arm(frame_)) {
      // Turns alternate all the way round from the nose, so counterparts turn alike.
      EXPECT_EQ(other->turn_props_in, place.turn_props_in) << place.name;
    } else {
      EXPECT_EQ(other->turn_props_in, opposite(place.turn_props_in)) << place.name;
    }
  }
}

TEST_P(EveryFrame, ListsItsPlacesClockwiseFromTheNose) {
  for (std::size_t i = 1; i < frame_.places.size(); ++i) {
    const Place& before = frame_.places[i - 1];
    const Place& place = frame_.places[i];
    if (before.arm == place.arm) {
      EXPECT_EQ(before.level, Level::upper);
      EXPECT_EQ(place.level, Level::lower);
      EXPECT_EQ(place.turn_props_in, opposite(before.turn_props_in));
    } else {
      EXPECT_LT(azimuth(before) + 1, azimuth(place)) << place.name;
    }
  }
}

TEST_P(EveryFrame, NamesEachPlaceOnceAndFindsItByEitherName) {
  std::set<std::string> names;
  for (PlaceIndex i = 0; i < frame_.places.size(); ++i) {
    const Place& place = frame_.places[i];
    EXPECT_TRUE(names.insert(place.name).second) << place.name;
    EXPECT_TRUE(names.insert(place.initials).second) << place.initials;
    EXPECT_EQ(frame_.find(place.name), i);
    EXPECT_EQ(frame_.find(place.initials), i);
    EXPECT_EQ(place.name.starts_with(place.arm), true);
  }
  for (const char* text : {"", "r", "f ront", "none", "several", "again", "back", "stop", "middle"}) {
    EXPECT_FALSE(frame_.find(text)) << text;
  }
}

// The words of a name are checked against the position that they claim.
TEST_P(EveryFrame, NamesAPlaceAfterWhereItLies) {
  for (const Place& place : frame_.places) {
    const auto says = [&](std::string_view word) { return place.name.find(word) != std::string::npos; };
    EXPECT_EQ(says("front"), place.x > tolerance) << place.name;
    EXPECT_EQ(says("rear"), place.x < -tolerance) << place.name;
    EXPECT_EQ(says("right"), place.y > tolerance) << place.name;
    EXPECT_EQ(says("left"), place.y < -tolerance) << place.name;
    EXPECT_EQ(says("upper"), place.level == Level::upper) << place.name;
    EXPECT_EQ(says("lower"), place.level == Level::lower) << place.name;
  }
}

TEST_P(EveryFrame, TurnsTheOtherWayForPropsOut) {
  for (PlaceIndex i = 0; i < frame_.places.size(); ++i) {
    EXPECT_EQ(frame_.wanted(i, PropScheme::in), frame_.places[i].turn_props_in);
    EXPECT_EQ(frame_.wanted(i, PropScheme::out), opposite(frame_.places[i].turn_props_in));
  }
}

// Common practice, no source: with props in, the front-left motor turns clockwise and the front-right one
// counter-clockwise. Where an arm lies on the nose, a convention of this tool: see frame.hpp.
TEST_P(EveryFrame, TurnsTheFrontInwardForPropsIn) {
  if (nose_on_an_arm(frame_)) {
    EXPECT_EQ(frame_.places[1].turn_props_in, Turn::ccw);
  } else {
    EXPECT_EQ(frame_.places.front().turn_props_in, Turn::ccw);
    EXPECT_GT(frame_.places.front().y, 0);
    const Place* left = mirrored(frame_, frame_.places.front());
    ASSERT_NE(left, nullptr);
    EXPECT_EQ(left->turn_props_in, Turn::cw);
  }
}

std::vector<std::string> all_names() {
  std::vector<std::string> names;
  for (const Frame& each : frames()) names.push_back(each.name);
  return names;
}

INSTANTIATE_TEST_SUITE_P(Frames, EveryFrame, testing::ValuesIn(all_names()), [](const auto& parameter) {
  std::string name = parameter.param;
  std::replace(name.begin(), name.end(), '-', '_');
  return name;
});

TEST(Frames, AreTheNine) {
  const std::map<std::string, int> sizes{{"quad-x", 4},    {"quad-plus", 4}, {"quad-wide", 4},
                                         {"hex-x", 6},     {"hex-plus", 6},  {"octo-x", 8},
                                         {"octo-plus", 8}, {"y6", 6},        {"x8", 8}};
  ASSERT_EQ(frames().size(), sizes.size());
  for (const auto& [name, size] : sizes) {
    EXPECT_EQ(frame(name).size(), size) << name;
    EXPECT_FALSE(frame(name).description.empty());
  }
  EXPECT_EQ(frame_named(" Quad-X "), frame_named("quad-x"));
  EXPECT_EQ(frame_named("quad"), nullptr);
  EXPECT_EQ(frame_named(""), nullptr);
}

TEST(Frames, HaveArmsOff45DegreesWhereWide) {
  for (const Place& place : frame("quad-wide").places) EXPECT_GT(std::abs(place.y), std::abs(place.x) + 0.1);
}

TEST(Frames, FindNoPlaceByTheNameOfACoaxialArm) {
  EXPECT_FALSE(frame("x8").find("front-left"));
  EXPECT_FALSE(frame("x8").find("fl"));
  EXPECT_EQ(frame("x8").find("FLU"), frame("x8").find("front-left-upper"));
}

// Source: fixtures/check-values.json, control_allocation: azimuths, and rows roll = -y, pitch = x, yaw = the
// reaction to the turn, computed with numpy (counter-clockwise turns the nose right, so its row is +1; the
// choice of scheme is free, hence up to one sign for the frame).
TEST(Frames, AgreeWithTheReferenceAllocation) {
  const nlohmann::json reference = allocation();
  const std::map<std::string, std::string> names{{"quad-x", "quad_x"}, {"quad-plus", "quad_plus"},
                                                 {"hex-x", "hex_x"},   {"hex-plus", "hex_plus"},
                                                 {"octo-x", "octo_x"}, {"octo-plus", "octo_plus"}};
  for (const auto& [name, key] : names) {
    SCOPED_TRACE(name);
    const auto angles = reference.at("azimuth").at(key).get<std::vector<double>>();
    const auto rows = reference.at("matrices").at(key).get<std::vector<std::vector<double>>>();
    const auto& places = frame(name).places;
    ASSERT_EQ(places.size(), angles.size());
    const double scheme = rows[2][0] * -sign(places[0].turn_props_in);
    for (std::size_t i = 0; i < places.size(); ++i) {
      EXPECT_NEAR(azimuth(places[i]), angles[i], 1e-9) << places[i].name;
      EXPECT_NEAR(-places[i].y, rows[0][i], 1e-11) << places[i].name;
      EXPECT_NEAR(places[i].x, rows[1][i], 1e-11) << places[i].name;
      EXPECT_EQ(-sign(places[i].turn_props_in) * scheme, rows[2][i]) << places[i].name;
    }
  }
}

TEST(Frames, SayWhatPropsInMeansWhereCustomDoesNot) {
  EXPECT_EQ(in_words(frame("quad-x"), PropScheme::in), "props in");
  EXPECT_EQ(in_words(frame("hex-x"), PropScheme::out), "props out");
  EXPECT_EQ(in_words(frame("quad-plus"), PropScheme::in), "props in (here: front clockwise)");
  EXPECT_EQ(in_words(frame("octo-plus"), PropScheme::out), "props out (here: front counter-clockwise)");
  EXPECT_EQ(in_words(frame("y6"), PropScheme::in), "props in (here: rear-upper clockwise)");
}

TEST(Numbering, TellsThePlaceOfEachMotor) {
  const Numbering numbering{{2, 0, 1}};
  EXPECT_EQ(numbering.place_of(Motor{1}), 2U);
  EXPECT_EQ(numbering.place_of(Motor{3}), 1U);
  EXPECT_THROW(static_cast<void>(numbering.place_of(Motor{4})), std::out_of_range);
}

}  // namespace
}  // namespace armwise::craft::frame_test
