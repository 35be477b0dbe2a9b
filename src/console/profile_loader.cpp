// Reads a profile section by section. The format is documented in fixtures/profiles/README.md.
#include <algorithm>
#include <fstream>
#include <iterator>
#include <utility>

#include "armwise/base/fault.hpp"
#include "armwise/base/text.hpp"
#include "armwise/console/profile.hpp"
#include "json_node.hpp"
#include "mount_codes.hpp"
#include "profile_parts.hpp"

namespace armwise::console {
namespace {

constexpr int most_motors = 32;

TakesEffect read_takes_effect(JsonObject& object) {
  const auto node = object.find("takes_effect");
  if (!node) return TakesEffect::at_once;
  return read_choice<TakesEffect>(
      *node, {{"at_once", TakesEffect::at_once}, {"after_restart", TakesEffect::after_restart}});
}

std::string read_open_send(const JsonNode& node) {
  const std::string send = node.text_with_controls();
  if (send.size() > 64) node.refuse("longer than 64 characters");
  const std::string_view keys = send;
  const std::size_t first_control = static_cast<std::size_t>(
      std::find_if(keys.begin(), keys.end(), [](char c) { return c > 0 && c < ' '; }) - keys.begin());
  if (!is_printable(keys.substr(0, first_control))) node.refuse("holds a character that is no text");
  const auto is_key = [](char c) { return c > 0 && c < ' '; };
  if (!std::all_of(keys.begin() + static_cast<std::ptrdiff_t>(first_control), keys.end(), is_key)) {
    node.refuse("control characters may only stand at its end");
  }
  return send;
}

Query read_barrier(const JsonNode& node) {
  Query barrier = read_query(node, {"word"}, {"word"});
  need_blank(node, barrier.steps, "word");
  for (const Template& line : barrier.lines) {
    if (!line.has("word")) node.refuse("a line has no blank {word}");
    for (const Step& step : barrier.steps) {
      if (line.match(step.send.format({{"word", "w"}}))) {
        node.refuse("its answer reads like its own echo, so it would prove nothing");
      }
    }
  }
  return barrier;
}

Open read_open(const JsonNode& node) {
  Open open;
  JsonObject object = node.object();
  if (const auto send = object.find("send")) open.send = read_open_send(*send);
  read_text(object, "prompt", open.prompt);
  if (const auto end = object.find("reply_end")) {
    open.reply_end = read_template(*end, {"skip", "rest"});
  }
  if (const auto ending = object.find("line_ending")) {
    open.line_ending = read_choice<LineEnding>(
        *ending, {{"cr", LineEnding::cr}, {"lf", LineEnding::lf}, {"crlf", LineEnding::crlf}});
  }
  if (const auto echo = object.find("echo")) open.echo = echo->truth();
  if (const auto barrier = object.find("barrier")) open.barrier = read_barrier(*barrier);
  read_text(object, "more", open.more);
  read_text(object, "more_send", open.more_send);
  read_text(object, "home", open.home);
  object.refuse_other_keys();
  if (trimmed(open.prompt).empty() && !open.reply_end) {
    node.refuse("needs a \"prompt\" or a \"reply_end\", or nobody can tell where a reply ends");
  }
  if (open.prompt.empty() && !open.barrier) {
    node.refuse("needs a \"barrier\" where there is no prompt, or nobody can tell that the console listens");
  }
  return open;
}

Timing read_timing(const JsonNode& node) {
  Timing timing;
  JsonObject object = node.object();
  const auto read = [&](const char* key, Duration& duration, int lowest, int highest) {
    if (const auto found = object.find(key)) duration = Duration(found->whole(lowest, highest));
  };
  read("reply_ms", timing.reply, 50, 60'000);
  read("quiet_ms", timing.quiet, 1, 5'000);
  read("listing_ms", timing.listing, 100, 600'000);
  read("restart_ms", timing.restart, 500, 300'000);
  object.refuse_other_keys();
  return timing;
}

std::string read_code(const JsonNode& node) {
  const std::string code = node.text();
  if (code.empty() || code.find(' ') != std::string::npos) node.refuse("must be one word");
  return code;
}

Codes read_codes(const JsonNode& node) {
  Codes codes;
  JsonObject object = node.object();
  if (const auto first = object.find("first_motor")) codes.first_motor = first->whole(0, 100'000);
  if (const auto motors = object.find("motor")) {
    std::set<std::string> seen;
    int number = 0;
    for (const JsonNode& code : motors->list(most_motors)) {
      codes.motor[++number] = read_code(code);
      if (!seen.insert(lower_case(codes.motor[number])).second) code.refuse("the same code twice");
    }
  }
  const auto read = [&](const char* key, std::string& code) {
    if (const auto found = object.find(key)) code = read_code(*found);
  };
  read("cw", codes.cw);
  read("ccw", codes.ccw);
  read("props_in", codes.props_in);
  read("props_out", codes.props_out);
  object.refuse_other_keys();
  if (lower_case(codes.cw) == lower_case(codes.ccw)) node.refuse("cw and ccw have the same code");
  if (lower_case(codes.props_in) == lower_case(codes.props_out)) {
    node.refuse("props_in and props_out have the same code");
  }
  return codes;
}

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

// A spin check is there to be seen, not to be felt: these bounds hold whatever a profile says.
constexpr double strongest_standard_per_cent = 25;
constexpr double strongest_per_cent = 50;

void check_strengths(const JsonNode& node, const SpinAbility& spin) {
  if (spin.zero >= spin.full) node.refuse("zero must be less than full");
  const auto& [zero, full] = std::pair(spin.zero, spin.full);
  if (spin.lowest < zero || spin.lowest > spin.standard || spin.standard > spin.highest ||
      spin.highest > full) {
    node.refuse("strengths must rise from zero over lowest, standard and highest to full");
  }
  if (spin.standard <= zero) node.refuse("standard is no strength at all");
  if (spin.per_cent(spin.standard) > strongest_standard_per_cent) {
    node.refuse("standard is more than 25 % of full strength, too much for a spin check");
  }
  if (spin.per_cent(spin.highest) > strongest_per_cent) {
    node.refuse("highest is more than 50 % of full strength, too much for a spin check");
  }
}

SpinAbility read_spin(const JsonNode& node) {
  SpinAbility spin;
  JsonObject object = node.object();
  const JsonNode command = object.need("spin");
  spin.spin = read_command(command, {"motor", "strength", "milliseconds"});
  need_blank(command, spin.spin.steps, "motor");
  need_blank(command, spin.spin.steps, "strength");
  if (const auto stop = object.find("stop")) {
    spin.stop = read_command(*stop, {"motor"});
    need_blank(*stop, spin.stop->steps, "motor");
  }
  spin.stop_all = read_command(object.need("stop_all"), {});
  const auto read = [&](const char* key, double& value) {
    if (const auto found = object.find(key)) value = found->number(-1e6, 1e6);
  };
  read("zero", spin.zero);
  read("full", spin.full);
  spin.standard = object.need("standard").number(-1e6, 1e6);
  spin.lowest = spin.highest = spin.standard;
  read("lowest", spin.lowest);
  read("highest", spin.highest);
  if (const auto decimals = object.find("decimals")) spin.decimals = decimals->whole(0, 6);
  read_text(object, "unit", spin.unit);
  object.refuse_other_keys();
  check_strengths(node, spin);
  return spin;
}

SenseAbility read_sense(const JsonNode& node) {
  SenseAbility sense;
  JsonObject object = node.object();
  const JsonNode read = object.need("read");
  sense.read = read_query(read, {}, {"x", "y", "z", "gx", "gy", "gz"});
  need_in_lines(read, sense.read, {"x", "y", "z"});
  if (const auto per_g = object.find("per_g")) sense.per_g = per_g->number(1e-3, 1e6);
  if (const auto per_dps = object.find("per_dps")) {
    sense.per_dps = per_dps->number(1e-6, 1e6);
    need_in_lines(read, sense.read, {"gx", "gy", "gz"});
  }
  if (const auto axes = object.find("axes")) {
    const auto list = axes->list(3);
    std::set<char> used;
    if (list.size() != 3) axes->refuse("must be three axes");
    for (std::size_t i = 0; i < 3; ++i) {
      sense.axes.at(i) = read_choice<std::string>(
          list[i], {{"x", "x"}, {"y", "y"}, {"z", "z"}, {"-x", "-x"}, {"-y", "-y"}, {"-z", "-z"}});
      if (!used.insert(sense.axes.at(i).back()).second) list[i].refuse("the same axis twice");
    }
  }
  if (const auto after = object.find("after_mount")) sense.after_mount = after->truth();
  if (const auto force = object.find("specific_force")) sense.specific_force = force->truth();
  object.refuse_other_keys();
  return sense;
}

KeepAbility read_keep(const JsonNode& node) {
  KeepAbility keep;
  JsonObject object = node.object();
  keep.keep = read_command(object.need("keep"), {});
  if (const auto restarts = object.find("restarts")) keep.restarts = restarts->truth();
  if (const auto restart = object.find("restart")) keep.restart = read_command(*restart, {});
  object.refuse_other_keys();
  return keep;
}

std::vector<std::string> read_places(const JsonNode& node, const craft::Frame& frame) {
  std::vector<std::string> places;
  std::set<craft::PlaceIndex> seen;
  for (const JsonNode& entry : node.list(frame.places.size())) {
    const std::string name = entry.text();
    const auto place = frame.find(name);
    if (!place) entry.refuse("\"" + name + "\" is no place of " + frame.name);
    if (!seen.insert(*place).second) entry.refuse("\"" + name + "\" twice");
    places.push_back(frame.places[*place].name);
  }
  if (places.size() != frame.places.size()) {
    node.refuse("names " + std::to_string(places.size()) + " places; " + frame.name + " has " +
                std::to_string(frame.places.size()));
  }
  return places;
}

std::map<std::string, std::vector<std::string>> read_numbering(const JsonNode& node) {
  std::map<std::string, std::vector<std::string>> numbering;
  JsonObject object = node.object();
  for (const auto& [name, places] : object.entries()) {
    const craft::Frame* frame = craft::frame_named(name);
    if (frame == nullptr) {
      std::vector<std::string> known;
      for (const craft::Frame& one : craft::frames()) known.push_back(one.name);
      places.refuse("no frame of this name; there are " + joined(known, ", "));
    }
    numbering[name] = read_places(places, *frame);
  }
  return numbering;
}

void read_abilities(JsonObject& object, Profile& profile) {
  if (const auto node = object.find("identify")) {
    profile.identify = read_query(*node, {}, {"board", "firmware", "version", "serial"});
    if (profile.identify->lines.empty()) node->refuse("\"lines\" is missing: nothing would be read");
  }
  if (const auto node = object.find("whole_configuration")) {
    profile.whole_configuration = read_query(*node, {}, {});
  }
  if (const auto node = object.find("map")) profile.map = read_map(*node);
  if (const auto node = object.find("props")) profile.props = read_props(*node);
  if (const auto node = object.find("turn")) profile.turn = read_turn(*node);
  if (const auto node = object.find("mount")) profile.mount = read_mount(*node);
  if (const auto node = object.find("spin")) profile.spin = read_spin(*node);
  if (const auto node = object.find("sense")) profile.sense = read_sense(*node);
  if (const auto node = object.find("keep")) profile.keep = read_keep(*node);
  if (const auto node = object.find("leave")) profile.leave = read_command(*node, {});
}

void read_version(JsonObject& object) {
  const JsonNode node = object.need("armwise_profile");
  const int version = node.whole(1, 1'000'000);
  if (version > profile_version) {
    node.refuse("version " + std::to_string(version) +
                " was written for a newer armwise; this one reads version " +
                std::to_string(profile_version));
  }
}

// What two sections say must fit together.
void check_together(const Profile& profile) {
  if (profile.sense && profile.sense->after_mount && !profile.mount) {
    throw Fault(FaultKind::bad_profile,
                "sense.after_mount: needs a \"mount\" that can be read, to take it out of the readings");
  }
  if (!profile.map || profile.map->no_motor.empty()) return;
  if (profile.motor_coded(profile.map->no_motor)) {
    throw Fault(FaultKind::bad_profile,
                "map.no_motor: \"" + profile.map->no_motor + "\" is a motor's code as well");
  }
}

}  // namespace

Profile load_profile(std::string_view json_text) {
  const nlohmann::json file = parse_strictly(json_text);
  JsonObject object = JsonNode(file, "").object();
  read_version(object);
  Profile profile;
  profile.name = object.need("name").text();
  if (trimmed(profile.name).empty()) object.need("name").refuse("is empty");
  if (const auto notes = object.find("notes")) {
    for (const JsonNode& note : notes->list(100)) profile.notes.push_back(note.text());
  }
  if (const auto sensitive = object.find("case_sensitive")) profile.case_sensitive = sensitive->truth();
  profile.open = read_open(object.need("open"));
  if (const auto timing = object.find("timing")) profile.timing = read_timing(*timing);
  if (const auto codes = object.find("codes")) profile.codes = read_codes(*codes);
  if (const auto refusals = object.find("refusals")) {
    for (const JsonNode& line : refusals->list(50)) {
      profile.refusals.push_back(read_template(line, {"skip", "rest", "word", "why"}));
    }
  }
  read_abilities(object, profile);
  if (const auto numbering = object.find("numbering")) profile.numbering = read_numbering(*numbering);
  object.refuse_other_keys();
  check_together(profile);
  return profile;
}

Profile load_profile_file(const std::filesystem::path& path) {
  std::ifstream file(path, std::ios::binary);
  // One byte more than is allowed is read, so that the loader sees that it is too much.
  std::string text(256UL * 1024UL + 1, '\0');
  if (!file.read(text.data(), static_cast<std::streamsize>(text.size())) && !file.eof()) {
    throw Fault(FaultKind::file, "the profile " + printable(path.string()) + " cannot be read",
                "There is no such file, or it may not be opened");
  }
  text.resize(static_cast<std::size_t>(file.gcount()));
  try {
    return load_profile(text);
  } catch (const Fault& fault) {
    throw fault.within(printable(path.string()));
  }
}

}  // namespace armwise::console
