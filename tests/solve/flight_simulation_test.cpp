// Flight sense against a craft that flies: a rigid body with motors at its arms, a gyro and an
// accelerometer on the board, and a plain proportional controller that believes what it was told. Forces and
// moments are summed up motor by motor; the mixer and the verdict's own mathematics are not used.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <numeric>
#include <random>

#include "flying.hpp"

namespace armwise::solve::flight_simulation_test {
namespace {

using craft::BoardAxes;
using craft::CraftAxes;
using craft::Degrees;
using craft::InBoard;
using craft::InCraft;
using craft::InTold;
using craft::PropScheme;
using craft::Rotation;
using craft::ToldFromBoard;
using craft::Turn;
using craft::YawPitchRoll;

InCraft cross(const InCraft& a, const InCraft& b) {
  return {a.y * b.z - a.z * b.y, a.z * b.x - a.x * b.z, a.x * b.y - a.y * b.x};
}

double sign_of(Turn turn) {
  return turn == Turn::ccw ? 1 : -1;
}

// Turning rate (rad/s) and the world's up as the craft sees it; heading does not matter.
struct State {
  InCraft rate;
  InCraft up;
};

class Flight {
 public:
  explicit Flight(const ConfiguredCraft& c)
      : c_(c), board_from_craft_(c.true_mount.inverse()), told_from_board_(c.set_mount) {
    for (std::size_t i = 0; i < c_.motors.size(); ++i) {
      const craft::Place& place = c_.frame->places[c_.numbering.place_of_motor[i]];
      sum_of_x2_ += place.x * place.x;
      sum_of_y2_ += place.y * place.y;
    }
  }

  // True where it comes to rest with its thrust upward.
  bool settles() {
    State now{{0.1, -0.07, 0.05}, unit(InCraft{0.06, -0.04, -1})};
    constexpr double step = 0.01;
    for (int i = 0; i < 6000; ++i) {
      now = advanced(now, step);
      if (length(now.rate) > 100) return false;
      if (length(now.rate) < 1e-5 && length(change_of(now).rate) < 1e-5) break;
    }
    return length(now.rate) < 1e-3 && now.up.z < 0;
  }

 private:
  // Rates toward level, torque toward those rates.
  InTold asked_torque(const State& now) const {
    const InTold gyro = told_from_board_ * (board_from_craft_ * now.rate);
    const InTold up = told_from_board_ * (board_from_craft_ * now.up);
    const InTold wanted_rate{level_gain * up.y, -level_gain * up.x, 0};
    return rate_gain * (wanted_rate - gyro);
  }

  // Each motor pushes in proportion to its believed lever on each axis.
  double thrust(std::size_t motor, const InTold& torque) const {
    const std::size_t believed = c_.numbering.place_of_motor[motor];
    const craft::Place& place = c_.frame->places[believed];
    const double turn = sign_of(c_.frame->wanted(believed, c_.believed_scheme));
    return hover - torque.x * place.y / sum_of_y2_ + torque.y * place.x / sum_of_x2_ +
           torque.z * turn / static_cast<double>(c_.motors.size());
  }

  // The moment of inertia is 1 about each axis, so the gyroscopic term vanishes.
  State change_of(const State& now) const {
    const InTold torque = asked_torque(now);
    InCraft moment;
    for (std::size_t i = 0; i < c_.motors.size(); ++i) {
      const craft::Place& place = c_.frame->places[c_.motors[i].place];
      const double force = thrust(i, torque) - hover;
      moment = moment + cross({place.x, place.y, 0}, {0, 0, -force});
      moment.z += sign_of(c_.motors[i].turn) * force;
    }
    return {moment, -1.0 * cross(now.rate, now.up)};
  }

  State advanced(const State& now, double step) const {
    const auto plus = [](const State& s, double t, const State& d) {
      return State{s.rate + t * d.rate, s.up + t * d.up};
    };
    const State a = change_of(now);
    const State b = change_of(plus(now, step / 2, a));
    const State c = change_of(plus(now, step / 2, b));
    const State d = change_of(plus(now, step, c));
    State next = plus(plus(plus(plus(now, step / 6, a), step / 3, b), step / 3, c), step / 6, d);
    next.up = unit(next.up);
    return next;
  }

