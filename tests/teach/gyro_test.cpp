// A gyro found by three turns to the right about the vertical. That a turn to the right is right-handed about
// the axis that points down: ISO 1151-1 (x forward, y right, z down; yaw positive to the right). Rotations of
// what is held are those that tests/craft holds against scipy. How a hand turns and trembles: by judgement,
// no source.
#include "armwise/teach/gyro.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <random>

#include "support/sweep.hpp"

namespace armwise::teach::gyro_test {
namespace {

using console::Query;
using console::Template;

// A controller's sensors as they are soldered: which of our axes each number counts, and which way round.
struct Sensors {
  std::array<std::size_t, 3> force_axis{0, 1, 2}, rate_axis{0, 1, 2};
  std::array<int, 3> force_sign{1, 1, 1}, rate_sign{1, 1, 1};
  double per_dps = 1;
  double offset = 0;    // degrees a second, of each axis at rest
  double noise = 0.3;   // degrees a second
  double decimals = 4;  // as written
};

// How somebody turns it: the rate rises and falls within the two seconds.
struct Hand {
  double angle = 90, lasts = 1.2, begins = 0.3;
  double wobble = 5;  // degrees a second about the other axes, and degrees of how it is held
};

double rate_at(const Hand& hand, double seconds) {
  const double part = (seconds - hand.begins) / hand.lasts;
  if (part <= 0 || part >= 1) return 0;
  return hand.angle / hand.lasts * (1 - std::cos(2 * std::numbers::pi * part));
}

class Craft {
 public:
  Craft(const Sensors& sensors, unsigned seed) : sensors_(sensors), random_(seed) {}

  // `down`: where the ground is, on our axes.
  Turning turned(const Hand& hand, const craft::YawPitchRoll& held, int samples = 25) {
    const craft::YawPitchRoll tipped{held.yaw, held.pitch + some(hand.wobble), held.roll + some(hand.wobble)};
    const craft::InBoard down = craft::CraftFromBoard(tipped).inverse() * craft::InCraft{0, 0, 1};
    Turning all;
    for (int i = 0; i < samples; ++i) {
      const double time = turn_seconds * i / samples;
      const double rate = rate_at(hand, time);
      const double shakes = rate == 0 ? 0 : hand.wobble;
      all.push_back({time, acceleration({-down.x, -down.y, -down.z}),
                     written({rate * down.x + some(shakes), rate * down.y + some(shakes),
                              rate * down.z + some(shakes)})});
    }
    return all;
  }
  Numbers still() {
    Numbers sum{};
    for (int i = 0; i < 10; ++i) {
      const Numbers each = written({0, 0, 0});
      for (std::size_t k = 0; k < 3; ++k) sum.at(k) += each.at(k) / 10;
    }
    return sum;
  }
  std::array<Turning, 3> three_turns(const std::array<Hand, 3>& hands, int samples = 25) {
    return {turned(hands[0], {0, 0, 0}, samples), turned(hands[1], {0, -65, 0}, samples),
            turned(hands[2], {0, 0, 65}, samples)};
  }

 private:
  double some(double deviation) { return deviation * normal_(random_); }
  Numbers acceleration(const Numbers& ours) const {
    Numbers theirs{};
    for (std::size_t k = 0; k < 3; ++k)
      theirs.at(k) = 1000 * sensors_.force_sign.at(k) * ours.at(sensors_.force_axis.at(k));
    return theirs;
  }
  Numbers written(const Numbers& ours) {
    Numbers theirs{};
    const double step = std::pow(10, -sensors_.decimals);
    for (std::size_t k = 0; k < 3; ++k) {
      const double rate = sensors_.rate_sign.at(k) * ours.at(sensors_.rate_axis.at(k)) + sensors_.offset +
                          some(sensors_.noise);
      theirs.at(k) = std::round(rate * sensors_.per_dps / step) * step;
    }
    return theirs;
  }

