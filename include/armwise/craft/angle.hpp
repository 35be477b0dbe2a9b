// Angles whose unit is in their type, so that degrees and radians cannot be mixed up.
#pragma once

#include <compare>
#include <numbers>

namespace armwise::craft {

struct Radians {
  double value = 0;
  bool operator==(const Radians&) const = default;
};

struct Degrees {
  double value = 0;
  constexpr Degrees() = default;
  constexpr explicit Degrees(double degrees) : value(degrees) {}
  constexpr explicit Degrees(Radians radians) : value(radians.value * 180 / std::numbers::pi) {}
  constexpr Radians radians() const { return {value * std::numbers::pi / 180}; }
  bool operator==(const Degrees&) const = default;
  constexpr std::partial_ordering operator<=>(const Degrees& other) const { return value <=> other.value; }
};

constexpr Degrees operator+(Degrees a, Degrees b) {
  return Degrees{a.value + b.value};
}
constexpr Degrees operator-(Degrees a, Degrees b) {
  return Degrees{a.value - b.value};
}
constexpr Degrees operator-(Degrees a) {
  return Degrees{-a.value};
}
constexpr Degrees operator*(double factor, Degrees a) {
  return Degrees{factor * a.value};
}

// The same direction in (-180, 180].
Degrees wrapped(Degrees angle);

}  // namespace armwise::craft
