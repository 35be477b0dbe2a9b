#include <algorithm>
#include <cstdint>
#include <fstream>
#include <iterator>
#include <set>
#include <utility>

#include "armwise/base/fault.hpp"
#include "armwise/base/json.hpp"
#include "armwise/base/text.hpp"
#include "armwise/practice/craft.hpp"

namespace armwise::practice {
namespace {

const JsonRules& craft_rules() {
  static const JsonRules rules = [] {
    JsonRules made{FaultKind::bad_data, "the craft file",
                   "The craft file does not read as fixtures/crafts/README.md says", "Correct the file"};
    made.longest_text = 64;
    return made;
  }();
  return rules;
}

std::string pin_at(const JsonNode& node) {
  std::string pin = node.text();
  if (pin.empty() || pin.find(' ') != std::string::npos) node.refuse("must be a name without blanks");
  return pin;
}

craft::Turn turn_at(const JsonNode& node) {
  const std::optional<craft::Turn> turn = craft::turn_named(node.text());
  if (!turn) node.refuse("must be \"cw\" or \"ccw\"");
  return *turn;
}

craft::YawPitchRoll angles_at(const JsonNode& node) {
  craft::YawPitchRoll angles;
  JsonObject object = node.object();
  const auto read = [&](const char* key, double& angle) {
    if (const auto found = object.find(key)) angle = found->number(-360, 360);
  };
  read("yaw", angles.yaw);
  read("pitch", angles.pitch);
  read("roll", angles.roll);
  object.refuse_other_keys();
  return angles;
}

bool has_pin(const PracticeCraft& craft, const std::string& pin) {
  return std::find(craft.pins.begin(), craft.pins.end(), pin) != craft.pins.end();
}

void read_pins(const JsonNode& node, PracticeCraft& craft) {
  for (const JsonNode& entry : node.list(64)) {
    std::string pin = pin_at(entry);
    if (has_pin(craft, pin)) entry.refuse("this pin is named twice");
    craft.pins.push_back(std::move(pin));
  }
  if (craft.pins.empty()) node.refuse("holds no pin");
}

void read_wiring(const JsonNode& node, PracticeCraft& craft) {
  const bool pins_named = !craft.pins.empty();
  std::set<craft::PlaceIndex> taken;
  for (const auto& [pin, end] : node.entries()) {
    if (pin.empty() || pin.find(' ') != std::string::npos) end.refuse("no name for a pin");
    const JsonNode where = end.at("place");
    const auto place = craft.frame->find(where.text());
    if (!place) where.refuse("the frame " + craft.frame->name + " has no such place");
    if (!taken.insert(*place).second) where.refuse("two wires end at this place");
    craft.wiring[pin] = {*place, turn_at(end.at("turn"))};
    if (!pins_named) craft.pins.push_back(pin);
    if (!has_pin(craft, pin)) end.refuse("this pin is not among \"pins\"");
  }
}

// A list by motor, or an object by pin.
void read_turns(const JsonNode& node, StartSettings& start) {
  if (node.is_object()) {
    for (const auto& [pin, turn] : node.entries()) start.turns_by_pin[pin] = turn_at(turn);
    return;
  }
  start.turns_by_motor.emplace();
  for (const JsonNode& turn : node.list(64)) start.turns_by_motor->push_back(turn_at(turn));
}

void read_map(const JsonNode& node, PracticeCraft& craft) {
  craft.start.map.emplace();
  for (const JsonNode& entry : node.list(64)) {
    const std::string pin = entry.text();
    if (!pin.empty() && !has_pin(craft, pin)) entry.refuse("the controller has no such pin");
    craft.start.map->push_back(pin);
  }
}

void read_start(const JsonNode& node, PracticeCraft& craft) {
  JsonObject object = node.object();
  if (const auto map = object.find("map")) read_map(*map, craft);
  if (const auto props = object.find("props")) {
    craft.start.props = craft::scheme_named(props->text());
    if (!craft.start.props) props->refuse("must be \"in\" or \"out\"");
  }
  if (const auto turns = object.find("turns")) read_turns(*turns, craft.start);
  if (const auto mount = object.find("mount")) craft.start.mount = angles_at(*mount);
  object.refuse_other_keys();
}

void read_small_things(JsonObject& object, PracticeCraft& craft) {
  const auto number = [&](const char* key, double& into, double highest) {
    if (const auto node = object.find(key)) into = node->number(0, highest);
  };
  number("noise_g", craft.noise_g, 1);
  number("noise_dps", craft.noise_dps, 100);
  number("pose_error", craft.pose_error, 45);
  if (const auto name = object.find("name")) craft.name = name->text();
  if (const auto mount = object.find("mount")) craft.mount = angles_at(*mount);
  if (const auto serial = object.find("serial")) craft.serial = serial->text();
  if (const auto pose = object.find("pose"); pose && !craft.hold(pose->text())) pose->refuse("no such pose");
  if (const auto seed = object.find("seed")) craft.seed = static_cast<std::uint64_t>(seed->number(0, 9e15));
  craft.motors = craft.frame->size();
  if (const auto motors = object.find("motors")) craft.motors = motors->whole(craft.frame->size(), 64);
}

}  // namespace

PracticeCraft craft_from_json(std::string_view json_text) {
  const nlohmann::json json = parse_strictly(json_text, craft_rules());
  JsonObject object = JsonNode(json, craft_rules()).object();
  PracticeCraft craft;
  const JsonNode frame = object.need("frame");
  craft.frame = craft::frame_named(frame.text());
  if (craft.frame == nullptr) frame.refuse("no such frame");
  read_small_things(object, craft);
  if (const auto pins = object.find("pins")) read_pins(*pins, craft);
  read_wiring(object.need("wiring"), craft);
  if (craft.serial.empty()) craft.serial = "AWBENCH001";
  if (const auto start = object.find("start")) read_start(*start, craft);
  object.refuse_other_keys();
  return craft;
}

PracticeCraft craft_from_file(const std::filesystem::path& file) {
  std::ifstream in(file, std::ios::binary);
  if (!in)
    throw Fault(FaultKind::file, "the craft file " + file.string() + " cannot be read", {}, "Check its name");
  const std::string text((std::istreambuf_iterator<char>(in)), std::istreambuf_iterator<char>());
  return craft_from_json(text);
}

}  // namespace armwise::practice