  Sensors sensors_;
  std::mt19937 random_;
  std::normal_distribution<double> normal_{0, 1};
};

// What teach has found of the accelerometer before: right-handed axes in one sense or the other.
SenseAxes axes_known(const Sensors& sensors) {
  SenseAxes axes;
  axes.per_g = 1000;
  int handed = 1;
  for (std::size_t k = 0; k < 3; ++k) handed *= sensors.force_sign.at(k);
  const auto& order = sensors.force_axis;
  const bool even = (order[1] + 3 - order[0]) % 3 == 1;
  axes.specific_force = (handed > 0) == even;
  for (std::size_t k = 0; k < 3; ++k) {
    const bool minus = (sensors.force_sign.at(k) < 0) != !axes.specific_force;
    axes.axes.at(k) = std::string(minus ? "-" : "") + static_cast<char>('x' + order.at(k));
  }
  return axes;
}

// What a profile with this in it makes of numbers of the console's, on our axes, in degrees a second.
Numbers read_by(const SenseAxes& before, const GyroFound& found, const Numbers& numbers) {
  console::SenseAbility sense;
  sense.axes = before.axes;
  sense.specific_force = before.specific_force;
  Query read;
  read.lines = {Template::parse("g {gx} {gy} {gz}")};
  take_gyro(sense, read, found);
  const auto values = sense.read.lines.front().match("g 0 1 2");
  Numbers ours{};
  for (std::size_t k = 0; k < 3; ++k) {
    const auto stands = static_cast<std::size_t>(std::stoi(values->at(gyro_names.at(k))));
    const std::string& axis = sense.axes.at(k);
    ours.at(static_cast<std::size_t>(axis.back() - 'x')) =
        numbers.at(stands) * (axis.starts_with('-') ? -1 : 1) / sense.per_dps;
  }
  return ours;
}

// Whether each of the console's numbers comes out on the axis that it counts, the right way round.
bool is_right(const Sensors& sensors, const SenseAxes& before, const GyroFound& found) {
  for (std::size_t k = 0; k < 3; ++k) {
    Numbers one{};
    one.at(k) = sensors.per_dps;
    const Numbers ours = read_by(before, found, one);
    for (std::size_t axis = 0; axis < 3; ++axis) {
      const double wanted = axis == sensors.rate_axis.at(k) ? sensors.rate_sign.at(k) : 0;
      // The unit is right, or as a hand measures it.
      if (std::abs(ours.at(axis) - wanted) > 0.26) return false;
    }
  }
  return true;
}

const std::vector<double>& usual_units() {
  static const std::vector<double> units{1, std::numbers::pi / 180, 10, 1000, 131, 65.5, 32.8, 16.4};
  return units;
}

TEST(Gyro, ThatCountsAsTheAccelerometerDoesIsFoundInEveryUsualUnit) {
  for (const double unit : usual_units()) {
    Sensors sensors;
    sensors.per_dps = unit;
    Craft craft(sensors, 5);
    const auto answer = gyro_from_turns(axes_known(sensors), craft.still(), craft.three_turns({}));
    const auto* found = std::get_if<GyroFound>(&answer);
    ASSERT_TRUE(found) << unit;
    EXPECT_EQ(found->stands, (std::array<std::size_t, 3>{0, 1, 2}));
    EXPECT_FALSE(found->mirrored);
    EXPECT_DOUBLE_EQ(found->per_dps, unit);
    EXPECT_TRUE(found->usual_unit);
  }
}

// At rest an accelerometer that counts z upwards reads the same as another one that counts gravity.
TEST(Gyro, TellsMirroredAxesFromTheOppositeSense) {
  Sensors sensors;
  sensors.force_sign = sensors.rate_sign = {1, 1, -1};
  Craft craft(sensors, 6);
  const SenseAxes known = axes_known(sensors);
  EXPECT_EQ(known.axes, (std::array<std::string, 3>{"-x", "-y", "z"}));
  EXPECT_FALSE(known.specific_force);
  const auto answer = gyro_from_turns(known, craft.still(), craft.three_turns({}));
  const auto* found = std::get_if<GyroFound>(&answer);
  ASSERT_TRUE(found);
  EXPECT_TRUE(found->mirrored);
  console::SenseAbility sense;
  sense.axes = known.axes;
  sense.specific_force = false;
  take_gyro(sense, {{}, {Template::parse("{x} {y} {z} {gx} {gy} {gz}")}, std::nullopt, " ", false, {}},
            *found);
  EXPECT_EQ(sense.axes, (std::array<std::string, 3>{"x", "y", "-z"}));
  EXPECT_TRUE(sense.specific_force);
}

// Every order and sign, of both sensors, any unit, offset, noise and hand: right, or asked again, or left
// out; never another axis, sign or unit than the true one.
TEST(Gyro, IsFoundRightOrNotAtAll) {
  std::mt19937 random(21);
  std::uniform_real_distribution<double> angle(80, 100), lasts(0.6, 1.5), part(0, 1);
  const auto one_of = [&](std::size_t count) {
    return static_cast<std::size_t>(part(random) * static_cast<double>(count));
  };
  std::map<std::string, int> outcomes;
  for (int round = test::first_of(test::every); round < 20000; round += test::every) {
    Sensors sensors;
    std::shuffle(sensors.force_axis.begin(), sensors.force_axis.end(), random);
    sensors.rate_axis = sensors.force_axis;
    if (round % 2 == 0) std::shuffle(sensors.rate_axis.begin(), sensors.rate_axis.end(), random);
    for (std::size_t k = 0; k < 3; ++k) {
      sensors.force_sign.at(k) = one_of(2) == 0 ? 1 : -1;
      // Of the same axis the same sign, but in some.
      const auto same =
          std::find(sensors.rate_axis.begin(), sensors.rate_axis.end(), sensors.force_axis.at(k));
      const bool other = round % 20 == 3 && one_of(2) == 0;
      sensors.rate_sign.at(static_cast<std::size_t>(same - sensors.rate_axis.begin())) =
          other ? -sensors.force_sign.at(k) : sensors.force_sign.at(k);
    }
    sensors.per_dps = one_of(4) == 0 ? std::pow(10, 4 * part(random) - 1) : usual_units().at(one_of(8));
    sensors.offset = 4 * part(random) - 2;
    sensors.noise = 2 * part(random);
    Hand hand;
    hand.wobble = 12 * part(random);
    std::array<Hand, 3> hands{hand, hand, hand};
    for (Hand& each : hands) {
      each.angle = angle(random);
      each.lasts = lasts(random);
    }
    // Sometimes a turn is forgotten, or goes the other way.
    if (round % 10 == 0) hands.at(one_of(3)).angle = 0;
    if (round % 10 == 1) hands.at(one_of(3)).angle *= -1;
    Craft craft(sensors, static_cast<unsigned>(round));
    const SenseAxes known = axes_known(sensors);
    const auto answer = gyro_from_turns(known, craft.still(), craft.three_turns(hands, 10 + round % 20));
    if (const auto* found = std::get_if<GyroFound>(&answer)) {
      ASSERT_TRUE(is_right(sensors, known, *found))
          << round << " per_dps " << found->per_dps << " of " << sensors.per_dps;
      ASSERT_NE(round % 10, 1) << "a turn to the left was taken for one to the right";
      ++outcomes["found"];
    } else {
      ++outcomes["no " + std::to_string(static_cast<int>(std::get<NoGyro>(answer)))];
    }
  }
  EXPECT_GT(outcomes["found"], 10000 / test::every);
  for (const auto& [what, times] : outcomes) std::cout << what << ": " << times << "\n";
}

TEST(Gyro, WithSomeAxesTheOtherWayRoundCannotBeSaid) {
  Sensors sensors;
  sensors.rate_sign = {1, -1, 1};
  Craft craft(sensors, 7);
  const auto answer = gyro_from_turns(axes_known(sensors), craft.still(), craft.three_turns({}));
  ASSERT_TRUE(std::holds_alternative<NoGyro>(answer));
  EXPECT_EQ(std::get<NoGyro>(answer), NoGyro::not_to_be_said);
}

TEST(Gyro, ThatDoesNotReadZeroAtRestIsLeftOut) {
  Sensors sensors;
  sensors.offset = 12;
  Craft craft(sensors, 8);
  const auto answer = gyro_from_turns(axes_known(sensors), craft.still(), craft.three_turns({}));
  ASSERT_TRUE(std::holds_alternative<NoGyro>(answer));
  EXPECT_EQ(std::get<NoGyro>(answer), NoGyro::not_zero);
}

TEST(Gyro, AnswersThatComeTooSeldomAreNotMeasuredBy) {
  Craft craft({}, 9);
  const auto answer = gyro_from_turns(axes_known({}), craft.still(), craft.three_turns({}, 4));
  ASSERT_TRUE(std::holds_alternative<NoGyro>(answer));
  EXPECT_EQ(std::get<NoGyro>(answer), NoGyro::too_few);
}

// An attitude is zero while the craft lies level, too: but it stays where a turn has led it.
TEST(Gyro, AnglesAreNotTakenForRates) {
  for (const bool tilt_shows : {true, false}) {
    std::array<Turning, 3> turns = Craft({}, 10).three_turns({});
    double heading = 0;
    for (std::size_t i = 0; i < 3; ++i) {
      for (RateSample& sample : turns.at(i)) {
        const double far = std::clamp((sample.seconds - 0.3) / 1.2, 0.0, 1.0) * 90;
        sample.rate = {tilt_shows && i == 2 ? 65.0 : 0, tilt_shows && i == 1 ? -65.0 : 0, heading + far};
      }
      heading += tilt_shows ? 90 : 0;
    }
    EXPECT_TRUE(std::holds_alternative<NoGyro>(gyro_from_turns(axes_known({}), {0, 0, 0}, turns)));
  }
}

// A compass: the field in the craft's axes turns with it.
TEST(Gyro, AFieldIsNotTakenForRates) {
  std::mt19937 random(3);
  std::uniform_real_distribution<double> angle(0, 360);
  for (int round = 0; round < 2000; ++round) {
    std::array<Turning, 3> turns = Craft({}, 11).three_turns({});
    const std::array<craft::YawPitchRoll, 3> held{{{0, 0, 0}, {0, -65, 0}, {0, 0, 65}}};
    const auto field = [](const craft::YawPitchRoll& attitude) {
      const craft::InBoard m = craft::CraftFromBoard(attitude).inverse() * craft::InCraft{200, 0, 430};
      return Numbers{m.x, m.y, m.z};
    };
    const double first = angle(random);
    for (std::size_t i = 0; i < 3; ++i) {
      const double start = i == 0 ? first : angle(random);
      for (RateSample& sample : turns.at(i)) {
        const double far = std::clamp((sample.seconds - 0.3) / 1.2, 0.0, 1.0) * 90;
        sample.rate = field({start + far, held.at(i).pitch, held.at(i).roll});
      }
    }
    EXPECT_TRUE(std::holds_alternative<NoGyro>(gyro_from_turns(axes_known({}), field({first, 0, 0}), turns)));
  }
}

Query lines_of(const std::vector<std::string>& sources) {
  Query query;
  for (const std::string& source : sources) query.lines.push_back(Template::parse(source));
  return query;
}
std::vector<std::string> sources_of(const Query& query) {
  std::vector<std::string> sources;
  for (const Template& like : query.lines) sources.push_back(like.source());
  return sources;
}

TEST(GyroPlaces, AreFoundInALineOfTheirOwn) {
  const auto ways =
      with_three_more({"Pull 0 0 -1000 mg", "Turn 1 2 3 tenths"}, lines_of({"Pull {x} {y} {z} mg"}));
  ASSERT_EQ(ways.size(), 1U);
  EXPECT_EQ(sources_of(ways[0]),
            (std::vector<std::string>{"Pull {x} {y} {z} mg", "Turn {gx} {gy} {gz} tenths"}));
}

TEST(GyroPlaces, AreFoundBehindTheOthersInTheSameLine) {
  const auto ways = with_three_more({R"({"acc":[0,0,1000],"gyro":[1,2,3]})"},
                                    lines_of({R"({{"acc":[{x},{y},{z}],"gyro":[{skip},{skip},{skip}]}})"}));
  ASSERT_EQ(ways.size(), 1U);
  EXPECT_EQ(sources_of(ways[0]),
            (std::vector<std::string>{R"({{"acc":[{x},{y},{z}],"gyro":[{gx},{gy},{gz}]}})"}));
}

TEST(GyroPlaces, AreFoundOneALine) {
  const auto ways =
      with_three_more({"a.x = 0", "a.y = 0", "a.z = 1", "g.x = 1", "g.y = 2", "g.z = 3", "t = 20"},
                      lines_of({"a.x = {x}", "a.y = {y}", "a.z = {z}"}));
  ASSERT_GE(ways.size(), 1U);
  EXPECT_EQ(sources_of(ways[0]), (std::vector<std::string>{"a.x = {x}", "a.y = {y}", "a.z = {z}",
                                                           "g.x = {gx}", "g.y = {gy}", "g.z = {gz}"}));
}

// A defect found: of a console that floods, every three lines were tried against all others.
TEST(GyroPlaces, AreNotLookedForInAFlood) {
  std::vector<std::string> flood(20000, "0 1 2 3");
  flood.insert(flood.begin(), "Pull 0 0 -1000 mg");
  EXPECT_TRUE(with_three_more(flood, lines_of({"Pull {x} {y} {z} mg"})).empty());
}

// Two rows that look alike: a profile reads both by the same template, so it cannot say which is which.
TEST(GyroPlaces, InARowThatLooksLikeTheAccelerometersCannotBeSaid) {
  EXPECT_TRUE(
      with_three_more({"| 0 | 0 | 9.8 |", "| 1 | 2 | 3 |"}, lines_of({"| {x} | {y} | {z} |"})).empty());
  EXPECT_TRUE(with_three_more({"+AC 0 0 -1000"}, lines_of({"+AC {x} {y} {z}"})).empty());
}

}  // namespace
}  // namespace armwise::teach::gyro_test
