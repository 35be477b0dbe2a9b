// Reads and writes JSON by one table: members(way, value) names each member once, with its bounds, and `way`
// is Reading or Writing. What is empty is left out where a member is a maybe, and reads as empty where it is
// absent.
#pragma once

#include <algorithm>
#include <map>
#include <nlohmann/json.hpp>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "armwise/base/json.hpp"
#include "armwise/base/text.hpp"
#include "armwise/craft/motor.hpp"

namespace armwise::record {

template <class T>
using Words = std::vector<std::pair<T, std::string_view>>;

template <class T>
std::string word_for(const Words<T>& words, const T& value) {
  const auto found =
      std::find_if(words.begin(), words.end(), [&](const auto& each) { return each.first == value; });
  return found == words.end() ? std::string() : std::string(found->second);
}

template <class T>
T value_of(const Words<T>& words, const JsonNode& node) {
  const std::string text = node.text();
  std::vector<std::string> all;
  for (const auto& [value, word] : words) {
    if (word == text) return value;
    all.emplace_back(word);
  }
  node.refuse("is none of " + joined(all, ", "));
}

// For what this tool wrote itself: `what` names it.
inline JsonRules written_here(const std::string& what) {
  JsonRules rules{FaultKind::bad_data, what, "it is damaged, or was not written by this tool",
                  "Use another copy of it"};
  rules.longest_file = std::size_t{16} << 20U;
  rules.longest_text = 4096;
  rules.deepest = 32;
  return rules;
}

struct Whole {
  int lowest, highest;
};
struct Number {
  double lowest, highest;
};

class Writing {
 public:
  template <class T>
  using Of = const T;

  nlohmann::json json = nlohmann::json::object();

  template <class Value>
  void text(const char* key, const Value& value) {
    json[key] = value;
  }
  template <class Check>
  void text(const char* key, const std::string& value, const Check& /*is_sound*/, const char* /*else*/) {
    json[key] = value;
  }
  void maybe_text(const char* key, const std::string& value) {
    if (!value.empty()) json[key] = value;
  }
  void truth(const char* key, bool value) { json[key] = value; }
  void number(const char* key, int value, Whole /*bounds*/) { json[key] = value; }
  void number(const char* key, double value, Number /*bounds*/) { json[key] = value; }
  template <class Value, class Bounds>
  void maybe_number(const char* key, Value value, Bounds bounds) {
    if (value != 0) number(key, value, bounds);
  }
  void texts(const char* key, const std::vector<std::string>& values) { json[key] = values; }
  void maybe_texts(const char* key, const std::vector<std::string>& values) {
    if (!values.empty()) json[key] = values;
  }
  void texts_by_name(const char* key, const std::map<std::string, std::string>& values) {
    json[key] = values;
  }
  void maybe_numbers_by_name(const char* key, const std::map<std::string, double>& values,
                             Number /*bounds*/) {
    if (!values.empty()) json[key] = values;
  }
  void pins(const char* key, const std::vector<craft::Pin>& pins) {
    json[key] = nlohmann::json::array();
    for (const craft::Pin& pin : pins) json[key].push_back(pin.name);
  }
  template <class T>
  void word(const char* key, const T& value, const Words<T>& words) {
    json[key] = word_for(words, value);
  }
  template <class T>
  void maybe_word(const char* key, const std::optional<T>& value, const Words<T>& words) {
    if (value) word(key, *value, words);
  }
  template <class T>
  void words(const char* key, const std::vector<T>& values, const Words<T>& words) {
    json[key] = nlohmann::json::array();
    for (const T& value : values) json[key].push_back(word_for(words, value));
  }
  template <class T>
  void words_by_name(const char* key, const std::map<std::string, T>& values, const Words<T>& words) {
    json[key] = nlohmann::json::object();
    for (const auto& [name, value] : values) json[key][name] = word_for(words, value);
  }
  template <class T>
  void object(const char* key, const T& value) {
    json[key] = written(value);
  }
  template <class T>
  void maybe_object(const char* key, const std::optional<T>& value) {
    if (value) object(key, *value);
  }
  template <class T>
  void objects(const char* key, const std::vector<T>& values) {
    json[key] = nlohmann::json::array();
    for (const T& value : values) json[key].push_back(written(value));
  }

