#include "armwise/solve/flight_sense.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <numeric>
#include <random>

#include "armwise/base/fault.hpp"
#include "craft/check_values.hpp"
#include "flying.hpp"

namespace armwise::solve::flight_sense_test {
namespace {

using craft::CraftFromBoard;
using craft::Frame;
using craft::PropScheme;
using craft::ToldFromBoard;
using craft::Turn;
using craft::YawPitchRoll;
using nlohmann::json;
using Verdict = FlightSense::Verdict;
using Kind = AxisSense::Kind;

const json& published() {
  static const json values = craft::fixture("check-values.json").at("control_allocation");
  return values;
}

// Places of our frames stand clockwise from the nose, as the columns of the published matrices do.
TEST(FlightSense, FramesAreThePublishedAllocationMatrices) {
  // Source: check-values.json control_allocation, after Corke's robotics-toolbox uav.py (C1) and the X quad
  // of a University of Colorado homework file (C3).
  for (const auto& [key, rows] : published().at("matrices").items()) {
    std::string frame_name = key;
    std::ranges::replace(frame_name, '_', '-');
    const Frame& frame = *craft::frame_named(frame_name);
    // On the published plus frames the first place is ccw; here that is props out.
    const PropScheme scheme = key.ends_with("plus") ? PropScheme::out : PropScheme::in;
    for (std::size_t i = 0; i < frame.places.size(); ++i) {
      EXPECT_NEAR(-frame.places[i].y, rows[0][i].get<double>(), 1e-11) << key;
      EXPECT_NEAR(frame.places[i].x, rows[1][i].get<double>(), 1e-11) << key;
      EXPECT_EQ(frame.wanted(i, scheme) == Turn::ccw ? 1 : -1, rows[2][i].get<double>()) << key;
    }
  }
}

// The published scenarios, by their names.
ConfiguredCraft scenario(const std::string& name) {
  ConfiguredCraft c = designed(*craft::frame_named("quad-x"));
  const auto sits = [&](std::array<std::size_t, 4> places, bool turns_move = true) {
    for (std::size_t i = 0; i < 4; ++i) {
      c.motors[i] = {places[i], c.frame->wanted(turns_move ? places[i] : i, PropScheme::in)};
    }
  };
  const auto reverse = [&](std::initializer_list<std::size_t> places) {
    for (const std::size_t place : places) {
      for (Wired& motor : c.motors) {
        if (motor.place == place) motor.turn = opposite(motor.turn);
      }
    }
  };
  enum : std::size_t { fr, rr, rl, fl };
  const auto has = [&](std::string_view part) { return name.find(part) != std::string::npos; };
  if (has("front pair")) sits({fl, rr, rl, fr});
  if (has("right pair")) sits({rr, fr, rl, fl});
  if (has("diagonal pair")) sits({rl, rr, fr, fl});
  if (has("both diagonals")) sits({rl, fl, fr, rr});
  if (has("one place clockwise") || has("all 90 cw wiring")) sits({rr, rl, fl, fr});
  if (has("left-right mirror") || has("mirror LR")) sits({fl, rl, rr, fr});
  if (has("front-rear mirror")) sits({rr, fr, fl, rl});
  if (has("all spins reversed") || has("+ spins reversed")) reverse({fr, rr, rl, fl});
  if (has("FR spin reversed")) reverse({fr});
  if (has("FR+RL")) reverse({fr, rl});
  if (has("FR+RR")) reverse({fr, rr});
  if (has("board yaw error ")) c.true_mount = CraftFromBoard(YawPitchRoll{-std::stod(name.substr(16)), 0, 0});
  if (has("upside down undeclared") || has("board roll180"))
    c.true_mount = CraftFromBoard(YawPitchRoll{0, 0, 180});
  // Wired to a board that is turned 90 clockwise and not told.
  if (has("board yaw -90")) c.true_mount = CraftFromBoard(YawPitchRoll{90, 0, 0});
  if (name == "board pitch 45") c.true_mount = CraftFromBoard(YawPitchRoll{0, 45, 0});
  if (name == "board yaw45 pitch45") c.true_mount = CraftFromBoard(YawPitchRoll{45, 45, 0});
  return c;
}

// Source: check-values.json control_allocation scenarios, computed with numpy 1.24.2.
TEST(FlightSense, ThePublishedScenarios) {
  int compared = 0;
  for (const json& entry : published().at("scenarios")) {
    const std::string name = entry.at("case");
    const FlightSense sense = flight_sense(scenario(name));
    for (std::size_t i = 0; i < 3; ++i) {
      EXPECT_NEAR(sense.answer_from_disturbance(i, i), entry.at("diag")[i].get<double>(), 1e-6) << name;
      // Published by rising real part.
      EXPECT_NEAR(sense.eigenvalues[2 - i].real(), entry.at("eig")[i][0].get<double>(), 1e-6) << name;
      EXPECT_NEAR(std::abs(sense.eigenvalues[2 - i].imag()), std::abs(entry.at("eig")[i][1].get<double>()),
                  1e-6)
          << name;
    }
    EXPECT_EQ(sense.verdict != Verdict::will_not_hold, entry.at("right_sense").get<bool>()) << name;
    EXPECT_EQ(sense.verdict == Verdict::as_designed, name == "correct") << name;
    ++compared;
  }
  EXPECT_EQ(compared, 25);
}

struct Counts {
  int total = 0, holds = 0, determinant_positive = 0, all_right = 0, right_but_unstable = 0, as_designed = 0;
};

void count(const ConfiguredCraft& c, Counts& counts) {
  const FlightSense sense = flight_sense(c);
  const bool holds = sense.eigenvalues[2].real() > 1e-6;
  bool diagonal = true;
  for (std::size_t i = 0; i < 3; ++i) diagonal = diagonal && sense.answer_from_disturbance(i, i) > 1e-6;
  ++counts.total;
  counts.holds += holds;
  counts.determinant_positive += sense.gyro_from_asked.determinant() > 1e-6;
  counts.all_right += diagonal;
  counts.right_but_unstable += diagonal && !holds;
  counts.as_designed += sense.verdict == Verdict::as_designed;
  EXPECT_EQ(sense.verdict != Verdict::will_not_hold, holds);
}

// Every wiring of the frame; with every turn of every motor, or with each place turning as designed.
Counts count_all(const Frame& frame, bool any_turns) {
  Counts counts;
  ConfiguredCraft c = designed(frame);
  std::vector<std::size_t> places(frame.places.size());
  std::iota(places.begin(), places.end(), 0U);
  do {
    const unsigned turns = any_turns ? 1U << places.size() : 1U;
    for (unsigned bits = 0; bits < turns; ++bits) {
      for (std::size_t i = 0; i < places.size(); ++i) {
        const Turn wanted = frame.wanted(places[i], PropScheme::in);
        c.motors[i] = {places[i], bits >> i & 1U ? opposite(wanted) : wanted};
      }
      count(c, counts);
    }
  } while (std::ranges::next_permutation(places).found);
  return counts;
}

// Source: check-values.json control_allocation counts, computed with numpy 1.24.2.
TEST(FlightSense, ThePublishedCounts) {
  for (const json& entry : published().at("counts")) {
    std::string frame_name = entry.at("frame");
    const bool any_turns = entry.at("spins") != "as designed";
    std::ranges::replace(frame_name, '_', '-');
    const Counts counts = count_all(*craft::frame_named(frame_name), any_turns);
    EXPECT_EQ(counts.total, entry.at("total")) << entry;
    EXPECT_EQ(counts.holds, entry.at("all_eig_re_pos")) << entry;
    EXPECT_EQ(counts.determinant_positive, entry.at("det_pos")) << entry;
    EXPECT_EQ(counts.all_right, entry.at("all_diag_pos")) << entry;
    EXPECT_EQ(counts.right_but_unstable, entry.at("diag_pos_but_eig_not")) << entry;
    EXPECT_EQ(counts.as_designed, 1) << entry;
  }
}

TEST(FlightSense, EveryFrameIsAsDesignedInBothSchemes) {
  for (const Frame& frame : craft::frames()) {
    for (const PropScheme scheme : {PropScheme::in, PropScheme::out}) {
      const FlightSense sense = flight_sense(designed(frame, scheme));
      EXPECT_EQ(sense.verdict, Verdict::as_designed) << frame.name << ": " << sense.words;
      EXPECT_LT(craft::largest_difference(sense.gyro_from_asked, craft::Matrix3{}), 1e-9);
      EXPECT_TRUE(sense.deviations.empty()) << sense.words;
    }
  }
}

TEST(FlightSense, AMountThatIsToldIsAsDesigned) {
  for (const craft::Mount& mount : craft::mounts()) {
    ConfiguredCraft c = designed(*craft::frame_named("quad-x"));
    c.true_mount = mount.rotation;
    c.set_mount = ToldFromBoard(mount.angles);
    EXPECT_EQ(flight_sense(c).verdict, Verdict::as_designed) << mount.words;
    c.set_mount = ToldFromBoard();
    const bool told = mount.rotation.angle().value < 1;
    EXPECT_EQ(flight_sense(c).verdict == Verdict::as_designed, told) << mount.words;
  }
}

// What the sentences must say; how they say it is for a reader to judge.
bool says(const FlightSense& sense, std::string_view part) {
  return sense.words.find(part) != std::string::npos;
}

TEST(FlightSense, SaysWhichFlipHappens) {
  const auto words = [](const std::string& name) { return flight_sense(scenario(name)); };
  EXPECT_TRUE(says(words("left-right mirror of all"), "If it rolls left, it will roll further left"));
  EXPECT_TRUE(says(words("front-rear mirror of all"), "If the nose drops, it will drop its nose further"));
  EXPECT_TRUE(says(words("all spins reversed"), "If it yaws left, it will yaw further left"));
  EXPECT_TRUE(says(words("FR+RL spins reversed"), "If it yaws left, nothing corrects it"));
  EXPECT_EQ(words("correct").words, "It will stabilise correctly in roll, pitch and yaw.");
}

// With drag as large as the arm, a little yaw beside a full answer in roll would count as the larger of the
// two.
TEST(FlightSense, ALittleYawBesideAFullRollIsNoSwap) {
  const FlightSense sense = flight_sense(scenario("FR+RR spins reversed"));
  EXPECT_EQ(sense.verdict, Verdict::will_not_hold);
  EXPECT_EQ(sense.axes[0].kind, Kind::right) << sense.words;
  EXPECT_EQ(sense.axes[1].kind, Kind::right) << sense.words;
  EXPECT_EQ(sense.axes[2].kind, Kind::dead) << sense.words;
  EXPECT_TRUE(says(sense, "If it yaws left, nothing corrects it")) << sense.words;
  EXPECT_FALSE(says(sense, "tumble")) << sense.words;
}

// Corke's rows (uav.py): drag turns the craft against its motor. One motor of four that turns clockwise
// instead leaves three against one, and the craft yaws left; a change to roll then comes out in yaw with this
// sign.
TEST(FlightSense, TheSignOfDrag) {
  const FlightSense sense = flight_sense(scenario("FR spin reversed"));
  EXPECT_LT(sense.unbalanced_turns, 0);
  // Rolling left (-1) calls for thrust on the left: of the two motors there front-left turns clockwise, as it
  // should, and rear-left counter-clockwise, so they cancel; on the right both now turn clockwise and slow
  // down, which leaves yaw to the right.
  EXPECT_NEAR(sense.answer_from_disturbance(2, 0), 0.5 * drag_of_arm / std::sqrt(0.5), 1e-9);
}

TEST(FlightSense, OneReversedMotorLeavesNothingToSteerWith) {
  const FlightSense sense = flight_sense(scenario("FR spin reversed"));
  EXPECT_EQ(sense.verdict, Verdict::unsteady);
  EXPECT_NEAR(sense.unbalanced_turns, -0.5, 1e-12);
  // By hand: the pair with both turns takes double thrust, the other none.
  EXPECT_NEAR(sense.least_thrust, 0, 1e-9);
  EXPECT_TRUE(says(sense, "keeps yawing left")) << sense.words;
  EXPECT_TRUE(says(sense, "In yaw it corrects with only 50 %")) << sense.words;
  EXPECT_TRUE(says(sense, "The motor on front-right turns the wrong way.")) << sense.words;
}

// Of the 384 wirings of a quad thirteen pass the feedback rule, and one of them flies (tests/solve/
// confusion_test.cpp flies them all).
TEST(FlightSense, OnlyTheDesignedWiringOfAQuadFlies) {
  ConfiguredCraft c = designed(*craft::frame_named("quad-x"));
  std::vector<std::size_t> places{0, 1, 2, 3};
  std::map<Verdict, int> counts;
  do {
    for (unsigned turns = 0; turns < 16; ++turns) {
      for (std::size_t i = 0; i < 4; ++i) c.motors[i] = {places[i], turns >> i & 1U ? Turn::cw : Turn::ccw};
      ++counts[flight_sense(c).verdict];
    }
  } while (std::ranges::next_permutation(places).found);
  EXPECT_EQ(counts[Verdict::as_designed], 1);
  EXPECT_EQ(counts[Verdict::holds_but_not_as_designed], 0);
  EXPECT_EQ(counts[Verdict::unsteady], 12);
  EXPECT_EQ(counts[Verdict::will_not_hold], 371);
}

TEST(FlightSense, AMountThatIsOffGivesPhaseMarginAway) {
  const FlightSense sense = flight_sense(scenario("board yaw error 30"));
  EXPECT_EQ(sense.verdict, Verdict::holds_but_not_as_designed);
  EXPECT_NEAR(sense.phase_lost.value, 30, 1e-9);
  EXPECT_FALSE(says(sense, "flip")) << sense.words;
  const FlightSense more = flight_sense(scenario("board yaw error 45"));
  EXPECT_EQ(more.verdict, Verdict::unsteady);
  EXPECT_TRUE(more.words.starts_with("It would swing itself up and flip.")) << more.words;
  EXPECT_FALSE(says(more, "should fly")) << more.words;
  EXPECT_EQ(flight_sense(scenario("board yaw error 4")).verdict, Verdict::as_designed);
}

// By hand: g tan(2) 2 s^2 / 2 = 0.685 m with g = 9.80665; mathematics of a slope, no drag.
TEST(FlightSense, LeaningIsToldAsDrift) {
  EXPECT_NEAR(drift(craft::Degrees{2}), 0.685, 0.001);
  EXPECT_NEAR(drift(craft::Degrees{20}), 7.139, 0.001);
  const FlightSense sense = flight_sense(scenario("board pitch 45"));
  EXPECT_NEAR(sense.leaning.value, 45, 1e-9);
  EXPECT_TRUE(says(sense, "leaning by 45 degrees")) << sense.words;
  ConfiguredCraft c = designed(*craft::frame_named("quad-x"));
  c.true_mount = CraftFromBoard(YawPitchRoll{0, 0, 4.9});
  const FlightSense little = flight_sense(c);
  EXPECT_EQ(little.verdict, Verdict::as_designed);
  EXPECT_TRUE(says(little, "drifts 1.7 m in two seconds")) << little.words;
}

// Wired front to rear on a board that is upside down and not told: each rate is answered the right way, and
// still the controller takes down for up.
TEST(FlightSense, ThrustTheWrongWayIsAFlipThoughTheRatesAreRight) {
  ConfiguredCraft c = scenario("front-rear mirror of all");
  c.true_mount = CraftFromBoard(YawPitchRoll{0, 0, 180});
  const FlightSense sense = flight_sense(c);
  EXPECT_LT(craft::largest_difference(sense.gyro_from_asked, craft::Matrix3{}), 1e-9);
  EXPECT_EQ(sense.verdict, Verdict::will_not_hold);
  EXPECT_TRUE(says(sense, "thinks down is up")) << sense.words;
}

// A board that is turned and wired to suit, corrected on the radio alone: its arrow points to the right.
TEST(FlightSense, ATurnedBoardWithWiresToSuitFliesSideways) {
  ConfiguredCraft c = scenario("all 90 cw wiring + board yaw -90 + spins reversed");
  EXPECT_EQ(flight_sense(c).verdict, Verdict::holds_but_not_as_designed);
  EXPECT_EQ(flight_sense(c).phase_lost.value, 0);
  EXPECT_TRUE(says(flight_sense(c), "Stick forward flies it to the right.")) << flight_sense(c).words;
}

// Nobody looked at the board: the motors are right, and more is not said.
TEST(FlightSense, AMountThatNobodyKnowsIsNotTakenForGranted) {
  ConfiguredCraft c = designed(*craft::frame_named("quad-x"));
  c.mount_known = false;
  const FlightSense sense = flight_sense(c);
  EXPECT_TRUE(sense.words.starts_with("As far as the motors go")) << sense.words;
  EXPECT_TRUE(says(sense, "Nobody checked how the board sits")) << sense.words;
}

// Two motors of a coaxial arm changed over, their turns put right: nothing can be seen in the matrix.
TEST(FlightSense, AnIdentityWithMotorsElsewhereIsNotAsDesigned) {
  ConfiguredCraft c = designed(*craft::frame_named("x8"));
  std::swap(c.motors[0].place, c.motors[1].place);
  const FlightSense sense = flight_sense(c);
  EXPECT_LT(craft::largest_difference(sense.gyro_from_asked, craft::Matrix3{}), 1e-9);
  EXPECT_EQ(sense.verdict, Verdict::holds_but_not_as_designed);
  EXPECT_TRUE(says(sense, "is on front-right-lower, not on front-right-upper"));
}

TEST(FlightSense, ByMapAndWiring) {
  const Frame& frame = *craft::frame_named("quad-x");
  Wiring wiring;
  craft::MotorMap map;
  for (std::size_t i = 0; i < 4; ++i) {
    const craft::Pin pin{std::string(1, static_cast<char>('A' + i))};
    wiring.at[pin] = {i, frame.wanted(i, PropScheme::in)};
    map.pins.push_back(pin);
  }
  ConfiguredCraft c = designed(frame);
  c.motors = motors_of(map, wiring, 4);
  EXPECT_EQ(flight_sense(c).verdict, Verdict::as_designed);
  map.pins[2].name = "Z";
  EXPECT_THROW(motors_of(map, wiring, 4), Fault);
}

TEST(FlightSense, AWiringThatLeavesAPlaceEmptyIsRefused) {
  ConfiguredCraft c = designed(*craft::frame_named("quad-x"));
  c.motors[1].place = c.motors[0].place;
  EXPECT_THROW(flight_sense(c), Fault);
  c = designed(*craft::frame_named("quad-x"));
  c.numbering.place_of_motor.pop_back();
  EXPECT_THROW(flight_sense(c), Fault);
}

}  // namespace
}  // namespace armwise::solve::flight_sense_test
