#include "armwise/console/mount_text.hpp"

#include <cmath>
#include <limits>
#include <numbers>
#include <string>

#include "armwise/base/fault.hpp"
#include "armwise/base/text.hpp"
#include "armwise/craft/angle_convention.hpp"
#include "listing.hpp"

namespace armwise::console {
namespace {

// Codes are steps of several degrees, so what is off by less is the same code.
constexpr double same_code_degrees = 0.5;

// Radians with four digits make 90.0002 degrees of 90.
constexpr double rounding_not_told = 0.05;

double degrees_between(const craft::YawPitchRoll& a, const craft::YawPitchRoll& b) {
  return craft::angle_between(craft::CraftFromBoard(a), craft::CraftFromBoard(b)).value;
}

std::string code_of(const MountAbility& ability, const craft::YawPitchRoll& mount) {
  std::string nearest;
  double nearest_by = std::numeric_limits<double>::infinity();
  // Two codes may mean one rotation; a lower number, or the shorter text, is then the plainer one.
  const auto plainer = [](const std::string& a, const std::string& b) {
    return a.size() != b.size() ? a.size() < b.size() : a < b;
  };
  for (const auto& [code, angles] : ability.codes) {
    const double off = degrees_between(angles, mount);
    if (off < nearest_by - 1e-6 || (off < nearest_by + 1e-6 && plainer(code, nearest))) {
      nearest = code;
      nearest_by = off;
    }
  }
  if (nearest_by <= same_code_degrees) return nearest;
  throw Fault(FaultKind::refused, "the console has no code for this mount",
              "The nearest, " + nearest + ", is " + degrees_text(nearest_by, 0) + " off",
              "Mount the board another way, or set the mount by other means");
}

}  // namespace

Values mount_values(const MountAbility& ability, const craft::YawPitchRoll& mount) {
  if (!ability.codes.empty()) return {{"mount", code_of(ability, mount)}};
  if (ability.form != craft::RotationForm::angles) {
    const auto numbers =
        craft::console_numbers(ability.form, ability.convention(), craft::CraftFromBoard(mount), ability.one);
    Values values;
    for (std::size_t i = 0; i < numbers.size(); ++i)
      values[ability.blanks().at(i)] = number_text(numbers[i], ability.decimals);
    return values;
  }
  craft::ConsoleAngles angles = craft::theirs_from(ability.convention(), mount);
  const double turn = 360 * ability.per_degree, rounding = std::pow(10, -ability.decimals) / 2;
  for (double* angle : {&angles.yaw, &angles.pitch, &angles.roll})
    if (ability.positive && *angle <= -rounding) *angle += turn;
  return {{"yaw", number_text(angles.yaw, ability.decimals)},
          {"pitch", number_text(angles.pitch, ability.decimals)},
          {"roll", number_text(angles.roll, ability.decimals)}};
}

craft::YawPitchRoll mount_read(const Profile& profile, const Values& values) {
  const MountAbility& ability = *profile.mount;
  if (ability.codes.empty() && ability.form != craft::RotationForm::angles) {
    std::vector<double> told;
    for (const std::string& blank : ability.blanks()) told.push_back(number_in(values, blank));
    const auto mount = craft::craft_from_numbers(ability.form, ability.convention(), told, ability.one);
    if (!mount) throw Fault(FaultKind::unreadable, "the numbers of the mount are no rotation");
    return mount->yaw_pitch_roll();
  }
  if (ability.codes.empty()) {
    return craft::ours_from(ability.convention(), {number_in(values, "yaw"), number_in(values, "pitch"),
                                                   number_in(values, "roll")});
  }
  const auto read = values.find("mount");
  if (read == values.end()) throw Fault(FaultKind::unreadable, "the reply does not say the mount");
  for (const auto& [code, angles] : ability.codes) {
    if (profile.same(code, read->second)) return angles;
  }
  throw Fault(FaultKind::unreadable,
              "the mount reads \"" + read->second + "\", which is no code of the list");
}

craft::YawPitchRoll mount_as_held(const Profile& profile, const craft::YawPitchRoll& mount) {
  if (!profile.mount || !profile.mount->codes.empty()) return mount;
  const craft::YawPitchRoll held = mount_read(profile, mount_values(*profile.mount, mount));
  return degrees_between(held, mount) < rounding_not_told ? mount : held;
}

double last_digit(const MountAbility& ability) {
  // Of a turn by so many radians, the parts of a quaternion change by half as much each at most.
  constexpr double degrees_for_a_part = 4 * 180 / std::numbers::pi;
  if (ability.form != craft::RotationForm::angles)
    return degrees_for_a_part * std::pow(10, -ability.decimals) / ability.one;
  return ability.codes.empty() ? std::pow(10, -ability.decimals) / std::abs(ability.per_degree) : 0;
}

bool same_mount(const MountAbility& ability, const craft::YawPitchRoll& written,
                const craft::YawPitchRoll& read) {
  if (!ability.codes.empty()) return degrees_between(written, read) <= same_code_degrees;
  return degrees_between(written, read) < last_digit(ability) / 2;
}

}  // namespace armwise::console
