// Reads a profile. The format is documented in fixtures/profiles/README.md, its members stand in
// profile_fields.hpp.
#include <algorithm>
#include <fstream>
#include <utility>

#include "armwise/base/fault.hpp"
#include "armwise/base/json.hpp"
#include "armwise/base/text.hpp"
#include "armwise/console/profile.hpp"
#include "mount_codes.hpp"
#include "profile_checks.hpp"
#include "profile_fields.hpp"

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
std::string read_way_out(const JsonNode& node) {
  Open open;
  open.abandon = node.text_with_controls();
  if (open.abandon->size() > 64) node.refuse("longer than 64 characters");
  if (!open.abandons_by_a_key() && !is_printable(*open.abandon))
    node.refuse("of control characters, Ctrl-C, Ctrl-U or Ctrl-X may stand here, by itself");
  return *open.abandon;
}

std::string read_code(const JsonNode& node) {
  std::string code = node.text();
  if (code.empty() || code.find(' ') != std::string::npos) node.refuse("must be one word");
  return code;
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
  for (const auto& [name, places] : node.entries()) {
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

std::map<std::string, craft::YawPitchRoll> read_mount_codes(const JsonNode& node) {
  if (node.is_text()) {
    if (node.text() == mavlink_list_name) return mavlink_mount_codes();
    node.refuse("must be an object, or the name of a list that comes with armwise: \"" +
                std::string(mavlink_list_name) + "\"");
  }
  std::map<std::string, craft::YawPitchRoll> codes;
  for (const auto& [code, angles] : node.entries()) {
    const auto numbers = angles.list(3);
    if (numbers.size() != 3) angles.refuse("must be three angles in degrees: yaw, pitch, roll");
    codes[code] = {numbers[0].number(-360, 360), numbers[1].number(-360, 360), numbers[2].number(-360, 360)};
    if (code.empty() || code.find(' ') != std::string::npos) angles.refuse("a code must be one word");
  }
  if (codes.empty()) node.refuse("holds no code");
  return codes;
}

template <class Section>
Section read_section(const JsonNode& node);

// Takes each member out of an object where it is there; else it is as usual.
class FieldReader {
 public:
  template <class Section>
  using Of = Section;

  explicit FieldReader(const JsonNode& node) : object_(node.object()) {}

  void text(const char* key, std::string& value) { read(key, value, &JsonNode::text); }
  void keys(const char* key, std::string& value) { read(key, value, read_open_send); }
  void way_out(const char* key, std::optional<std::string>& value) { read(key, value, read_way_out); }
  void code(const char* key, std::string& value, const std::string& /*usual*/) {
    read(key, value, read_code);
  }
  void truth(const char* key, std::optional<bool>& value) { read(key, value, &JsonNode::truth); }
  void truth(const char* key, bool& value, bool /*usual*/) { read(key, value, &JsonNode::truth); }

  void whole(const char* key, int& value, int /*usual*/, Range range) {
    read(key, value, [&](const JsonNode& node) { return whole_in(node, range); });
  }
  void milliseconds(const char* key, Duration& value, Duration /*usual*/, Range range) {
    read(key, value, [&](const JsonNode& node) { return Duration(whole_in(node, range)); });
  }
  void number(const char* key, double& value, double usual, Range range) {
    value = usual;
    read(key, value, [&](const JsonNode& node) { return node.number(range.lowest, range.highest); });
  }
  void needed_number(const char* key, double& value, Range range) {
    value = object_.need(key).number(range.lowest, range.highest);
  }
  template <class Choice>
  void choice(const char* key, Choice& value, Choice /*usual*/, const Names<Choice>& names) {
    read(key, value, [&](const JsonNode& node) { return read_choice(node, names); });
  }
  void one_of(const char* key, std::string& value, const std::string& /*usual*/,
              const std::vector<const char*>& names) {
    read(key, value, [&](const JsonNode& node) { return one_word_of(node, names); });
  }

  void line(const char* key, std::optional<Template>& value, const Blanks& allowed) {
    read(key, value, [&](const JsonNode& node) { return read_template(node, allowed); });
  }
  void command(const char* key, Command& value, const CommandForm& form) {
    value = read_command(object_.need(key), form);
  }
  void command(const char* key, std::optional<Command>& value, const CommandForm& form) {
    read(key, value, [&](const JsonNode& node) { return read_command(node, form); });
  }
  void query(const char* key, Query& value, const QueryForm& form) {
    value = read_query(object_.need(key), form);
  }
  void query(const char* key, std::optional<Query>& value, const QueryForm& form) {
    read(key, value, [&](const JsonNode& node) { return read_query(node, form); });
  }
  void lines(const char* key, std::vector<Template>& value, const Blanks& allowed, std::size_t most) {
    each(key, most, [&](const JsonNode& node) { value.push_back(read_template(node, allowed)); });
  }
  void texts(const char* key, std::vector<std::string>& value, std::size_t most) {
    each(key, most, [&](const JsonNode& node) { value.push_back(node.text()); });
  }

  void signs(const char* key, std::array<int, 3>& value, const std::array<int, 3>& /*usual*/) {
    std::size_t at = 0;
    three(key, "must be three signs: of yaw, pitch, roll", [&](const JsonNode& node) {
      value.at(at) = node.whole(-1, 1);
      if (value.at(at++) == 0) node.refuse("must be 1 or -1");
    });
  }
  void axes(const char* key, std::array<std::string, 3>& value, const std::array<std::string, 3>& /*usual*/) {
    std::size_t at = 0;
    std::set<char> used;
    three(key, "must be three axes", [&](const JsonNode& node) {
      value.at(at) = one_word_of(node, {"x", "y", "z", "-x", "-y", "-z"});
      if (!used.insert(value.at(at++).back()).second) node.refuse("the same axis twice");
    });
  }
  void motor_codes(const char* key, std::map<int, std::string>& value) {
    std::set<std::string> seen;
    int number = 0;
    each(key, most_motors, [&](const JsonNode& node) {
      const std::string code = value[++number] = read_code(node);
      if (!seen.insert(lower_case(code)).second) node.refuse("the same code twice");
    });
  }
  void mount_codes(const char* key, std::map<std::string, craft::YawPitchRoll>& value) {
    read(key, value, read_mount_codes);
  }
  void numbering(const char* key, std::map<std::string, std::vector<std::string>>& value) {
    read(key, value, read_numbering);
  }

  void version(const char* key, int& value) {
    const JsonNode node = object_.need(key);
    const int version = node.whole(1, 1'000'000);
    if (version > profile_version) {
      node.refuse("version " + std::to_string(version) +
                  " was written for a newer armwise; this one reads version " +
                  std::to_string(profile_version));
    }
    value = profile_version;
  }
  void name(const char* key, std::string& value) {
    value = object_.need(key).text();
    if (trimmed(value).empty()) object_.need(key).refuse("is empty");
  }

  template <class Section>
  void section(const char* key, Section& value, Needed needed) {
    if (needed == Needed::yes) object_.need(key);
    read(key, value, read_section<Section>);
  }
  template <class Section>
  void section(const char* key, std::optional<Section>& value) {
    read(key, value, read_section<Section>);
  }

  void refuse_other_keys() const { object_.refuse_other_keys(); }

 private:
  template <class Value, class Read>
  void read(const char* key, Value& value, const Read& how) {
    if (const auto node = object_.find(key)) value = std::invoke(how, *node);
  }
  template <class Take>
  void each(const char* key, std::size_t most, const Take& take) {
    const auto node = object_.find(key);
    if (!node) return;
    for (const JsonNode& entry : node->list(most)) take(entry);
  }
  template <class Take>
  void three(const char* key, const char* otherwise, const Take& take) {
    const auto node = object_.find(key);
    if (!node) return;
    const auto list = node->list(3);
    if (list.size() != 3) node->refuse(otherwise);
    for (const JsonNode& entry : list) take(entry);
  }
  static int whole_in(const JsonNode& node, Range range) {
    return node.whole(static_cast<int>(range.lowest), static_cast<int>(range.highest));
  }
  static std::string one_word_of(const JsonNode& node, const std::vector<const char*>& words) {
    Names<std::string> names;
    for (const char* word : words) names.emplace_back(word, word);
    return read_choice(node, names);
  }

  JsonObject object_;
};

template <class Section>
Section read_section(const JsonNode& node) {
  Section section;
  FieldReader reader(node);
  fields(reader, section);
  reader.refuse_other_keys();
  check(node, section);
  return section;
}

}  // namespace

namespace {

const JsonRules& profile_rules() {
  static const JsonRules rules{FaultKind::bad_profile, "the whole file", {}, {}};
  return rules;
}

}  // namespace

Profile load_profile(std::string_view json_text) {
  const nlohmann::json file = parse_strictly(json_text, profile_rules());
  Profile profile = read_section<Profile>(JsonNode(file, profile_rules()));
  // As an early version wrote them. Even opening a console sends the profile's stop.
  if (std::erase(profile.notes, "Prepared from a saved console session; not proven on a console.") > 0) {
    throw Fault(FaultKind::bad_profile, "the profile was only prepared from a saved console session",
                "None of its commands was ever tried on a console, the stop neither",
                "Teach it at the console: armwise teach --from-log and that session")
        .as("profile-only-prepared");
  }
  return profile;
}

Profile load_profile_file(const std::filesystem::path& path) {
  std::ifstream file(path, std::ios::binary);
  // One byte more than is allowed is read, so that the loader sees that it is too much.
  std::string text(profile_rules().longest_file + 1, '\0');
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
