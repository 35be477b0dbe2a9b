// From what the person saw to what is wired where. Pure.
#pragma once

#include <map>
#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "armwise/craft/frame.hpp"
#include "armwise/craft/motor.hpp"

namespace armwise::solve {

// What the person saw when one motor was spun.
struct Sighting {
  enum class Seen { one, none, several };
  craft::Motor motor;
  Seen seen = Seen::one;
  craft::PlaceIndex place = 0;         // where seen == one
  craft::Turn turn = craft::Turn::cw;  // where seen == one
};

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

// Why the sightings are no wiring, and which motors to spin again.
struct Contradiction {
  std::string sentence;                  // what contradicts what, in words
  std::vector<craft::Motor> spin_again;  // never empty
};

using Identified = std::variant<Wiring, std::vector<Contradiction>>;

// One sighting for each motor of the frame, the last one where there are several; those of motors beyond
// the frame are passed over. `map` is the map in force while the motors were spun.
Identified identify(const craft::Frame& frame, const craft::MotorMap& map,
                    const std::vector<Sighting>& sightings);

}  // namespace armwise::solve
