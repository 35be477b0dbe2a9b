#include "armwise/solve/identify.hpp"

#include <algorithm>
#include <cmath>

#include "words.hpp"

namespace armwise::solve {
namespace {

using craft::Frame;
using craft::Motor;
using craft::MotorMap;
using craft::Pin;
using craft::PlaceIndex;
using Seen = Sighting::Seen;
using Motors = std::vector<Motor>;

Pin pin_of(const MotorMap& map, Motor motor) {
  return motor.number <= map.size() ? map.pin_of(motor) : Pin{};
}

// What was seen last of each motor of the frame, and what follows from it.
class Evidence {
 public:
  Evidence(const Frame& frame, const MotorMap& map, const std::vector<Sighting>& sightings)
      : frame_(frame), map_(map) {
    for (const Sighting& sighting : sightings) {
      if (sighting.motor.number >= 1 && sighting.motor.number <= frame.size())
        last_[sighting.motor] = sighting;
    }
    for (const auto& [motor, sighting] : last_) {
      if (sighting.seen == Seen::one) at_[sighting.place].push_back(motor);
    }
    for (int number = 1; number <= frame.size(); ++number) {
      const Pin pin = pin_of(map, Motor{number});
      if (!pin.name.empty()) on_[pin].push_back(Motor{number});
    }
    for (PlaceIndex place = 0; place < frame.places.size(); ++place) {
      if (!at_.contains(place)) unnamed_.push_back(place);
    }
  }

  std::vector<Contradiction> contradictions() const {
    std::vector<Contradiction> all;
    for (int number = 1; number <= frame_.size(); ++number) {
      if (auto alone = about_one(Motor{number})) all.push_back(std::move(*alone));
    }
    for (const auto& [pin, motors] : on_) {
      if (motors.size() > 1) all.push_back(on_one_pin(pin, motors));
    }
    for (const auto& [place, motors] : at_) {
      if (motors.size() > 1 && !on_one_pin(motors)) all.push_back(named_twice(place, motors));
    }
    return all;
  }

  Wiring wiring() const {
    Wiring wiring;
    for (const auto& [motor, sighting] : last_) {
      wiring.at[map_.pin_of(motor)] = {sighting.place, sighting.turn};
    }
    return wiring;
  }

 private:
  bool on_one_pin(const Motors& motors) const {
    return std::all_of(motors.begin(), motors.end(),
                       [&](Motor m) { return pin_of(map_, m) == pin_of(map_, motors.front()); });
  }

  std::string described(Motor motor) const { return words::motor_on_pin(motor, pin_of(map_, motor)); }

  std::optional<Contradiction> about_one(Motor motor) const {
    if (pin_of(map_, motor).name.empty()) return on_no_pin(motor);
    const auto found = last_.find(motor);
    if (found == last_.end()) {
      return Contradiction{words::capitalised(described(motor)) + " has not been spun yet. Spin it now.",
                           {motor}};
    }
    if (found->second.seen == Seen::none) return nothing_moved(motor);
    if (found->second.seen == Seen::several) return several_moved(motor);
    return std::nullopt;
  }

  Contradiction on_no_pin(Motor motor) const {
    const std::string name = words::motor(motor);
    return {"The controller has " + name + " on no pin, so it can move nothing on this craft. Put " + name +
                " on a pin in the controller's console, then spin it again.",
            {motor}};
  }

  Contradiction nothing_moved(Motor motor) const {
    return {"Nothing moved when " + described(motor) + " was spun" + left_over() +
                ". Either nothing is wired to " + words::pin(pin_of(map_, motor)) +
                ", a wire is loose, or the speed controller has no power. Check the battery and the wire on "
                "that pin, then spin " +
                words::motor(motor) + " again.",
            {motor}};
  }

  Contradiction several_moved(Motor motor) const {
    return {"More than one motor moved when " + described(motor) + " was spun" + left_over() +
                ". One pin should drive one motor. Check that only one signal wire is on " +
                words::pin(pin_of(map_, motor)) + ", then spin " + words::motor(motor) +
                " again and look for the one arm that moves.",
            {motor}};
  }

  // ", and no motor was seen on rear-left": what a motor that showed no arm may have to do with.
  std::string left_over() const {
    if (unnamed_.empty() || static_cast<int>(last_.size()) < frame_.size()) return {};
    return ", and no motor was seen on " + unnamed();
  }

  std::string unnamed() const {
    std::vector<std::string> names;
    for (const PlaceIndex place : unnamed_) names.push_back(words::place(frame_, place));
    return words::listed(names, "or");
  }

  std::string described(const Motors& motors) const {
    std::vector<std::string> names;
    for (const Motor motor : motors) names.push_back(described(motor));
    return words::listed(names);
  }

  Contradiction on_one_pin(const Pin& pin, const Motors& motors) const {
    std::vector<std::string> names;
    for (const Motor motor : motors) names.push_back(words::motor(motor));
    return {"The controller has " + words::listed(names) + " on the same pin, " + pin.name +
                ", so they move the same motor. Give each a pin of its own in the controller's console, then "
                "spin them again.",
            motors};
  }

  Contradiction named_twice(PlaceIndex place, const Motors& motors) const {
    const bool two = motors.size() == 2;
    std::string sentence = words::capitalised(described(motors)) + (two ? " were both" : " were all") +
                           " seen on " + words::place(frame_, place) + ", where there is one motor only. ";
    sentence += "No motor was seen on " + unnamed() + ", so ";
    sentence +=
        unnamed_.size() == 1 ? "one of them probably sits there. " : "at least one of them must sit there. ";
    sentence += look_alike(place);
    return {sentence + "Spin " + (two ? "both" : "them all") + " again.", motors};
  }

  // The commonest slip by far: left taken for right.
  std::string look_alike(PlaceIndex place) const {
    const craft::Place& named = frame_.places.at(place);
    for (const PlaceIndex other : unnamed_) {
      const craft::Place& free = frame_.places.at(other);
      const bool mirrored = std::abs(free.x - named.x) < 1e-9 && std::abs(free.y + named.y) < 1e-9;
      if (mirrored && free.level == named.level && std::abs(named.y) > 1e-9) {
        return "Left and right are easily taken for each other, most of all with the nose toward you. ";
      }
    }
    return {};
  }

  const Frame& frame_;
  const MotorMap& map_;
  std::map<Motor, Sighting> last_;
  std::map<PlaceIndex, Motors> at_;
  std::map<Pin, Motors> on_;
  std::vector<PlaceIndex> unnamed_;
};

}  // namespace

Identified identify(const Frame& frame, const MotorMap& map, const std::vector<Sighting>& sightings) {
  const Evidence evidence(frame, map, sightings);
  std::vector<Contradiction> contradictions = evidence.contradictions();
  if (!contradictions.empty()) return contradictions;
  return evidence.wiring();
}

}  // namespace armwise::solve
