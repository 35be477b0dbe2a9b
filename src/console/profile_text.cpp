// Writes a profile. The format is documented in fixtures/profiles/README.md, its members stand in
// profile_fields.hpp.
#include <nlohmann/json.hpp>
#include <utility>

#include "armwise/console/profile.hpp"
#include "mount_codes.hpp"
#include "profile_fields.hpp"

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
  if (query.columns) json["rows"] = "columns";
  for (const Template& heading : query.headings) json["headings"].push_back(heading.source());
  return json;
}

Json mount_codes_json(const std::map<std::string, craft::YawPitchRoll>& codes) {
  if (codes == mavlink_mount_codes()) return mavlink_list_name;
  Json json = Json::object();
  for (const auto& [code, angles] : codes) {
    json[code] = {number(angles.yaw), number(angles.pitch), number(angles.roll)};
  }
  return json;
}

// Puts each member into an object where it is not as usual.
class FieldWriter {
 public:
  template <class Section>
  using Of = const Section;

  void text(const char* key, const std::string& value) { add(key, value, std::string()); }
  void keys(const char* key, const std::string& value) { add(key, value, std::string()); }
  void way_out(const char* key, const std::optional<std::string>& value) {
    if (value) json[key] = *value;
  }
  void code(const char* key, const std::string& value, const std::string& usual) { add(key, value, usual); }
  void truth(const char* key, const std::optional<bool>& value) {
    if (value) json[key] = *value;
  }
  void truth(const char* key, bool value, bool usual) { add(key, value, usual); }
  void whole(const char* key, int value, int usual, Range /*range*/) { add(key, value, usual); }
  void milliseconds(const char* key, Duration value, Duration usual, Range /*range*/) {
    add(key, value.count(), usual.count());
  }
  void number(const char* key, double value, double usual, Range /*range*/) {
    if (value != usual) json[key] = console::number(value);
  }
  void needed_number(const char* key, double value, Range /*range*/) { json[key] = console::number(value); }
  template <class Choice>
  void choice(const char* key, Choice value, Choice usual, const Names<Choice>& names) {
    for (const auto& [name, choice] : names) {
      if (choice == value && value != usual) json[key] = name;
    }
  }
  void one_of(const char* key, const std::string& value, const std::string& usual,
              const std::vector<const char*>& /*names*/) {
    add(key, value, usual);
  }

  void line(const char* key, const std::optional<Template>& value, const Blanks& /*allowed*/) {
    if (value) json[key] = value->source();
  }
  void command(const char* key, const Command& value, const CommandForm& /*form*/) {
    json[key] = command_json(value);
  }
  void command(const char* key, const std::optional<Command>& value, const CommandForm& /*form*/) {
    if (value) json[key] = command_json(*value);
  }
  void query(const char* key, const Query& value, const QueryForm& /*form*/) {
    json[key] = query_json(value);
  }
  void query(const char* key, const std::optional<Query>& value, const QueryForm& /*form*/) {
    if (value) json[key] = query_json(*value);
  }
  void lines(const char* key, const std::vector<Template>& value, const Blanks& /*allowed*/,
             std::size_t /*most*/) {
    for (const Template& line : value) json[key].push_back(line.source());
  }
  void texts(const char* key, const std::vector<std::string>& value, std::size_t /*most*/) {
    add(key, value, {});
  }

  void signs(const char* key, const std::array<int, 3>& value, const std::array<int, 3>& usual) {
    add(key, value, usual);
  }
  void axes(const char* key, const std::array<std::string, 3>& value,
            const std::array<std::string, 3>& usual) {
    add(key, value, usual);
  }
  void motor_codes(const char* key, const std::map<int, std::string>& value) {
    for (const auto& [motor, code] : value) json[key].push_back(code);
  }
  void mount_codes(const char* key, const std::map<std::string, craft::YawPitchRoll>& value) {
    if (!value.empty()) json[key] = mount_codes_json(value);
  }
  void numbering(const char* key, const std::map<std::string, std::vector<std::string>>& value) {
    add(key, value, {});
  }
  void version(const char* key, int value) { json[key] = value; }
  void name(const char* key, const std::string& value) { json[key] = value; }

  template <class Section>
  void section(const char* key, const Section& value, Needed needed) {
    Json members = written(value);
    if (needed == Needed::yes || !members.empty()) json[key] = std::move(members);
  }
  template <class Section>
  void section(const char* key, const std::optional<Section>& value) {
    if (value) json[key] = written(*value);
  }

  template <class Section>
  static Json written(const Section& section) {
    FieldWriter writer;
    fields(writer, section);
    return writer.json;
  }

  Json json = Json::object();

 private:
  template <class Value>
  void add(const char* key, const Value& value, const Value& usual) {
    if (value != usual) json[key] = value;
  }
};

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
  std::string out;
  print(FieldWriter::written(profile), 0, 0, out);
  return out + "\n";
}

}  // namespace armwise::console
