// How the board is mounted: from the accelerometer while the person holds the craft in a few poses, or from
// what the person says where there are no readings.
#pragma once

#include <array>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "armwise/base/clock.hpp"
#include "armwise/base/task_fwd.hpp"
#include "armwise/console/console.hpp"
#include "armwise/craft/rotation.hpp"
#include "armwise/session/person.hpp"
#include "armwise/solve/mount_from_poses.hpp"
#include "armwise/solve/pose.hpp"
#include "armwise/solve/stillness.hpp"
#include "recall.hpp"

namespace armwise::session {

struct FoundMount {
  craft::CraftFromBoard rotation;
  craft::YawPitchRoll angles;  // what the controller is to be told
  std::string words;
  bool by_sense = false;  // measured; false: the person said so
  craft::Degrees lean{};  // of the level pose, from what this mount would read
};

// How long a turn to the right may take, and how long is waited between two readings of it.
inline constexpr Duration turn_time{2000}, between_readings{25};
// Asks for such a turn, the craft held so: "turning-right", and the same with its nose or its right side
// down, "turning-right-nose-down", "turning-right-right-side-down". How far it is tipped does not matter.
Question turn_question(solve::Pose held);

class MountFinder {
 public:
  // All outlive it. Each of these is gone back in as in any phase.
  MountFinder(console::Console& console, Recall& recall, Clock& clock)
      : console_(console), recall_(recall), clock_(clock) {}

  // Asks for poses until the mount is certain. `exact`: the angles as measured instead of the nearest named
  // mount. Where no named mount fits, or the board leans, the person chooses.
  Task<FoundMount> by_poses(bool exact);
  // Asks where the board's arrow points and which side is up; absent: the person cannot tell.
  Task<std::optional<FoundMount>> by_arrow(bool may_be_unknown);

  // One pose held still and measured, board axes. It takes itself as soon as the craft is held still in
  // another way than in any of the poses before it, which are `others`; where there are none, a while later.
  // Or on a key: where the hands have something else to do before the first.
  enum class First { takes_itself, on_a_key };
  Task<solve::PoseReading> measure(solve::Pose pose, std::vector<solve::PoseReading> others = {},
                                   First first = First::takes_itself);
  // The nose turned to the right: the gyro's readings, board axes.
  Task<std::vector<std::array<double, 3>>> turn_to_the_right();

 private:
  enum class Settled { named, measured, again };
  struct Step {
    std::optional<FoundMount> mount;
    std::vector<solve::Pose> next;  // to be held before there is one
    bool instead = false;           // of what was read in them before
    std::string open;               // why there is none yet
  };
  // What is seen of the craft while it is brought into a pose.
  struct Watch {
    std::vector<solve::PoseReading> others;
    bool again = false;  // held before: it has to be moved first
    bool moved = false;
    bool first = false;  // of a round: nothing to tell it from
    std::optional<Instant> still_since;
    std::vector<std::pair<Instant, solve::SenseSample>> lately;
    std::optional<solve::StillReading> taken;
  };
  Task<Question::Look> look(Watch& watch);
  Task<std::optional<solve::PoseReading>> hold(solve::Pose pose, std::vector<solve::PoseReading> others,
                                               First first);
  Task<std::optional<std::vector<std::array<double, 3>>>> turn();
  Task<Step> weigh(std::vector<solve::PoseReading> readings, bool& exact);
  Task<Settled> settle(const solve::MountFound& found);
  void tell_problem(const solve::MountNotFound& problem);
  Task<std::vector<console::SenseReading>> sample(Duration length, Duration every);

  console::Console& console_;
  Recall& recall_;
  Clock& clock_;
};

}  // namespace armwise::session
