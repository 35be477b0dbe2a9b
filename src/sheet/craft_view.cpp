#include "craft_view.hpp"

#include <algorithm>
#include <map>

#include "armwise/base/fault.hpp"
#include "armwise/craft/placed_turn.hpp"
#include "armwise/solve/recall.hpp"

namespace armwise::sheet {
namespace {

// Before: the answers of the spin checks that count; after: what was proven.
std::map<std::string, craft::PlacedTurn> wiring(const record::CraftRecord& record, const craft::Frame& frame,
                                                Side side) {
  std::map<std::string, craft::PlacedTurn> wired;
  for (const auto& [pin, text] : record.wiring) {
    if (const auto known = craft::placed_turn_named(frame, text)) wired[pin] = *known;
  }
  if (side == Side::after) return wired;
  // Where nothing was spun before, as after a new firmware, the settings tell: a motor whose setting was
  // changed turned the other way.
  for (auto& [pin, known] : wired) {
    const auto then = solve::turn_setting_on(record.before, craft::Pin{pin});
    const auto later = solve::turn_setting_on(record.after, craft::Pin{pin});
    if (then && later && *then != *later) known.turn = craft::opposite(known.turn);
  }
  for (const record::SpinEntry& spin : record.spins) {
    if (spin.phase != "check" || spin.undone) continue;
    if (const auto seen = craft::placed_turn_named(frame, spin.seen)) wired[spin.pin] = *seen;
  }
  return wired;
}

int number_on(const craft::MotorMap& map, const std::string& pin) {
  return map.motor_on(craft::Pin{pin}).number;
}

}  // namespace

std::string PlaceView::should_be() const {
  if (right()) return {};
  std::string words = "should be";
  if (!motor_right()) words += " " + std::to_string(wanted_motor);
  if (!turn_right()) words += std::string(motor_right() ? " " : ", ") + std::string(name(wanted_turn));
  return words;
}

const craft::Frame& frame_of(const record::CraftRecord& record) {
  const craft::Frame* frame = craft::frame_named(record.frame);
  if (frame == nullptr) {
    throw Fault(FaultKind::bad_data, "The record's frame " + record.frame + " is not known", {},
                "Use the armwise that wrote the record, or a newer one");
  }
  return *frame;
}

std::vector<PlaceView> places(const record::CraftRecord& record, Side side) {
  const craft::Frame& frame = frame_of(record);
  const craft::MotorMap& map = side == Side::before ? record.before.map : record.after.map;
  std::vector<PlaceView> views(frame.places.size());
  for (craft::PlaceIndex place = 0; place < views.size(); ++place) {
    views[place].place = place;
    views[place].wanted_turn = frame.wanted(place, record.scheme);
    const auto numbered =
        std::find(record.numbering.begin(), record.numbering.end(), frame.places[place].name);
    if (numbered != record.numbering.end())
      views[place].wanted_motor = static_cast<int>(numbered - record.numbering.begin()) + 1;
  }
  for (const auto& [pin, wired] : wiring(record, frame, side)) {
    PlaceView& view = views.at(wired.place);
    view.pin = pin;
    view.motor = number_on(map, pin);
    view.turn = wired.turn;
  }
  return views;
}

}  // namespace armwise::sheet
