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
  bool operator==(const MapRules&) const = default;
};

struct MapWrite {
  enum class Kind { put, free };
  Kind kind = Kind::put;
  craft::Motor motor;
  craft::Pin pin;  // put: the new pin; free: the pin that the motor leaves
  bool operator==(const MapWrite&) const = default;
};

// The fewest writes that turn `now` into `wanted`.
//
// per_motor: one for each motor that moves where sharing is allowed; where it is not, k+1 for a cycle of k
// (one is freed first) and k for a chain that ends on an unused pin. per_pin: the same with the roles of
// motor and pin exchanged, so one for each pin whose motor changes, and one more for a cycle of pins where
// a motor may not stand on two; a put takes the place of the motor that stood on the pin; a pin that
// nobody wants any more is freed, before anything is put. Motors whose pin does not change are not
// written. A motor that `wanted` leaves without a pin is freed.
//
// A motor that `now` has and `wanted` is too short to tell of stays where it is, unless another needs its
// pin; then it is left on none. A motor that `now` is too short to tell of is taken to be on none.
// Throws Fault(mismatch) where `wanted` has one pin twice, unless both motors stand there already: what was
// found so is left so.
// Minimality: Knuth, TAOCP 1, 1.3.3 (cycles of a permutation) [from memory]; exhaustive search in tests.
std::vector<MapWrite> write_order(const craft::MotorMap& now, const craft::MotorMap& wanted, MapRules rules);

}  // namespace armwise::solve
