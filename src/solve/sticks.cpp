#include "armwise/solve/sticks.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>

#include "armwise/solve/pads.hpp"
#include "sticks_words.hpp"

namespace armwise::solve {
namespace {

using craft::Degrees;
using craft::Frame;
using craft::InBoard;
using craft::InCraft;
using craft::PlaceIndex;
using craft::PropScheme;
using craft::Radians;

double tidy(double value) {
  return std::abs(value) < 1e-12 ? 0.0 : value;
}

int rounded(double value) {
  return static_cast<int>(std::lround(100 * value));
}

// For each place of the craft, the place of `believed` that lies there in the board's axes; empty where the
// two do not cover each other.
std::vector<PlaceIndex> covering(const Frame& frame, const Frame& believed,
                                 const craft::CraftFromBoard& mount) {
  std::vector<PlaceIndex> cover;
  for (const craft::Place& place : frame.places) {
    const InBoard seen = mount.inverse() * InCraft{place.x, place.y, 0};
    const auto found = std::ranges::find_if(believed.places, [&](const craft::Place& b) {
      return b.level == place.level && std::hypot(b.x - seen.x, b.y - seen.y) < 1e-6;
    });
    if (found == believed.places.end()) return {};
    cover.push_back(static_cast<PlaceIndex>(found - believed.places.begin()));
  }
  return frame.places.size() == believed.places.size() ? cover : std::vector<PlaceIndex>{};
}

// The frame whose arms, in the board's axes, lie where the craft's are: its own first.
const Frame* frame_in_board_axes(const Frame& frame, const craft::CraftFromBoard& mount) {
  if (!covering(frame, frame, mount).empty()) return &frame;
  for (const Frame& other : craft::frames()) {
    if (!covering(frame, other, mount).empty()) return &other;
  }
  return nullptr;
}

// Wired to suit the turned board: each motor where the controller, in its own axes, believes it.
ConfiguredCraft wired_to_suit(const craft::CraftFromBoard& mount, const Frame& frame, const Frame& believed,
                              PropScheme scheme, const craft::Numbering& numbering) {
  ConfiguredCraft c;
  c.frame = &frame;
  c.true_mount = mount;
  c.believed_scheme = scheme;
  c.numbering = numbering;
  if (&believed != &frame) {
    c.believed_frame = &believed;
    c.numbering.place_of_motor.resize(believed.places.size());
    std::iota(c.numbering.place_of_motor.begin(), c.numbering.place_of_motor.end(), PlaceIndex{0});
  }
  const auto cover = covering(frame, believed, mount);
  for (const PlaceIndex seat : c.numbering.place_of_motor) {
    const auto place = static_cast<PlaceIndex>(std::ranges::find(cover, seat) - cover.begin());
    c.motors.push_back({place, believed.wanted(seat, scheme)});
  }
  return c;
}

// No frame fits: wires to the nearest pads all the same, to show what that does.
ConfiguredCraft wired_nearest(const craft::CraftFromBoard& mount, const Frame& frame, PropScheme scheme,
                              const craft::Numbering& numbering) {
  ConfiguredCraft c;
  c.frame = &frame;
  c.true_mount = mount;
  c.believed_scheme = scheme;
  c.numbering = numbering;
  const NearestPads pads = nearest_pads(frame, numbering, mount);
  for (std::size_t i = 0; i < pads.place_of_pad.size(); ++i) {
    c.motors.push_back({pads.place_of_pad[i], frame.wanted(numbering.place_of_motor[i], scheme)});
  }
  return c;
}

std::optional<PropScheme> scheme_seen(const ConfiguredCraft& c) {
  for (const PropScheme scheme : {PropScheme::in, PropScheme::out}) {
    if (std::ranges::all_of(c.motors,
                            [&](const Wired& m) { return m.turn == c.frame->wanted(m.place, scheme); })) {
      return scheme;
    }
  }
  return std::nullopt;
}

}  // namespace

StickMix stick_mix(Degrees forward) {
  const double cosine = tidy(std::cos(forward.radians().value));
  const double sine = tidy(std::sin(forward.radians().value));
  StickMix mix;
  mix.roll_from_roll = mix.pitch_from_pitch = cosine;
  mix.roll_from_pitch = sine;
  mix.pitch_from_roll = 0.0 - sine;
  mix.corner = std::abs(cosine) + std::abs(sine);
  mix.per_cent = {rounded(cosine), rounded(sine), rounded(-sine), rounded(cosine)};
  mix.angle_from_per_cent = Degrees{Radians{std::atan2(mix.per_cent[1], mix.per_cent[0])}};
  mix.gain_from_per_cent = std::hypot(mix.per_cent[0], mix.per_cent[1]) / 100;
  return mix;
}

StickPlan stick_plan(const craft::CraftFromBoard& mount, const Frame& frame, PropScheme scheme,
                     const craft::Numbering& numbering) {
  StickPlan plan;
  const InCraft bottom = mount * InBoard{0, 0, 1};
  const bool flat = angle_between(bottom, InCraft{0, 0, 1}).value < 5;
  plan.frame_to_set = flat ? frame_in_board_axes(frame, mount) : nullptr;
  const ConfiguredCraft c = plan.frame_to_set
                                ? wired_to_suit(mount, frame, *plan.frame_to_set, scheme, numbering)
                                : wired_nearest(mount, frame, scheme, numbering);
  plan.sense = flight_sense(c);
  plan.scheme_on_craft = scheme_seen(c);
  using Flown = FlightSense::Verdict;
  plan.possible = flat && (plan.sense.verdict == Flown::as_designed ||
                           plan.sense.verdict == Flown::holds_but_not_as_designed);
  const InCraft arrow = mount * InBoard{1, 0, 0};
  const Degrees yaw{Radians{std::atan2(arrow.y, arrow.x)}};
  plan.mix = stick_mix(-yaw);
  const double quarters = yaw.value / 90;
  plan.plain_swap = std::abs(quarters - std::round(quarters)) < 1e-6;
  describe(plan, {yaw, flat, bottom.z < 0}, frame, scheme);
  return plan;
}

}  // namespace armwise::solve
