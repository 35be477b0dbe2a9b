// Reads a profile section by section. The format is documented in fixtures/profiles/README.md.
#include <algorithm>
#include <fstream>
#include <utility>

#include "armwise/base/fault.hpp"
#include "armwise/base/text.hpp"
#include "armwise/console/playback.hpp"
#include "armwise/console/profile.hpp"
#include "json_node.hpp"
#include "profile_parts.hpp"
#include "profile_sections.hpp"

namespace armwise::console {
namespace {

std::string read_open_send(const JsonNode& node) {
  std::string send = node.text_with_controls();
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

// A key out of a short closed list, or a line of text.
std::string read_abandon(const JsonNode& node) {
  Open open;
  open.abandon = node.text_with_controls();
  if (open.abandon->size() > 64) node.refuse("longer than 64 characters");
  if (!open.abandons_by_a_key() && !is_printable(*open.abandon))
    node.refuse("of control characters, Ctrl-C, Ctrl-U or Ctrl-X may stand here, by itself");
  return *open.abandon;
}

void refuse_number_as_word(const JsonNode& node, const Template& read) {
  for (const Piece& piece : read.pieces()) {
    if (piece.text != "word" || !piece.blank) continue;
    if (piece.type == BlankType::whole || piece.type == BlankType::decimal)
      node.refuse("{word} is made of letters and cannot be a number");
  }
}

Query read_barrier(const JsonNode& node) {
  Query barrier = read_query(node, {"word"}, {"word"});
  if (barrier.steps.size() != 1) node.refuse("must be one step: it is sent wherever the console may stand");
  need_blank(node, barrier.steps, "word");
  refuse_number_as_word(node, barrier.steps.front().send);
  for (const Template& line : barrier.lines) {
    if (!line.has("word")) node.refuse("a line has no blank {word}");
    refuse_number_as_word(node, line);
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
  if (const auto abandon = object.find("abandon")) open.abandon = read_abandon(*abandon);
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
  read("start_ms", timing.start, 0, 300'000);
  object.refuse_other_keys();
  return timing;
}

std::string read_code(const JsonNode& node) {
  std::string code = node.text();
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

// A stop that is a spin starts what it is to stop, and a question that is one needs no permission.
void refuse_spins_elsewhere(const Profile& profile) {
  const auto refuse_lines = [&](const char* what, const std::vector<std::string>& lines) {
    if (!is_a_spin(profile, lines)) return;
    throw Fault(FaultKind::bad_profile, std::string(what) + ": is the order to spin a motor as well");
  };
  const auto refuse = [&](const char* what, const Steps& steps) {
    std::vector<std::string> lines;
    for (const Step& step : steps) {
      // With a blank in it, it is another command by what stands there.
      const auto& pieces = step.send.pieces();
      if (std::any_of(pieces.begin(), pieces.end(), [](const Piece& piece) { return piece.blank; })) return;
      lines.push_back(step.send.format({}));
    }
    refuse_lines(what, lines);
  };
  refuse_lines("open.send", {profile.open.send});
  refuse_lines("open.home", {profile.open.home});
  refuse_lines("open.more_send", {profile.open.more_send});
  refuse_lines("open.abandon", {profile.open.abandon.value_or("")});
  if (profile.identify) refuse("identify", profile.identify->steps);
  if (profile.whole_configuration) refuse("whole_configuration", profile.whole_configuration->steps);
  if (profile.map) refuse("map.list", profile.map->list.steps);
  if (profile.props) refuse("props.read", profile.props->read.steps);
  if (profile.turn) refuse("turn.read", profile.turn->read.steps);
  if (profile.mount) refuse("mount.read", profile.mount->read.steps);
  if (profile.sense) refuse("sense.read", profile.sense->read.steps);
  if (profile.spin) refuse("spin.stop_all", profile.spin->stop_all.steps);
  if (profile.keep) refuse("keep.keep", profile.keep->keep.steps);
  if (profile.keep && profile.keep->restart) refuse("keep.restart", profile.keep->restart->steps);
  if (profile.leave) refuse("leave", profile.leave->steps);
}

// What two sections say must fit together.
void check_together(const Profile& profile) {
  refuse_spins_elsewhere(profile);
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
