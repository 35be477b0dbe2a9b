#include "settings_json.hpp"

#include <cmath>
#include <utility>

#include "armwise/base/fault.hpp"
#include "armwise/base/text.hpp"

namespace armwise::record {
namespace {

using nlohmann::json;

json to_json_value(const craft::YawPitchRoll& mount) {
  return {{"yaw", mount.yaw}, {"pitch", mount.pitch}, {"roll", mount.roll}};
}

const char* key_name(solve::TurnKey key) {
  switch (key) {
    case solve::TurnKey::motor:
      return "motor";
    case solve::TurnKey::pin:
      return "pin";
    case solve::TurnKey::not_settable:
      break;
  }
  return "not-settable";
}

solve::TurnKey key_from(const JsonNode& node) {
  const std::string text = node.text();
  if (text == "motor") return solve::TurnKey::motor;
  if (text == "pin") return solve::TurnKey::pin;
  if (text == "not-settable") return solve::TurnKey::not_settable;
  node.refuse("is none of motor, pin, not-settable");
}

craft::YawPitchRoll mount_from(const JsonNode& node) {
  return {node.at("yaw").number(-360, 360), node.at("pitch").number(-360, 360),
          node.at("roll").number(-360, 360)};
}

}  // namespace

json to_json_value(const console::Identity& identity) {
  return {{"board", identity.board},
          {"firmware", identity.firmware},
          {"version", identity.version},
          {"serial", identity.serial},
          {"port_identity", identity.port_identity}};
}

json to_json_value(const solve::Snapshot& snapshot) {
  json out;
  json pins = json::array();
  for (const craft::Pin& pin : snapshot.map.pins) pins.push_back(pin.name);
  out["map"] = pins;
  if (snapshot.props) out["props"] = std::string(name(*snapshot.props));
  json turns = json::array();
  for (const craft::Turn turn : snapshot.turns) turns.push_back(std::string(name(turn)));
  out["turns"] = turns;
  out["turn_key"] = key_name(snapshot.turn_key);
  if (snapshot.mount) out["mount"] = to_json_value(*snapshot.mount);
  out["map_kept"] = snapshot.map_rules.kept == solve::MapKept::per_pin ? "per-pin" : "per-motor";
  out["shared_meanwhile"] = snapshot.map_rules.shared_meanwhile;
  return out;
}

JsonRules written_here(const std::string& what) {
  JsonRules rules{FaultKind::bad_data, what, "it is damaged, or was not written by this tool",
                  "Use another copy of it"};
  rules.longest_file = std::size_t{16} << 20U;
  rules.longest_text = 4096;
  rules.deepest = 32;
  return rules;
}

console::Identity identity_from(const JsonNode& node) {
  if (!node.is_object()) node.refuse("must be an object in braces");
  console::Identity identity;
  identity.board = node.text_or_empty("board");
  identity.firmware = node.text_or_empty("firmware");
  identity.version = node.text_or_empty("version");
  identity.serial = node.text_or_empty("serial");
  identity.port_identity = node.text_or_empty("port_identity");
  return identity;
}

solve::Snapshot snapshot_from(const JsonNode& node) {
  solve::Snapshot snapshot;
  for (const std::string& pin : node.at("map").texts()) snapshot.map.pins.push_back({pin});
  if (node.has("props")) {
    snapshot.props = craft::scheme_named(node.at("props").text());
    if (!snapshot.props) node.at("props").refuse("is neither in nor out");
  }
  for (const JsonNode& value : node.at("turns").list()) {
    const auto turn = craft::turn_named(value.text());
    if (!turn) value.refuse("is neither cw nor ccw");
    snapshot.turns.push_back(*turn);
  }
  snapshot.turn_key = key_from(node.at("turn_key"));
  if (node.has("mount")) snapshot.mount = mount_from(node.at("mount"));
  snapshot.map_rules.kept =
      node.at("map_kept").text() == "per-pin" ? solve::MapKept::per_pin : solve::MapKept::per_motor;
  snapshot.map_rules.shared_meanwhile = node.at("shared_meanwhile").truth();
  return snapshot;
}

}  // namespace armwise::record
