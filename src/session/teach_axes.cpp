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

// Of each hold, under one of the mounts of the trial.
bool all_read(const Holds& holds, std::size_t mount, const console::Query& read) {
  return std::all_of(holds.begin(), holds.end(), [&](const Hold& hold) {
    return mount < hold.turned.size() && middle_of(hold.turned[mount], read);
  });
}

std::vector<solve::MovedReading> moved_readings(const Holds& holds, std::size_t mount,
                                                const console::Query& read, const teach::SenseAxes& axes) {
  std::vector<solve::MovedReading> all;
  for (const Hold& hold : holds)
    all.push_back(
        {axes.on_ours(*middle_of(hold.unturned, read)), axes.on_ours(*middle_of(hold.turned[mount], read))});
  return all;
}

// The first of its mounts that moved the readings, on whatever axes; absent where none did.
std::optional<std::size_t> mount_that_moved(const Holds& holds, const MountTrial& trial,
                                            const console::Query& read) {
  for (std::size_t mount = 0; mount < trial.others.size(); ++mount) {
    if (all_read(holds, mount, read) &&
        off_from(moved_readings(holds, mount, read, {}), {}) >= solve::ConventionLimits().still)
      return mount;
  }
  return std::nullopt;
}

// Absent where one of them cannot be read.
std::optional<std::array<Numbers, 3>> held_numbers(const Holds& holds, const console::Query& read) {
  std::array<Numbers, 3> all{};
  for (std::size_t i = 0; i < holds.size(); ++i) {
    const auto numbers = middle_of(holds[i].unturned, read);
    if (!numbers || holds.size() != all.size()) return std::nullopt;
    all.at(i) = *numbers;
  }
  return all;
}

}  // namespace

std::optional<Numbers> middle_of(const Answers& answers, const console::Query& read) {
  std::array<std::vector<double>, 3> each;
  for (const teach::Lines& answer : answers) {
    const auto numbers = teach::numbers_read(read, answer);
    for (std::size_t k = 0; numbers && k < each.size(); ++k) each.at(k).push_back(numbers->at(k));
  }
  if (each.front().empty()) return std::nullopt;
  Numbers middle{};
  for (std::size_t k = 0; k < each.size(); ++k) {
    std::sort(each.at(k).begin(), each.at(k).end());
    middle.at(k) = each.at(k)[each.at(k).size() / 2];
  }
  return middle;
}

const console::Query& likeliest(const SenseWays& ways, const Holds& holds) {
  const auto weight = [&](const teach::NumbersReading& way) {
    std::ptrdiff_t read = 0;
    const auto add = [&](const Answers& answers) {
      read += std::count_if(answers.begin(), answers.end(), [&](const teach::Lines& answer) {
        return teach::numbers_read(way.list, answer).has_value();
      });
    };
    for (const Hold& hold : holds) {
      add(hold.unturned);
      std::for_each(hold.turned.begin(), hold.turned.end(), add);
    }
    const auto held = held_numbers(holds, way.list);
    return std::pair(held && teach::axes_from_holds(*held), read);
  };
  return std::max_element(ways.begin(), ways.end(),
                          [&](const auto& a, const auto& b) { return weight(a) < weight(b); })
      ->list;
}

void leave_out_sense(Teaching& t, StatementId why) {
  t.person.tell(why);
  t.draft.profile.sense.reset();
}

namespace {

// One way of holding it. The trial is given up where it does not work.
Task<Hold> hold_so(Teaching& t, const SenseWays& ways, std::size_t way, std::optional<MountTrial>& trial) {
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
      hold.unturned.push_back(co_await t.talk.read(t.draft.profile.sense->read));
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

// Which signs the parts of its rotation have; all of them opposite are the opposite rotation.
bool learn_signs(Teaching& t, const MountTrial& trial, const std::vector<solve::MovedReading>& readings) {
  console::Profile& profile = t.draft.profile;
  std::vector<std::array<int, 3>> signs;
  std::vector<craft::CraftFromBoard> mounts;
  for (const int yaw : {1, -1}) {
    for (const int pitch : {1, -1}) {
      for (const int roll : {1, -1}) {
        signs.push_back({yaw, pitch, roll});
        profile.mount->signs = signs.back();
        mounts.emplace_back(console::mount_read(profile, trial.numbers));
      }
    }
  }
  const solve::MountFollowed found = solve::mount_followed(readings, mounts);
  profile.mount->signs = found.clear ? signs[found.which] : signs.front();
  if (!found.clear) {
    t.person.tell("convention-unclear");
    return false;
  }
  std::erase(profile.notes, std::string(signs_assumed_note));
  profile.notes.emplace_back(
      "Mount: the signs of its numbers were found by how the readings followed a trial mount.");
  return true;
}

// How the readings moved. False where it is not clear.
bool learn_convention(Teaching& t, const MountTrial& trial, const OtherMount& told,
                      const std::vector<solve::MovedReading>& readings) {
  console::MountAbility& mount = *t.draft.profile.mount;
  if (mount.takes_effect != console::TakesEffect::at_once) {
    t.person.tell("mount-at-once");
    mount.takes_effect = console::TakesEffect::at_once;
  }
  if (trial.code_means) return is_as_the_list_says(t, trial, readings);
  if (!trial.numbers.empty()) return learn_signs(t, trial, readings);
  for (const double per_degree : teach::angle_units(told.per_degree)) {
    craft::AngleConvention assumed = mount.convention();
    assumed.per_degree = per_degree;
    const auto answer = solve::convention_from_readings(readings, told.told, assumed);
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
  const console::Query& read = profile.sense->read;
  const std::array<Numbers, 3> raw = *held_numbers(holds, read);
  const bool tried_it = trial && all_read(holds, 0, read);
  std::optional<std::size_t> moved;
  if (tried_it) moved = mount_that_moved(holds, *trial, read);
  std::optional<teach::SenseAxes> axes = teach::axes_from_holds(raw);
  bool after_mount = moved.has_value();
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
  if (moved)
    co_return learn_convention(t, *trial, trial->others[*moved], moved_readings(holds, *moved, read, *axes));
  if (tried_it && !after_mount) {
    t.person.tell("mount-not-shown");
    profile.notes.emplace_back("Readings: taken before the set mount is applied.");
  }
  co_return true;
}

}  // namespace

Task<void> learn_axes(Teaching& t, SenseWays ways) {
  std::optional<MountTrial> trial = co_await agreed_mount_trial(t);
  console::Query& read = t.draft.profile.sense->read;
  for (int attempt = 1; attempt <= most_axes_tries; ++attempt) {
    Holds holds;
    for (std::size_t way = 0; way < three_ways.size(); ++way) {
      Hold hold = co_await hold_so(t, ways, way, trial);
      holds.push_back(std::move(hold));
    }
    const console::Query& other = likeliest(ways, holds);
    if (!held_numbers(holds, other)) {
      leave_out_sense(t, "sense-unreadable");
      co_return;
    }
    if (read.lines != other.lines) {
      read.lines = other.lines;
      read.columns = other.columns;
      t.person.tell("read-otherwise",
                    {{"values", axes_in_words(teach::values_read(other, holds.front().unturned.front()))}});
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
