#include "drawing.hpp"

#include <algorithm>
#include <cmath>

namespace armwise::sheet {
namespace {

constexpr double arm = 100;
constexpr double largest_disc = 35, coaxial_disc = 27;
constexpr double gap = 8, side_gap = 13;  // between a disc and its words; at the side there are heads of arcs
constexpr double room_for_nose = 22;

// Places farther to the side than this have their words beside them, the others above or below. Where eight
// stand in one ring, those between have no room above.
constexpr double far_to_the_side = 0.85, far_in_a_full_ring = 0.7, near_the_axis = 0.55;

double disc_radius(const craft::Frame& frame) {
  double nearest = 2 * largest_disc / 0.84;
  for (const craft::Place& a : frame.places) {
    if (a.level != craft::Level::only) return coaxial_disc;
    for (const craft::Place& b : frame.places) {
      if (&a != &b) nearest = std::min(nearest, arm * std::hypot(a.x - b.x, a.y - b.y));
    }
  }
  return 0.42 * nearest;
}

// The lower motor of a coaxial arm, which the upper one hides, is drawn farther out.
Point disc_at(const craft::Place& place, double radius) {
  double out = arm;
  if (place.level == craft::Level::upper) out = 0.78 * arm;
  if (place.level == craft::Level::lower) out = 0.78 * arm + 2 * radius + 6;
  return {place.y * out, -place.x * out};
}

Spot spot_of(const craft::Place& place, double radius, double far, int lines) {
  Spot spot;
  spot.disc = disc_at(place, radius);
  const bool right = place.y >= 0;
  const bool front = place.x > 0;
  const bool beside = place.level == craft::Level::upper ||
                      (place.level == craft::Level::lower ? place.y == 0 : std::abs(place.y) > far);
  spot.beside = beside;
  if (beside) {
    spot.anchor = right ? Anchor::start : Anchor::end;
    const double shift = radius + side_gap;
    spot.words.x = spot.disc.x + (right ? shift : -shift);
    // Beside an upper disc of a coaxial arm the room is on the hub's side, away from the lower disc.
    double middle = spot.disc.y;
    if (place.level == craft::Level::upper && place.y != 0) middle += (front ? 0.6 : -0.6) * radius;
    spot.words.y = middle - (lines - 1) * line_height / 2 + 0.35 * letter_size;
    return spot;
  }
  spot.words.x = spot.disc.x;
  // Two neighbours on either side of the nose or the tail: their words must not meet in the middle.
  if (place.y != 0 && std::abs(place.y) < near_the_axis) {
    spot.anchor = right ? Anchor::start : Anchor::end;
    spot.words.x = right ? gap : -gap;
  }
  spot.words.y = front ? spot.disc.y - radius - gap - (lines - 1) * line_height
                       : spot.disc.y + radius + gap + letter_size * 0.8;
  return spot;
}

double reach(const Spot& spot, double words_width) {
  if (spot.anchor == Anchor::middle) return std::abs(spot.words.x) + words_width / 2;
  return std::abs(spot.words.x) + words_width;
}

}  // namespace

Drawing drawing_of(const craft::Frame& frame, const std::vector<double>& letters, int lines) {
  Drawing drawing;
  drawing.radius = disc_radius(frame);
  const double far = frame.size() >= 8 ? far_in_a_full_ring : far_to_the_side;
  for (std::size_t i = 0; i < frame.places.size(); ++i) {
    const Spot spot = spot_of(frame.places[i], drawing.radius, far, lines);
    drawing.half_width = std::max({drawing.half_width, reach(spot, letters.at(i) * letter_width),
                                   std::abs(spot.disc.x) + drawing.radius});
    drawing.top = std::min({drawing.top, spot.disc.y - drawing.radius, spot.words.y - letter_size});
    drawing.bottom = std::max({drawing.bottom, spot.disc.y + drawing.radius,
                               spot.words.y + (lines - 1) * line_height + 0.3 * letter_size});
    drawing.spots.push_back(spot);
  }
  drawing.half_width += gap;
  drawing.top -= room_for_nose;
  drawing.bottom += gap / 2;
  return drawing;
}

}  // namespace armwise::sheet
