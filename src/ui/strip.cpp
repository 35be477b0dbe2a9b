#include "armwise/ui/strip.hpp"

namespace armwise::ui {

std::optional<craft::Turn> turn_by_strip(const craft::Frame& frame, craft::PlaceIndex place, const Key& key,
                                         NoseSide nose) {
  const craft::StripTest test = strip_test(frame, place);
  const double sign = nose == NoseSide::away ? 1 : -1;
  // How a clockwise bell throws the strip, in the picture: upwards and to the right.
  const double up = sign * -test.hold_y;
  const double right = sign * test.hold_x;
  double along = 0;
  if (key.kind == Key::Kind::up) along = up;
  if (key.kind == Key::Kind::down) along = -up;
  if (key.kind == Key::Kind::right) along = right;
  if (key.kind == Key::Kind::left) along = -right;
  if (along == 0) return std::nullopt;
  return along > 0 ? craft::Turn::cw : craft::Turn::ccw;
}

}  // namespace armwise::ui
