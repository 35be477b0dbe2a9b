#include "armwise/craft/sensor_orientation.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <vector>

#include "armwise/craft/angle_convention.hpp"
#include "armwise/craft/mounts.hpp"
#include "check_values.hpp"
#include "support/some_mounts.hpp"

namespace armwise::craft::sensor_orientation_test {
namespace {

using nlohmann::json;

const SensorOrientation* valued(int value) {
  const auto all = sensor_orientations();
  const auto found = std::ranges::find(all, value, &SensorOrientation::value);
  return found == all.end() ? nullptr : &*found;
}

bool same(const CraftFromBoard& a, const CraftFromBoard& b) {
  return angle_between(a, b).value < 1e-6;
}

// Source: the MAVLink common message set, by way of check-values.json "mavlink_sensor_orientation".
const json& published() {
  static const json values = fixture("check-values.json").at("mavlink_sensor_orientation");
  return values;
}

TEST(SensorOrientation, IsTheStandardsTable) {
  std::size_t fixed = 0;
  for (const json& entry : published().at("entries")) {
    const int value = entry.at("value");
    const SensorOrientation* ours = valued(value);
    if (entry.at("rpy_deg").is_null()) {
      EXPECT_EQ(ours, nullptr);
      continue;
    }
    ASSERT_NE(ours, nullptr) << value;
    EXPECT_EQ(ours->name, entry.at("name").get<std::string>());
    EXPECT_EQ(ours->angles,
              (YawPitchRoll{entry.at("rpy_deg")[2], entry.at("rpy_deg")[1], entry.at("rpy_deg")[0]}));
    ++fixed;
  }
  EXPECT_EQ(fixed, published().at("n_fixed"));
  EXPECT_EQ(sensor_orientations().size(), fixed);
}

TEST(SensorOrientation, DuplicatesAreFound) {
  const auto expected = published().at("coincide").get<std::vector<std::pair<int, int>>>();
  const auto all = sensor_orientations();
  std::vector<std::pair<int, int>> found;
  for (auto one = all.begin(); one != all.end(); ++one) {
    for (auto other = one + 1; other != all.end(); ++other) {
      if (same(one->rotation(), other->rotation())) found.emplace_back(one->value, other->value);
    }
  }
  EXPECT_EQ(found, expected);
  EXPECT_EQ(sensor_orientations().size() - expected.size(), published().at("n_distinct"));
}

TEST(SensorOrientation, HoldsEveryAxisAlignedAndEveryFlatMount) {
  const auto held = [](const Mount& mount) {
    return std::ranges::any_of(sensor_orientations(), [&](const SensorOrientation& entry) {
      return same(entry.rotation(), mount.rotation);
    });
  };
  EXPECT_EQ(std::ranges::count_if(testing::axis_aligned_mounts(), held),
            published().at("cube_rotations_present"));
  EXPECT_EQ(std::ranges::count_if(testing::flat_mounts(), held),
            published().at("yaw45_upright_or_inverted_present"));
}

TEST(SensorOrientation, NotInTheCubeAndSensitiveToTheOrder) {
  std::vector<int> not_in_cube;
  std::vector<int> sensitive;
  for (const SensorOrientation& entry : sensor_orientations()) {
    const auto is_it = [&](const Mount& m) { return same(m.rotation, entry.rotation()); };
    if (std::ranges::none_of(testing::axis_aligned_mounts(), is_it)) not_in_cube.push_back(entry.value);
    bool differs = false;
    AngleConvention other;
    std::ranges::sort(other.order);
    do {
      const auto turned = craft_from_board(other, {entry.angles.yaw, entry.angles.pitch, entry.angles.roll});
      differs = differs || angle_between(turned, entry.rotation()).value > 1e-6;
    } while (std::ranges::next_permutation(other.order).found);
    if (differs) sensitive.push_back(entry.value);
  }
  EXPECT_EQ(not_in_cube, published().at("not_in_cube").get<std::vector<int>>());
  EXPECT_EQ(sensitive, published().at("order_sensitive_entries").get<std::vector<int>>());
}

TEST(SensorOrientation, ClosestPair) {
  double closest = 360;
  double next = 360;
  std::pair<int, int> pair;
  for (const SensorOrientation& a : sensor_orientations()) {
    for (const SensorOrientation& b : sensor_orientations()) {
      const double apart = angle_between(a.rotation(), b.rotation()).value;
      if (apart > closest + 1e-6) next = std::min(next, apart);
      if (apart < 1e-6 || apart >= closest - 1e-9) continue;
      if (closest < 360) next = std::min(next, closest);
      closest = apart;
      pair = {std::max(a.value, b.value), std::min(a.value, b.value)};
    }
  }
  EXPECT_NEAR(closest, published().at("closest_pair_deg"), 1e-8);
  EXPECT_NEAR(next, published().at("next_closest_deg"), 1e-8);
  EXPECT_EQ(pair, (published().at("closest_pair").get<std::pair<int, int>>()));
}

}  // namespace
}  // namespace armwise::craft::sensor_orientation_test
