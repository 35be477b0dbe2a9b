#include "armwise/solve/identify.hpp"

#include <algorithm>
#include <cmath>

#include "words.hpp"

namespace armwise::solve {
namespace {

using craft::PlaceIndex;

std::string described(const std::vector<Sighting>& sightings) {
  std::vector<std::string> names;
  names.reserve(sightings.size());
  for (const Sighting& sighting : sightings)
    names.push_back(words::motor_on_pin(sighting.motor, sighting.pin));
  return words::listed(names);
}

// The commonest slip by far: left taken for right.
std::string look_alike(const craft::Frame& frame, PlaceIndex place, const std::vector<PlaceIndex>& unnamed) {
  const craft::Place& named = frame.places.at(place);
  for (const PlaceIndex other : unnamed) {
    const craft::Place& free = frame.places.at(other);
    const bool mirrored = std::abs(free.x - named.x) < 1e-9 && std::abs(free.y + named.y) < 1e-9;
    if (mirrored && free.level == named.level && std::abs(named.y) > 1e-9) {
      return " Left and right are easily taken for each other, most of all with the nose toward you.";
    }
  }
  return {};
}

}  // namespace

std::vector<std::string> named_twice(const craft::Frame& frame, const std::vector<Sighting>& sightings) {
  std::map<PlaceIndex, std::vector<Sighting>> at;
  for (const Sighting& sighting : sightings) at[sighting.place].push_back(sighting);
  std::vector<PlaceIndex> unnamed;
  std::vector<std::string> names;
  for (PlaceIndex place = 0; place < frame.places.size(); ++place) {
    if (at.contains(place)) continue;
    unnamed.push_back(place);
    names.push_back(words::place(frame, place));
  }
  std::vector<std::string> told;
  for (const auto& [place, motors] : at) {
    if (motors.size() < 2) continue;
    told.push_back(
        words::capitalised(described(motors)) + (motors.size() == 2 ? " were both" : " were all") +
        " seen on " + words::place(frame, place) + ", where there is one motor only. No motor was seen on " +
        words::listed(names, "or") + ", so " +
        (unnamed.size() == 1 ? "one of them probably sits there." : "at least one of them must sit there.") +
        look_alike(frame, place, unnamed));
  }
  return told;
}

std::string nothing_moved(craft::Motor motor, const craft::Pin& pin) {
  return "Nothing moved when " + words::motor_on_pin(motor, pin) + " was spun. Either nothing is wired to " +
         words::pin(pin) +
         ", a wire is loose, or the speed controller has no power. Check the battery and the wire on that "
         "pin, "
         "then spin " +
         words::motor(motor) + " again.";
}

std::string several_moved(craft::Motor motor, const craft::Pin& pin) {
  return "More than one motor moved when " + words::motor_on_pin(motor, pin) +
         " was spun. One pin should drive one motor. Check that only one signal wire is on " +
         words::pin(pin) + ", then spin " + words::motor(motor) +
         " again and look for the one arm that moves.";
}

}  // namespace armwise::solve
