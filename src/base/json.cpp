#include "armwise/base/json.hpp"

#include <cmath>

#include "armwise/base/text.hpp"

namespace armwise {
namespace {

std::string shortest_number(double number) {
  std::string text = nlohmann::json(number).dump();
  if (text.ends_with(".0")) text.erase(text.size() - 2);
  return text;
}

[[noreturn]] void refuse_file(const JsonRules& rules, const std::string& what) {
  throw Fault(rules.kind, rules.file + ": " + what, rules.why, rules.next);
}

}  // namespace

void JsonNode::refuse(const std::string& what) const {
  throw Fault(rules_->kind, (path_.empty() ? rules_->file : path_) + ": " + what, rules_->why, rules_->next);
}

std::string JsonNode::text() const {
  std::string found = text_with_controls();
  if (!is_printable(found)) refuse("holds a control character");
  return found;
}

std::string JsonNode::text_with_controls() const {
  if (!value_->is_string()) refuse("must be text");
  auto found = value_->get<std::string>();
  if (found.size() > rules_->longest_text)
    refuse("longer than " + std::to_string(rules_->longest_text) + " characters");
  return found;
}

bool JsonNode::truth() const {
  if (!value_->is_boolean()) refuse("must be true or false");
  return value_->get<bool>();
}

int JsonNode::whole(int lowest, int highest) const {
  if (!value_->is_number_integer()) refuse("must be a whole number");
  return static_cast<int>(std::lround(number(lowest, highest)));
}

double JsonNode::number(double lowest, double highest) const {
  if (!value_->is_number()) refuse("must be a number");
  const auto found = value_->get<double>();
  if (!(found >= lowest && found <= highest)) {
    refuse("must lie between " + shortest_number(lowest) + " and " + shortest_number(highest));
  }
  return found;
}

std::vector<JsonNode> JsonNode::list(std::size_t longest) const {
  if (!value_->is_array()) refuse("must be a list");
  if (value_->size() > longest) refuse("holds more than " + std::to_string(longest) + " entries");
  std::vector<JsonNode> nodes;
  for (std::size_t i = 0; i < value_->size(); ++i)
    nodes.emplace_back((*value_)[i], *rules_, path_ + "[" + std::to_string(i) + "]");
  return nodes;
}

std::vector<std::string> JsonNode::texts() const {
  std::vector<std::string> out;
  for (const JsonNode& node : list()) out.push_back(node.text());
  return out;
}

JsonObject JsonNode::object() const {
  if (!value_->is_object()) refuse("must be an object in braces");
  return JsonObject(*this);
}

bool JsonNode::has(const std::string& key) const {
  return value_->is_object() && value_->contains(key);
}

JsonNode JsonNode::at(const std::string& key) const {
  if (!value_->is_object()) refuse("must be an object in braces");
  const auto found = value_->find(key);
  if (found == value_->end()) refuse("\"" + key + "\" is missing");
  return {*found, *rules_, path_.empty() ? key : path_ + "." + key};
}

std::vector<std::pair<std::string, JsonNode>> JsonNode::entries() const {
  if (!value_->is_object()) refuse("must be an object in braces");
  std::vector<std::pair<std::string, JsonNode>> all;
  for (const auto& [key, value] : value_->items()) {
    if (!is_printable(key) || key.size() > rules_->longest_text) refuse("has a key that is not plain text");
    all.emplace_back(key, at(key));
  }
  return all;
}

JsonObject::JsonObject(const JsonNode& node) : node_(node) {}

std::optional<JsonNode> JsonObject::find(const std::string& key) {
  known_.insert(key);
  if (!node_.has(key)) return std::nullopt;
  return node_.at(key);
}

JsonNode JsonObject::need(const std::string& key) {
  if (auto found = find(key)) return *found;
  std::vector<std::string> others;
  for (const auto& [other, value] : node_.raw().items()) {
    if (!known_.contains(other)) others.push_back(other);
  }
  const std::string near = nearest(key, others);
  node_.refuse("\"" + key + "\" is missing" +
               (near.empty() ? "" : "; is \"" + printable(near) + "\" meant to be it?"));
}

void JsonObject::refuse_other_keys() const {
  for (const auto& [key, value] : node_.raw().items()) {
    if (known_.contains(key)) continue;
    const std::string near = nearest(key, {known_.begin(), known_.end()});
    node_.refuse("\"" + printable(key) + "\" means nothing here" +
                 (near.empty() ? "" : "; is \"" + near + "\" meant?"));
  }
}

nlohmann::json parse_strictly(std::string_view text, const JsonRules& rules) {
  if (text.size() > rules.longest_file)
    refuse_file(rules, "larger than " + std::to_string(rules.longest_file / 1024) + " KiB");
  using Event = nlohmann::json::parse_event_t;
  std::vector<std::set<std::string>> open_objects;
  const auto watch = [&](int depth, Event event, nlohmann::json& parsed) {
    if (depth > rules.deepest)
      refuse_file(rules, "nested deeper than " + std::to_string(rules.deepest) + " levels");
    if (event == Event::object_start) open_objects.emplace_back();
    if (event == Event::object_end) open_objects.pop_back();
    if (event == Event::key && !open_objects.back().insert(parsed.get<std::string>()).second)
      throw Fault(rules.kind, printable(parsed.get<std::string>()) + ": said twice", rules.why, rules.next);
    return true;
  };
  try {
    return nlohmann::json::parse(text, watch);
  } catch (const nlohmann::json::parse_error& error) {
    refuse_file(rules,
                "not JSON from " + line_and_column(text, error.byte == 0 ? 0 : error.byte - 1) + " on");
  } catch (const nlohmann::json::exception&) {
    refuse_file(rules, "holds a number that is too large");
  }
}

}  // namespace armwise
