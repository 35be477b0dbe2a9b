// How often a mount is named wrongly, and how often a further pose is asked for, with the errors that people
// and sensors make. By simulation, seeded. The error model: each pose off by a normally distributed turn
// about each of the three axes; the sensor off by a constant on each axis and noise (check-values A5: zero-g
// offsets of 20 to 80 mg), and by one per cent in scale.
#include <gtest/gtest.h>

#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <random>

#include "armwise/solve/mount_from_poses.hpp"
#include "support/sweep.hpp"

namespace armwise::solve {
namespace {

using craft::CraftAxes;
using craft::CraftFromBoard;
using craft::Degrees;
using craft::InBoard;
using craft::InCraft;

struct Errors {
  double pose = 10;  // degrees, standard deviation about each axis
  double least_tilt = 90, greatest_tilt = 90;
  double offset = 0.03, noise = 0.005;  // g
};

struct Rates {
  int sessions = 0, wrong = 0, asked = 0, given_up = 0;
  double poses = 0;
};

class Person {
 public:
  Person(const Errors& errors, unsigned seed) : errors_(errors), random_(seed) {}

  void take(const CraftFromBoard& mount) {
    board_from_craft_ = mount.inverse();
    offset_ = errors_.offset * normal_vector();
  }

  PoseReading hold(Pose pose) {
    std::uniform_real_distribution<double> tilt(errors_.least_tilt, errors_.greatest_tilt);
    const InCraft up = wrong_turn() * up_in(pose, Degrees{tilt(random_)});
    return {pose, 1.01 * (board_from_craft_ * up) + offset_ + errors_.noise * normal_vector()};
  }

 private:
  // A turn whose axis and size are three normal numbers, as a quaternion.
  craft::Rotation<CraftAxes, CraftAxes> wrong_turn() {
    const InBoard turn = Degrees{errors_.pose}.radians().value * normal_vector();
    const double half = length(turn) / 2;
    const double scale = half > 0 ? std::sin(half) / (2 * half) : 0.5;
    return craft::Rotation<CraftAxes, CraftAxes>(
        craft::Quaternion{scale * turn.x, scale * turn.y, scale * turn.z, std::cos(half)});
  }
  InBoard normal_vector() { return {normal_(random_), normal_(random_), normal_(random_)}; }

  Errors errors_;
  std::mt19937_64 random_;
  std::normal_distribution<double> normal_;
  craft::Rotation<craft::BoardAxes, CraftAxes> board_from_craft_;
  InBoard offset_;
};

// Level, nose down, right side down, and whatever is asked for after that, up to six times.
void run_session(Person& person, const craft::Mount& truth, Rates& rates) {
  person.take(truth.rotation);
  std::vector<PoseReading> readings{person.hold(Pose::level), person.hold(Pose::nose_down),
                                    person.hold(Pose::right_down)};
  ++rates.sessions;
  bool asked = false;
  for (int tries = 0;; ++tries) {
    const MountAnswer answer = mount_from_poses(readings);
    const auto* found = std::get_if<MountFound>(&answer);
    if (found && found->certain) {
      if (craft::angle_between(found->nearest.rotation, truth.rotation).value > 1) ++rates.wrong;
      break;
    }
    asked = true;
    if (tries >= 6) {
      ++rates.given_up;
      break;
    }
    if (found && !found->between_names) {
      readings.push_back(person.hold(*found->next_pose));
      continue;
    }
    for (const Pose again :
         found ? std::vector{*found->next_pose} : std::get<MountNotFound>(answer).hold_again) {
      std::erase_if(readings, [&](const PoseReading& r) { return r.pose == again; });
      readings.push_back(person.hold(again));
    }
  }
  if (asked) ++rates.asked;
  rates.poses += static_cast<double>(readings.size());
}

// The 24 axis-aligned mounts times the 8 yaws, over and over.
Rates run(const Errors& errors, int sessions, unsigned seed) {
  const auto aligned = craft::axis_aligned_mounts();
  std::vector<craft::Mount> truths;
  for (const craft::Mount& mount : aligned) {
    for (int eighth = 0; eighth < 8; ++eighth) {
      truths.push_back(craft::mount(Degrees{mount.angles.yaw + 45.0 * eighth}, mount.side));
    }
  }
  Person person(errors, seed);
  Rates rates;
  for (int i = 0; i < sessions; ++i)
    run_session(person, truths[static_cast<std::size_t>(i) % truths.size()], rates);
  std::printf(
      "pose error %.0f, tipped %.0f to %.0f: %d sessions, %d wrong, %.2f %% asked, %d given up, %.2f poses\n",
      errors.pose, errors.least_tilt, errors.greatest_tilt, rates.sessions, rates.wrong,
      100.0 * rates.asked / rates.sessions, rates.given_up, rates.poses / rates.sessions);
  return rates;
}

// ARMWISE_SESSIONS=1000000 for the long run.
int sessions(int usual) {
  const char* wanted = std::getenv("ARMWISE_SESSIONS");
  return wanted ? std::atoi(wanted) : usual / (test::sanitized ? 10 : 1);
}

TEST(MountMonteCarlo, TenDegreesOfPoseErrorPerAxis) {
  const Rates rates = run({}, sessions(100'000), 20240607);
  EXPECT_EQ(rates.wrong, 0);
  EXPECT_LE(rates.asked, rates.sessions / 5);
  EXPECT_LT(rates.given_up, rates.sessions / 1000);
}

TEST(MountMonteCarlo, FiveDegreesHardlyEverAskForMore) {
  const Rates rates = run({.pose = 5}, sessions(5'000), 1);
  EXPECT_EQ(rates.wrong, 0);
  EXPECT_LE(rates.asked, rates.sessions / 20);
}

TEST(MountMonteCarlo, TippedByThirtyToEightyDegrees) {
  const Rates rates = run({.least_tilt = 30, .greatest_tilt = 80}, sessions(10'000), 2);
  EXPECT_EQ(rates.wrong, 0);
}

TEST(MountMonteCarlo, FifteenDegreesAskMoreButAreHardlyEverWrong) {
  const Rates rates = run({.pose = 15}, sessions(5'000), 3);
  EXPECT_LE(rates.wrong, rates.sessions / 200);
}

}  // namespace
}  // namespace armwise::solve
