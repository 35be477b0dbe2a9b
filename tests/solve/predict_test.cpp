#include "armwise/solve/predict.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "armwise/base/fault.hpp"
#include "armwise/solve/pads.hpp"
#include "flying.hpp"
#include "support/some_mounts.hpp"
#include "support/sweep.hpp"

namespace armwise::solve::predict_test {
namespace {

using craft::BoardSide;
using craft::Degrees;
using craft::Motor;
using craft::mount;
using craft::PropScheme;
using Verdict = FlightSense::Verdict;

PredictRequest request(double yaw, BoardSide side = BoardSide::right_way_up,
                       const std::string& frame = "quad-x") {
  PredictRequest r;
  r.frame = craft::frame_named(frame);
  r.numbering = designed(*r.frame).numbering;
  r.mount = mount(Degrees{yaw}, side).rotation;
  return r;
}

std::vector<std::size_t> ring_sizes(const Prediction& p) {
  std::vector<std::size_t> sizes;
  for (const auto& ring : p.rings) sizes.push_back(ring.size());
  return sizes;
}

// Common practice, no source.
TEST(Predict, AYawOf90IsACycleOfAllFourAndTheOtherPropScheme) {
  for (const double yaw : {90.0, -90.0}) {
    const Prediction p = predict(request(yaw));
    EXPECT_EQ(ring_sizes(p), std::vector<std::size_t>{4});
    EXPECT_EQ(p.turns_to_change, 4);
    EXPECT_TRUE(p.every_turn_opposite);
    EXPECT_FALSE(p.wiring_in_doubt);
    EXPECT_NE(p.words.find("all of them in one ring"), std::string::npos);
    EXPECT_NE(p.words.find("set the controller to props out"), std::string::npos);
  }
}

// Common practice, no source.
TEST(Predict, AYawOf180IsTwoSwapsAcrossTheDiagonalsAndNoTurn) {
  const Prediction p = predict(request(180));
  EXPECT_EQ(ring_sizes(p), (std::vector<std::size_t>{2, 2}));
  EXPECT_EQ(p.rings[0], (std::vector<Motor>{{1}, {3}}));
  EXPECT_EQ(p.rings[1], (std::vector<Motor>{{2}, {4}}));
  EXPECT_EQ(p.turns_to_change, 0);
  EXPECT_NE(p.words.find("Nothing to reverse."), std::string::npos);
}

// Common practice, no source.
TEST(Predict, UpsideDownAboutTheRollAxisMirrorsLeftAndRight) {
  const Prediction p = predict(request(0, BoardSide::upside_down));
  EXPECT_EQ(p.rings[0], (std::vector<Motor>{{1}, {4}}));
  EXPECT_EQ(p.rings[1], (std::vector<Motor>{{2}, {3}}));
  EXPECT_TRUE(p.every_turn_opposite);
  EXPECT_EQ(p.set_mount, (craft::YawPitchRoll{0, 0, 180}));
  EXPECT_EQ(p.before.verdict, Verdict::will_not_hold);
  EXPECT_EQ(p.after.verdict, Verdict::as_designed);
}

TEST(Predict, EveryMountOfEveryFrameIsAsDesignedOnceItIsSet) {
  test::InTurn in_turn;
  for (const craft::Frame& frame : craft::frames()) {
    for (const craft::Mount& m : craft::mounts()) {
      if (in_turn.is_left_out()) continue;
      PredictRequest r = request(0, BoardSide::right_way_up, frame.name);
      r.mount = m.rotation;
      const Prediction p = predict(r);
      EXPECT_EQ(p.after.verdict, Verdict::as_designed)
          << frame.name << " " << m.words << ": " << p.after.words;
      EXPECT_EQ(p.set_mount, m.angles);
    }
  }
}

// The planner, given the prediction, comes to the same settings by its own way.
TEST(Predict, ThePlannerAgrees) {
  for (const craft::Mount& m : craft::testing::flat_mounts()) {
    PredictRequest r = request(0, BoardSide::right_way_up, "hex-x");
    r.mount = m.rotation;
    const Prediction p = predict(r);
    const Plan planned = plan(*r.frame, p.now, p.wiring, p.wanted);
    for (const PredictedMotor& motor : p.motors) {
      EXPECT_EQ(planned.map_after.pin_of(motor.motor), motor.pin_after);
      EXPECT_EQ(planned.wiring_after.at.at(motor.pin_after), (Wired{motor.place, motor.wanted}));
    }
    EXPECT_EQ(planned.every_turn_opposite, p.every_turn_opposite) << m.words;
  }
}

TEST(Predict, PadsOnASeparateBoardFollowThatBoard) {
  PredictRequest r = request(90);
  r.pads_board = craft::CraftFromBoard();
  const Prediction p = predict(r);
  EXPECT_TRUE(p.rings.empty());
  EXPECT_EQ(p.turns_to_change, 0);
  EXPECT_EQ(p.set_mount, (craft::YawPitchRoll{90, 0, 0}));
  EXPECT_NE(p.words.find("No pins to swap."), std::string::npos);
  r.pads_board = mount(Degrees{180}, BoardSide::right_way_up).rotation;
  EXPECT_EQ(ring_sizes(predict(r)), (std::vector<std::size_t>{2, 2}));
}

TEST(Predict, HalfwayBetweenTwoArmsTheWiringIsInDoubt) {
  EXPECT_TRUE(predict(request(45)).wiring_in_doubt);
  EXPECT_TRUE(predict(request(0, BoardSide::arrow_up)).wiring_in_doubt);
  EXPECT_FALSE(predict(request(45, BoardSide::right_way_up, "octo-x")).wiring_in_doubt);
  EXPECT_FALSE(predict(request(30)).wiring_in_doubt);
  EXPECT_TRUE(predict(request(30)).rings.empty());
}

TEST(Predict, PinsKeepTheirNames) {
  PredictRequest r = request(90);
  r.pins = {{"A"}, {"B"}, {"C"}, {"D"}};
  const Prediction p = predict(r);
  // Turned to the right, the pad that lay front right lies rear right, where motor 2 is.
  EXPECT_EQ(p.motors[1].pin_after.name, "A");
  EXPECT_NE(p.words.find("motor 2 (rear-right) from B to A"), std::string::npos);
  r.pins.pop_back();
  EXPECT_THROW(predict(r), Fault);
  r.pins.clear();
  r.numbering.place_of_motor[0] = 1;
  EXPECT_THROW(predict(r), Fault);
}

TEST(NearestPads, AreNearestByTryingAllPermutations) {
  for (const std::string name : {"quad-wide", "hex-plus", "y6"}) {
    const craft::Frame& frame = *craft::frame_named(name);
    const craft::Numbering numbering = designed(frame).numbering;
    for (double yaw = -175; yaw < 180; yaw += 37) {
      const craft::CraftFromBoard pads(craft::YawPitchRoll{yaw, 10, 20});
      const auto cost = [&](const std::vector<std::size_t>& places) {
        double sum = 0;
        for (std::size_t pad = 0; pad < places.size(); ++pad) {
          const craft::Place& arm = frame.places[places[pad]];
          const craft::Place& own = frame.places[pad];
          const craft::InCraft off = craft::InCraft{arm.x, arm.y, 0} - pads * craft::InBoard{own.x, own.y, 0};
          sum += off.x * off.x + off.y * off.y + (arm.level == own.level ? 0 : 1e-3);
        }
        return sum;
      };
      std::vector<std::size_t> places = numbering.place_of_motor;
      double least = 1e9;
      do least = std::min(least, cost(places));
      while (std::ranges::next_permutation(places).found);
      EXPECT_NEAR(cost(nearest_pads(frame, numbering, pads).place_of_pad), least, 1e-9) << name << " " << yaw;
    }
  }
}

TEST(Usb, DirectionsByName) {
  EXPECT_EQ(direction_named("rear"), Degrees{180});
  EXPECT_EQ(direction_named("front-left"), Degrees{315});
  EXPECT_FALSE(direction_named("up"));
}

TEST(Usb, TheSocketEndsUpWhereItWasAskedFor) {
  for (const double edge : {0.0, 90.0, 180.0, 270.0, 33.0}) {
    for (const double points : {0.0, 90.0, 180.0, 270.0, 45.0, 10.0}) {
      for (const bool upside_down : {false, true}) {
        const UsbView usb{Degrees{points}, Degrees{edge}};
        const craft::Mount m = mount_from_usb(usb, upside_down);
        const double a = usb.socket_edge.radians().value;
        const double b = usb.points.radians().value;
        const craft::InCraft socket = m.rotation * craft::InBoard{std::cos(a), std::sin(a), 0};
        EXPECT_LT(angle_between(socket, craft::InCraft{std::cos(b), std::sin(b), 0}).value, 1e-9);
      }
    }
  }
  EXPECT_EQ(mount_from_usb({Degrees{180}}, false).words, "turned 90 to the right");
}

TEST(Usb, RearAloneListsTheMountsThatPutItThere) {
  const auto choices = mounts_with_usb({Degrees{180}}, request(0));
  ASSERT_EQ(choices.size(), 4U);
  std::vector<std::string> names;
  for (const UsbChoice& choice : choices) names.push_back(choice.mount.words);
  EXPECT_NE(std::ranges::find(names, "turned 90 to the right"), names.end());
  EXPECT_NE(std::ranges::find(names, "turned 90 to the left, upside down"), names.end());
  EXPECT_EQ(std::ranges::count_if(
                names, [](const std::string& n) { return n.find("on edge") != std::string::npos; }),
            2);
  EXPECT_TRUE(names[2].find("on edge") != std::string::npos && names[3].find("on edge") != std::string::npos);
  for (const UsbChoice& choice : choices) {
    EXPECT_EQ(choice.radio.possible, choice.mount.side == BoardSide::right_way_up) << choice.words;
  }
}

TEST(Usb, ASocketThatIsThereAlreadyCostsNothing) {
  const auto choices = mounts_with_usb({Degrees{90}}, request(0));
  EXPECT_EQ(choices.front().mount.words, "not turned");
  EXPECT_EQ(choices.front().writes, 0);
  EXPECT_EQ(choices.front().words,
            "Not turned, 0 settings: The mount setting stays at zero. No pins to swap. Nothing to reverse.");
}

TEST(Usb, TheSocketsEdgeIsSaidToBeTaken) {
  PredictRequest by_socket = request(0);
  by_socket.usb = UsbView{Degrees{270}};
  by_socket.mount = mount_from_usb(*by_socket.usb, true).rotation;
  EXPECT_EQ(predict(by_socket).sentences.front(),
            "The board: upside down, USB socket to the left (at the board's right edge, seen from its "
            "arrow).");
}

TEST(Predict, PropsTheOtherWayRoundMeanOtherPropellers) {
  const Prediction p = predict(request(90));
  ASSERT_TRUE(p.every_turn_opposite);
  EXPECT_NE(p.words.find("change the propellers over"), std::string::npos) << p.words;
}

}  // namespace
}  // namespace armwise::solve::predict_test
