// Lesson: what the accelerometer's numbers mean, and how the mount that is set shows in them.
//
// The board is held in three ways. In each, where the person agrees, it is told no mount, another mount, and
// none again, and the old one is put back: how its readings move tells whether they are taken after the set
// mount, and which angle is counted which way round and applied in which order.
#include <algorithm>
#include <array>
#include <cstdlib>

#include "armwise/base/text.hpp"
#include "armwise/console/mount_text.hpp"
#include "armwise/solve/mount_convention.hpp"
#include "teach_flow.hpp"

namespace armwise::session {
namespace {

using console::Values;
using craft::Degrees;
using teach::Numbers;

struct Way {
  const char* pose;
  const char* words;
};
constexpr std::array<Way, 3> ways{
    {{"board-level", "lying level, the side with its arrow up"},
     {"board-arrow-down", "tipped until its arrow points straight down"},
     {"board-right-edge-down", "tipped until its right edge, seen along the arrow, points straight down"}}};

// Small enough to be held in mind, large enough that the order in which they are applied shows.
constexpr std::array<double, 3> trial_angles{20, 30, 40};
constexpr std::array<const char*, 3> angle_names{"yaw", "pitch", "roll"};

// Between two readings of one hold, by judgement: more, and the hand has moved.
constexpr Degrees held_still{5};
constexpr int most_tries = 3;
// While somebody holds a board still. A console without a prompt is waited for after each answer.
constexpr Duration quick{150};
constexpr std::size_t many_readings = 4;

Numbers average(const std::vector<Numbers>& all) {
  Numbers sum{};
  for (const Numbers& each : all) {
    for (std::size_t k = 0; k < sum.size(); ++k) sum.at(k) += each.at(k) / static_cast<double>(all.size());
  }
  return sum;
}

std::optional<Numbers> numbers_in_reply(const console::Query& query, const teach::Lines& lines) {
  Values values;
  for (const Values& row : teach::rows_read(query, lines, false)) values.insert(row.begin(), row.end());
  Numbers numbers{};
  std::size_t k = 0;
  for (const char* name : {"x", "y", "z"}) {
    const auto found = values.find(name);
    if (found == values.end()) return std::nullopt;
    numbers.at(k++) = std::strtod(found->second.c_str(), nullptr);
  }
  return numbers;
}

std::vector<solve::MovedReading> moved_readings(const std::array<Hold, 3>& holds,
                                                const teach::SenseAxes& axes) {
  std::vector<solve::MovedReading> all;
  for (const Hold& hold : holds) {
    if (hold.turned) all.push_back({axes.on_ours(hold.unturned), axes.on_ours(*hold.turned)});
  }
  return all;
}

// The code that turns each of the three ways furthest, so that a movement cannot be missed.
std::string farthest_code(const std::map<std::string, craft::YawPitchRoll>& codes) {
  std::string farthest;
  double most = 0;
  for (const auto& [code, angles] : codes) {
    const craft::ToldFromBoard turn(angles);
    double least = 180;
    for (const craft::InBoard up : {craft::InBoard{0, 0, 1}, {1, 0, 0}, {0, 1, 0}}) {
      const craft::InTold told = turn * up;
      least = std::min(least, craft::angle_between({up.x, up.y, up.z}, {told.x, told.y, told.z}).value);
    }
    if (least <= most + 1e-6) continue;
    most = least;
    farthest = code;
  }
  return farthest;
}

}  // namespace

void TeachFlow::leave_out_sense(const std::string& why) {
  person_.say(why + " Sense is left out.", Level::warn);
  profile_.sense.reset();
}

std::vector<std::pair<console::Steps, console::Values>> TeachFlow::mount_writes(const Values& values) const {
  const console::MountAbility& mount = *profile_.mount;
  if (mount.set) return {{mount.set->steps, values}};
  return {{mount.set_yaw->steps, values}, {mount.set_pitch->steps, values}, {mount.set_roll->steps, values}};
}

// What to tell the console for none, and for the other mount; absent where its list of codes has no such.
std::optional<TeachFlow::MountTrial> TeachFlow::mount_trial() const {
  const console::MountAbility& mount = *profile_.mount;
  MountTrial trial;
  if (mount.codes.empty()) {
    Values none, other;
    std::array<double, 3> told{};
    for (std::size_t i = 0; i < angle_names.size(); ++i) {
      none[angle_names.at(i)] = number_text(0, mount.decimals);
      other[angle_names.at(i)] = number_text(trial_angles.at(i) * mount.per_degree, mount.decimals);
      told.at(i) = std::strtod(other[angle_names.at(i)].c_str(), nullptr);
    }
    trial.told = {told[0], told[1], told[2]};
    trial.words = "yaw 20, pitch 30 and roll 40 degrees, as this console counts";
    trial.none = mount_writes(none);
    trial.other = mount_writes(other);
    return trial;
  }
  const auto none = std::find_if(mount.codes.begin(), mount.codes.end(), [](const auto& code) {
    return craft::CraftFromBoard(code.second).angle() < Degrees{0.5};
  });
  const std::string other = farthest_code(mount.codes);
  if (none == mount.codes.end() || other.empty()) return std::nullopt;
  trial.code_means = mount.codes.at(other);
  trial.words = other;
  trial.none = mount_writes({{"mount", none->first}});
  trial.other = mount_writes({{"mount", other}});
  return trial;
}

Task<std::optional<TeachFlow::MountTrial>> TeachFlow::agreed_mount_trial() {
  if (!profile_.mount || !profile_.mount->settable()) co_return std::nullopt;
  std::optional<MountTrial> trial = mount_trial();
  if (!trial) co_return std::nullopt;
  const bool may = co_await confirm(
      "try-change", "You will hold the board in three ways. May its mount be set to " + trial->words +
                        " for a moment in each, and back? Its readings show then what it makes of that. No "
                        "motor turns, and nothing is kept.");
  if (!may) co_return std::nullopt;
  const Values nothing;
  const Said now = co_await say_again(profile_.mount->read.steps, nothing);
  Values values;
  for (const Values& row : teach::rows_read(profile_.mount->read, now.lines, false))
    values.insert(row.begin(), row.end());
  trial->before = now.lines;
  trial->back = mount_writes(values);
  co_return trial;
}

// False where the console refused, or the board was moved meanwhile; then `trial` is given up, or it is tried
// again. Absent where the readings cannot be read.
Task<TeachFlow::HeldUnderTrial> TeachFlow::hold_under_trial(const MountTrial& trial, Hold& hold) {
  const console::Query& sense = profile_.sense->read;
  const std::size_t readings = ear_.prompts.empty() || ear_.slowest > quick ? 1 : many_readings;
  Trial change;
  change.what = "The mount";
  change.back.push_back(trial.back);
  change.read = profile_.mount->read;
  change.before = trial.before;
  std::array<std::size_t, 3> read_from{};
  std::size_t k = 0;
  for (const auto* writes : {&trial.none, &trial.other, &trial.none}) {
    change.change.insert(change.change.end(), writes->begin(), writes->end());
    read_from.at(k++) = change.change.size();
    change.change.insert(change.change.end(), readings, {sense.steps, Values{}});
  }
  const Tried found = co_await tried(change);
  const bool whole = found.all.size() == change.change.size();
  const bool refused =
      std::any_of(found.all.begin(), found.all.end(), [](const Said& said) { return said.refused; });
  if (!whole || refused) co_return HeldUnderTrial::not_possible;
  std::array<Numbers, 3> read{};
  for (std::size_t i = 0; i < read.size(); ++i) {
    std::vector<Numbers> all;
    // The first may still be from before, where a console smooths its readings.
    for (std::size_t at = readings > 1 ? 1 : 0; at < readings; ++at) {
      const auto numbers = numbers_in_reply(sense, found.all.at(read_from.at(i) + at).lines);
      if (!numbers) co_return HeldUnderTrial::not_possible;
      all.push_back(*numbers);
    }
    read.at(i) = average(all);
  }
  if (craft::angle_between(read[0], read[2]) > held_still) co_return HeldUnderTrial::moved;
  hold.unturned = read[0];
  hold.turned = read[1];
  co_return HeldUnderTrial::read;
}

// One way of holding it; absent where its readings cannot be read. The trial is given up where it does not
// work.
Task<std::optional<Hold>> TeachFlow::hold_so(std::size_t way, std::optional<MountTrial>& trial) {
  for (int attempt = 1;; ++attempt) {
    Question question;
    question.id = "pose";
    question.kind = Question::Kind::pose;
    question.pose = ways.at(way).pose;
    question.text =
        std::string("Hold the board (not the craft) so, and keep it still: ") + ways.at(way).words;
    co_await put(question);
    Hold hold;
    if (!trial) {
      const teach::Lines lines = co_await read(profile_.sense->read);
      const auto numbers = numbers_in_reply(profile_.sense->read, lines);
      if (!numbers) co_return std::nullopt;
      hold.unturned = *numbers;
      co_return hold;
    }
    const HeldUnderTrial held = co_await hold_under_trial(*trial, hold);
    if (held == HeldUnderTrial::read) co_return hold;
    const bool give_up = held == HeldUnderTrial::not_possible || attempt == most_tries;
    person_.say(held == HeldUnderTrial::moved
                    ? "It moved while it was measured. Rest it against something, and hold it still."
                    : "The console did not take that mount.",
                Level::warn);
    if (!give_up) continue;
    person_.say("So how the mount shows in the readings is not tried.", Level::warn);
    trial.reset();
  }
}

Task<void> TeachFlow::learn_axes() {
  std::optional<MountTrial> trial = co_await agreed_mount_trial();
  for (int attempt = 1; attempt <= most_tries; ++attempt) {
    Holds holds;
    for (std::size_t way = 0; way < holds.size(); ++way) {
      const auto hold = co_await hold_so(way, trial);
      if (!hold) {
        leave_out_sense("The readings cannot be read any more.");
        co_return;
      }
      holds.at(way) = *hold;
    }
    const bool understood = co_await make_sense_of(trial, holds);
    if (understood) co_return;
  }
  leave_out_sense("That is not clear yet.");
  if (trial && profile_.mount) {
    person_.say("What the console makes of its mount is not clear either, so it is left out, too.",
                Level::warn);
    profile_.mount.reset();
  }
}

// True where nothing is left to be asked. Sets the axes, and what was found of the mount.
Task<bool> TeachFlow::make_sense_of(const std::optional<MountTrial>& trial, const Holds& holds) {
  const std::array<Numbers, 3> raw{holds[0].unturned, holds[1].unturned, holds[2].unturned};
  const auto& all = holds;
  const bool tried_it =
      trial && std::all_of(all.begin(), all.end(), [](const Hold& hold) { return hold.turned; });
  std::vector<solve::MovedReading> as_read;
  for (const Hold& hold : holds) as_read.push_back({hold.unturned, hold.turned.value_or(hold.unturned)});
  const bool moved = tried_it && off_from(as_read, {}) >= solve::ConventionLimits().still;
  std::optional<teach::SenseAxes> axes = teach::axes_from_holds(raw);
  bool after_mount = moved;
  const bool unsure = profile_.mount && !moved &&
                      (!tried_it || profile_.mount->takes_effect == console::TakesEffect::after_restart);
  if (unsure) {
    const craft::ToldFromBoard set = co_await set_mount_now();
    const auto behind_mount = teach::axes_from_holds(raw, set);
    if (axes && behind_mount) {
      after_mount = co_await ask_whether_mounted();
    } else {
      after_mount = behind_mount.has_value();
    }
    if (after_mount) axes = behind_mount;
  }
  if (!axes) {
    person_.say("No axes fit these three ways of holding it. Once more, please.", Level::warn);
    co_return false;
  }
  console::SenseAbility& sense = *profile_.sense;
  sense.axes = axes->axes;
  sense.specific_force = axes->specific_force;
  sense.per_g = axes->per_g;
  sense.after_mount = after_mount;
  person_.say("So its numbers stand for " + joined({sense.axes[0], sense.axes[1], sense.axes[2]}, ", ") +
              " (x forward, y right, z down), and 1 g is " +
              number_text(sense.per_g, sense.per_g < 20 ? 2 : 0) + ".");
  if (!moved) {
    if (tried_it && !after_mount) {
      person_.say("The readings are the board's own: the mount that is set does not show in them.");
      profile_.notes.emplace_back("Readings: taken before the set mount is applied.");
    }
    co_return true;
  }
  co_return learn_convention(*trial, moved_readings(holds, *axes));
}

// How the readings moved. False where it is not clear.
bool TeachFlow::learn_convention(const MountTrial& trial, const std::vector<solve::MovedReading>& readings) {
  console::MountAbility& mount = *profile_.mount;
  if (mount.takes_effect != console::TakesEffect::at_once) {
    person_.say("Its readings follow the mount at once, without a restart.");
    mount.takes_effect = console::TakesEffect::at_once;
  }
  if (trial.code_means) {
    const Degrees off = off_from(readings, craft::CraftFromBoard(*trial.code_means));
    if (off < solve::ConventionLimits().still) {
      person_.say("Its readings follow the set mount, and code " + trial.words +
                  " turns them as the list says.");
      return true;
    }
    person_.say("Code " + trial.words + " turns the readings otherwise than the list says, by " +
                    number_text(off.value, 0) + " degrees.",
                Level::warn);
    return false;
  }
  const auto answer = solve::convention_from_readings(readings, trial.told, mount.convention());
  const auto* found = std::get_if<solve::ConventionFound>(&answer);
  if (found == nullptr) {
    person_.say("The readings follow the mount, but in no way that is clear. Hold it still, once more.",
                Level::warn);
    return false;
  }
  say_convention(found->convention);
  mount.signs = found->convention.signs;
  mount.order = craft::angle_order_name(found->convention.order);
  mount.craft_to_board = false;
  return true;
}

void TeachFlow::say_convention(const craft::AngleConvention& found) {
  std::string signs;
  for (std::size_t i = 0; i < angle_names.size(); ++i) {
    if (found.signs.at(i) < 0) signs += (signs.empty() ? "" : " and ") + std::string(angle_names.at(i));
  }
  const std::string order = craft::angle_order_name(found.order);
  const std::string counts =
      signs.empty() ? "counts as armwise does" : "counts " + signs + " the other way round";
  person_.say("Its readings follow the set mount: it " + counts + ", and applies its angles in the order " +
              order + ".");
  if (found.signs != profile_.mount->signs)
    person_.say("That is not as it was typed; the readings count.", Level::warn);
  std::erase(profile_.notes, std::string(order_assumed_note));
  profile_.notes.push_back("Mount: signs and order (" + order +
                           ") were found by how the readings followed a trial mount.");
}

Task<craft::ToldFromBoard> TeachFlow::set_mount_now() {
  const Values nothing;
  const Said now = co_await say_again(profile_.mount->read.steps, nothing);
  Values values;
  for (const Values& row : teach::rows_read(profile_.mount->read, now.lines, false))
    values.insert(row.begin(), row.end());
  co_return craft::ToldFromBoard(console::mount_read(profile_, values));
}

Task<bool> TeachFlow::ask_whether_mounted() {
  const std::vector<Choice> choices{
      {"board", "they are the board's own, whatever mount is set"},
      {"craft", "they are turned by the set mount (after a restart)"},
      {"unknown", "I do not know; bench will show it when it proves the mount"}};
  const std::string said =
      co_await choose("sense-mount", "Do these readings change with the mount that is set?", choices);
  if (said == "unknown")
    profile_.notes.emplace_back(
        "Readings: whether they are turned by the set mount is not known; they are taken for "
        "the board's own.");
  co_return said == "craft";
}

}  // namespace armwise::session
