#include <algorithm>
#include <array>
#include <iostream>
#include <memory>
#include <nlohmann/json.hpp>
#include <string>
#include <vector>

#include "armwise/base/age.hpp"
#include "armwise/base/text.hpp"
#include "armwise/link/real_clock.hpp"
#include "armwise/record/shelf.hpp"
#include "armwise/ui/style.hpp"
#include "commands.hpp"
#include "exit_status.hpp"

namespace armwise::app {
namespace {

std::string now_in_words() {
  return link::RealClock(boost::asio::any_io_executor()).date_and_time();
}

using CraftRow = std::array<std::string, 5>;

CraftRow row_of(const record::CraftRecord& record, record::SheetState sheet) {
  return {printable(record.craft_name), record.frame + ", " + std::string(in_words(record.scheme)),
          (record.proven_whole() ? "" : "NOT proven, ") + age_in_words(record.made_at, now_in_words()),
          std::string(in_words(sheet)),
          record.mount_in_words.empty() ? "not checked" : record.mount_in_words};
}

// What is long comes last, and breaks within its column where a terminal is too narrow; where that would be
// too narrow too, below the rest.
void print(const std::vector<CraftRow>& rows) {
  const ui::Surroundings around = ui::Surroundings::of_this_process();
  std::array<int, 5> widths{};
  for (const CraftRow& row : rows) {
    for (std::size_t i = 0; i < row.size(); ++i) widths[i] = std::max(widths[i], ui::columns_of(row[i]));
  }
  for (const CraftRow& row : rows) {
    std::string line;
    for (std::size_t i = 0; i + 1 < row.size(); ++i) line += ui::padded(row[i], widths[i]) + "  ";
    if (!around.output_is_terminal) {
      std::cout << line << row.back() << "\n";
      continue;
    }
    constexpr int indent = 4;
    int used = ui::columns_of(line);
    if (used + ui::narrowest > around.columns) {
      for (const std::string& part : ui::wrapped(line, around.columns)) std::cout << part << "\n";
      used = indent;
      line.assign(indent, ' ');
    }
    for (const std::string& part : ui::wrapped(row.back(), around.columns - used)) {
      std::cout << line << part << "\n";
      line.assign(static_cast<std::size_t>(used), ' ');
    }
  }
}

// The newest first; what is damaged below it.
void print(const std::vector<record::Shelved>& all, const record::Folders& folders) {
  std::vector<const record::Shelved*> whole;
  for (const record::Shelved& shelved : all) {
    if (shelved.record) whole.push_back(&shelved);
  }
  const std::string now = now_in_words();
  std::stable_sort(whole.begin(), whole.end(), [&](const record::Shelved* a, const record::Shelved* b) {
    return seconds_between(a->record->made_at, now).value_or(0) <
           seconds_between(b->record->made_at, now).value_or(0);
  });
  std::vector<CraftRow> rows{{"CRAFT", "FRAME", "PROVEN", "SHEET", "BOARD"}};
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
    std::cout << "No crafts yet: " << bench << " makes the first. They are kept in "
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
