#include "listing.hpp"

#include <algorithm>
#include <charconv>
#include <cmath>
#include <map>
#include <set>

#include "armwise/base/fault.hpp"
#include "armwise/base/text.hpp"
#include "armwise/console/query_values.hpp"

namespace armwise::console {
namespace {

// What a console counts is far below; a larger number overflows once it is scaled, and is damage.
constexpr double largest_number = 1e12;

[[noreturn]] void unreadable(const std::string& what, const std::string& why = {}) {
  throw Fault(FaultKind::unreadable, what, why);
}

std::string in_words(craft::Motor motor) {
  return "motor " + std::to_string(motor.number);
}

// A motor and its pin as listed; no motor: the pin is free or drives something else; no pin: on none.
struct Entry {
  std::optional<craft::Motor> motor;
  std::string pin;
};

std::vector<Entry> entries_in(const Profile& profile, const std::vector<Values>& rows) {
  const MapAbility& map = *profile.map;
  std::vector<Entry> entries;
  for (const Values& row : rows) {
    Entry entry{profile.motor_coded(row.at("motor")), row.at("pin")};
    if (!map.no_pin.empty() && profile.same(entry.pin, map.no_pin)) entry.pin.clear();
    const bool free_pin = !map.no_motor.empty() && profile.same(row.at("motor"), map.no_motor);
    // A servo or a light: no motor's code, and not the word for none.
    if (!entry.motor && !free_pin) continue;
    entries.push_back(std::move(entry));
  }
  return entries;
}

// Two spellings of one pin are one pin.
std::string pin_key(const Profile& profile, const std::string& pin) {
  return profile.case_sensitive ? pin : lower_case(pin);
}

// Each motor, or each pin where the map is kept by pin, may be said once.
void refuse_doubled_keys(const Profile& profile, const std::vector<Entry>& entries) {
  std::set<std::string> seen;
  const bool by_pin = profile.map->rules.kept == solve::MapKept::per_pin;
  for (const Entry& entry : entries) {
    if (!by_pin && !entry.motor) continue;
    const std::string listed = by_pin ? "pin " + entry.pin : in_words(*entry.motor);
    const std::string key = by_pin ? pin_key(profile, entry.pin) : listed;
    if (!seen.insert(key).second) unreadable("the map lists " + listed + " twice");
  }
}

void refuse_shared(const Profile& profile, const std::vector<Entry>& entries) {
  std::map<std::string, craft::Motor> motor_on;
  std::map<craft::Motor, std::string> pin_of;
  for (const Entry& entry : entries) {
    if (!entry.motor || entry.pin.empty()) continue;
    const auto [pin, new_pin] = motor_on.emplace(pin_key(profile, entry.pin), *entry.motor);
    const auto [motor, new_motor] = pin_of.emplace(*entry.motor, entry.pin);
    const std::string why = "That can be left from a session that was cut off; armwise recover puts it right";
    if (!new_pin) {
      unreadable(
          "the map has " + in_words(pin->second) + " and " + in_words(*entry.motor) + " on pin " + entry.pin,
          why);
    }
    if (!new_motor) {
      unreadable(
          "the map has " + in_words(*entry.motor) + " on pin " + motor->second + " and on pin " + entry.pin,
          why);
    }
  }
}

}  // namespace

std::vector<Values> rows_in(const Profile& profile, const Query& query,
                            const std::vector<std::string>& lines) {
  if (!query.item || query.item->has("motor")) return rows_read(query, lines, profile.case_sensitive);
  // An item that does not name its motor is told by its place in its line.
  std::vector<Values> rows;
  Query of_a_line = query;
  of_a_line.columns = false;
  for (const std::string& line : rows_of(query.columns, lines)) {
    int count = 0;
    for (Values& row : rows_read(of_a_line, {line}, profile.case_sensitive)) {
      if (!row.contains("motor")) row["motor"] = profile.motor_code(craft::Motor{++count});
      rows.push_back(std::move(row));
    }
  }
  return rows;
}

Values values_in(const Profile& profile, const Query& query, const std::vector<std::string>& lines,
                 const std::vector<std::string>& needed) {
  OneRow all = one_row_read(query, lines, profile.case_sensitive);
  // The line with which any reply ends may only look like another answer.
  const bool ends = !lines.empty() && profile.open.reply_end &&
                    profile.open.reply_end->match(lines.back(), profile.case_sensitive);
  if (ends && !all.twice.empty())
    all = one_row_read(query, {lines.begin(), lines.end() - 1}, profile.case_sensitive);
  if (!all.twice.empty()) {
    unreadable("the " + all.twice + " reads in two ways",
               "First \"" + all.values[all.twice] + "\", then \"" + all.besides + "\"");
  }
  for (const std::string& blank : needed) {
    if (!all.values.contains(blank)) unreadable("the reply does not say the " + blank);
  }
  return all.values;
}

double number_in(const Values& values, const std::string& blank) {
  const auto found = values.find(blank);
  if (found == values.end()) unreadable("the reply does not say the " + blank);
  std::string_view text = found->second;
  if (text.starts_with('+')) text.remove_prefix(1);
  double number = 0;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), number);
  if (error != std::errc{} || end != text.data() + text.size() || !(std::abs(number) <= largest_number)) {
    unreadable("the " + blank + " reads \"" + printable(text) + "\", which is no number");
  }
  return number;
}

