#include <algorithm>
#include <fstream>
#include <iterator>
#include <nlohmann/json.hpp>
#include <set>

#include "armwise/base/fault.hpp"
#include "armwise/base/text.hpp"
#include "armwise/practice/craft.hpp"

namespace armwise::practice {
namespace {

using Json = nlohmann::json;

[[noreturn]] void unsound(const std::string& path, const std::string& what) {
  throw Fault(FaultKind::bad_data, path + ": " + what,
              "The craft file does not read as fixtures/crafts/README.md says", "Correct the file");
}

std::string text_at(const Json& value, const std::string& path) {
  if (!value.is_string()) unsound(path, "a text is expected here");
  std::string text = value.get<std::string>();
  if (!is_printable(text) || text.size() > 64)
    unsound(path, "at most 64 printable characters are expected here");
  return text;
}

double number_at(const Json& value, const std::string& path, double lowest, double highest) {
  if (!value.is_number()) unsound(path, "a number is expected here");
  const auto number = value.get<double>();
  if (!(number >= lowest && number <= highest)) unsound(path, "the number is out of range");
  return number;
}

craft::Turn turn_at(const Json& value, const std::string& path) {
  const std::optional<craft::Turn> turn = craft::turn_named(text_at(value, path));
  if (!turn) unsound(path, "\"cw\" or \"ccw\" is expected here");
  return *turn;
}

std::string of(const std::string& path, const std::string& key) {
  std::string whole = path;
  whole += '.';
  return whole += printable(key);
}

craft::YawPitchRoll angles_at(const Json& value, const std::string& path) {
  if (!value.is_object()) unsound(path, "an object with yaw, pitch and roll is expected here");
  craft::YawPitchRoll angles;
  for (const auto& [key, angle] : value.items()) {
    const double degrees = number_at(angle, of(path, key), -360, 360);
    if (key == "yaw") {
      angles.yaw = degrees;
    } else if (key == "pitch") {
      angles.pitch = degrees;
    } else if (key == "roll") {
      angles.roll = degrees;
    } else {
      unsound(of(path, key), "no such angle");
    }
  }
  return angles;
}

void read_pins(const Json& value, PracticeCraft& craft) {
  if (!value.is_array() || value.empty() || value.size() > 64)
    unsound("pins", "a list of 1 to 64 names is expected");
  std::set<std::string> seen;
  for (std::size_t i = 0; i < value.size(); ++i) {
    const std::string path = "pins[" + std::to_string(i) + "]";
    std::string pin = text_at(value[i], path);
    if (pin.empty() || pin.find(' ') != std::string::npos)
      unsound(path, "a name without blanks is expected here");
    if (!seen.insert(pin).second) unsound(path, "this pin is named twice");
    craft.pins.push_back(std::move(pin));
  }
}

void read_wiring(const Json& value, PracticeCraft& craft) {
  if (!value.is_object()) unsound("wiring", "an object, pin -> place and turn, is expected here");
  const bool pins_named = !craft.pins.empty();
  std::set<craft::PlaceIndex> taken;
  for (const auto& [pin, end] : value.items()) {
    const std::string path = "wiring." + printable(pin);
    if (pin.empty() || pin.find(' ') != std::string::npos || !is_printable(pin))
      unsound(path, "no name for a pin");
    if (!end.is_object() || !end.contains("place") || !end.contains("turn")) {
      unsound(path, "an object with place and turn is expected here");
    }
    const auto place = craft.frame->find(text_at(end["place"], path + ".place"));
    if (!place) unsound(path + ".place", "the frame " + craft.frame->name + " has no such place");
    if (!taken.insert(*place).second) unsound(path + ".place", "two wires end at this place");
    craft.wiring[pin] = {*place, turn_at(end["turn"], path + ".turn")};
    if (!pins_named) craft.pins.push_back(pin);
    if (std::find(craft.pins.begin(), craft.pins.end(), pin) == craft.pins.end()) {
      unsound(path, "this pin is not among \"pins\"");
    }
  }
}

void read_turns(const Json& value, StartSettings& start) {
  if (value.is_array()) {
    start.turns_by_motor.emplace();
    for (std::size_t i = 0; i < value.size(); ++i) {
      start.turns_by_motor->push_back(turn_at(value[i], "start.turns[" + std::to_string(i) + "]"));
    }
  } else if (value.is_object()) {
    for (const auto& [pin, turn] : value.items())
      start.turns_by_pin[pin] = turn_at(turn, "start.turns." + pin);
  } else {
    unsound("start.turns", "a list by motor or an object by pin is expected here");
  }
}

void read_map(const Json& value, PracticeCraft& craft) {
  if (!value.is_array()) unsound("start.map", "a list of pins, motor 1 first, is expected here");
  craft.start.map.emplace();
  for (std::size_t i = 0; i < value.size(); ++i) {
    const std::string path = "start.map[" + std::to_string(i) + "]";
    std::string pin = text_at(value[i], path);
    if (!pin.empty() && std::find(craft.pins.begin(), craft.pins.end(), pin) == craft.pins.end()) {
      unsound(path, "the controller has no such pin");
    }
    craft.start.map->push_back(std::move(pin));
  }
}

void read_start(const Json& value, PracticeCraft& craft) {
  if (!value.is_object()) unsound("start", "an object is expected here");
  for (const auto& [key, setting] : value.items()) {
    if (key == "map") {
      read_map(setting, craft);
    } else if (key == "props") {
      craft.start.props = craft::scheme_named(text_at(setting, "start.props"));
      if (!craft.start.props) unsound("start.props", "\"in\" or \"out\" is expected here");
    } else if (key == "turns") {
      read_turns(setting, craft.start);
    } else if (key == "mount") {
      craft.start.mount = angles_at(setting, "start.mount");
    } else {
      unsound("start." + printable(key), "no such setting");
    }
  }
}

void read_small_things(const Json& json, PracticeCraft& craft) {
  const auto number = [&](const char* key, double& into, double highest) {
    if (json.contains(key)) into = number_at(json[key], key, 0, highest);
  };
  number("noise_g", craft.noise_g, 1);
  number("noise_dps", craft.noise_dps, 100);
  number("pose_error", craft.pose_error, 45);
  if (json.contains("name")) craft.name = text_at(json["name"], "name");
  if (json.contains("mount")) craft.mount = angles_at(json["mount"], "mount");
  if (json.contains("serial")) craft.serial = text_at(json["serial"], "serial");
  if (json.contains("pose") && !craft.hold(text_at(json["pose"], "pose"))) unsound("pose", "no such pose");
  if (json.contains("seed"))
    craft.seed = static_cast<std::uint64_t>(number_at(json["seed"], "seed", 0, 9e15));
  craft.motors = craft.frame->size();
  if (json.contains("motors")) {
    craft.motors = static_cast<int>(number_at(json["motors"], "motors", craft.frame->size(), 64));
  }
}

void require_known_keys(const Json& json) {
  static const std::vector<std::string> known{"name",   "frame",  "pins",    "wiring",    "mount",
                                              "start",  "motors", "noise_g", "noise_dps", "pose_error",
                                              "serial", "pose",   "seed"};
  for (const auto& [key, value] : json.items()) {
    if (std::find(known.begin(), known.end(), key) != known.end()) continue;
    const std::string near = nearest(key, known);
    unsound(printable(key), near.empty() ? "no such entry" : "no such entry; is \"" + near + "\" meant?");
  }
}

}  // namespace

PracticeCraft craft_from_json(std::string_view json_text) {
  const Json json = Json::parse(json_text, nullptr, false);
  if (!json.is_object()) unsound("craft", "this is not a JSON object");
  require_known_keys(json);
  PracticeCraft craft;
  if (!json.contains("frame")) unsound("frame", "missing");
  craft.frame = craft::frame_named(text_at(json["frame"], "frame"));
  if (craft.frame == nullptr) unsound("frame", "no such frame");
  read_small_things(json, craft);
  if (json.contains("pins")) read_pins(json["pins"], craft);
  if (!json.contains("wiring")) unsound("wiring", "missing");
  read_wiring(json["wiring"], craft);
  if (craft.serial.empty()) craft.serial = "AWBENCH001";
  if (json.contains("start")) read_start(json["start"], craft);
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
