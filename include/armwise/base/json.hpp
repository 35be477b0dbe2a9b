// JSON from strangers: a value that knows where it stands in its file, so that what is wrong with it can be
// said by path, and never taken for more than it may be.
#pragma once

#include <cstddef>
#include <nlohmann/json.hpp>
#include <optional>
#include <set>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "armwise/base/fault.hpp"

namespace armwise {

// What a kind of file may hold, and what is said of one that is not sound.
struct JsonRules {
  FaultKind kind = FaultKind::bad_data;
  std::string file;  // "the record"
  std::string why, next;
  std::size_t longest_file = 1UL << 18U;  // bytes
  std::size_t longest_text = 500;         // bytes
  std::size_t longest_list = 100'000;
  int deepest = 16;
};

// Throws Fault where the text is too long, no JSON, too deeply nested, or says a key twice. Outlived by
// `rules`.
nlohmann::json parse_strictly(std::string_view text, const JsonRules& rules);

class JsonObject;

// All getters refuse another type: they throw the rules' Fault, "path: what is wrong".
class JsonNode {
 public:
  // Both outlive it.
  JsonNode(const nlohmann::json& value, const JsonRules& rules, std::string path = {})
      : value_(&value), rules_(&rules), path_(std::move(path)) {}

  [[noreturn]] void refuse(const std::string& what) const;

  bool is_text() const { return value_->is_string(); }
  bool is_object() const { return value_->is_object(); }
  bool is_list() const { return value_->is_array(); }

  std::string text() const;  // printable, no longer than the rules allow
  std::string text_with_controls() const;
  bool truth() const;
  int whole(int lowest, int highest) const;
  double number(double lowest, double highest) const;
  std::vector<JsonNode> list(std::size_t longest) const;
  std::vector<JsonNode> list() const { return list(rules_->longest_list); }
  std::vector<std::string> texts() const;
  JsonObject object() const;

  // Of an object.
  bool has(const std::string& key) const;
  JsonNode at(const std::string& key) const;
  std::vector<std::pair<std::string, JsonNode>> entries() const;  // keys are printable

  const std::string& path() const { return path_; }
  const nlohmann::json& raw() const { return *value_; }

 private:
  const nlohmann::json* value_;
  const JsonRules* rules_;
  std::string path_;
};

// Keeps a tally of the keys that were asked for, so that a key nobody knows is noticed.
class JsonObject {
 public:
  explicit JsonObject(const JsonNode& node);

  std::optional<JsonNode> find(const std::string& key);
  JsonNode need(const std::string& key);
  // Refuses a key that was never asked for, and names the nearest that was.
  void refuse_other_keys() const;

 private:
  JsonNode node_;
  std::set<std::string> known_;
};

}  // namespace armwise
