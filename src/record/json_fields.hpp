// What the record and the journal hold, as JSON: one table of members for each thing, for reading and for
// writing. A `Way` is FromJson or ToJson.
#pragma once

#include <algorithm>
#include <map>
#include <nlohmann/json.hpp>
#include <optional>
#include <string>
#include <string_view>
#include <type_traits>
#include <utility>
#include <vector>

#include "armwise/base/json.hpp"
#include "armwise/console/identity.hpp"
#include "armwise/solve/plan.hpp"

namespace armwise::record {

// For what this tool wrote itself: `what` names it.
JsonRules written_here(const std::string& what);

// always: refused where it is missing. optional: may be missing. sparse: is, where there is nothing to say.
enum class Member { always, optional, sparse };
struct Range {
  double lowest = 0, highest = 0;
};

template <class Choice>
using Names = std::vector<std::pair<Choice, std::string_view>>;
template <class Choice>
const Names<Choice>& names_of();

class FromJson {
 public:
  template <class Value>
  using Of = Value;

  explicit FromJson(const JsonNode& node) : node_(node) {}

  template <class Value>
  void member(Member kind, const char* key, Value& value, Range range = {}) {
    if (kind == Member::always || node_.has(key)) read(node_.at(key), value, range);
  }

 private:
  static void read(const JsonNode& node, std::string& text, Range) { text = node.text(); }
  static void read(const JsonNode& node, bool& truth, Range) { truth = node.truth(); }
  static void read(const JsonNode& node, int& whole, Range range) {
    whole = node.whole(static_cast<int>(range.lowest), static_cast<int>(range.highest));
  }
  static void read(const JsonNode& node, double& number, Range range) {
    number = node.number(range.lowest, range.highest);
  }
  static void read(const JsonNode& node, craft::Pin& pin, Range) { pin.name = node.text(); }
  template <class Value>
  static void read(const JsonNode& node, std::optional<Value>& value, Range range) {
    read(node, value.emplace(), range);
  }
  template <class Value>
  static void read(const JsonNode& node, std::vector<Value>& values, Range range) {
    values.clear();
    for (const JsonNode& entry : node.list()) read(entry, values.emplace_back(), range);
  }
  template <class Value>
  static void read(const JsonNode& node, std::map<std::string, Value>& values, Range range) {
    values.clear();
    for (const auto& [key, entry] : node.entries()) read(entry, values[key], range);
  }
  template <class Value>
  static void read(const JsonNode& node, Value& value, Range) {
    if constexpr (std::is_enum_v<Value>) {
      value = chosen<Value>(node);
    } else {
      if (!node.is_object()) node.refuse("must be an object in braces");
      FromJson way(node);
      fields(way, value);
    }
  }
  template <class Choice>
  static Choice chosen(const JsonNode& node) {
    std::string all;
    for (const auto& [choice, name] : names_of<Choice>()) {
      if (node.text() == name) return choice;
      all += (all.empty() ? "" : ", ") + std::string(name);
    }
    node.refuse("is none of " + all);
  }

  const JsonNode& node_;
};

class ToJson {
 public:
  template <class Value>
  using Of = const Value;

  template <class Value>
  void member(Member kind, const char* key, const Value& value, Range = {}) {
    if (kind != Member::sparse || !is_nothing(value)) out_[key] = written(value);
  }
  template <class Value>
  static nlohmann::json of(const Value& value) {
    ToJson way;
    fields(way, value);
    return std::move(way.out_);
  }

 private:
  template <class Value>
  static bool is_nothing(const Value& value) {
    if constexpr (std::is_same_v<Value, int>) {
      return value == 0;
    } else if constexpr (requires { value.has_value(); }) {
      return !value.has_value();
    } else if constexpr (requires { value.empty(); }) {
      return value.empty();
    } else {
      return false;
    }
  }
  static nlohmann::json written(const craft::Pin& pin) { return pin.name; }
  template <class Value>
  static nlohmann::json written(const std::optional<Value>& value) {
    return written(*value);
  }
  template <class Value>
  static nlohmann::json written(const std::vector<Value>& values) {
    nlohmann::json all = nlohmann::json::array();
    for (const Value& value : values) all.push_back(written(value));
    return all;
  }
  template <class Value>
  static nlohmann::json written(const std::map<std::string, Value>& values) {
    nlohmann::json all = nlohmann::json::object();
    for (const auto& [key, value] : values) all[key] = written(value);
    return all;
  }
  template <class Value>
  static nlohmann::json written(const Value& value) {
    if constexpr (std::is_enum_v<Value>) {
      const auto& names = names_of<Value>();
      const auto found =
          std::find_if(names.begin(), names.end(), [&](const auto& each) { return each.first == value; });
      return std::string(found->second);
    } else if constexpr (std::is_arithmetic_v<Value> || std::is_same_v<Value, std::string>) {
      return value;
    } else {
      return of(value);
    }
  }

  nlohmann::json out_ = nlohmann::json::object();
};

template <>
inline const Names<craft::Turn>& names_of() {
  static const Names<craft::Turn> names{{craft::Turn::cw, "cw"}, {craft::Turn::ccw, "ccw"}};
  return names;
}
template <>
inline const Names<craft::PropScheme>& names_of() {
  static const Names<craft::PropScheme> names{{craft::PropScheme::in, "in"}, {craft::PropScheme::out, "out"}};
  return names;
}
template <>
inline const Names<solve::TurnKey>& names_of() {
  static const Names<solve::TurnKey> names{{solve::TurnKey::motor, "motor"},
                                           {solve::TurnKey::pin, "pin"},
                                           {solve::TurnKey::not_settable, "not-settable"}};
  return names;
}
template <>
inline const Names<solve::MapKept>& names_of() {
  static const Names<solve::MapKept> names{{solve::MapKept::per_motor, "per-motor"},
                                           {solve::MapKept::per_pin, "per-pin"}};
  return names;
}

template <class Way>
void fields(Way& way, typename Way::template Of<console::Identity>& identity) {
  way.member(Member::optional, "board", identity.board);
  way.member(Member::optional, "firmware", identity.firmware);
  way.member(Member::optional, "version", identity.version);
  way.member(Member::optional, "serial", identity.serial);
  way.member(Member::optional, "port_identity", identity.port_identity);
}

template <class Way>
void fields(Way& way, typename Way::template Of<craft::YawPitchRoll>& mount) {
  way.member(Member::always, "yaw", mount.yaw, {-360, 360});
  way.member(Member::always, "pitch", mount.pitch, {-360, 360});
  way.member(Member::always, "roll", mount.roll, {-360, 360});
}

template <class Way>
void fields(Way& way, typename Way::template Of<solve::Snapshot>& snapshot) {
  way.member(Member::always, "map", snapshot.map.pins);
  way.member(Member::sparse, "props", snapshot.props);
  way.member(Member::always, "turns", snapshot.turns);
  way.member(Member::always, "turn_key", snapshot.turn_key);
  way.member(Member::sparse, "mount", snapshot.mount);
  way.member(Member::always, "map_kept", snapshot.map_rules.kept);
  way.member(Member::always, "shared_meanwhile", snapshot.map_rules.shared_meanwhile);
}

}  // namespace armwise::record
