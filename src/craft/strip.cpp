#include "armwise/craft/strip.hpp"

#include <cmath>

#include "armwise/base/text.hpp"

namespace armwise::craft {
namespace {

// Nearer to the nose-to-tail line than this (arm lengths), a motor counts as on it.
constexpr double on_the_line = 0.1;

bool lies_on_the_line(const Place& place) {
  return std::abs(place.y) < on_the_line;
}

// The neighbour in one direction around the craft.
std::string next_arm(const Frame& frame, const Place& from, Turn direction) {
  std::string best = from.arm;
  double smallest = 360;
  for (const Place& place : frame.places) {
    if (place.arm == from.arm) continue;
    const double step = azimuth_of(place) - azimuth_of(from);
    const double ahead = std::fmod((direction == Turn::cw ? step : -step) + 720, 360.0);
    if (ahead < smallest) {
      smallest = ahead;
      best = place.arm;
    }
  }
  return best;
}

}  // namespace

StripTest strip_test(const Frame& frame, PlaceIndex place_index) {
  const Place& place = frame.places.at(place_index);
  StripTest test;
  if (lies_on_the_line(place)) {
    test.hold = "at the side of the bell that is farthest from the middle of the craft";
    test.hold_x = place.x < 0 ? -1 : 1;
    test.cw_toward = next_arm(frame, place, Turn::cw);
    test.ccw_toward = next_arm(frame, place, Turn::ccw);
    return test;
  }
  test.hold = "at the outside of the bell, the side that faces away from the craft's nose-to-tail line";
  test.hold_y = place.y < 0 ? -1 : 1;
  test.cw_toward = place.y > 0 ? "tail" : "nose";
  test.ccw_toward = place.y > 0 ? "nose" : "tail";
  return test;
}

std::optional<Turn> turn_by_strip(const Frame& frame, PlaceIndex place, std::string_view toward) {
  const StripTest test = strip_test(frame, place);
  std::string said = lower_case(trimmed(toward));
  if (const auto typed = frame.find(said)) said = frame.places[*typed].arm;
  if (said == test.cw_toward) return Turn::cw;
  if (said == test.ccw_toward) return Turn::ccw;
  return std::nullopt;
}

}  // namespace armwise::craft
