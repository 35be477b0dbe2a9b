// What flight sense says against what a craft with lagging motors does (lagging_craft.hpp). The sample that
// runs here takes a tenth; ARMWISE_CONFUSION=all takes all of it and is what the table in DEVELOPERS.md comes
// from:
//
//     ARMWISE_CONFUSION=all build/dev/tests/solve_tests --gtest_filter='Confusion.*'
#include <gtest/gtest.h>

#include <array>
#include <cstdio>
#include <cstdlib>
#include <map>
#include <numeric>
#include <random>

#include "armwise/solve/predict.hpp"
#include "flying.hpp"
#include "lagging_craft.hpp"

namespace armwise::solve::confusion_test {
namespace {

using craft::CraftFromBoard;
using craft::Degrees;
using craft::PropScheme;
using craft::Turn;
using craft::YawPitchRoll;
using Verdict = FlightSense::Verdict;

constexpr std::array verdicts{Verdict::as_designed, Verdict::holds_but_not_as_designed, Verdict::unsteady,
                              Verdict::will_not_hold};

bool all_of_it() {
  return std::getenv("ARMWISE_CONFUSION") != nullptr;
}

class Matrix {
 public:
  explicit Matrix(std::string title) : title_(std::move(title)) {}

  void add(const ConfiguredCraft& c) {
    const FlightSense sense = flight_sense(c);
    const Flown flown = LaggingCraft(c).fly();
    ++at(sense.verdict, flown);
    const bool kept =
        sense.verdict == Verdict::as_designed || sense.verdict == Verdict::holds_but_not_as_designed;
    EXPECT_FALSE(kept && flown == Flown::flips)
        << title_ << ": " << c.frame->name << " " << sense.words << " weakest " << sense.eigenvalues[2].real()
        << " phase " << sense.phase_lost.value << " least thrust " << sense.least_thrust;
  }

  int& at(Verdict verdict, Flown flown) { return counts_[{verdict, flown}]; }

  void print_and_judge() {
    for (const Verdict verdict : verdicts) {
      const int holds = at(verdict, Flown::holds), wobbles = at(verdict, Flown::wobbles_or_turns);
      const int flips = at(verdict, Flown::flips);
      const int all = holds + wobbles + flips;
      std::printf("| %-28s | %-26s | %5d | %5d | %5d |\n", title_.c_str(), std::string(name(verdict)).c_str(),
                  holds, wobbles, flips);
      const double least = verdict == Verdict::as_designed                 ? 1
                           : verdict == Verdict::holds_but_not_as_designed ? 0.95
                                                                           : 0;
      EXPECT_GE(holds, least * all) << title_ << " " << name(verdict);
    }
  }

