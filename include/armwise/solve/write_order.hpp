// In which order to write a map so that every step is one that the console accepts. Pure.
#pragma once

#include <vector>

#include "armwise/craft/motor.hpp"

namespace armwise::solve {

// Which of the two the console keeps a table of. per_motor: each motor is given a pin; per_pin: each pin
// is given a motor's code.
enum class MapKept { per_motor, per_pin };

struct MapRules {
  MapKept kept = MapKept::per_motor;
  // per_motor: may a pin stand on two motors meanwhile; per_pin: may a motor stand on two pins meanwhile.
  bool shared_meanwhile = true;
};

struct MapWrite {
  enum class Kind { put, free };
  Kind kind = Kind::put;
  craft::Motor motor;
  craft::Pin pin;  // put: the new pin; free: the pin that the motor leaves
  bool operator==(const MapWrite&) const = default;
};

// The fewest writes that turn `now` into `wanted`: one for each motor that moves where sharing is
// allowed; where it is not, k+1 for a cycle of k (one is freed first) and k for a chain that ends on an
// unused pin. Motors whose pin does not change are not written.
// Minimality: Knuth, TAOCP 1, 1.3.3 (cycles of a permutation) [from memory]; exhaustive search in tests.
std::vector<MapWrite> write_order(const craft::MotorMap& now, const craft::MotorMap& wanted, MapRules rules);

}  // namespace armwise::solve
