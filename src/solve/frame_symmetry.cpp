#include "frame_symmetry.hpp"

#include <cmath>
#include <optional>

#include "armwise/base/fault.hpp"

namespace armwise::solve {
namespace {

constexpr double near_enough = 1e-6;

struct Linear {
  double xx = 1, xy = 0, yx = 0, yy = 1;
};

std::optional<Places> image_under(const craft::Frame& frame, const Linear& map) {
  Places places{};
  for (std::size_t from = 0; from < frame.places.size(); ++from) {
    const craft::Place& place = frame.places[from];
    const double x = map.xx * place.x + map.xy * place.y, y = map.yx * place.x + map.yy * place.y;
    bool found = false;
    for (std::size_t to = 0; to < frame.places.size() && !found; ++to) {
      const craft::Place& other = frame.places[to];
      if (other.level != place.level || std::hypot(other.x - x, other.y - y) > near_enough) continue;
      places[from] = static_cast<std::uint8_t>(to);
      found = true;
    }
    if (!found) return std::nullopt;
  }
  return places;
}

// The turn or mirror image that puts the first place upon this one.
Linear onto(const craft::Place& first, const craft::Place& target, bool mirrored) {
  const double from = std::atan2(first.y, first.x), to = std::atan2(target.y, target.x);
  const double angle = mirrored ? to + from : to - from;
  const double c = std::cos(angle), s = std::sin(angle);
  return mirrored ? Linear{c, s, s, -c} : Linear{c, -s, s, c};
}

}  // namespace

FrameSymmetry symmetry_of(const craft::Frame& frame) {
  if (frame.places.empty() || frame.places.size() > most_motors) {
    throw Fault(FaultKind::internal,
                "no belief about a frame of " + std::to_string(frame.places.size()) + " places");
  }
  FrameSymmetry symmetry;
  for (const bool mirrored : {false, true}) {
    for (const craft::Place& target : frame.places) {
      if (target.level != frame.places.front().level) continue;
      const auto image = image_under(frame, onto(frame.places.front(), target, mirrored));
      if (image) symmetry.all.push_back(*image);
    }
  }
  const Places same = symmetry.all.front();
  const auto keep = [&](const Linear& map, Places& where, bool& has) {
    const auto image = image_under(frame, map);
    has = image.has_value();
    where = image.value_or(same);
  };
  keep({1, 0, 0, -1}, symmetry.left_right, symmetry.has_left_right);
  keep({-1, 0, 0, 1}, symmetry.front_rear, symmetry.has_front_rear);
  keep({-1, 0, 0, -1}, symmetry.half_turn, symmetry.has_half_turn);
  return symmetry;
}

}  // namespace armwise::solve
