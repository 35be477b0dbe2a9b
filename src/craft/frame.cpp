#include "armwise/craft/frame.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "armwise/base/text.hpp"
#include "armwise/craft/placed_turn.hpp"

namespace armwise::craft {
namespace {

struct Arm {
  std::string_view name;
  std::string_view initials;
  double x, y;
  Turn turn;  // props in; of the upper place where there are two
};

// Degrees clockwise from the nose, one arm length from the centre.
Arm arm_at(double azimuth, std::string_view name, std::string_view initials, Turn turn) {
  // Whole quarters exactly: a place on an axis has 0 there, not 6e-17.
  const auto snapped = [](double value) { return std::abs(value) < 1e-12 ? 0.0 : value; };
  const double angle = azimuth * std::numbers::pi / 180;
  return {name, initials, snapped(std::cos(angle)), snapped(std::sin(angle)), turn};
}

Place place_on(const Arm& arm, Level level, Turn turn) {
  Place place{
      std::string(arm.name), std::string(arm.initials), std::string(arm.name), arm.x, arm.y, level, turn};
  if (level == Level::only) return place;
  place.name += level == Level::upper ? "-upper" : "-lower";
  place.initials += level == Level::upper ? "u" : "l";
  return place;
}

Frame single(std::string name, std::string description, const std::vector<Arm>& arms) {
  Frame frame{std::move(name), std::move(description), {}};
  for (const Arm& arm : arms) frame.places.push_back(place_on(arm, Level::only, arm.turn));
  return frame;
}

// The two places of an arm turn against each other, so that each arm is balanced by itself.
Frame coaxial(std::string name, std::string description, const std::vector<Arm>& arms) {
  Frame frame{std::move(name), std::move(description), {}};
  for (const Arm& arm : arms) {
    frame.places.push_back(place_on(arm, Level::upper, arm.turn));
    frame.places.push_back(place_on(arm, Level::lower, opposite(arm.turn)));
  }
  return frame;
}

std::vector<Arm> four_between_the_axes() {
  return {arm_at(45, "front-right", "fr", Turn::ccw), arm_at(135, "rear-right", "rr", Turn::cw),
          arm_at(225, "rear-left", "rl", Turn::ccw), arm_at(315, "front-left", "fl", Turn::cw)};
}

// Three, four and five as sides of a right triangle: the arms lie 53 degrees off the nose, not 45.
std::vector<Arm> four_swept_to_the_sides() {
  return {{"front-right", "fr", 0.6, 0.8, Turn::ccw},
          {"rear-right", "rr", -0.6, 0.8, Turn::cw},
          {"rear-left", "rl", -0.6, -0.8, Turn::ccw},
          {"front-left", "fl", 0.6, -0.8, Turn::cw}};
}

std::vector<Arm> four_on_the_axes() {
  return {arm_at(0, "front", "f", Turn::cw), arm_at(90, "right", "ri", Turn::ccw),
          arm_at(180, "rear", "re", Turn::cw), arm_at(270, "left", "l", Turn::ccw)};
}

std::vector<Arm> six_nose_between() {
  return {arm_at(30, "front-right", "fr", Turn::ccw), arm_at(90, "right", "ri", Turn::cw),
          arm_at(150, "rear-right", "rr", Turn::ccw), arm_at(210, "rear-left", "rl", Turn::cw),
          arm_at(270, "left", "l", Turn::ccw),        arm_at(330, "front-left", "fl", Turn::cw)};
}

std::vector<Arm> six_nose_on_an_arm() {
  return {arm_at(0, "front", "f", Turn::cw),         arm_at(60, "front-right", "fr", Turn::ccw),
          arm_at(120, "rear-right", "rr", Turn::cw), arm_at(180, "rear", "re", Turn::ccw),
          arm_at(240, "rear-left", "rl", Turn::cw),  arm_at(300, "front-left", "fl", Turn::ccw)};
}

std::vector<Arm> eight_nose_between() {
  return {arm_at(22.5, "front-right", "fr", Turn::ccw),  arm_at(67.5, "right-front", "rf", Turn::cw),
          arm_at(112.5, "right-rear", "rir", Turn::ccw), arm_at(157.5, "rear-right", "rer", Turn::cw),
          arm_at(202.5, "rear-left", "rl", Turn::ccw),   arm_at(247.5, "left-rear", "lr", Turn::cw),
          arm_at(292.5, "left-front", "lf", Turn::ccw),  arm_at(337.5, "front-left", "fl", Turn::cw)};
}

std::vector<Arm> eight_nose_on_an_arm() {
  return {arm_at(0, "front", "f", Turn::cw),   arm_at(45, "front-right", "fr", Turn::ccw),
          arm_at(90, "right", "ri", Turn::cw), arm_at(135, "rear-right", "rr", Turn::ccw),
          arm_at(180, "rear", "re", Turn::cw), arm_at(225, "rear-left", "rl", Turn::ccw),
          arm_at(270, "left", "l", Turn::cw),  arm_at(315, "front-left", "fl", Turn::ccw)};
}

// Three arms cannot alternate all the way round; the front two are as on every frame with the nose between.
std::vector<Arm> three_tail_on_an_arm() {
  return {arm_at(60, "front-right", "fr", Turn::ccw), arm_at(180, "rear", "re", Turn::cw),
          arm_at(300, "front-left", "fl", Turn::cw)};
}

std::vector<Frame> make_frames() {
  return {
      single("quad-x", "four arms at 45 degrees, nose between the front two", four_between_the_axes()),
      single("quad-plus", "four arms, one on the nose", four_on_the_axes()),
      single("quad-wide", "four arms swept out to the sides, nose between the front two",
             four_swept_to_the_sides()),
      single("hex-x", "six arms, nose between the front two", six_nose_between()),
      single("hex-plus", "six arms, one on the nose", six_nose_on_an_arm()),
      single("octo-x", "eight arms, nose between the front two", eight_nose_between()),
      single("octo-plus", "eight arms, one on the nose", eight_nose_on_an_arm()),
      coaxial("y6", "three arms with two motors each, one above the other; nose between the front two",
              three_tail_on_an_arm()),
      coaxial("x8", "four arms with two motors each, one above the other; nose between the front two",
              four_between_the_axes()),
  };
}

}  // namespace

std::optional<PlaceIndex> Frame::find(std::string_view name_or_initials) const {
  const std::string typed = lower_case(trimmed(name_or_initials));
  const auto found = std::find_if(places.begin(), places.end(), [&](const Place& place) {
    return typed == place.name || typed == place.initials;
  });
  if (found == places.end()) return std::nullopt;
  return static_cast<PlaceIndex>(found - places.begin());
}

Turn Frame::wanted(PlaceIndex place, PropScheme scheme) const {
  const Turn turn = places.at(place).turn_props_in;
  return scheme == PropScheme::in ? turn : opposite(turn);
}

std::span<const Frame> frames() {
  static const std::vector<Frame> all = make_frames();
  return all;
}

const Frame* frame_named(std::string_view name) {
  const std::string typed = lower_case(trimmed(name));
  const auto all = frames();
  const auto found = std::find_if(all.begin(), all.end(), [&](const Frame& f) { return f.name == typed; });
  return found == all.end() ? nullptr : &*found;
}

std::string in_words(const Frame& frame, PropScheme scheme) {
  std::string words(in_words(scheme));
  for (PlaceIndex i = 0; i < frame.places.size(); ++i) {
    if (frame.places[i].y != 0) continue;
    words += " (here: " + frame.places[i].name + " " + std::string(in_words(frame.wanted(i, scheme))) + ")";
    break;
  }
  return words;
}

std::string text(const Frame& frame, const PlacedTurn& at) {
  return frame.places.at(at.place).name + " " + std::string(name(at.turn));
}

std::optional<PlacedTurn> placed_turn_named(const Frame& frame, std::string_view text) {
  const std::size_t space = text.rfind(' ');
  if (space == std::string_view::npos) return std::nullopt;
  const auto place = frame.find(text.substr(0, space));
  const auto turn = turn_named(text.substr(space + 1));
  if (!place || !turn) return std::nullopt;
  return PlacedTurn{*place, *turn};
}

std::string motor_at(const Place& place) {
  std::string words = "the ";
  if (place.level == Level::only) return words + place.name + " motor";
  words += place.level == Level::upper ? "upper" : "lower";
  return words + " motor at " + place.arm;
}

double azimuth_of(const Place& place) {
  const double degrees = std::atan2(place.y, place.x) * 180 / std::numbers::pi;
  return degrees < 0 ? degrees + 360 : degrees;
}

}  // namespace armwise::craft
