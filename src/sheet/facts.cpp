// The facts of the craft, and its settings before and after.
#include <algorithm>
#include <cmath>
#include <utility>

#include "craft_view.hpp"
#include "markup.hpp"
#include "page_parts.hpp"

namespace armwise::sheet {
namespace {

std::string letter(record::Source source) {
  switch (source) {
    case record::Source::controller:
      return "R";
    case record::Source::person:
      return "S";
    case record::Source::computed:
      return "C";
    case record::Source::profile:
      break;
  }
  return "P";
}

struct Fact {
  std::string label, value, marks;
};

std::string joined_where_there(const std::vector<std::string>& parts) {
  constexpr std::size_t longest_part = 50;
  std::string out;
  for (const std::string& part : parts) {
    if (part.empty()) continue;
    if (!out.empty()) out += ", ";
    out += shortened(part, longest_part);
  }
  return out.empty() ? "not told" : out;
}

// "25 November 2026" would be one country's way; ISO 8601 is everyone's.
std::string date_and_time(const std::string& when) {
  std::string out = when;
  if (out.size() > 19) {
    out.insert(19, " ");
    out[10] = ' ';
    out.insert(20, "UTC");
  }
  return out;
}

std::string angles(const craft::YawPitchRoll& mount) {
  return "yaw " + plain_number(mount.yaw) + "°, pitch " + plain_number(mount.pitch) + "°, roll " +
         plain_number(mount.roll) + "°";
}

struct Row {
  std::string setting, before, after;
};

void add_changed(std::vector<Row>& rows, std::string setting, std::string before, std::string after) {
  if (before != after) rows.push_back({std::move(setting), std::move(before), std::move(after)});
}

std::string pin_at(const craft::MotorMap& map, int index) {
  if (index >= map.size()) return "not listed";
  const std::string& pin = map.pins[static_cast<std::size_t>(index)].name;
  return pin.empty() ? "no pin" : "pin " + pin;
}

// Of the motor, or of the pin that it is on in `map`, as the console keeps it.
std::string turn_at(const solve::Snapshot& settings, const craft::MotorMap& map, int index) {
  if (settings.turn_key == solve::TurnKey::pin)
    index = settings.map.motor_on(map.pin_of({index + 1})).number - 1;
  if (index < 0 || index >= static_cast<int>(settings.turns.size())) return "not listed";
  return std::string(name(settings.turns[static_cast<std::size_t>(index)]));
}

// Turn settings that change alike share a row: "turn setting, motors 1, 2, 4".
void add_turn(std::vector<Row>& rows, const solve::Snapshot& after, int index, std::string from,
              std::string to) {
  if (from == to) return;
  const bool by_pin = after.turn_key == solve::TurnKey::pin;
  const std::string which =
      by_pin ? shortened(after.map.pin_of({index + 1}).name, 12) : std::to_string(index + 1);
  for (Row& row : rows) {
    if (!row.setting.starts_with("turn") || row.before != from || row.after != to) continue;
    if (row.setting.find("s ") == std::string::npos) row.setting.insert(row.setting.rfind(' '), "s");
    row.setting += ", " + which;
    return;
  }
  rows.push_back(
      {std::string("turn setting, ") + (by_pin ? "pin " : "motor ") + which, std::move(from), std::move(to)});
}

std::vector<Row> changed(const solve::Snapshot& before, const solve::Snapshot& after) {
  std::vector<Row> rows;
  const int motors = std::max(before.map.size(), after.map.size());
  for (int i = 0; i < motors; ++i)
    add_changed(rows, "motor " + std::to_string(i + 1), pin_at(before.map, i), pin_at(after.map, i));
  for (int i = 0; i < after.map.size() && !after.turns.empty(); ++i)
    add_turn(rows, after, i, turn_at(before, after.map, i), turn_at(after, after.map, i));
  if (before.props && after.props)
    add_changed(rows, "prop direction", std::string(in_words(*before.props)),
                std::string(in_words(*after.props)));
  if (before.mount && after.mount)
    add_changed(rows, "board mount", angles(*before.mount), angles(*after.mount));
  return rows;
}

std::string numbering(const record::CraftRecord& record) {
  std::string out;
  for (std::size_t i = 0; i < record.numbering.size(); ++i)
    out += (i == 0 ? "" : ", ") + std::to_string(i + 1) + " " + shortened(record.numbering[i], 20);
  return out;
}

std::vector<Fact> all_facts(const record::CraftRecord& record) {
  const craft::Frame& frame = frame_of(record);
  const console::Identity& controller = record.identity;
  const auto marked = [&](const char* fact) { return mark(record, fact); };
  std::vector<Fact> all{
      {"Frame", frame.name + ", " + frame.description, marked("frame")},
      {"Props", craft::in_words(frame, record.scheme), marked("props")},
      {"Numbering", numbering(record), marked("numbering")},
      {"Controller", joined_where_there({controller.board, controller.firmware, controller.version}),
       marked("controller")},
      {"Serial no.", joined_where_there({controller.serial}), marked("controller")},
      {"Port", joined_where_there({record.port, controller.port_identity}), marked("controller")},
      {"Board sits", record.mount_in_words, marked("mount")},
      {"Found by", record.mount_found, marked("mount")},
      {"Mount is set to", record.after.mount ? angles(*record.after.mount) : std::string(), marked("after")},
      {"Flight sense", record.flight_sense, marked("flight_sense")},
      {"Operator", joined_where_there({record.operator_name}), marked("operator")},
      {"Place", joined_where_there({record.place}), marked("place")},
      {"Date and time", date_and_time(record.made_at), mark(record::Source::computed)},
      {"Method",
       "armwise " + shortened(record.tool_version, 20) + ", profile " + shortened(record.profile_name, 30) +
           "; each motor spun by itself at " + plain_number(record.strength_per_cent) + " % for " +
           plain_number(record.spin_milliseconds / 1000.0) + " s, props off",
       {}}};
  std::erase_if(all, [](const Fact& fact) { return fact.value.empty(); });
  return all;
}

// What the console calls cw need not be what is seen, hence the words.
constexpr std::string_view about_turn_settings =
    "A turn setting is the console's own word; which way a motor turns is in the pictures.";

bool has_turn_rows(const std::vector<Row>& rows) {
  return std::any_of(rows.begin(), rows.end(),
                     [](const Row& row) { return row.setting.starts_with("turn"); });
}

}  // namespace

std::string mark(record::Source source) {
  return "<abbr class=\"mark\" title=\"" + std::string(record::in_words(source)) + "\">" + letter(source) +
         "</abbr>";
}

std::string mark(const record::CraftRecord& record, const std::string& fact) {
  const auto known = record.sources.find(fact);
  return known == record.sources.end() ? std::string() : mark(known->second);
}

std::string facts(const record::CraftRecord& record, const Room& room) {
  std::string out = "<section>\n<h2>Craft and controller</h2>\n<dl class=\"facts\">\n";
  for (const Fact& fact : all_facts(record)) {
    // The method is made of short parts and is never cut.
    const std::size_t longest = fact.label == "Method" ? std::max<std::size_t>(room.fact, 160) : room.fact;
    out +=
        "<dt>" + fact.label + "</dt><dd>" + escaped(shortened(fact.value, longest)) + fact.marks + "</dd>\n";
  }
  return out + "</dl>\n</section>\n";
}

double lines_of_facts(const record::CraftRecord& record, const Room& room) {
  double lines = 0;
  for (const Fact& fact : all_facts(record))
    lines += std::ceil((std::min(width_of(fact.value), static_cast<double>(room.fact)) + 5) /
                       (0.36 * room.letters));
  return lines;
}

double lines_of_settings(const record::CraftRecord& record, const Room& room) {
  const std::vector<Row> rows = changed(record.before, record.after);
  double lines = has_turn_rows(rows) ? 3 : 1;
  for (const Row& row : rows) {
    const double widest = std::max({width_of(row.setting), width_of(row.before), width_of(row.after)});
    lines += 1.15 * std::ceil(widest / (0.15 * room.letters));
  }
  return lines;
}

std::string settings(const record::CraftRecord& record) {
  const std::vector<Row> rows = changed(record.before, record.after);
  std::string out = "<section>\n<h2>Settings that changed" + mark(record, "after") + "</h2>\n";
  if (rows.empty())
    return out + "<p>None: the controller was already set as this craft is wired.</p>\n</section>\n";
  out +=
      "<table>\n<thead><tr><th scope=\"col\">Setting</th><th scope=\"col\">Before</th>"
      "<th scope=\"col\">After</th></tr></thead>\n<tbody>\n";
  for (const Row& row : rows) {
    out += "<tr><th scope=\"row\">" + escaped(shortened(row.setting, 120)) + "</th><td>" +
           escaped(shortened(row.before, 40)) + "</td><td class=\"new\">" +
           escaped(shortened(row.after, 40)) + "</td></tr>\n";
  }
  out += "</tbody>\n</table>\n";
  if (has_turn_rows(rows)) out += "<p class=\"small\">" + std::string(about_turn_settings) + "</p>\n";
  return out + "</section>\n";
}

}  // namespace armwise::sheet
