// Craft as designed, for the tests of flight sense, sticks and prediction.
#pragma once

#include "armwise/craft/mounts.hpp"
#include "armwise/solve/flight_sense.hpp"

namespace armwise::solve {

// Motors numbered clockwise from the nose, each where it should be, turning as it should.
inline ConfiguredCraft designed(const craft::Frame& frame, craft::PropScheme scheme = craft::PropScheme::in) {
  ConfiguredCraft c;
  c.frame = &frame;
  c.believed_scheme = scheme;
  for (std::size_t i = 0; i < frame.places.size(); ++i) {
    c.numbering.place_of_motor.push_back(i);
    c.motors.push_back({i, frame.wanted(i, scheme)});
  }
  return c;
}

}  // namespace armwise::solve
