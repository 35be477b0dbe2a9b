#include "armwise/solve/mount_proof.hpp"

#include <gtest/gtest.h>

#include <random>

#include "support/sweep.hpp"

namespace armwise::solve::mount_proof_test {
namespace {

using craft::AngleConvention;
using craft::BoardSide;
using craft::console_angles;
using craft::CraftFromBoard;
using craft::Degrees;
using craft::InTold;
using craft::mount;
using craft::ToldFromBoard;
using craft::YawPitchRoll;

// A controller whose real convention is `real`, told in the belief that it is `used`.
struct Bench {
  CraftFromBoard true_mount;
  AngleConvention used, real;

  WrittenMount written() const { return {true_mount, used, console_angles(used, true_mount)}; }

  std::vector<ProofReading> readings(const craft::ConsoleAngles& told,
                                     std::initializer_list<Pose> poses = {Pose::level, Pose::nose_down,
                                                                          Pose::right_down}) const {
    const ToldFromBoard set(craft_from_board(real, told).matrix());
    std::vector<ProofReading> read;
    for (const Pose pose : poses)
      read.push_back({pose, set * (true_mount.inverse() * up_in(pose, Degrees{65}))});
    return read;
  }
  MountProof first() const { return prove_mount(readings(written().told), written()); }
};

TEST(MountProof, ARightMountIsProven) {
  for (const craft::Mount& truth : craft::mounts()) {
    const MountProof proof = Bench{truth.rotation, {}, {}}.first();
    EXPECT_TRUE(proof.proven) << truth.words << ": " << proof.words;
    EXPECT_TRUE(proof.candidates.empty());
  }
}

TEST(MountProof, SaysWhatEachPoseReads) {
  Bench bench{mount(Degrees{90}, BoardSide::right_way_up).rotation, {}, {}};
  EXPECT_EQ(bench.first().words,
            "The mount is proven. Level reads level, within 0 degrees. Nose down reads nose down, within 0 "
            "degrees. "
            "Right side down reads right side down, within 0 degrees.");
  bench.real.signs = {-1, 1, 1};
  const MountProof wrong = bench.first();
  EXPECT_FALSE(wrong.proven);
  EXPECT_EQ(wrong.poses[1].words, "Nose down reads nose up.");
  ASSERT_FALSE(wrong.candidates.empty());
  EXPECT_EQ(wrong.candidates.front().cause,
            "The console seems to be one that counts yaw the other way round.");
  EXPECT_NEAR(wrong.candidates.front().tell.yaw, -90, 1e-9);
}

// Every mount on every console whose convention differs from the belief: either that does not show on this
// mount, or one of the candidates that are proposed is proven when it is tried.
TEST(MountProof, ACandidateThatIsTriedPutsItRight) {
  std::mt19937 random(5);
  const std::array orders{"yaw-pitch-roll", "yaw-roll-pitch", "pitch-yaw-roll",
                          "pitch-roll-yaw", "roll-pitch-yaw", "roll-yaw-pitch"};
  int disproven = 0;
  std::size_t most_tries = 0;
  test::InTurn in_turn(test::every);
  for (int sample = 0; sample < 2000; ++sample) {
    Bench bench{craft::mounts()[random() % 48].rotation, {}, {}};
    for (int& sign : bench.real.signs) sign = random() % 2 ? 1 : -1;
    bench.real.order = craft::angle_order_named(orders[random() % 6]).value();
    bench.real.craft_to_board = random() % 2;
    bench.real.per_degree = bench.used.per_degree = 10;
    if (in_turn.is_left_out()) continue;
    const MountProof proof = bench.first();
    if (proof.proven) continue;
    ++disproven;
    ASSERT_FALSE(proof.candidates.empty()) << proof.words;
    std::size_t tries = 0;
    bool put_right = false;
    for (const MountCandidate& candidate : proof.candidates) {
      ++tries;
      put_right = prove_mount(bench.readings(candidate.tell), bench.written()).proven;
      if (put_right) break;
    }
    EXPECT_TRUE(put_right) << proof.words;
    most_tries = std::max(most_tries, tries);
  }
  EXPECT_GT(disproven, 500 / test::every);
  EXPECT_LE(most_tries, 12U);
  std::printf("%d disproven, at most %zu candidates tried\n", disproven, most_tries);
}

TEST(MountProof, AMountOff45IsCaughtAtAShallowTiltToo) {
  const CraftFromBoard truth = mount(Degrees{45}, BoardSide::right_way_up).rotation;
  std::vector<ProofReading> readings;
  for (const Pose pose : {Pose::level, Pose::nose_down, Pose::right_down, Pose::nose_up, Pose::left_down}) {
    readings.push_back({pose, ToldFromBoard() * (truth.inverse() * up_in(pose, Degrees{30}))});
  }
  const MountProof proof = prove_mount(readings, {truth, {}, {}});
  EXPECT_FALSE(proof.proven) << proof.words;
}

// Level stands on a table and has a tolerance of its own; what leaned when the mount was found may lean
// again.
TEST(MountProof, ALeanThatWasNotFoundIsNotProven) {
  Bench bench{CraftFromBoard(), {}, {}};
  WrittenMount written = bench.written();
  bench.true_mount = CraftFromBoard(YawPitchRoll{0, 0, 8});
  const auto readings = bench.readings(written.told);
  const MountProof leans = prove_mount(readings, written);
  EXPECT_FALSE(leans.proven) << leans.words;
  EXPECT_EQ(leans.next_pose, Pose::level);
  EXPECT_TRUE(leans.candidates.empty());
  written.lean = Degrees{6};
  EXPECT_TRUE(prove_mount(readings, written).proven);
}

TEST(MountProof, TooFewPosesAskForTheRest) {
  const Bench bench{mount(Degrees{90}, BoardSide::upside_down).rotation, {}, {}};
  const WrittenMount written = bench.written();
  EXPECT_EQ(prove_mount(bench.readings(written.told, {Pose::level}), written).next_pose, Pose::nose_down);
  const MountProof two = prove_mount(bench.readings(written.told, {Pose::level, Pose::nose_up}), written);
  EXPECT_FALSE(two.proven);
  EXPECT_EQ(two.next_pose, Pose::right_down);
  EXPECT_EQ(prove_mount({}, written).next_pose, Pose::level);
}

TEST(MountProof, AMirroredAxisIsSaidAndNoMountIsProposed) {
  const Bench bench{mount(Degrees{0}, BoardSide::right_way_up).rotation, {}, {}};
  auto readings = bench.readings(bench.written().told);
  for (ProofReading& r : readings) r.reading.y = -r.reading.y;
  const MountProof proof = prove_mount(readings, bench.written());
  EXPECT_FALSE(proof.proven);
  EXPECT_TRUE(proof.candidates.empty());
  EXPECT_NE(proof.words.find("Right side down reads left side down."), std::string::npos);
  EXPECT_NE(proof.words.find("wrong sign (sense.axes)"), std::string::npos);
}

TEST(TurnCheck, TheFourAnswers) {
  using Result = TurnCheck::Result;
  const auto check = [](double x, double y, double z) {
    const std::vector<std::array<double, 3>> gyro(20, {x, y, z});
    return check_turn_to_the_right(gyro).result;
  };
  EXPECT_EQ(check(3, -4, 60), Result::right);
  EXPECT_EQ(check(3, -4, -60), Result::reversed);
  EXPECT_EQ(check(70, 0, 20), Result::other_axis);
  EXPECT_EQ(check(1, 2, 3), Result::too_little);
  EXPECT_EQ(check_turn_to_the_right({}).result, Result::too_little);
}

}  // namespace
}  // namespace armwise::solve::mount_proof_test
