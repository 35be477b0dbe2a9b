// A trial mount, to see how the readings follow: told no mount, another one, and none again, while the board
// is held still, and put back as it was.
#include <algorithm>
#include <array>
#include <cstdlib>
#include <utility>

#include "armwise/base/task.hpp"
#include "armwise/base/text.hpp"
#include "armwise/console/mount_text.hpp"
#include "armwise/teach/units.hpp"
#include "teach_axes.hpp"

namespace armwise::session {
namespace {

using console::Values;
using craft::Degrees;
using teach::angle_names;
using teach::Numbers;

// Small enough to be held in mind, large enough that the order in which they are applied shows.
constexpr std::array<double, 3> trial_angles{20, 30, 40};

// Between two readings of one hold, by judgement: more, and the hand has moved.
constexpr Degrees held_still{5};
// While somebody holds a board still. A console without a prompt is waited for after each answer.
constexpr Duration quick{150};
constexpr std::size_t many_readings = 4;

Values trial_values(double per_degree, int decimals) {
  Values values;
  for (std::size_t i = 0; i < angle_names().size(); ++i)
    values[angle_names().at(i)] = number_text(trial_angles.at(i) * per_degree, decimals);
  return values;
}

// As written, rounding included.
craft::ConsoleAngles as_told(const Values& values) {
  const auto number = [&](const char* name) { return std::strtod(values.at(name).c_str(), nullptr); };
  return {number("yaw"), number("pitch"), number("roll")};
}

// The code that turns the three ways furthest, so that a movement cannot be missed.
std::string farthest_code(const std::map<std::string, craft::YawPitchRoll>& codes) {
  std::string farthest;
  double most = 0;
  for (const auto& [code, angles] : codes) {
    const craft::ToldFromBoard turn(angles);
    double sum = 0;
    for (const craft::InBoard up : {craft::InBoard{0, 0, 1}, {1, 0, 0}, {0, 1, 0}}) {
      const craft::InTold told = turn * up;
      const double angle = craft::angle_between({up.x, up.y, up.z}, {told.x, told.y, told.z}).value;
      sum += angle * angle;
    }
    if (sum <= most + 1e-6) continue;
    most = sum;
    farthest = code;
  }
  return farthest;
}

Writes mount_writes(const console::MountAbility& mount, const Values& values) {
  if (mount.set) return {{mount.set->steps, values}};
  return {{mount.set_yaw->steps, values}, {mount.set_pitch->steps, values}, {mount.set_roll->steps, values}};
}

MountTrial trial_of_numbers(const console::MountAbility& mount) {
  MountTrial trial;
  trial.numbers = console::mount_values(mount, {trial_angles[0], trial_angles[1], trial_angles[2]});
  trial.words = "yaw 20, pitch 30 and roll 40 degrees, in its own numbers";
  trial.none = mount_writes(mount, console::mount_values(mount, {}));
  trial.others.push_back({mount_writes(mount, trial.numbers)});
  return trial;
}

// What to tell the console for none, and for the other mount; absent where its list of codes has no such.
std::optional<MountTrial> mount_trial(const console::MountAbility& mount, const Values& now) {
  MountTrial trial;
  if (mount.form != craft::RotationForm::angles) return trial_of_numbers(mount);
  if (mount.codes.empty()) {
    trial.words = "yaw 20, pitch 30 and roll 40 degrees, as this console counts";
    trial.none = mount_writes(mount, trial_values(0, mount.decimals));
    for (const double unit : {mount.per_degree, teach::finer_angle_unit(mount.per_degree)}) {
      const Values other = trial_values(unit, mount.decimals);
      if (unit != 0) trial.others.push_back({mount_writes(mount, other), as_told(other), unit});
    }
    return trial;
  }
  const auto none = std::find_if(mount.codes.begin(), mount.codes.end(), [](const auto& code) {
    return craft::CraftFromBoard(code.second).angle() < Degrees{0.5};
  });
  const std::string other = farthest_code(mount.codes);
  if (none == mount.codes.end() || other.empty()) return std::nullopt;
  trial.code_means = mount.codes.at(other);
  trial.words = other;
  // With what else the number holds, where it is some bits of one.
  Values none_values = now, other_values = now;
  none_values["mount"] = none->first;
  other_values["mount"] = other;
  trial.none = mount_writes(mount, none_values);
  trial.others.push_back({mount_writes(mount, other_values)});
  return trial;
}

}  // namespace

Task<std::optional<MountTrial>> agreed_mount_trial(Teaching& t) {
  console::Profile& profile = t.draft.profile;
  if (!profile.mount || !profile.mount->settable()) co_return std::nullopt;
  const Values nothing;
  Values shared;
  if (profile.mount->set && profile.mount->set->sets_bits()) {
    const teach::Lines shown = co_await read_as_it_is(t, profile.mount->read, nothing);
    shared = teach::values_read(profile.mount->read, shown);
  }
  std::optional<MountTrial> trial = mount_trial(*profile.mount, shared);
  if (!trial) co_return std::nullopt;
  Writes sent = trial->none;
  for (const OtherMount& other : trial->others)
    sent.insert(sent.end(), other.writes.begin(), other.writes.end());
  sent.emplace_back(profile.sense->read.steps, Values{});
  trial->agreed = co_await t.person.may_try(
      "You will hold the board in three ways. May its mount be set to " + trial->words +
          " for a moment in each, and back? Its readings show then what it makes of that. No "
          "motor turns, and nothing is kept.",
      sent);
  if (!trial->agreed) co_return std::nullopt;
  const teach::Lines now = co_await read_as_it_is(t, profile.mount->read, nothing);
  const Values values = teach::values_read(profile.mount->read, now);
  trial->before = now;
  // How late these answers are, not what else was late before.
  const Duration slowest = std::exchange(t.talk.ear.slowest, Duration(0));
  co_await t.talk.say_again(profile.sense->read.steps, nothing);
  if (!t.talk.ear.prompts.empty() && t.talk.ear.slowest <= quick) trial->readings = many_readings;
  t.talk.ear.slowest = std::max(slowest, t.talk.ear.slowest);
  trial->back = mount_writes(*profile.mount, values);
  co_return trial;
}

// Told one after the other in one hold, each followed by readings. A console may refuse the last but one:
// angles that are none in its unit.
Task<HeldUnderTrial> hold_under_trial(Teaching& t, const SenseWays& ways, const MountTrial& trial,
                                      Hold& hold) {
  const console::Query& sense = t.draft.profile.sense->read;
  const std::size_t readings = trial.readings;
  Trial change;
  change.what = "The mount";
  change.back.push_back(trial.back);
  change.read = t.draft.profile.mount->read;
  change.before = trial.before;
  std::vector<const Writes*> told{&trial.none};
  for (const OtherMount& other : trial.others) told.push_back(&other.writes);
  told.push_back(&trial.none);
  for (const Writes* writes : told) {
    change.change.insert(change.change.end(), writes->begin(), writes->end());
    change.change.insert(change.change.end(), readings, {sense.steps, Values{}});
  }
  t.person.tell("measuring");
  const Tried found = co_await tried(t, change, *trial.agreed);
  if (found.all.size() != change.change.size()) co_return HeldUnderTrial::not_possible;
  // The first may still be from before, where a console smooths its readings.
  const std::ptrdiff_t old = readings > 1 ? 1 : 0;
  std::vector<Answers> heard;
  auto at = found.all.begin();
  for (const Writes* writes : told) {
    const auto end = at + static_cast<std::ptrdiff_t>(writes->size() + readings);
    const bool refused = std::any_of(at, end, [](const Said& said) { return said.refused; });
    heard.emplace_back();
    for (at += static_cast<std::ptrdiff_t>(writes->size()) + old; at < end; ++at) {
      if (!refused) heard.back().push_back(at->lines);
    }
  }
  hold.unturned = heard.front();
  hold.turned.assign(heard.begin() + 1, heard.end());
  const console::Query& read = likeliest(ways, Holds{hold});
  hold.turned.pop_back();
  const auto first = middle_of(heard.front(), read), last = middle_of(heard.back(), read);
  if (!first || !last || !middle_of(heard[1], read)) co_return HeldUnderTrial::not_possible;
  co_return craft::angle_between(*first, *last) > held_still ? HeldUnderTrial::moved : HeldUnderTrial::read;
}

}  // namespace armwise::session
