// The members of identities and settings in JSON, which the record and the journal share; see members.hpp.
#pragma once

#include "armwise/console/identity.hpp"
#include "armwise/solve/plan.hpp"
#include "members.hpp"

namespace armwise::record {

template <class Way>
void members(Way& way, typename Way::template Of<console::Identity>& identity) {
  way.maybe_text("board", identity.board);
  way.maybe_text("firmware", identity.firmware);
  way.maybe_text("version", identity.version);
  way.maybe_text("serial", identity.serial);
  way.maybe_text("port_identity", identity.port_identity);
}

template <class Way>
void members(Way& way, typename Way::template Of<craft::YawPitchRoll>& mount) {
  constexpr Number degrees{-360, 360};
  way.number("yaw", mount.yaw, degrees);
  way.number("pitch", mount.pitch, degrees);
  way.number("roll", mount.roll, degrees);
}

inline Words<craft::PropScheme> scheme_words() {
  return {{craft::PropScheme::in, "in"}, {craft::PropScheme::out, "out"}};
}

template <class Way>
void members(Way& way, typename Way::template Of<solve::Snapshot>& snapshot) {
  using craft::Turn;
  using solve::MapKept;
  using solve::TurnKey;
  way.pins("map", snapshot.map.pins);
  way.maybe_word("props", snapshot.props, scheme_words());
  way.words("turns", snapshot.turns, Words<Turn>{{Turn::cw, "cw"}, {Turn::ccw, "ccw"}});
  way.word("turn_key", snapshot.turn_key,
           Words<TurnKey>{
               {TurnKey::motor, "motor"}, {TurnKey::pin, "pin"}, {TurnKey::not_settable, "not-settable"}});
  way.maybe_object("mount", snapshot.mount);
  way.word("map_kept", snapshot.map_rules.kept,
           Words<MapKept>{{MapKept::per_motor, "per-motor"}, {MapKept::per_pin, "per-pin"}});
  way.truth("shared_meanwhile", snapshot.map_rules.shared_meanwhile);
}

}  // namespace armwise::record
