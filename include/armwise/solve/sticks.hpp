// A turned board put right on the radio instead of in the controller: mixing the roll and pitch sticks. Pure.
#pragma once

#include <array>
#include <optional>
#include <string>
#include <vector>

#include "armwise/craft/frame.hpp"
#include "armwise/craft/mounts.hpp"
#include "armwise/solve/flight_sense.hpp"

namespace armwise::solve {

// In the language of sticks: right and forward are positive, 1 is full. Formula: a plane rotation of the
// rates, with pitch negated since forward is nose down.
struct StickMix {
  double roll_from_roll = 1, roll_from_pitch = 0;
  double pitch_from_roll = 0, pitch_from_pitch = 1;
  double corner = 1;  // what a stick in the corner asks for on one channel: over 1 is cut off

  // In whole per cent, as radios take it, in the order above; and what those amount to.
  std::array<int, 4> per_cent{100, 0, 0, 100};
  craft::Degrees angle_from_per_cent;
  double gain_from_per_cent = 1;
};

// `forward`: the heading of the pilot's forward in the controller's axes, clockwise from its own forward. For
// a board turned by `yaw` in the craft and not told, that is -yaw.
StickMix stick_mix(craft::Degrees forward);

struct StickCost {
  std::string id;  // "prop-scheme", "frame-type", "corners", "rounding", "rates", "per-model", "display",
                   // "self-level"
  std::string words;
};

struct StickPlan {
  bool possible = false;
  StickMix mix;
  std::vector<std::string> settings;  // a sentence for each of the two channels
  std::vector<std::string> in_words;  // "Stick forward: the controller must be asked to roll left."
  bool plain_swap = false;            // a multiple of 90: no mixing, channels changed over and reversed
  std::vector<StickCost> costs;
  std::vector<std::string> gains;  // what speaks for it
  // With every wire on the nearest pad and the controller told nothing.
  FlightSense sense;
  // Seen on the craft, where the controller flies `scheme`; nothing where it is neither of the two.
  std::optional<craft::PropScheme> scheme_on_craft;
  // The frame type that the controller must be set to; none where no known frame fits its arms.
  const craft::Frame* frame_to_set = nullptr;
  std::string words;
};

// `scheme`: the one that the controller is set to. Throws Fault(mismatch) as flight_sense() does.
StickPlan stick_plan(const craft::CraftFromBoard& mount, const craft::Frame& frame, craft::PropScheme scheme,
                     const craft::Numbering& numbering);

}  // namespace armwise::solve
