#include "armwise/solve/mount_convention.hpp"

#include <algorithm>
#include <cmath>
#include <vector>

namespace armwise::solve {
namespace {

using craft::AngleAxis;
using craft::AngleConvention;
using craft::Degrees;

constexpr std::size_t fewest_holds = 3;

// The opposite rotation is the same angles with the other signs in the other order, so no candidate says
// craft_to_board.
std::vector<AngleConvention> all_conventions(const AngleConvention& unit) {
  std::vector<AngleConvention> all;
  AngleConvention each = unit;
  each.craft_to_board = false;
  each.order = {AngleAxis::yaw, AngleAxis::pitch, AngleAxis::roll};
  do {
    for (unsigned bits = 0; bits < 8; ++bits) {
      for (std::size_t axis = 0; axis < 3; ++axis) each.signs.at(axis) = (bits >> axis & 1U) ? -1 : 1;
      all.push_back(each);
    }
  } while (std::ranges::next_permutation(each.order).found);
  return all;
}

}  // namespace

Degrees off_from(std::span<const MovedReading> readings, const craft::CraftFromBoard& mount) {
  if (readings.empty()) return Degrees{180};
  double squares = 0;
  for (const MovedReading& reading : readings) {
    const auto& [x, y, z] = reading.unturned;
    const craft::InCraft expected = mount * craft::InBoard{x, y, z};
    const double off = craft::angle_between({expected.x, expected.y, expected.z}, reading.turned).value;
    squares += off * off;
  }
  return Degrees{std::sqrt(squares / static_cast<double>(readings.size()))};
}

ConventionAnswer convention_from_readings(std::span<const MovedReading> readings,
                                          const craft::ConsoleAngles& told, const AngleConvention& assumed,
                                          const ConventionLimits& limits) {
  if (readings.size() < fewest_holds) return ConventionUnclear{Degrees{180}};
  const std::vector<AngleConvention> all = all_conventions(assumed);
  std::vector<craft::CraftFromBoard> mounts;
  mounts.reserve(all.size());
  for (const AngleConvention& each : all) mounts.push_back(craft_from_board(each, told));
  const MountFollowed found = mount_followed(readings, mounts, limits);
  if (off_from(readings, {}) < limits.still) return ReadingsDoNotMove{};
  if (!found.clear) return ConventionUnclear{found.off};
  return ConventionFound{all[found.which], found.off};
}

MountFollowed mount_followed(std::span<const MovedReading> readings,
                             const std::vector<craft::CraftFromBoard>& mounts,
                             const ConventionLimits& limits) {
  MountFollowed found{0, Degrees{180}, false};
  double next = 180;
  for (std::size_t i = 0; i < mounts.size(); ++i) {
    const double off = off_from(readings, mounts[i]).value;
    next = std::min(next, std::max(off, found.off.value));
    if (off < found.off.value) found = {i, Degrees{off}, false};
  }
  found.clear = next - found.off.value >= limits.apart.value && found.off <= limits.tolerance;
  return found;
}

// Read as the board's own, readings that the set mount S has turned show M S^-1 for the true mount M; freed
// of an S that never turned them, they show M S.
bool readings_are_the_other_way(const MountSeen& first, const MountSeen& second, bool after_mount,
                                Degrees tolerance) {
  const auto otherwise = [&](const MountSeen& seen) {
    const craft::Matrix3 set = craft::CraftFromBoard(seen.set).matrix();
    return craft::CraftFromBoard(seen.found.matrix() * (after_mount ? set.transposed() : set));
  };
  return angle_between(first.found, second.found) > tolerance &&
         angle_between(otherwise(first), otherwise(second)) <= tolerance;
}

}  // namespace armwise::solve