  static constexpr double rate_gain = 8, level_gain = 0.2, hover = 1;
  const ConfiguredCraft& c_;
  Rotation<BoardAxes, CraftAxes> board_from_craft_;
  ToldFromBoard told_from_board_;
  double sum_of_x2_ = 0, sum_of_y2_ = 0;
};

struct Tally {
  int held = 0, fell = 0;
};

void compare(const ConfiguredCraft& c, Tally& tally) {
  const FlightSense sense = flight_sense(c);
  const bool holds = sense.verdict != FlightSense::Verdict::will_not_hold;
  ++(holds ? tally.held : tally.fell);
  EXPECT_EQ(Flight(c).settles(), holds)
      << sense.words << " true " << craft::in_words(c.true_mount) << " lean " << sense.leaning.value
      << " eigen " << sense.eigenvalues[0] << sense.eigenvalues[1] << sense.eigenvalues[2];
}

ConfiguredCraft wired(std::vector<std::size_t> places, unsigned turns) {
  ConfiguredCraft c = designed(*craft::frame_named("quad-x"));
  for (std::size_t i = 0; i < 4; ++i) c.motors[i] = {places[i], turns >> i & 1U ? Turn::cw : Turn::ccw};
  return c;
}

TEST(FlightSimulation, EveryWiringAndTurnOfTheQuad) {
  Tally tally;
  std::vector<std::size_t> places{0, 1, 2, 3};
  do {
    for (unsigned turns = 0; turns < 16; ++turns) compare(wired(places, turns), tally);
  } while (std::ranges::next_permutation(places).found);
  // The counts of check-values.json: 13 of the 384 have the right sense.
  EXPECT_EQ(tally.held, 13);
  EXPECT_EQ(tally.fell, 371);
}

TEST(FlightSimulation, EveryMountUntoldOnTheCraftAsDesigned) {
  Tally tally;
  for (const craft::Mount& truth : craft::mounts()) {
    for (const craft::Mount& set : craft::mounts()) {
      ConfiguredCraft c = designed(*craft::frame_named("quad-x"));
      c.true_mount = truth.rotation;
      c.set_mount = ToldFromBoard(set.angles);
      compare(c, tally);
    }
  }
  EXPECT_GE(tally.held, 48);
  EXPECT_GE(tally.fell, 48);
}

TEST(FlightSimulation, SampledWiringsTurnsAndMounts) {
  std::mt19937 random(7);
  Tally tally;
  for (int sample = 0; sample < 1500; ++sample) {
    std::vector<std::size_t> places{0, 1, 2, 3};
    std::ranges::shuffle(places, random);
    ConfiguredCraft c = wired(places, static_cast<unsigned>(random() % 16));
    // Half of them as designed at each place, so that enough hold.
    if (sample % 2 == 0) {
      const bool flipped = random() % 2;
      for (Wired& motor : c.motors) {
        motor.turn = c.frame->wanted(motor.place, flipped ? PropScheme::out : PropScheme::in);
      }
    }
    c.true_mount = craft::mounts()[random() % 16].rotation;
    c.set_mount = ToldFromBoard(craft::mounts()[random() % 16].angles);
    compare(c, tally);
  }
  EXPECT_GE(tally.held, 20);
  EXPECT_GE(tally.fell, 500);
}

// Small errors too: boards that lean, and yaws between the named ones.
TEST(FlightSimulation, SampledFreeMounts) {
  std::mt19937 random(8);
  std::uniform_real_distribution<double> off(-110, 110);
  Tally tally;
  for (int sample = 0; sample < 500; ++sample) {
    ConfiguredCraft c = designed(*craft::frame_named("quad-x"));
    c.true_mount = craft::CraftFromBoard(YawPitchRoll{off(random), off(random) / 3, off(random) / 3});
    // Near the very edge the loop that levels, on top of the one that the verdict is about, decides.
    if (std::abs(flight_sense(c).eigenvalues[2].real()) < 0.05) continue;
    compare(c, tally);
  }
  EXPECT_GE(tally.held, 100);
  EXPECT_GE(tally.fell, 50);
}

}  // namespace
}  // namespace armwise::solve::flight_simulation_test