craft::MotorMap map_in(const Profile& profile, const std::vector<Values>& rows, int motors, Listing listing) {
  const std::vector<Entry> entries = entries_in(profile, rows);
  refuse_doubled_keys(profile, entries);
  if (listing == Listing::whole) refuse_shared(profile, entries);
  std::map<int, std::string> pins;
  for (const Entry& entry : entries) {
    if (entry.motor) pins[entry.motor->number] = entry.pin;
  }
  const bool by_pin = profile.map->rules.kept == solve::MapKept::per_pin;
  craft::MotorMap map;
  for (int number = 1; number <= motors || pins.contains(number); ++number) {
    const auto found = pins.find(number);
    // By pin, a motor that stands on none is simply not listed.
    const bool may_lack = by_pin && listing == Listing::as_left;
    if (found == pins.end() && !may_lack) {
      unreadable("the map does not list " + in_words(craft::Motor{number}),
                 std::string(by_pin ? "It stands on no pin, or the list" : "The list") +
                     " was cut short, or the controller is set up for fewer motors than the frame has");
    }
    map.pins.push_back({found == pins.end() ? std::string() : found->second});
  }
  return map;
}

std::optional<std::string> pin_listed(const Profile& profile, const std::vector<Values>& rows,
                                      craft::Motor motor) {
  std::optional<std::string> found;
  for (const Entry& entry : entries_in(profile, rows)) {
    if (entry.motor != motor) continue;
    if (found) unreadable("the map lists " + in_words(motor) + " twice");
    found = entry.pin;
  }
  if (found && found->empty()) return std::nullopt;
  return found;
}

std::optional<std::string> motor_listed(const Profile& profile, const std::vector<Values>& rows,
                                        const craft::Pin& pin) {
  std::optional<Entry> found;
  for (const Entry& entry : entries_in(profile, rows)) {
    if (!profile.same(entry.pin, pin.name)) continue;
    if (found) unreadable("the map lists pin " + pin.name + " twice");
    found = entry;
  }
  if (!found || !found->motor) return std::nullopt;
  return profile.motor_code(*found->motor);
}

craft::Turn turn_listed(const Profile& profile, const std::vector<Values>& rows, const std::string& key) {
  const std::string blank = profile.turn->key == solve::TurnKey::pin ? "pin" : "motor";
  const std::string whose = blank + " " + key;
  std::optional<craft::Turn> found;
  for (const Values& row : rows) {
    if (!profile.same(row.at(blank), key)) continue;
    if (found) unreadable("the turns list " + whose + " twice");
    found = profile.turn_coded(row.at("turn"));
    if (!found) unreadable("the turn of " + whose + " reads \"" + row.at("turn") + "\"");
  }
  if (!found) unreadable("the turns do not list " + whose);
  return *found;
}

}  // namespace armwise::console
