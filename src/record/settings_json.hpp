// Settings, identities and snapshots as JSON: shared by the record and the journal.
#pragma once

#include <nlohmann/json.hpp>
#include <string>

#include "armwise/console/identity.hpp"
#include "armwise/solve/plan.hpp"

namespace armwise::record {

nlohmann::json to_json_value(const console::Identity& identity);
nlohmann::json to_json_value(const solve::Snapshot& snapshot);

// A value inside a document of a stranger, with its path for error sentences. Every getter throws
// Fault(bad_data) that starts with the path.
class Reader {
 public:
  explicit Reader(const nlohmann::json& value, std::string path = {})
      : value_(value), path_(std::move(path)) {}

  bool has(const char* key) const;
  Reader at(const char* key) const;
  Reader at(std::size_t index) const;
  std::size_t size() const;
  std::vector<std::string> keys() const;
  std::string text() const;  // printable, at most 4096 bytes
  std::string text_or_empty(const char* key) const { return has(key) ? at(key).text() : std::string(); }
  std::vector<std::string> texts() const;
  int whole(int lowest, int highest) const;
  double number(double lowest, double highest) const;
  bool flag() const;
  const std::string& path() const { return path_; }
  const nlohmann::json& raw() const { return value_; }
  [[noreturn]] void fail(const std::string& what) const;

 private:
  const nlohmann::json& value_;
  std::string path_;
};

// Parses with limits on length and depth. Throws Fault(bad_data).
nlohmann::json parse_limited(std::string_view text, const std::string& what);

console::Identity identity_from(const Reader& reader);
solve::Snapshot snapshot_from(const Reader& reader);

}  // namespace armwise::record