  template <class T>
  static nlohmann::json written(const T& value) {
    Writing way;
    members(way, value);
    return std::move(way.json);
  }
};

// Throws what the node's rules say, with the path of what is wrong.
class Reading {
 public:
  template <class T>
  using Of = T;

  explicit Reading(JsonNode node) : node_(std::move(node)) {}

  void text(const char* key, std::string& value) { value = node_.at(key).text(); }
  template <class Check>
  void text(const char* key, std::string& value, const Check& is_sound, const char* otherwise) {
    text(key, value);
    if (!is_sound(value)) node_.at(key).refuse(otherwise);
  }
  void maybe_text(const char* key, std::string& value) { value = node_.text_or_empty(key); }
  void truth(const char* key, bool& value) { value = node_.at(key).truth(); }
  void number(const char* key, int& value, Whole bounds) {
    value = node_.at(key).whole(bounds.lowest, bounds.highest);
  }
  void number(const char* key, double& value, Number bounds) {
    value = node_.at(key).number(bounds.lowest, bounds.highest);
  }
  template <class Value, class Bounds>
  void maybe_number(const char* key, Value& value, Bounds bounds) {
    if (node_.has(key)) number(key, value, bounds);
  }
  void texts(const char* key, std::vector<std::string>& values) { values = node_.at(key).texts(); }
  void maybe_texts(const char* key, std::vector<std::string>& values) {
    if (node_.has(key)) texts(key, values);
  }
  void texts_by_name(const char* key, std::map<std::string, std::string>& values) {
    for (const auto& [name, value] : node_.at(key).entries()) values[name] = value.text();
  }
  void maybe_numbers_by_name(const char* key, std::map<std::string, double>& values, Number bounds) {
    if (!node_.has(key)) return;
    for (const auto& [name, value] : node_.at(key).entries())
      values[name] = value.number(bounds.lowest, bounds.highest);
  }
  void pins(const char* key, std::vector<craft::Pin>& pins) {
    for (std::string& name : node_.at(key).texts()) pins.push_back({std::move(name)});
  }
  template <class T>
  void word(const char* key, T& value, const Words<T>& words) {
    value = value_of(words, node_.at(key));
  }
  template <class T>
  void maybe_word(const char* key, std::optional<T>& value, const Words<T>& words) {
    if (node_.has(key)) value = value_of(words, node_.at(key));
  }
  template <class T>
  void words(const char* key, std::vector<T>& values, const Words<T>& words) {
    for (const JsonNode& entry : node_.at(key).list()) values.push_back(value_of(words, entry));
  }
  template <class T>
  void words_by_name(const char* key, std::map<std::string, T>& values, const Words<T>& words) {
    values.clear();
    for (const auto& [name, value] : node_.at(key).entries()) values[name] = value_of(words, value);
  }
  template <class T>
  void object(const char* key, T& value) {
    value = read<T>(node_.at(key));
  }
  template <class T>
  void maybe_object(const char* key, std::optional<T>& value) {
    if (node_.has(key)) value = read<T>(node_.at(key));
  }
  template <class T>
  void objects(const char* key, std::vector<T>& values) {
    for (const JsonNode& entry : node_.at(key).list()) values.push_back(read<T>(entry));
  }

  template <class T>
  static T read(const JsonNode& node) {
    if (!node.is_object()) node.refuse("must be an object in braces");
    Reading way(node);
    T value;
    members(way, value);
    return value;
  }

 private:
  JsonNode node_;
};

}  // namespace armwise::record
