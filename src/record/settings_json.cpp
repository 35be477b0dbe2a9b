#include "settings_json.hpp"

#include <cmath>
#include <utility>

#include "armwise/base/fault.hpp"
#include "armwise/base/text.hpp"

namespace armwise::record {
namespace {

using nlohmann::json;

constexpr std::size_t longest_document = std::size_t{16} << 20U;
constexpr int deepest = 32;
constexpr std::size_t longest_text = 4096;
constexpr std::size_t most_items = 100000;

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

solve::TurnKey key_from(const Reader& reader) {
  const std::string text = reader.text();
  if (text == "motor") return solve::TurnKey::motor;
  if (text == "pin") return solve::TurnKey::pin;
  if (text == "not-settable") return solve::TurnKey::not_settable;
  reader.fail("is none of motor, pin, not-settable");
}

craft::YawPitchRoll mount_from(const Reader& reader) {
  return {reader.at("yaw").number(-360, 360), reader.at("pitch").number(-360, 360),
          reader.at("roll").number(-360, 360)};
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

void Reader::fail(const std::string& what) const {
  throw Fault(FaultKind::bad_data, (path_.empty() ? "The whole" : "\"" + path_ + "\"") + " " + what,
              "the file is damaged, or was not written by this tool", "Use another copy of it");
}

bool Reader::has(const char* key) const {
  return value_.is_object() && value_.contains(key);
}

Reader Reader::at(const char* key) const {
  if (!value_.is_object()) fail("should be an object");
  const auto found = value_.find(key);
  if (found == value_.end()) fail("has no \"" + std::string(key) + "\"");
  return Reader(*found, path_.empty() ? key : path_ + "." + key);
}

Reader Reader::at(std::size_t index) const {
  if (!value_.is_array() || index >= value_.size()) fail("should be a longer list");
  return Reader(value_[index], path_ + "[" + std::to_string(index) + "]");
}

std::size_t Reader::size() const {
  if (!value_.is_array()) fail("should be a list");
  if (value_.size() > most_items) fail("is too long a list");
  return value_.size();
}

std::vector<std::string> Reader::keys() const {
  if (!value_.is_object()) fail("should be an object");
  std::vector<std::string> out;
  for (const auto& item : value_.items()) {
    if (!is_printable(item.key()) || item.key().size() > longest_text)
      fail("has a key that is not plain text");
    out.push_back(item.key());
  }
  return out;
}

std::string Reader::text() const {
  if (!value_.is_string()) fail("should be text");
  const auto& text = value_.get_ref<const std::string&>();
  if (text.size() > longest_text) fail("is too long");
  if (!is_printable(text)) fail("holds control characters or broken UTF-8");
  return text;
}

std::vector<std::string> Reader::texts() const {
  std::vector<std::string> out;
  for (std::size_t i = 0; i < size(); ++i) out.push_back(at(i).text());
  return out;
}

int Reader::whole(int lowest, int highest) const {
  if (!value_.is_number_integer()) fail("should be a whole number");
  const auto number = value_.get<std::int64_t>();
  if (number < lowest || number > highest) {
    fail("should lie between " + std::to_string(lowest) + " and " + std::to_string(highest));
  }
  return static_cast<int>(number);
}

double Reader::number(double lowest, double highest) const {
  if (!value_.is_number()) fail("should be a number");
  const auto number = value_.get<double>();
  if (!std::isfinite(number) || number < lowest || number > highest) fail("is out of range");
  return number;
}

bool Reader::flag() const {
  if (!value_.is_boolean()) fail("should be true or false");
  return value_.get<bool>();
}

json parse_limited(std::string_view text, const std::string& what) {
  const auto refuse = [&](const std::string& why) {
    throw Fault(FaultKind::bad_data, what + " cannot be read", why, "Use another copy of it");
  };
  if (text.size() > longest_document) refuse("it is too long");
  bool too_deep = false;
  const auto shallow = [&](int depth, json::parse_event_t, json&) {
    if (depth > deepest) too_deep = true;
    return !too_deep;
  };
  try {
    json parsed = json::parse(text, shallow);
    if (too_deep) refuse("it is nested too deeply");
    return parsed;
  } catch (const json::parse_error& error) {
    refuse("it is not JSON from " + line_and_column(text, error.byte == 0 ? 0 : error.byte - 1) + " on");
  } catch (const json::exception&) {
    refuse("it holds a number that is too large");
  }
  return {};
}

console::Identity identity_from(const Reader& reader) {
  if (!reader.raw().is_object()) reader.fail("should be an object");
  console::Identity identity;
  identity.board = reader.text_or_empty("board");
  identity.firmware = reader.text_or_empty("firmware");
  identity.version = reader.text_or_empty("version");
  identity.serial = reader.text_or_empty("serial");
  identity.port_identity = reader.text_or_empty("port_identity");
  return identity;
}

solve::Snapshot snapshot_from(const Reader& reader) {
  solve::Snapshot snapshot;
  for (const std::string& pin : reader.at("map").texts()) snapshot.map.pins.push_back({pin});
  if (reader.has("props")) {
    snapshot.props = craft::scheme_named(reader.at("props").text());
    if (!snapshot.props) reader.at("props").fail("is neither in nor out");
  }
  const Reader turns = reader.at("turns");
  for (std::size_t i = 0; i < turns.size(); ++i) {
    const auto turn = craft::turn_named(turns.at(i).text());
    if (!turn) turns.at(i).fail("is neither cw nor ccw");
    snapshot.turns.push_back(*turn);
  }
  snapshot.turn_key = key_from(reader.at("turn_key"));
  if (reader.has("mount")) snapshot.mount = mount_from(reader.at("mount"));
  snapshot.map_rules.kept =
      reader.at("map_kept").text() == "per-pin" ? solve::MapKept::per_pin : solve::MapKept::per_motor;
  snapshot.map_rules.shared_meanwhile = reader.at("shared_meanwhile").flag();
  return snapshot;
}

}  // namespace armwise::record
