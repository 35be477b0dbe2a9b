// A JSON value that knows where it stands in its file, so that what is wrong with it can be said by path.
#pragma once

#include <cstddef>
#include <nlohmann/json.hpp>
#include <optional>
#include <set>
#include <string>
#include <string_view>
#include <vector>

namespace armwise::console {

class JsonObject;

class JsonNode {
 public:
  JsonNode(const nlohmann::json& value, std::string path) : value_(value), path_(std::move(path)) {}

  // Throws Fault(bad_profile): "path: what is wrong".
  [[noreturn]] void refuse(const std::string& what) const;

  bool is_text() const { return value_.is_string(); }
  bool is_object() const { return value_.is_object(); }
  bool is_list() const { return value_.is_array(); }

  // All of these refuse another type. Text is free of control characters and at most 500 characters long.
  std::string text() const;
  std::string text_with_controls() const;
  bool truth() const;
  int whole(int lowest, int highest) const;
  double number(double lowest, double highest) const;
  std::vector<JsonNode> list(std::size_t longest) const;
  JsonObject object() const;

  const std::string& path() const { return path_; }

 private:
  friend class JsonObject;
  const nlohmann::json& value_;
  std::string path_;
};

// Keeps a tally of the keys that were asked for, so that a key nobody knows is noticed.
class JsonObject {
 public:
  explicit JsonObject(const JsonNode& node);

  std::optional<JsonNode> find(const std::string& key);
  JsonNode need(const std::string& key);
  // Every key with its value, for objects whose keys are names.
  std::vector<std::pair<std::string, JsonNode>> entries();
  // Refuses a key that was never asked for, and names the nearest that was.
  void refuse_other_keys() const;

  const JsonNode& node() const { return node_; }

 private:
  JsonNode node_;
  std::set<std::string> known_;
};

// Throws Fault(bad_profile) where the text is too long, no JSON, too deeply nested, or says a key twice.
nlohmann::json parse_strictly(std::string_view text);

}  // namespace armwise::console
