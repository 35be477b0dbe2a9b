#include "answers.hpp"

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>

#include "armwise/console/reply_rows.hpp"

namespace armwise::practice {
namespace {

std::string decimal(double value, int decimals) {
  std::array<char, 64> text{};
  const double step = std::pow(10.0, -decimals);
  if (std::abs(value) < step / 2) value = 0;  // never "-0"
  const auto [end, error] =
      std::to_chars(text.data(), text.data() + text.size(), value, std::chars_format::fixed, decimals);
  return error == std::errc{} ? std::string(text.data(), end) : "0";
}

bool is_key(std::string_view blank) {
  return blank == "motor" || blank == "pin" || blank == "turn";
}

// Told in a table, one row a motor or pin; a line without any of these is told once.
bool is_row(const console::Template& line) {
  const auto& pieces = line.pieces();
  return std::any_of(pieces.begin(), pieces.end(),
                     [](const console::Piece& piece) { return piece.blank && is_key(piece.text); });
}

}  // namespace

std::optional<std::string> filled(const console::Template& line, console::Values values) {
  for (const console::Piece& piece : line.pieces()) {
    if (!piece.blank) continue;
    const auto [value, invented] = values.try_emplace(piece.text, std::string());
    using console::BlankType;
    const bool whole = piece.type == BlankType::whole || piece.type == BlankType::hex;
    const bool number = whole || piece.type == BlankType::decimal || piece.type == BlankType::comma;
    if (invented && is_key(piece.text)) return std::nullopt;
    if (invented && number) value->second = "0";
    if (piece.type == BlankType::word && (invented || piece.text == "skip")) value->second = "-";
    // Where one gap is of a kind, all gaps of the line are.
    if (piece.text == "skip" && piece.type == BlankType::digits) value->second = "0";
    if (piece.text == "skip" && piece.type == BlankType::sign) value->second = "+";
    if (piece.text == "skip" && (piece.type == BlankType::letters || piece.type == BlankType::name))
      value->second = "x";
    if (piece.type == BlankType::word && value->second.empty()) return std::nullopt;
    if (number && value->second.empty()) return std::nullopt;
    if (whole && value->second.find('.') != std::string::npos) {
      value->second = decimal(std::round(std::strtod(value->second.c_str(), nullptr)), 0);
    }
  }
  return line.format(values);
}

std::vector<std::string> Answers::rendered(const console::Query& query, const Entries& entries) const {
  std::vector<std::string> lines;
  const auto add = [&](std::optional<std::string> line) {
    if (line) lines.push_back(std::move(*line));
  };
  for (const console::Values& entry : query.headings.empty() ? Entries() : entries) {
    add(filled(query.headings.front(), entry));
    for (const console::Template& line : query.lines) add(filled(line, entry));
  }
  if (!query.headings.empty()) return lines;
  bool rows_told = false;
  for (const console::Template& line : query.lines) {
    if (line.has("items") && query.item) {
      std::vector<std::string> items;
      for (const console::Values& entry : entries) {
        if (auto item = filled(*query.item, entry)) items.push_back(std::move(*item));
      }
      std::string all;
      for (const std::string& item : items) all += (all.empty() ? std::string() : query.between_items) + item;
      console::Values values = entries.empty() ? console::Values{} : entries.front();
      values["items"] = all;
      add(filled(line, values));
    } else if (is_row(line)) {
      // More templates for the same rows are other ways in which they may come; one is enough.
      if (rows_told) continue;
      rows_told = true;
      for (const console::Values& entry : entries) add(filled(line, entry));
    } else {
      add(filled(line, entries.empty() ? console::Values{} : entries.front()));
    }
  }
  return console::rows_of(query.columns, lines);
}

Answers::Entries Answers::map_entries(std::optional<int> motor, std::optional<int> pin) const {
  Entries entries;
  if (!running_.motor_of_pin.empty()) {
    for (int each = 0; each < static_cast<int>(running_.motor_of_pin.size()); ++each) {
      const int its = running_.motor_of_pin[static_cast<std::size_t>(each)];
      if ((pin && *pin != each) || (motor && *motor != its)) continue;
      entries.push_back({{"motor", codes_.motor_text(its)}, {"pin", codes_.pin_text(each)}});
    }
    return entries;
  }
  for (int each = 0; each < craft_.motors; ++each) {
    const int its = running_.pin_of_motor[static_cast<std::size_t>(each)];
    if ((motor && *motor != each) || (pin && *pin != its)) continue;
    entries.push_back({{"motor", codes_.motor_text(each)}, {"pin", codes_.pin_text(its)}});
  }
  return entries;
}

Answers::Entries Answers::turn_entries(std::optional<int> motor, std::optional<int> pin) const {
  Entries entries;
  const bool by_pin = profile_.turn->key == solve::TurnKey::pin;
  const std::optional<int> only = by_pin ? pin : motor;
  for (int each = 0; each < static_cast<int>(running_.turns.size()); ++each) {
    if (only && *only != each) continue;
    const std::string turn = profile_.turn_code(running_.turns[static_cast<std::size_t>(each)]);
    entries.push_back({{by_pin ? "pin" : "motor", by_pin ? codes_.pin_text(each) : codes_.motor_text(each)},
                       {"turn", turn}});
  }
  return entries;
}

Outcome Answers::table(const Phrase& phrase, const console::Values& values, const Slip& slip) {
  const std::optional<int> motor = codes_.motor_in(values);
  const std::optional<int> pin = codes_.pin_in(values);
  if (values.contains("motor") && !motor) return {{}, Refusal::unknown_motor};
  if (values.contains("pin") && !pin) return {{}, Refusal::unknown_pin};
  Entries entries = phrase.act == Act::list_map ? map_entries(motor, pin) : turn_entries(motor, pin);
  if (slip.wrong_motor) {
    for (console::Values& entry : entries) {
      const auto its = codes_.motor_in(entry);
      if (its) entry["motor"] = codes_.motor_text((*its + 1) % craft_.motors);
    }
  }
  return {rendered(*phrase.query, entries), std::nullopt};
}

Outcome Answers::to(const Phrase& phrase, const console::Values& values, const Slip& slip) {
  switch (phrase.act) {
    case Act::list_map:
    case Act::read_turns:
      return table(phrase, values, slip);
    case Act::list_everything:
      return {listing(), std::nullopt};
    case Act::identify:
      return {rendered(*phrase.query, {identity()}), std::nullopt};
    case Act::read_props:
      return {rendered(*phrase.query, {{{"props", profile_.props_code(running_.props)}}}), std::nullopt};
    case Act::read_mount:
      return {rendered(*phrase.query, {mount_values()}), std::nullopt};
    case Act::sense:
      return {rendered(*phrase.query, {sensed()}), std::nullopt};
    default:
      return {rendered(*phrase.query, {values}), std::nullopt};
  }
}

console::Values Answers::identity() const {
  return {{"board", "practice-board-" + std::to_string(craft_.pins.size())},
          {"firmware", "rehearsal"},
          {"version", "1.4.2"},
          {"serial", craft_.serial.empty() ? "none" : craft_.serial}};
}

console::Values Answers::mount_values() const {
  const int decimals = profile_.mount->decimals;
  console::Values values{{"yaw", decimal(running_.mount[0], decimals)},
                         {"pitch", decimal(running_.mount[1], decimals)},
                         {"roll", decimal(running_.mount[2], decimals)}};
  if (!running_.mount_code.empty()) values["mount"] = running_.mount_code;
  return values;
}

console::Values Answers::sensed() {
  const console::SenseAbility& ability = *profile_.sense;
  Vector force = craft_.specific_force(readings_);
  Vector rate = craft_.turning_rate(readings_);
  ++readings_;
  if (ability.after_mount && profile_.mount) {
    force = turned_by_mount(*profile_.mount, in_force_, force);
    rate = turned_by_mount(*profile_.mount, in_force_, rate);
  }
  const double sense = ability.specific_force ? 1 : -1;
  const auto told = [&](const Vector& ours, std::size_t i, double per_unit) {
    const std::string& axis = ability.axes[i];
    const auto index = static_cast<std::size_t>(axis.back() - 'x');
    const double value = ours[index] * (axis.starts_with('-') ? -1 : 1) * per_unit;
    return decimal(value, std::abs(per_unit) >= 100 ? 0 : 4);
  };
  console::Values values;
  const std::array<const char*, 3> names{"x", "y", "z"};
  for (std::size_t i = 0; i < names.size(); ++i) {
    values[names[i]] = told(force, i, ability.per_g * sense);
    if (ability.per_dps != 0) values[std::string("g") + names[i]] = told(rate, i, ability.per_dps);
  }
  return values;
}

void Answers::add_query(std::vector<std::string>& lines, const console::Query& query,
                        const Entries& entries) const {
  for (std::string& line : rendered(query, entries)) lines.push_back(std::move(line));
}

std::vector<std::string> Answers::settings_as_lines() const {
  std::vector<std::string> lines;
  if (profile_.map) add_query(lines, profile_.map->list, map_entries({}, {}));
  if (profile_.props)
    add_query(lines, profile_.props->read, {{{"props", profile_.props_code(running_.props)}}});
  if (profile_.turn) add_query(lines, profile_.turn->read, turn_entries({}, {}));
  if (profile_.mount) add_query(lines, profile_.mount->read, {mount_values()});
  return lines;
}

std::vector<std::string> Answers::listing() const {
  std::vector<std::string> lines;
  for (int i = 0; i < invented_.count(); ++i) {
    if (i == invented_.count() / 2) {
      for (std::string& line : settings_as_lines()) lines.push_back(std::move(line));
    }
    lines.push_back(invented_.as_line(i + 1, running_));
  }
  return lines;
}

}  // namespace armwise::practice
