#include "armwise/solve/plan.hpp"

#include <algorithm>
#include <set>
#include <utility>

#include "armwise/base/fault.hpp"
#include "map_after.hpp"
#include "words.hpp"

namespace armwise::solve {
namespace {

using craft::Frame;
using craft::Motor;
using craft::Pin;
using craft::PlaceIndex;
using craft::Turn;

// What is seen and what the setting says are two things: this is how they go together.
Turn with_setting_changed(Turn seen, Turn from, Turn to) {
  return from == to ? seen : opposite(seen);
}

void require_every_place(const Frame& frame, const Wiring& wiring, const craft::Numbering& numbering) {
  std::set<PlaceIndex> wired, numbered(numbering.place_of_motor.begin(), numbering.place_of_motor.end());
  for (const auto& [pin, at] : wiring.at) wired.insert(at.place);
  std::vector<std::string> missing;
  for (PlaceIndex place = 0; place < frame.places.size(); ++place) {
    if (!wired.contains(place)) missing.push_back(words::place(frame, place));
  }
  if (!missing.empty()) {
    throw Fault(FaultKind::mismatch, "No pin is known to drive " + words::listed(missing, "or"),
                "A plan needs to know what is wired to every arm of " + frame.name, "Spin every motor again");
  }
  if (wiring.at.size() != frame.places.size() || *wired.rbegin() >= frame.places.size()) {
    throw Fault(FaultKind::mismatch, "More pins than " + frame.name + " has arms are said to drive one",
                "Two of them cannot move the same motor", "Spin every motor again");
  }
  if (numbering.place_of_motor.size() != frame.places.size() || numbered.size() != frame.places.size() ||
      *numbered.rbegin() >= frame.places.size()) {
    throw Fault(FaultKind::mismatch, "The numbering does not give each arm of " + frame.name + " one motor",
                "Without it no motor can be put on the right pin",
                "Say again which motor number the controller has on which arm");
  }
}

// One motor of the frame as it will be once the map is written.
struct Driven {
  Motor motor;
  Pin pin;
  PlaceIndex place = 0;
  Turn seen = Turn::cw;       // when it was spun
  Turn after_map = Turn::cw;  // once the map is written, turn settings untouched
  Turn wanted = Turn::cw;
  Turn setting = Turn::cw;  // the console's value that will then act on it
};

class Planner {
 public:
  Planner(const Frame& frame, const Snapshot& now, const Wiring& wiring, const Wanted& wanted)
      : frame_(frame), now_(now), wiring_(wiring), wanted_(wanted) {
    plan_.map_after = map_after(frame, now.map, wiring, wanted.numbering);
    for (int number = 1; number <= frame.size(); ++number) driven_.push_back(driven(Motor{number}));
  }

  Plan run() {
    plan_map();
    plan_props();
    plan_turns();
    plan_mount();
    return std::move(plan_);
  }

 private:
  Driven driven(Motor motor) const {
    Driven d;
    d.motor = motor;
    d.pin = plan_.map_after.pin_of(motor);
    d.place = wanted_.numbering.place_of(motor);
    const Wired& wired = wiring_.at.at(d.pin);
    d.seen = wired.turn;
    d.after_map = d.seen;
    d.wanted = frame_.wanted(d.place, wanted_.scheme);
    if (now_.turn_key == TurnKey::not_settable) return d;
    const Turn while_seen = wired.seen_under ? *wired.seen_under : setting(now_.map.motor_on(d.pin), d.pin);
    // A setting by pin stays with the pin, and so with the motor that hangs on it. A setting by motor
    // stays with the number: the pin's motor comes under that of another number.
    d.setting = now_.turn_key == TurnKey::motor ? setting(motor, d.pin) : while_seen;
    d.after_map = with_setting_changed(d.seen, while_seen, d.setting);
    return d;
  }

  Turn setting(Motor motor, const Pin& pin) const {
    const auto at = static_cast<std::size_t>(motor.number - 1);
    if (motor.number >= 1 && at < now_.turns.size()) return now_.turns[at];
    throw Fault(FaultKind::mismatch,
                "The direction setting of the motor on " + words::pin(pin) + " is not known",
                "the controller has no motor on that pin now, or did not say how it is set",
                "Read the settings and spin every motor again");
  }

  void add(std::variant<SetMap, SetProps, SetTurn, SetMount> what, std::string reason) {
    plan_.changes.push_back({std::move(what), std::move(reason)});
  }

  void plan_map() {
    for (const MapWrite& write : write_order(now_.map, plan_.map_after, now_.map_rules)) {
      const bool known = write.motor.number <= now_.map.size();
      add(SetMap{write, known ? now_.map.pin_of(write.motor) : Pin{}}, reason_of(write));
    }
  }

