#include <algorithm>
#include <array>
#include <chrono>
#include <cstdint>
#include <cstdio>
#include <iostream>
#include <memory>
#include <nlohmann/json.hpp>
#include <optional>
#include <vector>

#include "armwise/base/text.hpp"
#include "armwise/record/shelf.hpp"
#include "armwise/ui/style.hpp"
#include "commands.hpp"
#include "exit_status.hpp"

namespace armwise::app {
namespace {

// Nothing where a date is none, or is still to come.
std::optional<std::int64_t> seconds_since(const std::string& made_at) {
  int year = 0, month = 0, day = 0, hour = 0, minute = 0, second = 0, hours_off = 0, minutes_off = 0;
  char sign = '+';
  const int read = std::sscanf(made_at.c_str(), "%4d-%2d-%2dT%2d:%2d:%2d%c%2d:%2d", &year, &month, &day,
                               &hour, &minute, &second, &sign, &hours_off, &minutes_off);
  using namespace std::chrono;
  const year_month_day date(std::chrono::year(year), std::chrono::month(static_cast<unsigned>(month)),
                            std::chrono::day(static_cast<unsigned>(day)));
  if (read < 6 || !date.ok()) return std::nullopt;
  const seconds offset = (sign == '-' ? -1 : 1) * (hours(hours_off) + minutes(minutes_off));
  const sys_seconds made = sys_days(date) + hours(hour) + minutes(minute) + seconds(second) - offset;
  const std::int64_t since = (floor<seconds>(system_clock::now()) - made).count();
  return since < 0 ? std::nullopt : std::optional(since);
}

std::string age_in_words(const std::string& made_at) {
  const std::optional<std::int64_t> since = seconds_since(made_at);
  const auto ago = [](std::int64_t number, const std::string& unit) {
    return std::to_string(number) + " " + unit + (number == 1 ? "" : "s") + " ago";
  };
  constexpr std::int64_t minute = 60, hour = 60 * minute, day = 24 * hour;
  if (!since || *since >= 365 * day) return printable(made_at.substr(0, 10));
  if (*since < minute) return "just now";
  if (*since < hour) return ago(*since / minute, "minute");
  if (*since < day) return ago(*since / hour, "hour");
  if (*since < 14 * day) return ago(*since / day, "day");
  return *since < 60 * day ? ago(*since / (7 * day), "week") : ago(*since / (30 * day), "month");
}

using CraftRow = std::array<std::string, 5>;

CraftRow row_of(const record::CraftRecord& record, record::SheetState sheet) {
  return {printable(record.craft_name), record.frame + ", " + std::string(in_words(record.scheme)),
          record.mount_in_words.empty() ? "not checked" : record.mount_in_words,
          (record.proven_whole() ? "" : "NOT proven, ") + age_in_words(record.made_at),
          std::string(in_words(sheet))};
}

void print(const std::vector<CraftRow>& rows) {
  std::array<int, 5> widths{};
  for (const CraftRow& row : rows) {
    for (std::size_t i = 0; i < row.size(); ++i) widths[i] = std::max(widths[i], ui::columns_of(row[i]));
  }
  for (const CraftRow& row : rows) {
    std::string line;
    for (std::size_t i = 0; i < row.size(); ++i)
      line += i + 1 < row.size() ? ui::padded(row[i], widths[i]) + "  " : row[i];
    std::cout << line << "\n";
  }
}

// The newest first; what is damaged below it.
void print(const std::vector<record::Shelved>& all, const record::Folders& folders) {
  std::vector<const record::Shelved*> whole;
  for (const record::Shelved& shelved : all) {
    if (shelved.record) whole.push_back(&shelved);
  }
  std::stable_sort(whole.begin(), whole.end(), [](const record::Shelved* a, const record::Shelved* b) {
    return seconds_since(a->record->made_at).value_or(0) < seconds_since(b->record->made_at).value_or(0);
  });
  std::vector<CraftRow> rows{{"CRAFT", "FRAME", "BOARD", "PROVEN", "SHEET"}};
  for (const record::Shelved* shelved : whole)
    rows.push_back(row_of(*shelved->record, sheet_state(folders, *shelved)));
  if (rows.size() > 1) print(rows);
  for (const record::Shelved& shelved : all) {
    if (!shelved.record)
      std::cout << printable(shelved.file.filename().string()) << "  damaged: " << shelved.damage << "\n";
  }
}

nlohmann::json as_json(const record::Shelved& shelved, record::SheetState sheet) {
  if (!shelved.record) return {{"file", printable(shelved.file.string())}, {"damage", shelved.damage}};
  const record::CraftRecord& record = *shelved.record;
  nlohmann::json map = nlohmann::json::array();
  for (const craft::Pin& pin : record.after.map.pins) map.push_back(pin.name);
  return {{"file", printable(shelved.file.string())},
          {"craft", record.craft_name},
          {"frame", record.frame},
          {"props", std::string(name(record.scheme))},
          {"mount", record.mount_in_words},
          {"map", map},
          {"made_at", record.made_at},
          {"proven", record.proven_whole()},
          {"sheet", std::string(in_words(sheet))}};
}

int list_crafts(bool json, bool only_practised) {
  const record::Folders folders = record::Folders::from_environment();
  std::vector<record::Shelved> all;
  if (!only_practised) all = record::shelf(folders);
  const std::vector<record::Shelved> practised = record::shelf(folders.for_practice());
  if (json) {
    nlohmann::json out = nlohmann::json::array();
    for (const record::Shelved& shelved : all) out.push_back(as_json(shelved, sheet_state(folders, shelved)));
    for (const record::Shelved& shelved : practised) {
      out.push_back(as_json(shelved, sheet_state(folders, shelved)));
      out.back()["practice"] = true;
    }
    std::cout << out.dump(2) << "\n";
    return done;
  }
  if (all.empty() && practised.empty()) {
    const std::string bench = only_practised ? "armwise bench --practice" : "armwise bench";
    std::cout << "No craft is on the shelf yet: " << bench << " puts one there. The shelf is "
              << crafts_folder(only_practised ? folders.for_practice() : folders).string() << "\n";
  }
  print(all, folders);
  if (practised.empty()) return done;
  std::cout << (all.empty() ? "" : "\n") << "For practice (in "
            << crafts_folder(folders.for_practice()).string() << "):\n";
  print(practised, folders);
  return done;
}

}  // namespace

CommandSpec crafts_command() {
  return {"crafts", "list your crafts, the newest first", "armwise crafts", [](CLI::App& command, Chosen&) {
            auto json = std::make_shared<bool>(false), practised = std::make_shared<bool>(false);
            command.add_flag("--json", *json, "as JSON");
            command.add_flag("--practice", *practised, "only the practice crafts");
            return [json, practised] { return list_crafts(*json, *practised); };
          }};
}

}  // namespace armwise::app
