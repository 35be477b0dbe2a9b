// How often a mount comes out wrong, how often a further pose or a choice is asked for, and how often it is
// given up, with the errors that people and sensors make. By simulation, seeded. The error model: each tilt
// off by a normally distributed turn about each of the three axes, and level by less, since the craft stands
// on a table; the sensor off by a constant on each axis and noise (check-values A5: zero-g offsets of 20 to
// 80 mg), and by one per cent in scale. Poses are asked for as session/mount_finder.cpp does, and after
// twelve it is given up. Wrong is what is more than 15 degrees off. The tables of DEVELOPERS.md:
//
//     ARMWISE_SESSIONS=100000 build/dev/tests/solve_tests --gtest_filter='MountMonteCarlo.*'
#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <optional>
#include <random>
#include <vector>

#include "armwise/solve/mount_from_poses.hpp"
#include "craft/check_values.hpp"
#include "support/some_mounts.hpp"
#include "support/sweep.hpp"

namespace armwise::solve::mount_monte_carlo_test {
namespace {

using craft::CraftAxes;
using craft::CraftFromBoard;
using craft::Degrees;
using craft::InBoard;
using craft::InCraft;

struct Errors {
  double pose = 10;  // degrees, standard deviation about each axis
  double level = 2;
  double least_tilt = 90, greatest_tilt = 90;
  double offset = 0.03, noise = 0.005;  // g
};

struct Rates {
  int sessions = 0, wrong = 0, asked = 0, given_up = 0;
  double poses = 0;
  double per_cent(int count) const { return 100.0 * count / sessions; }
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
    const InCraft up =
        wrong_turn(is_tilt(pose) ? errors_.pose : errors_.level) * up_in(pose, Degrees{tilt(random_)});
    return {pose, 1.01 * (board_from_craft_ * up) + offset_ + errors_.noise * normal_vector()};
  }