  std::string reason_of(const MapWrite& write) const {
    const std::string motor = words::motor(write.motor);
    const bool of_frame = write.motor.number <= frame_.size();
    if (write.kind == MapWrite::Kind::put && of_frame) {
      const std::string place = words::place(frame_, wanted_.numbering.place_of(write.motor));
      return words::capitalised(motor) + " is the " + place + " one, and that one is wired to " +
             words::pin(write.pin) + ".";
    }
    if (of_frame) return reason_to_free(write);
    const std::string outside = words::capitalised(motor) + " drives no arm of " + frame_.name;
    const Motor needs_it = plan_.map_after.motor_on(now_.map.pin_of(write.motor));
    const std::string makes_room = outside + " and makes room on " +
                                   words::pin(now_.map.pin_of(write.motor)) + " for " +
                                   words::motor(needs_it);
    if (write.kind == MapWrite::Kind::free) return makes_room + ".";
    return makes_room + "; it takes " + words::pin(write.pin) + ", which no arm needs.";
  }

  std::string reason_to_free(const MapWrite& write) const {
    const Motor next = plan_.map_after.motor_on(write.pin);
    if (next.number == 0) {
      return "Nothing on " + frame_.name + " is driven from " + words::pin(write.pin) + " any more.";
    }
    const bool per_pin = now_.map_rules.kept == MapKept::per_pin;
    const std::string rule = per_pin ? "This controller takes no motor on two pins at a time"
                                     : "This controller takes no pin for two motors at a time";
    return rule + ", so " + words::motor(write.motor) + " leaves " + words::pin(write.pin) +
           " first and comes back further down.";
  }

  void plan_props() {
    if (!now_.props || *now_.props == wanted_.scheme) return;
    add(SetProps{*now_.props, wanted_.scheme}, "The craft is to fly " + in_words(frame_, wanted_.scheme) +
                                                   "; the controller is set to " +
                                                   std::string(in_words(*now_.props)) + ".");
  }

  void plan_turns() {
    for (const Driven& d : driven_) {
      plan_.wiring_after.at[d.pin] = {d.place, d.wanted};
      if (d.after_map == d.wanted) continue;
      if (now_.turn_key == TurnKey::not_settable) {
        plan_.by_hand.push_back({d.motor, d.pin, d.place, d.after_map, d.wanted, instruction(d)});
      } else {
        add(SetTurn{d.motor, d.pin, now_.turn_key, d.setting, opposite(d.setting)}, reason_of(d));
      }
    }
    plan_.every_turn_opposite =
        std::all_of(driven_.begin(), driven_.end(), [](const Driven& d) { return d.after_map != d.wanted; });
  }

  std::string reason_of(const Driven& d) const {
    const std::string place = words::place(frame_, d.place);
    const std::string scheme = in_words(frame_, wanted_.scheme);
    if (d.seen != d.wanted) {
      return "The motor on " + place + " was seen turning " + std::string(in_words(d.seen)) + "; " + scheme +
             " needs it to turn " + std::string(in_words(d.wanted)) + ".";
    }
    return "The motor on " + place + " was seen turning " + std::string(in_words(d.seen)) + ", as " + scheme +
           " needs it, but driven by " + words::motor(now_.map.motor_on(d.pin)) +
           ". The direction stays with the number, and that of " + words::motor(d.motor) +
           " would reverse it.";
  }

  std::string instruction(const Driven& d) const {
    return "The motor on " + words::place(frame_, d.place) + " (" + words::motor(d.motor) + ", " +
           words::pin(d.pin) + ") turns " + std::string(in_words(d.after_map)) + "; " +
           in_words(frame_, wanted_.scheme) + " needs it to turn " + std::string(in_words(d.wanted)) +
           ". Unplug the battery, then reverse it in the speed controller's own settings, or swap any two of "
           "the motor's three wires; then it is checked again.";
  }

  void plan_mount() {
    if (!wanted_.mount || !now_.mount || words::same_mount(*now_.mount, *wanted_.mount, now_.mount_step))
      return;
    add(SetMount{*now_.mount, *wanted_.mount}, "The board sits at " + words::mount(*wanted_.mount) +
                                                   "; the controller is set to " + words::mount(*now_.mount) +
                                                   ".");
  }

  const Frame& frame_;
  const Snapshot& now_;
  const Wiring& wiring_;
  const Wanted& wanted_;
  std::vector<Driven> driven_;
  Plan plan_;
};

}  // namespace

Plan plan(const Frame& frame, const Snapshot& now, const Wiring& wiring, const Wanted& wanted) {
  require_every_place(frame, wiring, wanted.numbering);
  return Planner(frame, now, wiring, wanted).run();
}

}  // namespace armwise::solve
