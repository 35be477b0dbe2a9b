// Lesson: what the accelerometer's numbers mean, and how the mount that is set shows in them.
//
// The board is held in three ways, in each under a trial mount where the person agrees
// (teach_mount_trial.cpp): how its readings move tells whether they are taken after the set mount, which
// angle is counted which way round, in which unit, and in which order they are applied.
#include "teach_axes.hpp"

#include <algorithm>
#include <array>

#include "armwise/base/fault.hpp"
#include "armwise/base/task.hpp"
#include "armwise/base/text.hpp"
#include "armwise/console/mount_text.hpp"
#include "armwise/solve/mount_convention.hpp"
#include "armwise/teach/units.hpp"

namespace armwise::session {
namespace {

using console::Values;
using craft::Degrees;
using teach::angle_names;
using teach::Numbers;

struct Way {
  const char* pose;
  const char* words;
};
constexpr std::array<Way, 3> three_ways{
    {{"board-level", "lying level, the side with its arrow up"},
     {"board-arrow-down", "tipped until its arrow points straight down"},
     {"board-right-edge-down", "tipped until its right edge, seen along the arrow, points straight down"}}};

constexpr int most_axes_tries = 3;
using Turned = std::optional<Numbers> Hold::*;

bool all_read(const std::array<Hold, 3>& holds, Turned turned) {
  return std::all_of(holds.begin(), holds.end(),
                     [&](const Hold& hold) { return (hold.*turned).has_value(); });
}

std::vector<solve::MovedReading> moved_readings(const std::array<Hold, 3>& holds, Turned turned,
                                                const teach::SenseAxes& axes) {
  std::vector<solve::MovedReading> all;
  all.reserve(holds.size());
  for (const Hold& hold : holds) all.push_back({axes.on_ours(hold.unturned), axes.on_ours(*(hold.*turned))});
  return all;
}

// On whatever axes.
bool have_moved(const std::array<Hold, 3>& holds, Turned turned) {
  return all_read(holds, turned) &&
         off_from(moved_readings(holds, turned, {}), {}) >= solve::ConventionLimits().still;
}

}  // namespace

void leave_out_sense(Teaching& t, StatementId why) {
  t.person.tell(why);
  t.draft.profile.sense.reset();
}

namespace {

// One way of holding it; absent where its readings cannot be read. The trial is given up where it does not
// work.
Task<std::optional<Hold>> hold_so(Teaching& t, SenseWays& ways, std::size_t way,
                                  std::optional<MountTrial>& trial) {
  for (int attempt = 1;; ++attempt) {
    Question question;
    question.id = "pose";
    question.kind = Question::Kind::pose;
    question.pose = three_ways.at(way).pose;
    question.text = std::string("Keep the flight controller still, whichever way the frame points: ") +
                    three_ways.at(way).words;
    co_await t.person.put(question);
    Hold hold;
    if (!trial) {
      hold.lines = co_await t.talk.read(t.draft.profile.sense->read);
      const auto numbers = ways.numbers_in(hold.lines, t.draft.profile.sense->read);
      if (!numbers) co_return std::nullopt;
      hold.unturned = *numbers;
      co_return hold;
    }
    const HeldUnderTrial held = co_await hold_under_trial(t, ways, *trial, hold);
    if (held == HeldUnderTrial::read) co_return hold;
    const bool give_up = held == HeldUnderTrial::not_possible || attempt == most_axes_tries;
    t.person.tell(held == HeldUnderTrial::moved ? StatementId("hold-moved")
                                                : StatementId("trial-mount-refused"));
    if (!give_up) continue;
    t.person.tell("trial-mount-skipped");
    trial.reset();
  }
}

void take_axes(Teaching& t, const teach::SenseAxes& axes, bool after_mount) {
  console::SenseAbility& sense = *t.draft.profile.sense;
  sense.axes = axes.axes;
  sense.specific_force = axes.specific_force;
  sense.per_g = axes.per_g;
  sense.after_mount = after_mount;
  t.person.tell("axes-found", {{"axes", joined({sense.axes[0], sense.axes[1], sense.axes[2]}, ", ")},
                               {"per_g", number_text(sense.per_g, sense.per_g < 20 ? 2 : 0)}});
}

bool is_as_the_list_says(Teaching& t, const MountTrial& trial,
                         const std::vector<solve::MovedReading>& readings) {
  const Degrees off = off_from(readings, craft::CraftFromBoard(*trial.code_means));
  if (off < solve::ConventionLimits().still) {
    t.person.tell("code-confirmed", {{"code", trial.words}});
    return true;
  }
  t.person.tell("code-differs", {{"code", trial.words}, {"off", degrees_text(off.value, 0)}});
  return false;
}

void take_convention(Teaching& t, const craft::AngleConvention& found) {
  console::Profile& profile = t.draft.profile;
  console::MountAbility& mount = *profile.mount;
  std::string signs;
  for (std::size_t i = 0; i < angle_names().size(); ++i) {
    if (found.signs.at(i) < 0) signs += (signs.empty() ? "" : " and ") + std::string(angle_names().at(i));
  }
  const std::string order = craft::angle_order_name(found.order);
  const std::string counts =
      signs.empty() ? "counts as armwise does" : "counts " + signs + " the other way round";
  t.person.tell("convention-found", {{"counts", counts}, {"order", order}});
  const bool other_unit = found.per_degree != mount.per_degree;
  if (other_unit) {
    t.person.tell("unit-differs", {{"per_degree", number_text(found.per_degree, 4)}});
  } else if (found.signs != mount.signs) {
    t.person.tell("signs-differ");
  }
  mount.signs = found.signs;
  mount.order = order;
  mount.per_degree = found.per_degree;
  mount.craft_to_board = false;
  std::erase(profile.notes, std::string(order_assumed_note));
  profile.notes.push_back("Mount: signs and order (" + order +
                          ") were found by how the readings followed a trial mount.");
}

// How the readings moved. False where it is not clear.
bool learn_convention(Teaching& t, const MountTrial& trial,
                      const std::vector<solve::MovedReading>& readings) {
  console::MountAbility& mount = *t.draft.profile.mount;
  if (mount.takes_effect != console::TakesEffect::at_once) {
    t.person.tell("mount-at-once");
    mount.takes_effect = console::TakesEffect::at_once;
  }
  if (trial.code_means) return is_as_the_list_says(t, trial, readings);
  for (const double per_degree : teach::angle_units(trial.per_degree)) {
    craft::AngleConvention assumed = mount.convention();
    assumed.per_degree = per_degree;
    const auto answer = solve::convention_from_readings(readings, trial.told, assumed);
    const auto* found = std::get_if<solve::ConventionFound>(&answer);
    if (found == nullptr) continue;
    take_convention(t, found->convention);
    return true;
  }
  t.person.tell("convention-unclear");
  return false;
}

Task<craft::ToldFromBoard> set_mount_now(Teaching& t) {
  console::Profile& profile = t.draft.profile;
  const Values nothing;
  const teach::Lines now = co_await read_as_it_is(t, profile.mount->read, nothing);
  const Values values = teach::values_read(profile.mount->read, now);
  try {
    co_return craft::ToldFromBoard(console::mount_read(profile, values));
  } catch (const Fault&) {
    // A code that the person's list does not have says nothing.
  }
  co_return craft::ToldFromBoard();
}

}  // namespace

Task<bool> ask_whether_mounted(Teaching& t) {
  const std::vector<Choice> choices{
      {"board", "they are the board's own, whatever mount is set"},
      {"craft", "they are turned by the set mount (after a restart)"},
      {"unknown", "I do not know; bench will show it when it proves the mount"}};
  const std::string said = co_await t.person.choose(
      "sense-mount", "Do these readings change with the mount that is set?", choices);
  if (said == "unknown")
    t.draft.profile.notes.emplace_back(
        "Readings: whether they are turned by the set mount is not known; they are taken for "
        "the board's own.");
  co_return said == "craft";
}

namespace {

// True where nothing is left to be asked. Sets the axes, and what was found of the mount.
Task<bool> make_sense_of(Teaching& t, const std::optional<MountTrial>& trial, const Holds& holds) {
  console::Profile& profile = t.draft.profile;
  const std::array<Numbers, 3> raw{holds[0].unturned, holds[1].unturned, holds[2].unturned};
  const bool tried_it = trial && all_read(holds, &Hold::turned);
  const bool moved = tried_it && have_moved(holds, &Hold::turned);
  const bool moved_in_finer = tried_it && !moved && have_moved(holds, &Hold::turned_in_finer);
  std::optional<teach::SenseAxes> axes = teach::axes_from_holds(raw);
  bool after_mount = moved || moved_in_finer;
  const bool late = profile.mount && profile.mount->takes_effect == console::TakesEffect::after_restart;
  if (profile.mount && !after_mount && (!tried_it || late)) {
    const craft::ToldFromBoard set = co_await set_mount_now(t);
    const auto behind_mount = teach::axes_from_holds(raw, set);
    if (axes && behind_mount) {
      after_mount = co_await ask_whether_mounted(t);
    } else {
      after_mount = behind_mount.has_value();
    }
    if (after_mount) axes = behind_mount;
  }
  if (!axes) {
    t.person.tell("axes-unclear");
    co_return false;
  }
  take_axes(t, *axes, after_mount);
  if (moved) co_return learn_convention(t, *trial, moved_readings(holds, &Hold::turned, *axes));
  if (moved_in_finer) {
    MountTrial finer = *trial;
    finer.told = trial->told_in_finer;
    finer.per_degree = trial->finer_per_degree;
    co_return learn_convention(t, finer, moved_readings(holds, &Hold::turned_in_finer, *axes));
  }
  if (tried_it && !after_mount) {
    t.person.tell("mount-not-shown");
    profile.notes.emplace_back("Readings: taken before the set mount is applied.");
  }
  co_return true;
}

}  // namespace

bool SenseWays::take_another_that_fits(const std::array<teach::Lines, 3>& held, console::Query& read) {
  const auto fits = [&](const teach::NumbersReading& way) {
    std::array<Numbers, 3> numbers{};
    for (std::size_t i = 0; i < held.size(); ++i) {
      const auto one = teach::numbers_read(way.list, held.at(i));
      if (!one) return false;
      numbers.at(i) = *one;
    }
    return teach::axes_from_holds(numbers).has_value();
  };
  const auto first = std::find_if(ways_.begin(), ways_.end(), fits);
  if (first == ways_.begin() || first == ways_.end()) return false;
  ways_.erase(ways_.begin(), first);
  take_first(read);
  return true;
}

Task<void> learn_axes(Teaching& t, SenseWays ways) {
  std::optional<MountTrial> trial = co_await agreed_mount_trial(t);
  for (int attempt = 1; attempt <= most_axes_tries; ++attempt) {
    Holds holds;
    for (std::size_t way = 0; way < holds.size(); ++way) {
      const auto hold = co_await hold_so(t, ways, way, trial);
      if (!hold) {
        leave_out_sense(t, "sense-unreadable");
        co_return;
      }
      holds.at(way) = *hold;
    }
    const bool other = ways.take_another_that_fits({holds[0].lines, holds[1].lines, holds[2].lines},
                                                   t.draft.profile.sense->read);
    if (other)
      t.person.tell(
          "read-otherwise",
          {{"values", axes_in_words(teach::values_read(t.draft.profile.sense->read, holds[0].lines))}});
    // What was read under the trial was read otherwise, too.
    if (other && trial) continue;
    // What was read first may have been read otherwise than is known by now.
    for (Hold& hold : holds) {
      const auto again = teach::numbers_read(t.draft.profile.sense->read, hold.lines);
      if (again && !trial) hold.unturned = *again;
    }
    const bool understood = co_await make_sense_of(t, trial, holds);
    if (understood) co_return;
  }
  leave_out_sense(t, "sense-unclear");
  if (trial && t.draft.profile.mount) {
    t.person.tell("mount-left-out");
    t.draft.profile.mount.reset();
  }
}

}  // namespace armwise::session
