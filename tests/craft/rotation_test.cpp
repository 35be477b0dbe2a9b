#include "armwise/craft/rotation.hpp"

#include <gtest/gtest.h>

#include "armwise/base/fault.hpp"
#include "check_values.hpp"

namespace armwise::craft::rotation_test {
namespace {

using nlohmann::json;

const json& reference() {
  static const json values = fixture("reference-rotations.json");
  return values;
}
const json& euler() {
  static const json values = fixture("check-values.json").at("euler");
  return values;
}
json euler_named(const std::string& id) {
  for (const json& entry : euler()) {
    if (entry.value("id", "") == id) return entry;
  }
  return {};
}

Quaternion quaternion_from(const json& q) {
  return {q.at(0), q.at(1), q.at(2), q.at(3)};
}

// q and -q are the same rotation.
double largest_difference_of(const Quaternion& a, const Quaternion& b) {
  const double sign = a.x * b.x + a.y * b.y + a.z * b.z + a.w * b.w < 0 ? -1 : 1;
  return std::max({std::abs(a.x - sign * b.x), std::abs(a.y - sign * b.y), std::abs(a.z - sign * b.z),
                   std::abs(a.w - sign * b.w)});
}

// Source: scipy Rotation, see scripts/reference-rotations.
TEST(Rotation, AgreesWithTheReferenceLibraryBothWays) {
  int compared = 0;
  for (const json& entry : reference().at("angles")) {
    const YawPitchRoll angles = angles_from(entry.at("yaw_pitch_roll"));
    const CraftFromBoard rotation(angles);
    const Matrix3 expected = matrix_from(entry.at("matrix"));
    EXPECT_LT(largest_difference(rotation.matrix(), expected), 1e-9) << entry;
    EXPECT_LT(largest_difference_of(rotation.quaternion(), quaternion_from(entry.at("quaternion"))), 1e-9);
    EXPECT_LT(largest_difference(CraftFromBoard(quaternion_from(entry.at("quaternion"))).matrix(), expected),
              1e-9);
    EXPECT_NEAR(rotation.angle().value, entry.at("turned_by").get<double>(), 1e-6) << entry;
    EXPECT_LT(
        largest_difference(CraftFromBoard(CraftFromBoard(expected).yaw_pitch_roll()).matrix(), expected),
        1e-9);
    if (!entry.contains("back")) continue;
    EXPECT_LT(largest_difference(CraftFromBoard(expected).yaw_pitch_roll(), angles_from(entry.at("back"))),
              1e-9);
    ++compared;
  }
  EXPECT_GE(compared, 200);
}

// Source: scipy Rotation, see scripts/reference-rotations.
TEST(Rotation, ComposesAsTheReferenceLibraryDoes) {
  for (const json& entry : reference().at("compositions")) {
    const Rotation<BoardAxes, ToldAxes> first(matrix_from(entry.at("first")));
    const CraftFromBoard second(matrix_from(entry.at("second")));
    const Rotation<CraftAxes, ToldAxes> both = second * first;
    EXPECT_LT(largest_difference(both.matrix(), matrix_from(entry.at("second_after_first"))), 1e-9);
    EXPECT_NEAR(angle_between(CraftFromBoard(first.matrix()), second).value, entry.at("between"), 1e-9);
  }
}

// Source: check-values.json "euler", computed with scipy 1.10.1.
TEST(Rotation, AgreesWithThePublishedAngles) {
  int compared = 0;
  for (const json& entry : euler()) {
    if (!entry.contains("matrix_body_to_ref")) continue;
    const CraftFromBoard rotation(angles_from(entry.at("yaw_pitch_roll_deg")));
    EXPECT_LT(largest_difference(rotation.matrix(), matrix_from(entry.at("matrix_body_to_ref"))), 1e-11)
        << entry;
    EXPECT_LT(largest_difference_of(rotation.quaternion(), quaternion_from(entry.at("quat_xyzw"))), 1e-11);
    ++compared;
  }
  EXPECT_EQ(compared, 8);
}

// Source: check-values.json E1 and E4 (Schaub, worked by astralib's tests): the attitude of one body
// relative to another.
TEST(Rotation, RelativeAttitudes) {
  const auto relative = [](const YawPitchRoll& b, const YawPitchRoll& f) {
    return (CraftFromBoard(f).inverse() * CraftFromBoard(b)).yaw_pitch_roll();
  };
  EXPECT_LT(largest_difference(relative({30, -45, 60}, {10, 25, -15}),
                               angles_from(euler_named("E1").at("computed12"))),
            1e-9);
  EXPECT_LT(
      largest_difference(relative({10, 20, 30}, {-5, 5, 5}), angles_from(euler_named("E4").at("result"))),
      1e-7);
}

// Source: check-values.json E2 and E3 (Schaub, worked by astralib's tests).
TEST(Rotation, PrincipalRotation) {
  EXPECT_NEAR(CraftFromBoard(YawPitchRoll{10, 25, -15}).angle().value, euler_named("E2").at("angle_deg"),
              5e-5);
  EXPECT_NEAR(CraftFromBoard(YawPitchRoll{20, -10, 120}).angle().radians().value,
              euler_named("E3").at("angle_rad"), 1e-6);
  for (const auto& [name, angles] : {std::pair{"E2", YawPitchRoll{10, 25, -15}}, {"E3", {20, -10, 120}}}) {
    const Quaternion q = CraftFromBoard(angles).quaternion();
    const json axis = euler_named(name).at("axis");
    const double sine = length(q.x, q.y, q.z);
    EXPECT_NEAR(q.x / sine, axis[0].get<double>(), 1e-6) << name;
    EXPECT_NEAR(q.y / sine, axis[1].get<double>(), 1e-6) << name;
    EXPECT_NEAR(q.z / sine, axis[2].get<double>(), 1e-6) << name;
  }
}

// The range of the header is (-180, 180]: turned right round is 180 either way.
TEST(Rotation, RightRoundIsPlus180) {
  EXPECT_NEAR(CraftFromBoard(YawPitchRoll{-180, 0, 0}).yaw_pitch_roll().yaw, 180, 1e-9);
  EXPECT_NEAR(CraftFromBoard(YawPitchRoll{0, 0, -180}).yaw_pitch_roll().roll, 180, 1e-9);
  EXPECT_NEAR(CraftFromBoard(YawPitchRoll{-179.9, 0, 0}).yaw_pitch_roll().yaw, -179.9, 1e-9);
}

// Source: check-values.json E5 (CRAN RSpincalc demo), which prints passive matrices: the transpose of ours.
TEST(Rotation, QuaternionToMatrix) {
  const json worked = euler_named("E5");
  for (const json& pair : worked.at("pairs")) {
    const Matrix3 active = CraftFromBoard(quaternion_from(pair.at("q"))).matrix();
    EXPECT_LT(largest_difference(active.transposed(), matrix_from(pair.at("dcm"))), 1e-7);
  }
}

// Source: check-values.json E6, computed with scipy.
TEST(Rotation, APresetAndATrimDoNotCommute) {
  const Rotation<CraftAxes, CraftAxes> preset(YawPitchRoll{90, 0, 180});
  const Rotation<CraftAxes, CraftAxes> trim(YawPitchRoll{2, -3, 1});
  EXPECT_LT(largest_difference((preset * trim).yaw_pitch_roll(),
                               angles_from(euler_named("E6").at("preset_times_trim"))),
            1e-9);
  EXPECT_LT(largest_difference((trim * preset).yaw_pitch_roll(),
                               angles_from(euler_named("E6").at("trim_times_preset"))),
            1e-9);
}

TEST(Rotation, AtGimbalLockYawCarriesAllAndRollIsZero) {
  const CraftFromBoard up(YawPitchRoll{45, 90, 30});
  EXPECT_NEAR(up.yaw_pitch_roll().yaw, 15, 1e-9);
  EXPECT_EQ(up.yaw_pitch_roll().roll, 0);
  const CraftFromBoard down(YawPitchRoll{45, -90, 30});
  EXPECT_NEAR(down.yaw_pitch_roll().yaw, 75, 1e-9);
  EXPECT_NEAR(down.yaw_pitch_roll().pitch, -90, 1e-9);
}

TEST(Rotation, AMirrorImageIsRefused) {
  Matrix3 mirrored;
  mirrored(1, 1) = -1;
  EXPECT_THROW(CraftFromBoard{mirrored}, Fault);
  Matrix3 stretched;
  stretched(0, 0) = 1.1;
  EXPECT_THROW(CraftFromBoard{stretched}, Fault);
}

TEST(Rotation, TurnsTheBoardsArrowWhereAPersonWouldSeeIt) {
  // Yaw 90: the arrow to the right. Roll 180: still forward, right and left changed over.
  const InCraft arrow = CraftFromBoard(YawPitchRoll{90, 0, 0}) * InBoard{1, 0, 0};
  EXPECT_NEAR(angle_between(arrow, InCraft{0, 1, 0}).value, 0, 1e-12);
  const InCraft right_edge = CraftFromBoard(YawPitchRoll{0, 0, 180}) * InBoard{0, 1, 0};
  EXPECT_NEAR(angle_between(right_edge, InCraft{0, -1, 0}).value, 0, 1e-12);
  const InCraft nose_up = CraftFromBoard(YawPitchRoll{0, 30, 0}) * InBoard{1, 0, 0};
  EXPECT_LT(nose_up.z, 0);
}

}  // namespace
}  // namespace armwise::craft::rotation_test
