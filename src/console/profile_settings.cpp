// The sections that are settings: map, props, turn, mount.
#include <algorithm>
#include <cmath>
#include <string>

#include "mount_codes.hpp"
#include "profile_parts.hpp"
#include "profile_sections.hpp"

namespace armwise::console {
namespace {

TakesEffect read_takes_effect(JsonObject& object) {
  const auto node = object.find("takes_effect");
  if (!node) return TakesEffect::at_once;
  return read_choice<TakesEffect>(
      *node, {{"at_once", TakesEffect::at_once}, {"after_restart", TakesEffect::after_restart}});
}

}  // namespace

MapAbility read_map(const JsonNode& node) {
  MapAbility map;
  JsonObject object = node.object();
  const JsonNode list = object.need("list");
  map.list = read_query(list, {"motor"}, {"motor", "pin"});
  need_table(list, map.list, "motor", "pin");
  if (const auto kept = object.find("kept")) {
    map.rules.kept = read_choice<solve::MapKept>(
        *kept, {{"per_motor", solve::MapKept::per_motor}, {"per_pin", solve::MapKept::per_pin}});
  }
  if (const auto shared = object.find("shared_meanwhile")) map.rules.shared_meanwhile = shared->truth();
  if (const auto put = object.find("put")) {
    map.put = read_command(*put, {"motor", "pin"});
    need_blank(*put, map.put->steps, "motor");
    need_blank(*put, map.put->steps, "pin");
  }
  if (const auto free = object.find("free")) {
    map.free = read_command(*free, {"motor", "pin"});
    need_blank(*free, map.free->steps, map.rules.kept == solve::MapKept::per_motor ? "motor" : "pin");
  }
  read_text(object, "no_pin", map.no_pin);
  read_text(object, "no_motor", map.no_motor);
  map.takes_effect = read_takes_effect(object);
  object.refuse_other_keys();
  const bool for_each = std::any_of(map.list.steps.begin(), map.list.steps.end(),
                                    [](const Step& step) { return step.send.has("motor"); });
  if (for_each && map.rules.kept == solve::MapKept::per_pin) {
    list.refuse("a map that is kept by pin cannot be asked for motor by motor");
  }
  if (map.put && !map.rules.shared_meanwhile && !map.free) {
    node.refuse("\"free\" is missing: a pin that is taken must be freed before it can be given away");
  }
  return map;
}

PropsAbility read_props(const JsonNode& node) {
  PropsAbility props;
  JsonObject object = node.object();
  const JsonNode read = object.need("read");
  props.read = read_query(read, {}, {"props"});
  need_in_lines(read, props.read, {"props"});
  if (const auto set = object.find("set")) {
    props.set = read_command(*set, {"props"});
    need_blank(*set, props.set->steps, "props");
  }
  props.takes_effect = read_takes_effect(object);
  object.refuse_other_keys();
  return props;
}

TurnAbility read_turn(const JsonNode& node) {
  TurnAbility turn;
  JsonObject object = node.object();
  if (const auto key = object.find("key")) {
    turn.key =
        read_choice<solve::TurnKey>(*key, {{"motor", solve::TurnKey::motor}, {"pin", solve::TurnKey::pin}});
  }
  const char* key_blank = turn.key == solve::TurnKey::pin ? "pin" : "motor";
  const JsonNode read = object.need("read");
  turn.read = read_query(read, {key_blank}, {key_blank, "turn"});
  need_table(read, turn.read, key_blank, "turn");
  if (const auto set = object.find("set")) {
    turn.set = read_command(*set, {key_blank, "turn"});
    need_blank(*set, turn.set->steps, key_blank);
    need_blank(*set, turn.set->steps, "turn");
  }
  turn.takes_effect = read_takes_effect(object);
  object.refuse_other_keys();
  return turn;
}

namespace {

std::map<std::string, craft::YawPitchRoll> read_mount_codes(const JsonNode& node) {
  if (node.is_text()) {
    if (node.text() == mavlink_list_name) return mavlink_mount_codes();
    node.refuse("must be an object, or the name of a list that comes with armwise: \"" +
                std::string(mavlink_list_name) + "\"");
  }
  std::map<std::string, craft::YawPitchRoll> codes;
  JsonObject object = node.object();
  for (const auto& [code, angles] : object.entries()) {
    const auto numbers = angles.list(3);
    if (numbers.size() != 3) angles.refuse("must be three angles in degrees: yaw, pitch, roll");
    codes[code] = {numbers[0].number(-360, 360), numbers[1].number(-360, 360), numbers[2].number(-360, 360)};
    if (code.empty() || code.find(' ') != std::string::npos) angles.refuse("a code must be one word");
  }
  if (codes.empty()) node.refuse("holds no code");
  return codes;
}

void read_mount_convention(JsonObject& object, MountAbility& mount) {
  if (const auto scale = object.find("per_degree")) {
    mount.per_degree = scale->number(-1e6, 1e6);
    if (std::abs(mount.per_degree) < 1e-6) scale->refuse("must not be zero");
  }
  if (const auto decimals = object.find("decimals")) mount.decimals = decimals->whole(0, 9);
  if (const auto signs = object.find("signs")) {
    const auto list = signs->list(3);
    if (list.size() != 3) signs->refuse("must be three signs: of yaw, pitch, roll");
    for (std::size_t i = 0; i < 3; ++i) {
      mount.signs.at(i) = list[i].whole(-1, 1);
      if (mount.signs.at(i) == 0) list[i].refuse("must be 1 or -1");
    }
  }
  if (const auto order = object.find("order")) {
    mount.order = read_choice<std::string>(*order, {{"yaw-pitch-roll", "yaw-pitch-roll"},
                                                    {"yaw-roll-pitch", "yaw-roll-pitch"},
                                                    {"pitch-yaw-roll", "pitch-yaw-roll"},
                                                    {"pitch-roll-yaw", "pitch-roll-yaw"},
                                                    {"roll-pitch-yaw", "roll-pitch-yaw"},
                                                    {"roll-yaw-pitch", "roll-yaw-pitch"}});
  }
  if (const auto opposite = object.find("craft_to_board")) mount.craft_to_board = opposite->truth();
}

void read_mount_commands(JsonObject& object, MountAbility& mount) {
  if (const auto set = object.find("set")) {
    mount.set = read_command(*set, {"yaw", "pitch", "roll", "mount"});
    if (!mount.codes.empty()) {
      need_blank(*set, mount.set->steps, "mount");
    } else {
      for (const char* angle : {"yaw", "pitch", "roll"}) need_blank(*set, mount.set->steps, angle);
    }
  }
  const auto read_one = [&](const char* key, const char* angle, std::optional<Command>& command) {
    const auto found = object.find(key);
    if (!found) return;
    if (mount.set || !mount.codes.empty()) found->refuse("stands beside a way to set all at once");
    command = read_command(*found, {angle});
    need_blank(*found, command->steps, angle);
  };
  read_one("set_yaw", "yaw", mount.set_yaw);
  read_one("set_pitch", "pitch", mount.set_pitch);
  read_one("set_roll", "roll", mount.set_roll);
}

}  // namespace

MountAbility read_mount(const JsonNode& node) {
  MountAbility mount;
  JsonObject object = node.object();
  if (const auto codes = object.find("codes")) mount.codes = read_mount_codes(*codes);
  const JsonNode read = object.need("read");
  if (mount.codes.empty()) {
    mount.read = read_query(read, {}, {"yaw", "pitch", "roll"});
    need_in_lines(read, mount.read, {"yaw", "pitch", "roll"});
  } else {
    mount.read = read_query(read, {}, {"mount"});
    need_in_lines(read, mount.read, {"mount"});
  }
  read_mount_convention(object, mount);
  read_mount_commands(object, mount);
  mount.takes_effect = read_takes_effect(object);
  object.refuse_other_keys();
  return mount;
}

}  // namespace armwise::console
