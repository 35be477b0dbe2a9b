#include "armwise/solve/mount_from_poses.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <numbers>

#include "craft/check_values.hpp"
#include "support/sweep.hpp"

namespace armwise::solve::mount_from_poses_test {
namespace {

using craft::angle_between;
using craft::BoardSide;
using craft::CraftFromBoard;
using craft::Degrees;
using craft::fixture;
using craft::InBoard;
using craft::InTold;
using craft::mount;
using craft::ToldFromBoard;
using craft::YawPitchRoll;
using nlohmann::json;
using Why = MountNotFound::Why;

json our_poses(const std::string& letter) {
  static const json values = fixture("check-values.json").at("our_poses");
  for (const json& entry : values) {
    if (entry.at("name").get<std::string>().starts_with(letter + " ")) return entry;
  }
  return {};
}

Pose published_pose(const std::string& name) {
  static const std::map<std::string, Pose> poses{
      {"level", Pose::level},     {"nose_down", Pose::nose_down}, {"right_down", Pose::right_down},
      {"nose_up", Pose::nose_up}, {"left_down", Pose::left_down}, {"inverted", Pose::inverted}};
  return poses.at(name);
}

// The case's readings, most of which stand there in milli-g.
std::vector<PoseReading> readings_of(const std::string& letter) {
  const json entry = our_poses(letter);
  std::vector<PoseReading> readings;
  for (std::size_t i = 0; i < entry.at("poses").size(); ++i) {
    const json& raw = entry.at("sensor_raw")[i];
    const InBoard reading{raw[0], raw[1], raw[2]};
    readings.push_back({published_pose(entry.at("poses")[i]), (length(reading) > 2 ? 0.001 : 1) * reading});
  }
  return readings;
}

MountFound found_in(const std::vector<PoseReading>& readings) {
  const MountAnswer answer = mount_from_poses(readings);
  if (const auto* refused = std::get_if<MountNotFound>(&answer)) ADD_FAILURE() << refused->sentence;
  return std::get<MountFound>(answer);
}

MountNotFound refused_in(const std::vector<PoseReading>& readings) {
  const MountAnswer answer = mount_from_poses(readings);
  if (const auto* found = std::get_if<MountFound>(&answer)) ADD_FAILURE() << found->words;
  return std::get<MountNotFound>(answer);
}

PoseReading held(Pose pose, double tipped, const CraftFromBoard& mounted) {
  return {pose, mounted.inverse() * up_in(pose, Degrees{tipped})};
}

// Cases A to F. Source: check-values.json "our_poses" (truth by construction, figures by scipy 1.10.1).
TEST(MountFromPoses, CaseAExact) {
  const MountFound found = found_in(readings_of("A"));
  EXPECT_LT(angle_between(found.free, mount(Degrees{45}, BoardSide::upside_down).rotation).value, 1e-9);
  EXPECT_EQ(found.nearest.words, "turned 45 to the right, upside down");
  EXPECT_TRUE(found.certain);
  EXPECT_FALSE(found.next_pose);
}

TEST(MountFromPoses, CaseBNoisy) {
  const MountFound found = found_in(readings_of("B"));
  EXPECT_EQ(found.nearest.words, "turned 90 to the right");
  EXPECT_TRUE(found.certain);
  // Plain Wahba, which trusts the tilts' angles too, gives 93.86; the truth is 90 and a few degrees of noise.
  EXPECT_NEAR(found.free_angles.yaw, our_poses("B").at("yaw_pitch_roll_deg")[0], 2);
  EXPECT_LT(found.off.value, 5.5);
}

TEST(MountFromPoses, CaseCIsTriadWithLevelPrimary) {
  const MountFound found = found_in(readings_of("C"));
  EXPECT_LT(craft::largest_difference(found.free.matrix(),
                                      craft::matrix_from(our_poses("C2").at("R_body_from_sensor"))),
            1e-9);
  EXPECT_EQ(found.nearest.words, "turned 90 to the right");
  // One tilt cannot tell a mount from its mirror image.
  EXPECT_FALSE(found.certain);
  ASSERT_TRUE(found.next_pose);
  EXPECT_TRUE(*found.next_pose == Pose::right_down || *found.next_pose == Pose::left_down);
}

TEST(MountFromPoses, CaseDSixPosesUpsideDown) {
  const MountFound found = found_in(readings_of("D"));
  EXPECT_EQ(found.nearest.words, "turned 45 to the left, upside down");
  EXPECT_TRUE(found.certain);
  EXPECT_NEAR(found.free_angles.yaw, our_poses("D").at("yaw_pitch_roll_deg")[0], 1.5);
}

TEST(MountFromPoses, CaseELeftTakenForRightIsAMirrorImage) {
  const MountNotFound refused = refused_in(readings_of("E"));
  EXPECT_EQ(refused.why, Why::mirrored);
  ASSERT_GE(refused.likely.size(), 2U);
  EXPECT_EQ(refused.likely.front(),
            "Asked for right side down, the craft may have been held left side down.");
  EXPECT_EQ(refused.likely.back(),
            "The profile may give one of the sensor's axes the wrong sign (sense.axes).");
}

TEST(MountFromPoses, CaseFTippedByHalfARightAngleIsNotLedAstray) {
  const MountFound found = found_in(readings_of("F"));
  EXPECT_LT(found.free.angle().value, 1);
  EXPECT_EQ(found.nearest.words, "not turned");
}

TEST(MountFromPoses, HowFarTheCraftIsTippedDoesNotMatter) {
  test::InTurn in_turn;
  for (const craft::Mount& truth : craft::mounts()) {
    for (double tipped = 30; tipped <= 80; tipped += 10) {
      if (in_turn.is_left_out()) continue;
      const std::vector<PoseReading> readings{held(Pose::level, 0, truth.rotation),
                                              held(Pose::nose_down, tipped, truth.rotation),
                                              held(Pose::right_down, 110 - tipped, truth.rotation)};
      const MountFound found = found_in(readings);
      EXPECT_LT(angle_between(found.free, truth.rotation).value, 1e-9);
      EXPECT_EQ(found.nearest.words, truth.words);
    }
  }
}

TEST(MountFromPoses, FreeAnglesAreFoundExactly) {
  const CraftFromBoard truth(YawPitchRoll{17, -6, 171});
  const MountFound found = found_in(
      {held(Pose::level, 0, truth), held(Pose::nose_down, 50, truth), held(Pose::left_down, 70, truth)});
  EXPECT_LT(angle_between(found.free, truth).value, 1e-9);
}

TEST(MountFromPoses, ReadingsAfterTheSetMountAreTurnedBack) {
  const craft::Mount truth = mount(Degrees{-90}, BoardSide::upside_down);
  const ToldFromBoard set(YawPitchRoll{45, 10, -20});
  std::vector<PoseReading> readings;
  for (const Pose pose : {Pose::level, Pose::nose_down, Pose::right_down}) {
    const InTold shown = set * (truth.rotation.inverse() * up_in(pose, Degrees{60}));
    readings.push_back(before_mount(pose, shown, set));
  }
  EXPECT_EQ(found_in(readings).nearest.words, truth.words);
}

TEST(MountFromPoses, ACloseCallAsksForThePoseThatDecides) {
  const CraftFromBoard between(YawPitchRoll{21, 0, 0});
  std::vector<PoseReading> readings{held(Pose::level, 0, between), held(Pose::nose_down, 70, between),
                                    held(Pose::right_down, 70, between)};
  const MountFound found = found_in(readings);
  EXPECT_FALSE(found.certain);
  EXPECT_EQ(found.nearest.words, "not turned");
  EXPECT_EQ(found.second.words, "turned 45 to the right");
  EXPECT_NEAR(found.off.value, 21, 1e-6);
  EXPECT_NEAR(found.second_off.value, 24, 1e-6);
  ASSERT_TRUE(found.next_pose);
  EXPECT_TRUE(*found.next_pose == Pose::nose_up || *found.next_pose == Pose::left_down);
  EXPECT_TRUE(found.words.starts_with("These poses fit two mounts")) << found.words;
}

TEST(MountFromPoses, ALevelPoseThatLeansFarTowardAnEdgeAsksAboutTheVertical) {
  const CraftFromBoard leaning(YawPitchRoll{0, 0, 36});
  const MountFound found = found_in(
      {held(Pose::level, 0, leaning), held(Pose::nose_down, 80, leaning), held(Pose::nose_up, 80, leaning)});
  EXPECT_FALSE(found.certain);
  ASSERT_TRUE(found.next_pose);
  EXPECT_FALSE(*found.next_pose == Pose::nose_down || *found.next_pose == Pose::nose_up);
}

TEST(MountFromPoses, TheWorstPoseIsNamed) {
  const CraftFromBoard truth;
  std::vector<PoseReading> readings{held(Pose::level, 0, truth), held(Pose::nose_down, 80, truth),
                                    held(Pose::right_down, 80, CraftFromBoard(YawPitchRoll{15, 0, 0})),
                                    held(Pose::left_down, 80, truth)};
  const MountFound found = found_in(readings);
  EXPECT_EQ(found.residuals[found.worst].pose, Pose::right_down);
  EXPECT_NEAR(found.residuals[found.worst].from_named.value, 15, 1);
}

TEST(MountFromPoses, WeightsCount) {
  const CraftFromBoard truth;
  const CraftFromBoard askew(YawPitchRoll{20, 0, 0});
  std::vector<PoseReading> readings{held(Pose::level, 0, truth), held(Pose::nose_down, 90, truth),
                                    held(Pose::right_down, 90, askew)};
  readings[1].weight = 3;
  const double yaw = found_in(readings).free_angles.yaw;
  EXPECT_NEAR(yaw,
              std::atan2(std::sin(Degrees{20}.radians().value), 3 + std::cos(Degrees{20}.radians().value)) *
                  180 / std::numbers::pi * 1,
              1e-9);
}

TEST(MountFromPoses, Refusals) {
  const CraftFromBoard truth;
  const auto level = held(Pose::level, 0, truth);
  const auto nose_down = held(Pose::nose_down, 60, truth);
  EXPECT_EQ(refused_in({}).why, Why::no_level);
  EXPECT_EQ(refused_in({nose_down, held(Pose::right_down, 60, truth)}).why, Why::no_level);
  EXPECT_EQ(refused_in({level}).why, Why::too_few_directions);
  EXPECT_EQ(refused_in({level, held(Pose::inverted, 0, truth)}).why, Why::too_few_directions);
  const MountNotFound shallow = refused_in({level, held(Pose::nose_down, 12, truth)});
  EXPECT_EQ(shallow.why, Why::tipped_too_little);
  EXPECT_NE(shallow.sentence.find("12 degrees"), std::string::npos);
  EXPECT_EQ(shallow.hold_again, std::vector{Pose::nose_down});
  const MountNotFound heavy = refused_in({level, {Pose::nose_down, 1.3 * nose_down.reading}});
  EXPECT_EQ(heavy.why, Why::not_one_g);
  EXPECT_NE(heavy.sentence.find("1.30 g"), std::string::npos);
}

TEST(MountFromPoses, PosesThatFitNeitherAMountNorItsMirrorImageContradict) {
  const CraftFromBoard truth;
  const std::vector<PoseReading> readings{held(Pose::level, 0, truth), held(Pose::nose_down, 80, truth),
                                          held(Pose::right_down, 80, truth), held(Pose::left_down, 80, truth),
                                          held(Pose::nose_up, 80, CraftFromBoard(YawPitchRoll{90, 0, 0}))};
  const MountNotFound refused = refused_in(readings);
  EXPECT_EQ(refused.why, Why::contradiction);
  EXPECT_EQ(refused.hold_again, std::vector{Pose::nose_up});
}

// Of the 48 ways to mislabel three poses along signed axes, the 24 improper ones are detected and the others
// look like a mount. Source: check-values.json "pose_labels" (order of the hyperoctahedral group B3).
TEST(MountFromPoses, HalfOfAllMixUpsAreMirrorImages) {
  const std::array axes{Pose::nose_down, Pose::nose_up, Pose::right_down,
                        Pose::left_down, Pose::level,   Pose::inverted};
  int detected = 0;
  int undetected = 0;
  for (const Pose as_level : axes) {
    for (const Pose as_nose_down : axes) {
      for (const Pose as_right_down : axes) {
        const auto read = [&](Pose pose) { return craft::CraftFromBoard().inverse() * up_in(pose); };
        const double volume = std::abs(craft::Matrix3{
            {read(as_level).x, read(as_level).y, read(as_level).z, read(as_nose_down).x, read(as_nose_down).y,
             read(as_nose_down).z, read(as_right_down).x, read(as_right_down).y,
             read(as_right_down).z}}.determinant());
        if (volume < 0.5) continue;  // two of them along the same axis
        const std::vector<PoseReading> readings{{Pose::level, read(as_level)},
                                                {Pose::nose_down, read(as_nose_down)},
                                                {Pose::right_down, read(as_right_down)}};
        const MountAnswer answer = mount_from_poses(readings);
        const auto* refused = std::get_if<MountNotFound>(&answer);
        if (refused) {
          EXPECT_EQ(refused->why, Why::mirrored);
        }
        ++(refused ? detected : undetected);
      }
    }
  }
  const json labels = fixture("check-values.json").at("pose_labels");
  EXPECT_EQ(detected, labels.at("improper_detected_by_det"));
  EXPECT_EQ(undetected, labels.at("proper_undetectable"));
}

std::vector<PoseReading> every_tilt(const CraftFromBoard& truth) {
  return {held(Pose::level, 0, truth), held(Pose::nose_down, 70, truth), held(Pose::right_down, 60, truth),
          held(Pose::nose_up, 50, truth), held(Pose::left_down, 70, truth)};
}

TEST(MountFromPoses, ABoardBetweenTheNamedMountsIsMeasuredAndSaidSo) {
  for (const YawPitchRoll& angles :
       {YawPitchRoll{20, 45, 0}, {15, 0, 0}, {22.5, 0, 0}, {-30, 0, 180}, {0, 0, 45}}) {
    const CraftFromBoard truth(angles);
    const MountFound found = found_in(every_tilt(truth));
    EXPECT_TRUE(found.between_names) << angles.yaw << " " << found.words;
    EXPECT_FALSE(found.certain);
    EXPECT_FALSE(found.next_pose);
    EXPECT_LT(angle_between(found.free, truth).value, 1e-9);
  }
}

TEST(MountFromPoses, ALeaningBoardIsNamedAndSaidToLean) {
  const CraftFromBoard truth(YawPitchRoll{0, 0, 20});
  const MountFound found = found_in(
      {held(Pose::level, 0, truth), held(Pose::nose_down, 70, truth), held(Pose::right_down, 70, truth)});
  EXPECT_TRUE(found.certain);
  EXPECT_TRUE(found.leans);
  EXPECT_NEAR(found.lean.value, 20, 1e-6);
}

// A cheap sensor, 80 mg off on each axis (check-values A5): its offset shows in the lengths of the readings.
TEST(MountFromPoses, TheSensorsOffsetIsTakenOff) {
  for (const InBoard& offset : {InBoard{0.08, -0.08, 0.08}, {-0.16, 0.02, 0.16}, {0.2, 0.1, -0.05}}) {
    std::vector<PoseReading> readings{held(Pose::level, 0, {}), held(Pose::nose_down, 70, {}),
                                      held(Pose::right_down, 70, {})};
    for (PoseReading& r : readings) r.reading = r.reading + offset;
    const MountFound found = found_in(readings);
    EXPECT_TRUE(found.certain) << found.words;
    EXPECT_LT(found.lean.value, 2.5) << "and the board is not said to lean";
  }
}

TEST(MountFromPoses, AWrongScaleIsNoOffset) {
  for (const double scale : {0.5, 1.4, 9.8}) {
    std::vector<PoseReading> readings = every_tilt({});
    for (PoseReading& r : readings) r.reading = scale * r.reading;
    EXPECT_EQ(refused_in(readings).why, Why::not_one_g) << scale;
    readings.resize(3);
    EXPECT_EQ(refused_in(readings).why, Why::not_one_g) << scale;
  }
}

TEST(MountFromPoses, FromThePersonsOwnEyes) {
  EXPECT_EQ(mount_from_arrow(Degrees{180}, true).words, "facing backward, upside down");
}

}  // namespace
}  // namespace armwise::solve::mount_from_poses_test
