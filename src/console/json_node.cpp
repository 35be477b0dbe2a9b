#include "json_node.hpp"

#include <cmath>
#include <utility>

#include "armwise/base/fault.hpp"
#include "armwise/base/text.hpp"

namespace armwise::console {
namespace {

constexpr std::size_t longest_file = 256UL * 1024UL;
constexpr std::size_t longest_text = 500;
constexpr int deepest = 16;

std::string shortest_number(double number) {
  std::string text = nlohmann::json(number).dump();
  if (text.ends_with(".0")) text.erase(text.size() - 2);
  return text;
}

}  // namespace

void JsonNode::refuse(const std::string& what) const {
  throw Fault(FaultKind::bad_profile, (path_.empty() ? "the whole file" : path_) + ": " + what);
}

std::string JsonNode::text() const {
  std::string found = text_with_controls();
  if (!is_printable(found)) refuse("holds a control character");
  return found;
}

std::string JsonNode::text_with_controls() const {
  if (!value_.is_string()) refuse("must be text");
  auto found = value_.get<std::string>();
  if (found.size() > longest_text) refuse("longer than " + std::to_string(longest_text) + " characters");
  return found;
}

bool JsonNode::truth() const {
  if (!value_.is_boolean()) refuse("must be true or false");
  return value_.get<bool>();
}

int JsonNode::whole(int lowest, int highest) const {
  if (!value_.is_number_integer()) refuse("must be a whole number");
  return static_cast<int>(std::lround(number(lowest, highest)));
}

double JsonNode::number(double lowest, double highest) const {
  if (!value_.is_number()) refuse("must be a number");
  const auto found = value_.get<double>();
  if (!(found >= lowest && found <= highest)) {
    refuse("must lie between " + shortest_number(lowest) + " and " + shortest_number(highest));
  }
  return found;
}

std::vector<JsonNode> JsonNode::list(std::size_t longest) const {
  if (!value_.is_array()) refuse("must be a list");
  if (value_.size() > longest) refuse("holds more than " + std::to_string(longest) + " entries");
  std::vector<JsonNode> nodes;
  for (std::size_t i = 0; i < value_.size(); ++i) {
    nodes.emplace_back(value_[i], path_ + "[" + std::to_string(i) + "]");
  }
  return nodes;
}

JsonObject JsonNode::object() const {
  if (!value_.is_object()) refuse("must be an object in braces");
  return JsonObject(*this);
}

JsonObject::JsonObject(const JsonNode& node) : node_(node) {}

std::optional<JsonNode> JsonObject::find(const std::string& key) {
  known_.insert(key);
  const auto found = node_.value_.find(key);
  if (found == node_.value_.end()) return std::nullopt;
  return JsonNode(*found, node_.path_.empty() ? key : node_.path_ + "." + key);
}

JsonNode JsonObject::need(const std::string& key) {
  auto found = find(key);
  if (!found) node_.refuse("\"" + key + "\" is missing");
  return *found;
}

std::vector<std::pair<std::string, JsonNode>> JsonObject::entries() {
  std::vector<std::pair<std::string, JsonNode>> all;
  for (const auto& [key, value] : node_.value_.items()) {
    all.emplace_back(key, *find(key));
  }
  return all;
}

void JsonObject::refuse_other_keys() const {
  for (const auto& [key, value] : node_.value_.items()) {
    if (known_.contains(key)) continue;
    const std::string near = nearest(key, {known_.begin(), known_.end()});
    node_.refuse("\"" + printable(key) + "\" means nothing here" +
                 (near.empty() ? "" : "; is \"" + near + "\" meant?"));
  }
}

nlohmann::json parse_strictly(std::string_view text) {
  if (text.size() > longest_file) {
    throw Fault(FaultKind::bad_profile, "the whole file: larger than 256 KiB");
  }
  using Event = nlohmann::json::parse_event_t;
  std::vector<std::set<std::string>> open_objects;
  const auto watch = [&](int depth, Event event, nlohmann::json& parsed) {
    if (depth > deepest) {
      throw Fault(FaultKind::bad_profile,
                  "the whole file: nested deeper than " + std::to_string(deepest) + " levels");
    }
    if (event == Event::object_start) open_objects.emplace_back();
    if (event == Event::object_end) open_objects.pop_back();
    if (event == Event::key && !open_objects.back().insert(parsed.get<std::string>()).second) {
      throw Fault(FaultKind::bad_profile, printable(parsed.get<std::string>()) + ": said twice");
    }
    return true;
  };
  try {
    return nlohmann::json::parse(text, watch);
  } catch (const nlohmann::json::parse_error& error) {
    throw Fault(FaultKind::bad_profile, "the whole file: not JSON from " +
                                            line_and_column(text, error.byte == 0 ? 0 : error.byte - 1) +
                                            " on");
  } catch (const nlohmann::json::exception&) {
    throw Fault(FaultKind::bad_profile, "the whole file: holds a number that is too large");
  }
}

}  // namespace armwise::console
