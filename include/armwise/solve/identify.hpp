// What is wired where, and what a person's answers of one round leave to be said. Pure.
#pragma once

#include <map>
#include <optional>
#include <string>
#include <vector>

#include "armwise/craft/frame.hpp"
#include "armwise/craft/motor.hpp"

namespace armwise::solve {

// A fact of solder and screws, with the turn as the controller's settings made it at the time.
struct Wired {
  craft::PlaceIndex place = 0;
  craft::Turn turn = craft::Turn::cw;
  // The console's turn setting under which it was seen, where that is not the one which the controller has
  // now: known from a record, see recall.hpp.
  std::optional<craft::Turn> seen_under = std::nullopt;
  bool operator==(const Wired&) const = default;
};

struct Wiring {
  std::map<craft::Pin, Wired> at;  // one entry for each pin that was spun
  bool operator==(const Wiring&) const = default;
};

// What the person saw when one motor was spun.
struct Sighting {
  craft::Motor motor;
  craft::Pin pin;
  craft::PlaceIndex place = 0;
};

// Of arms that were seen more than once: which motors, and where one of them probably sits. One sighting for
// each motor of the frame.
std::vector<std::string> named_twice(const craft::Frame& frame, const std::vector<Sighting>& sightings);

// What to look at where no motor moved, or more than one.
std::string nothing_moved(craft::Motor motor, const craft::Pin& pin);
std::string several_moved(craft::Motor motor, const craft::Pin& pin);

}  // namespace armwise::solve