 private:
  std::string title_;
  std::map<std::pair<Verdict, Flown>, int> counts_;
};

PredictRequest request_for(const craft::Frame& frame, const CraftFromBoard& mount,
                           PropScheme scheme = PropScheme::in) {
  PredictRequest request;
  request.frame = &frame;
  request.numbering = designed(frame).numbering;
  request.scheme = scheme;
  request.mount = mount;
  return request;
}

// Every named mount on every frame, mounts between the names, by the socket, and with pads of their own:
// 1,670.
std::vector<PredictRequest> predictions() {
  std::vector<PredictRequest> all;
  for (const craft::Frame& frame : craft::frames()) {
    for (const PropScheme scheme : {PropScheme::in, PropScheme::out}) {
      for (const craft::Mount& mount : craft::mounts())
        all.push_back(request_for(frame, mount.rotation, scheme));
    }
  }
  std::mt19937 random(11);
  std::uniform_real_distribution<double> turn(-180, 180), lean(-60, 60);
  const auto any_frame = [&]() -> const craft::Frame& {
    return craft::frames()[random() % craft::frames().size()];
  };
  for (int i = 0; i < 350; ++i) {
    const double yaw = i % 2 == 0 ? turn(random) : turn(random) / 4;
    const double scale = i % 3 == 0 ? 1 : 0.2;
    all.push_back(request_for(any_frame(),
                              CraftFromBoard(YawPitchRoll{yaw, scale * lean(random), scale * lean(random)})));
  }
  for (int points = 0; points < 8; ++points) {
    for (int edge = 0; edge < 8; ++edge) {
      for (const bool down : {false, true}) {
        const UsbView usb{Degrees{45.0 * points}, Degrees{45.0 * edge}};
        for (const char* frame : {"quad-x", "hex-x"})
          all.push_back(request_for(*craft::frame_named(frame), mount_from_usb(usb, down).rotation));
      }
    }
  }
  for (int i = 0; i < 200; ++i) {
    PredictRequest one = request_for(any_frame(), craft::mounts()[random() % 16].rotation);
    one.pads_board =
        CraftFromBoard(YawPitchRoll{45.0 * static_cast<double>(i % 8), 0, i % 16 < 8 ? 0.0 : 180.0});
    all.push_back(one);
  }
  return all;
}

ConfiguredCraft as_it_came(const PredictRequest& request, const Prediction& p) {
  ConfiguredCraft c = designed(*request.frame, request.scheme);
  c.true_mount = request.mount;
  for (std::size_t i = 0; i < c.motors.size(); ++i) c.motors[i] = p.wiring.at.at(p.motors[i].pin_before);
  return c;
}

TEST(Confusion, Predictions) {
  const std::vector<PredictRequest> all = predictions();
  ASSERT_EQ(all.size(), 1670U);
  Matrix untold("predict, nothing set");
  Matrix told("predict, all set");
  for (std::size_t i = 0; i < all.size(); i += all_of_it() ? 1 : 10) {
    const Prediction p = predict(all[i]);
    untold.add(as_it_came(all[i], p));
    ConfiguredCraft c = designed(*all[i].frame, all[i].scheme);
    c.true_mount = all[i].mount;
    c.set_mount = craft::ToldFromBoard(p.set_mount);
    told.add(c);
  }
  untold.print_and_judge();
  told.print_and_judge();
}

TEST(Confusion, EveryWiringOfTheQuads) {
  Matrix matrix("every wiring, quads");
  for (const char* frame : {"quad-x", "quad-plus", "quad-wide"}) {
    ConfiguredCraft c = designed(*craft::frame_named(frame));
    std::array<std::size_t, 4> places{0, 1, 2, 3};
    do {
      for (unsigned turns = 0; turns < 16; ++turns) {
        for (std::size_t i = 0; i < 4; ++i) c.motors[i] = {places[i], turns >> i & 1U ? Turn::cw : Turn::ccw};
        matrix.add(c);
      }
    } while (std::ranges::next_permutation(places).found);
    if (!all_of_it()) break;
  }
  matrix.print_and_judge();
}

// Random wirings; of half of them every motor turns as its place wants. As many that the feedback rule alone
// lets pass as others.
TEST(Confusion, SampledWiringsOfMoreMotors) {
  const int wanted = all_of_it() ? 400 : 40;
  for (const char* name : {"hex-x", "hex-plus", "octo-x", "octo-plus", "y6", "x8"}) {
    Matrix matrix(std::string("wirings, ") + name);
    std::mt19937 random(13);
    std::array<int, 2> left{wanted, wanted};
    ConfiguredCraft c = designed(*craft::frame_named(name));
    std::vector<std::size_t> places(c.motors.size());
    std::iota(places.begin(), places.end(), 0U);
    for (bool any = false; left[0] + left[1] > 0; any = !any) {
      std::ranges::shuffle(places, random);
      for (std::size_t i = 0; i < places.size(); ++i) {
        const Turn turn = random() % 2 == 0 ? Turn::cw : Turn::ccw;
        c.motors[i] = {places[i], any ? turn : c.frame->wanted(places[i], PropScheme::in)};
      }
      int& open = left[flight_sense(c).eigenvalues[2].real() > 1e-6 ? 1 : 0];
      if (open == 0) continue;
      --open;
      matrix.add(c);
    }
    matrix.print_and_judge();
  }
}

// Where a turned board stops flying: the border of the verdict, with a slow and a quick tune, too. By these
// 30 degrees hold or wobble, and 40 do not hold.
TEST(Confusion, ATurnedBoardFliesUpToTheBorder) {
  for (const RateGains& gains : {RateGains{}, RateGains{10, 10, 6}, RateGains{25, 25, 12}}) {
    for (const double yaw : {-30.0, -25.0, 25.0, 30.0, -40.0, 40.0}) {
      ConfiguredCraft c = designed(*craft::frame_named("quad-x"));
      c.true_mount = CraftFromBoard(YawPitchRoll{yaw, 0, 0});
      const Flown flown = LaggingCraft(c, gains).fly();
      if (std::abs(yaw) < 26) {
        EXPECT_EQ(flown, Flown::holds) << yaw;
      }
      EXPECT_EQ(flown != Flown::flips, std::abs(yaw) < 35) << yaw;
      EXPECT_EQ(flight_sense(c).verdict == Verdict::holds_but_not_as_designed, std::abs(yaw) < 35) << yaw;
    }
  }
}

}  // namespace
}  // namespace armwise::solve::confusion_test