 private:
  // A turn whose axis and size are three normal numbers, as a quaternion.
  craft::Rotation<CraftAxes, CraftAxes> wrong_turn(double error) {
    const InBoard turn = Degrees{error}.radians().value * normal_vector();
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

constexpr int most_poses = 18;

class Session {
 public:
  Session(Person& person, const CraftFromBoard& truth, Rates& rates)
      : person_(person), truth_(truth), named_(craft::nearest_mounts(truth).off.value < 1), rates_(rates) {
    person.take(truth);
    for (const Pose pose : {Pose::level, Pose::nose_down, Pose::right_down}) hold(pose);
  }

  void run() {
    ++rates_.sessions;
    while (!settled_ && poses_ < most_poses) look();
    if (!settled_) look();
    if (!settled_) ++rates_.given_up;
    if (settled_ && angle_between(*settled_, truth_).value > 15) ++rates_.wrong;
    if (poses_ > 3 || chosen_) ++rates_.asked;
    rates_.poses += poses_;
  }

 private:
  void hold(Pose pose) {
    readings_.push_back(person_.hold(pose));
    ++poses_;
  }
  void hold_instead(Pose pose) {
    std::erase_if(readings_, [&](const PoseReading& r) { return r.pose == pose; });
    hold(pose);
  }

  // The person knows whether the board was meant to sit at a usual angle, and chooses by that.
  void look() {
    const MountAnswer answer = mount_from_poses(readings_);
    const auto* found = std::get_if<MountFound>(&answer);
    if (!found) {
      for (const Pose pose : std::get<MountNotFound>(answer).hold_again) hold_instead(pose);
      return;
    }
    if (exact_) return measure(*found);
    if (!found->certain && !found->between_names) return hold(*found->next_pose);
    if (found->certain && !found->leans) {
      settled_ = found->nearest.rotation;
      return;
    }
    chosen_ = true;
    if (!named_) {
      exact_ = true;
    } else if (found->between_names) {
      settled_ = found->nearest.rotation;
    } else {
      hold_instead(Pose::level);
    }
  }

  void measure(const MountFound& found) {
    for (const Pose pose : {Pose::nose_up, Pose::left_down}) {
      if (std::ranges::find(readings_, pose, &PoseReading::pose) == readings_.end()) return hold(pose);
    }
    if (found.poses_agree) {
      settled_ = found.free;
    } else {
      hold_instead(found.residuals[found.worst].pose);
    }
  }

  Person& person_;
  CraftFromBoard truth_;
  bool named_, exact_ = false, chosen_ = false;
  int poses_ = 0;
  std::vector<PoseReading> readings_;
  std::optional<CraftFromBoard> settled_;
  Rates& rates_;
};

// The 24 axis-aligned mounts times the 8 yaws.
std::vector<CraftFromBoard> named_boards() {
  std::vector<CraftFromBoard> truths;
  for (const craft::Mount& mount : craft::testing::axis_aligned_mounts()) {
    for (int eighth = 0; eighth < 8; ++eighth)
      truths.push_back(craft::mount(Degrees{mount.angles.yaw + 45.0 * eighth}, mount.side).rotation);
  }
  return truths;
}

// Every 5 degrees of yaw, either side up, and leaning by every 5 degrees one way or another.
std::vector<CraftFromBoard> all_boards() {
  std::vector<CraftFromBoard> truths;
  for (int lean = 0; lean <= 45; lean += 5) {
    for (int yaw = 0; yaw < 360; yaw += 5) {
      const double way = yaw * 7.0;
      for (const double roll : {0.0, 180.0}) {
        truths.emplace_back(
            craft::YawPitchRoll{static_cast<double>(yaw), lean * std::sin(way), roll + lean * std::cos(way)});
      }
    }
  }
  return truths;
}

Rates run(const char* boards, const std::vector<CraftFromBoard>& truths, const Errors& errors, int sessions,
          unsigned seed) {
  Person person(errors, seed);
  std::mt19937_64 random(seed);
  Rates rates;
  for (int i = 0; i < sessions; ++i) Session(person, truths[random() % truths.size()], rates).run();
  std::printf("| %s | %2.0f | %2.0f to %2.0f | %2.0f mg | %.3f %% | %.1f %% | %.2f %% | %.1f |\n", boards,
              errors.pose, errors.least_tilt, errors.greatest_tilt, 1000 * errors.offset,
              rates.per_cent(rates.wrong), rates.per_cent(rates.asked), rates.per_cent(rates.given_up),
              rates.poses / rates.sessions);
  return rates;
}

// ARMWISE_SESSIONS=1000000 for the long run.
int sessions(int usual) {
  const char* wanted = std::getenv("ARMWISE_SESSIONS");
  return wanted ? std::atoi(wanted) : usual / (test::sanitized ? 10 : 1);
}

// The yardstick from outside: check-values.json "pose_monte_carlo", two poses by TRIAD with level first,
// which is what our fit comes to with one tilt (numpy, 1,000,000 each; here 20,000, so within 3 per cent).
TEST(MountMonteCarlo, ThePublishedErrorsOfYaw) {
  int compared = 0;
  for (const auto& row : craft::fixture("check-values.json").at("pose_monte_carlo")) {
    const std::string name = row.at("name");
    if (row.at("method") != "triad" || name.find("45") != std::string::npos) continue;
    Person person({.pose = row.at("sd_deg")[1], .level = row.at("sd_deg")[0], .offset = 0, .noise = 0}, 5);
    person.take(CraftFromBoard());
    std::vector<double> off;
    for (int i = 0; i < 20'000; ++i) {
      const std::array readings{person.hold(Pose::level), person.hold(Pose::nose_down)};
      const MountAnswer answer = mount_from_poses(readings);
      off.push_back(std::abs(std::get<MountFound>(answer).free_angles.yaw));
    }
    double squares = 0;
    for (const double each : off) squares += each * each;
    std::ranges::sort(off);
    const double sd = row.at("yaw_sd");
    const double p95 = row.at("yaw_p95");
    EXPECT_NEAR(std::sqrt(squares / static_cast<double>(off.size())), sd, 0.03 * sd) << name;
    EXPECT_NEAR(off[off.size() * 95 / 100], p95, 0.03 * p95) << name;
    ++compared;
  }
  EXPECT_EQ(compared, 3);
}

// The limits on what is wrong are what was measured, with room for chance: a hand of 15 degrees cannot tell
// angles 45 degrees apart for certain, and measures any to no better than itself.
void judge(const char* boards, const std::vector<CraftFromBoard>& truths,
           const std::vector<double>& most_wrong) {
  const std::array hands{2.0, 5.0, 10.0, 15.0};
  for (const double offset : {0.03, 0.08}) {
    for (std::size_t i = 0; i < hands.size(); ++i) {
      const Errors errors{.pose = hands[i], .least_tilt = 30, .greatest_tilt = 80, .offset = offset};
      const Rates rates = run(boards, truths, errors, sessions(2'000), 1);
      EXPECT_LE(rates.per_cent(rates.wrong), most_wrong[i]) << hands[i] << " degrees, " << offset << " g";
      EXPECT_LT(rates.per_cent(rates.given_up), 1) << hands[i] << " degrees, " << offset << " g";
    }
  }
}

TEST(MountMonteCarlo, BoardsAtUsualAngles) {
  judge("usual angles", named_boards(), {0, 0, 0.1, 3});
}

TEST(MountMonteCarlo, BoardsAtEveryFiveDegreesOfYawAndLean) {
  judge("any angle", all_boards(), {0, 0.8, 4.5, 15});
}

}  // namespace
}  // namespace armwise::solve::mount_monte_carlo_test
