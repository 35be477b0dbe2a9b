#include "armwise/solve/recall.hpp"

#include <algorithm>
#include <set>

#include "armwise/base/fault.hpp"

namespace armwise::solve {
namespace {

void require_every_place_once(const craft::Frame& frame, const Wiring& recorded) {
  std::set<craft::PlaceIndex> places;
  for (const auto& [pin, wired] : recorded.at) places.insert(wired.place);
  const bool whole = places.size() == frame.places.size() && recorded.at.size() == frame.places.size() &&
                     *places.rbegin() < frame.places.size();
  if (whole) return;
  throw Fault(FaultKind::mismatch, "The record does not say what is wired to every arm of " + frame.name, {},
              "Run armwise bench instead: it finds out");
}

bool lists(const craft::MotorMap& map, const craft::Pin& pin) {
  return std::find(map.pins.begin(), map.pins.end(), pin) != map.pins.end();
}

}  // namespace

std::optional<craft::Turn> turn_setting_on(const Snapshot& settings, const craft::Pin& pin) {
  if (settings.turn_key == TurnKey::not_settable) return std::nullopt;
  const int at = settings.map.motor_on(pin).number - 1;
  if (at < 0 || at >= static_cast<int>(settings.turns.size())) return std::nullopt;
  return settings.turns[static_cast<std::size_t>(at)];
}

Recalled recall(const craft::Frame& frame, const Wiring& recorded, const Snapshot& proven_under,
                const Snapshot& now) {
  require_every_place_once(frame, recorded);
  Recalled recalled;
  recalled.other_names = std::none_of(recorded.at.begin(), recorded.at.end(),
                                      [&](const auto& entry) { return lists(now.map, entry.first); });
  if (recalled.other_names) return recalled;
  const bool settable = now.turn_key != TurnKey::not_settable;
  recalled.turns_uncertain = settable != (proven_under.turn_key != TurnKey::not_settable);
  for (const auto& [pin, proven] : recorded.at) {
    Wired wired{proven.place, proven.turn, std::nullopt};
    const auto then = turn_setting_on(proven_under, pin);
    const auto at_present = turn_setting_on(now, pin);
    if (then && at_present && *then != *at_present) wired.turn = craft::opposite(proven.turn);
    // Cw is what a setting that was never touched reads as, for want of anything better.
    if (settable && !at_present) wired.seen_under = then.value_or(craft::Turn::cw);
    recalled.wiring.at[pin] = wired;
  }
  return recalled;
}

}  // namespace armwise::solve
