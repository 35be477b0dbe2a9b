// The planner: a snapshot of the controller in, an ordered list of changes out, each with its reason in
// words. Pure. Only an executor (session) touches the port.
#pragma once

#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "armwise/craft/frame.hpp"
#include "armwise/craft/motor.hpp"
#include "armwise/craft/rotation.hpp"
#include "armwise/solve/identify.hpp"
#include "armwise/solve/write_order.hpp"

namespace armwise::solve {

// Whether, and keyed by what, the console can set which way a motor turns.
enum class TurnKey { not_settable, motor, pin };

// What the controller has now, and what its console can do about it.
struct Snapshot {
  craft::MotorMap map;
  std::optional<craft::PropScheme> props;  // absent: no such setting
  // By motor or by pin as turn_key says; the console's own "cw"/"ccw" (or normal/reversed), which need not
  // be what is seen: only that the other value turns the motor the other way round. Element i belongs to
  // motor i+1, or to the pin that motor i+1 has in `map`.
  std::vector<craft::Turn> turns;
  TurnKey turn_key = TurnKey::not_settable;
  std::optional<craft::YawPitchRoll> mount;  // set mount; absent: no such setting
  double mount_step = 0;                     // degrees in the last digit that the console keeps of its angles
  MapRules map_rules;
};

struct Wanted {
  craft::PropScheme scheme = craft::PropScheme::in;
  craft::Numbering numbering;
  std::optional<craft::YawPitchRoll> mount;  // true mount; absent: leave the setting alone
};

struct SetMap {
  MapWrite write;
  craft::Pin before;  // the motor's pin at the start of the plan
};
struct SetProps {
  craft::PropScheme from, to;
};
struct SetTurn {
  craft::Motor motor;  // after the plan, the motor that this is about
  craft::Pin pin;      // the pin that it will then be on
  TurnKey key = TurnKey::motor;
  craft::Turn from, to;  // the console's values
};
struct SetMount {
  craft::YawPitchRoll from, to;
};

struct Change {
  std::variant<SetMap, SetProps, SetTurn, SetMount> what;
  std::string reason;  // a sentence
};

// What only hands can do: this motor turns the wrong way and the console cannot reverse it.
struct HandWork {
  craft::Motor motor;  // by its number after the plan
  craft::Pin pin;
  craft::PlaceIndex place = 0;
  craft::Turn seen, wanted;
  std::string instruction;  // a sentence
};

struct Plan {
  std::vector<Change> changes;
  std::vector<HandWork> by_hand;
  // Motors beyond the frame stay on their pins. One whose pin the frame needs takes a pin that the frame's
  // motors leave, so that nothing need be freed for good; only where none is left is it on no pin.
  craft::MotorMap map_after;
  // By pin: what turns where once the changes are written and the hand work is done.
  Wiring wiring_after;
  // Every turn is opposite to the wanted scheme: the other way out is to change the scheme.
  bool every_turn_opposite = false;

  bool empty() const { return changes.empty() && by_hand.empty(); }
};

// `now` is what the controller held while the wiring was seen. Changes come in the order map, props, turns,
// mount. A turn setting by motor stays with the number while the map changes under it, one by pin stays with
// the pin; what is wanted is reckoned from what was seen and the setting under which it was seen. A mount
// within 0.05 degrees of the wanted one, and one that the console cannot set, is left alone.
//
// Throws Fault(mismatch) where the wiring or the numbering does not cover every place of the frame once, and
// where the console can set turns and the setting under which a motor was seen is not in `now`.
Plan plan(const craft::Frame& frame, const Snapshot& now, const Wiring& wiring, const Wanted& wanted);

}  // namespace armwise::solve
