// Frames: the places where motors sit, and which way each must turn.
//
// Craft axes (ISO 1151-1): x to the nose, y to the right, z down. Lengths are in arm lengths (the
// farthest place is 1 from the centre of mass). Azimuth: degrees clockwise from the nose, from above.
//
// Names. A place is named after the sides that it lies on, the nearer one first, so the eight places of
// octo-x, of which none lies on an axis, are told apart by the order of the two words: "front-right" is
// the first to the right of the nose (azimuth 22.5), "right-front" the next (67.5), nearer the right side.
// Initials are the first letters of the words. Where "r" could be taken for rear and for right, it is not
// accepted: right is "ri" and rear is "re", and on octo-x right-rear is "rir" and rear-right is "rer".
#pragma once

#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "armwise/craft/motor.hpp"
#include "armwise/craft/turn.hpp"

namespace armwise::craft {

enum class Level { only, upper, lower };

// Index into Frame::places. A place, not an arm: a coaxial arm has two.
using PlaceIndex = std::size_t;

struct Place {
  std::string name;      // "front-left", "rear-right-upper"
  std::string initials;  // "fl", "rru": what a person may type instead
  std::string arm;       // "front-left": shared by the two places of a coaxial arm
  double x = 0;          // toward the nose
  double y = 0;          // to the right
  Level level = Level::only;
  Turn turn_props_in = Turn::cw;
};

struct Frame {
  std::string name;           // "quad-x"
  std::string description;    // "four arms, nose between the front two"
  std::vector<Place> places;  // clockwise from the nose; on a coaxial arm the upper one first

  int size() const { return static_cast<int>(places.size()); }
  // Letters without case. Absent where no place or more than one is meant ("front-left" on a coaxial arm).
  std::optional<PlaceIndex> find(std::string_view name_or_initials) const;
  Turn wanted(PlaceIndex place, PropScheme scheme) const;
};

// quad-x, quad-plus, quad-wide, hex-x, hex-plus, octo-x, octo-plus, y6, x8.
//
// "Props in" where an arm lies on the nose: the first place clockwise from the nose (azimuth > 0) turns
// ccw, as the front-right place of an X frame does. A convention of this tool, said wherever it is used.
// On a coaxial arm this is about the upper place, and the lower one turns against it. The rear arm of y6
// turns cw above: also a convention of this tool.
std::span<const Frame> frames();
const Frame* frame_named(std::string_view name);

// "props in"; where an arm lies on the nose or the tail, with what that means on this frame: "props in (here:
// front clockwise)".
std::string in_words(const Frame& frame, PropScheme scheme);

// "the front-left motor"; of two on an arm "the upper motor at front-left".
std::string motor_at(const Place& place);

// Degrees clockwise from the nose, 0 up to 360.
double azimuth_of(const Place& place);

// Where the controller believes each motor number sits: element i is the place of motor i+1.
struct Numbering {
  std::vector<PlaceIndex> place_of_motor;
  PlaceIndex place_of(Motor motor) const {
    return place_of_motor.at(static_cast<std::size_t>(motor.number - 1));
  }
  bool operator==(const Numbering&) const = default;
};

}  // namespace armwise::craft
