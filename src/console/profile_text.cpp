// Writes a profile. The format is documented in fixtures/profiles/README.md.
#include <nlohmann/json.hpp>
#include <utility>

#include "armwise/console/profile.hpp"
#include "mount_codes.hpp"

namespace armwise::console {
namespace {

using Json = nlohmann::ordered_json;

constexpr std::size_t widest_line = 100;

// Whole numbers without ".0": 1, not 1.0.
Json number(double value) {
  const auto whole = static_cast<long long>(value);
  if (static_cast<double>(whole) == value) return whole;
  return value;
}

Json step_json(const Step& step) {
  if (step.prompt.empty()) return step.send.source();
  return {{"send", step.send.source()}, {"prompt", step.prompt}};
}

Json steps_json(const Steps& steps) {
  if (steps.size() == 1 && steps.front().prompt.empty()) return step_json(steps.front());
  Json list = Json::array();
  for (const Step& step : steps) list.push_back(step_json(step));
  return list;
}

Json command_json(const Command& command) {
  if (!command.confirms) return steps_json(command.steps);
  return {{"send", steps_json(command.steps)}, {"confirms", command.confirms->source()}};
}

Json query_json(const Query& query) {
  const Query usual;
  if (query.lines.empty() && !query.item && query.between_items == usual.between_items) {
    return steps_json(query.steps);
  }
  Json json{{"send", steps_json(query.steps)}};
  if (!query.lines.empty()) {
    json["lines"] = Json::array();
    for (const Template& line : query.lines) json["lines"].push_back(line.source());
  }
  if (query.item) json["item"] = query.item->source();
  if (query.between_items != usual.between_items) json["between_items"] = query.between_items;
  return json;
}

// Adds what differs from what is so without being said.
template <typename Value>
void add(Json& json, const char* key, const Value& value, const Value& usual) {
  if (value != usual) json[key] = value;
}
void add_number(Json& json, const char* key, double value, double usual) {
  if (value != usual) json[key] = number(value);
}
void add(Json& json, const char* key, const std::optional<Command>& command) {
  if (command) json[key] = command_json(*command);
}
void add(Json& json, const char* key, TakesEffect effect) {
  if (effect == TakesEffect::after_restart) json[key] = "after_restart";
}

const char* line_ending_name(LineEnding ending) {
  return ending == LineEnding::cr ? "cr" : ending == LineEnding::lf ? "lf" : "crlf";
}

Json open_json(const Open& open) {
  const Open usual;
  Json json = Json::object();
  add(json, "send", open.send, usual.send);
  add(json, "prompt", open.prompt, usual.prompt);
  if (open.reply_end) json["reply_end"] = open.reply_end->source();
  json["line_ending"] = line_ending_name(open.line_ending);
  if (open.echo) json["echo"] = *open.echo;
  if (open.barrier) json["barrier"] = query_json(*open.barrier);
  add(json, "more", open.more, usual.more);
  add(json, "more_send", open.more_send, usual.more_send);
  add(json, "home", open.home, usual.home);
  if (open.abandon) json["abandon"] = *open.abandon;
  return json;
}

Json timing_json(const Timing& timing) {
  const Timing usual;
  Json json = Json::object();
  const auto add_duration = [&](const char* key, Duration duration, Duration otherwise) {
    if (duration != otherwise) json[key] = duration.count();
  };
  add_duration("reply_ms", timing.reply, usual.reply);
  add_duration("quiet_ms", timing.quiet, usual.quiet);
  add_duration("listing_ms", timing.listing, usual.listing);
  add_duration("restart_ms", timing.restart, usual.restart);
  add_duration("start_ms", timing.start, usual.start);
  return json;
}

Json codes_json(const Codes& codes) {
  const Codes usual;
  Json json = Json::object();
  add(json, "first_motor", codes.first_motor, usual.first_motor);
  for (const auto& [motor, code] : codes.motor) json["motor"].push_back(code);
  add(json, "cw", codes.cw, usual.cw);
  add(json, "ccw", codes.ccw, usual.ccw);
  add(json, "props_in", codes.props_in, usual.props_in);
  add(json, "props_out", codes.props_out, usual.props_out);
  return json;
}

Json map_json(const MapAbility& map) {
  const MapAbility usual;
  Json json{{"list", query_json(map.list)}};
  if (map.rules.kept == solve::MapKept::per_pin) json["kept"] = "per_pin";
  add(json, "shared_meanwhile", map.rules.shared_meanwhile, usual.rules.shared_meanwhile);
  add(json, "put", map.put);
  add(json, "free", map.free);
  add(json, "no_pin", map.no_pin, usual.no_pin);
  add(json, "no_motor", map.no_motor, usual.no_motor);
  add(json, "takes_effect", map.takes_effect);
  return json;
}

Json props_json(const PropsAbility& props) {
  Json json{{"read", query_json(props.read)}};
  add(json, "set", props.set);
  add(json, "takes_effect", props.takes_effect);
  return json;
}

Json turn_json(const TurnAbility& turn) {
  Json json{{"key", turn.key == solve::TurnKey::pin ? "pin" : "motor"}, {"read", query_json(turn.read)}};
  add(json, "set", turn.set);
  add(json, "takes_effect", turn.takes_effect);
  return json;
}

Json mount_codes_json(const MountAbility& mount) {
  if (mount.codes == mavlink_mount_codes()) return mavlink_list_name;
  Json json = Json::object();
  for (const auto& [code, angles] : mount.codes) {
    json[code] = {number(angles.yaw), number(angles.pitch), number(angles.roll)};
  }
  return json;
}

Json mount_json(const MountAbility& mount) {
  const MountAbility usual;
  Json json{{"read", query_json(mount.read)}};
  add(json, "set", mount.set);
  add(json, "set_yaw", mount.set_yaw);
  add(json, "set_pitch", mount.set_pitch);
  add(json, "set_roll", mount.set_roll);
  add_number(json, "per_degree", mount.per_degree, usual.per_degree);
  add(json, "decimals", mount.decimals, usual.decimals);
  add(json, "signs", mount.signs, usual.signs);
  add(json, "order", mount.order, usual.order);
  add(json, "craft_to_board", mount.craft_to_board, usual.craft_to_board);
  if (!mount.codes.empty()) json["codes"] = mount_codes_json(mount);
  add(json, "takes_effect", mount.takes_effect);
  return json;
}

Json spin_json(const SpinAbility& spin) {
  const SpinAbility usual;
  Json json{{"spin", command_json(spin.spin)}};
  add(json, "stop", spin.stop);
  json["stop_all"] = command_json(spin.stop_all);
  json["zero"] = number(spin.zero);
  json["full"] = number(spin.full);
  json["lowest"] = number(spin.lowest);
  json["standard"] = number(spin.standard);
  json["highest"] = number(spin.highest);
  add(json, "decimals", spin.decimals, usual.decimals);
  add(json, "unit", spin.unit, usual.unit);
  return json;
}

Json sense_json(const SenseAbility& sense) {
  const SenseAbility usual;
  Json json{{"read", query_json(sense.read)}};
  add_number(json, "per_g", sense.per_g, usual.per_g);
  add_number(json, "per_dps", sense.per_dps, usual.per_dps);
  add(json, "axes", sense.axes, usual.axes);
  add(json, "after_mount", sense.after_mount, usual.after_mount);
  add(json, "specific_force", sense.specific_force, usual.specific_force);
  return json;
}

Json keep_json(const KeepAbility& keep) {
  Json json{{"keep", command_json(keep.keep)}};
  add(json, "restarts", keep.restarts, false);
  add(json, "restart", keep.restart);
  return json;
}

void add_abilities(Json& json, const Profile& profile) {
  if (profile.identify) json["identify"] = query_json(*profile.identify);
  if (profile.whole_configuration) json["whole_configuration"] = query_json(*profile.whole_configuration);
  if (profile.map) json["map"] = map_json(*profile.map);
  if (profile.props) json["props"] = props_json(*profile.props);
  if (profile.turn) json["turn"] = turn_json(*profile.turn);
  if (profile.mount) json["mount"] = mount_json(*profile.mount);
  if (profile.spin) json["spin"] = spin_json(*profile.spin);
  if (profile.sense) json["sense"] = sense_json(*profile.sense);
  if (profile.keep) json["keep"] = keep_json(*profile.keep);
  add(json, "leave", profile.leave);
}

std::string on_one_line(const Json& json) {
  if (!json.is_structured()) return json.dump();
  const bool list = json.is_array();
  std::string text(list ? "[" : "{");
  bool first = true;
  for (const auto& [key, value] : json.items()) {
    text += first ? "" : ", ";
    if (!list) text += Json(key).dump() + ": ";
    text += on_one_line(value);
    first = false;
  }
  return text + (list ? "]" : "}");
}

// What is short enough stands on one line, as a person would write it.
void print(const Json& json, std::size_t depth, std::size_t used, std::string& out) {
  std::string one_line = on_one_line(json);
  if (!json.is_structured() || (depth > 0 && 2 * depth + used + one_line.size() < widest_line)) {
    out += one_line;
    return;
  }
  const bool list = json.is_array();
  const std::string indent(2 * depth + 2, ' ');
  out += list ? "[" : "{";
  bool first = true;
  for (const auto& [key, value] : json.items()) {
    out += (first ? "\n" : ",\n") + indent;
    const std::string name = list ? std::string() : Json(key).dump() + ": ";
    out += name;
    print(value, depth + 1, name.size(), out);
    first = false;
  }
  out += "\n" + std::string(2 * depth, ' ') + (list ? "]" : "}");
}

}  // namespace

std::string profile_text(const Profile& profile) {
  Json json{{"armwise_profile", profile.version}, {"name", profile.name}};
  if (!profile.notes.empty()) json["notes"] = profile.notes;
  add(json, "case_sensitive", profile.case_sensitive, false);
  json["open"] = open_json(profile.open);
  if (Json timing = timing_json(profile.timing); !timing.empty()) json["timing"] = std::move(timing);
  if (Json codes = codes_json(profile.codes); !codes.empty()) json["codes"] = std::move(codes);
  for (const Template& refusal : profile.refusals) json["refusals"].push_back(refusal.source());
  add_abilities(json, profile);
  if (!profile.numbering.empty()) json["numbering"] = profile.numbering;
  std::string out;
  print(json, 0, 0, out);
  return out + "\n";
}

}  // namespace armwise::console
