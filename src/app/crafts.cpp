#include <iostream>
#include <memory>
#include <nlohmann/json.hpp>

#include "armwise/base/text.hpp"
#include "armwise/record/shelf.hpp"
#include "commands.hpp"
#include "exit_status.hpp"

namespace armwise::app {
namespace {

std::string map_in_words(const record::CraftRecord& record) {
  std::string out;
  for (int i = 0; i < record.after.map.size(); ++i) {
    const std::string& pin = record.after.map.pin_of({i + 1}).name;
    out += (i == 0 ? "" : ", ") + std::to_string(i + 1) + " on " + (pin.empty() ? "no pin" : pin);
  }
  return out;
}

std::string proven_in_words(const record::CraftRecord& record) {
  return record.proven_whole() ? "proven " + record.made_at : "not proven (" + record.made_at + ")";
}

void print(const record::Shelved& shelved, record::SheetState sheet) {
  if (!shelved.record) {
    std::cout << printable(shelved.file.filename().string()) << "\n  damaged: " << shelved.damage << "\n";
    return;
  }
  const record::CraftRecord& record = *shelved.record;
  std::cout << record.craft_name << "\n  "
            << craft::in_words(*craft::frame_named(record.frame), record.scheme) << " on " << record.frame
            << "; board " << (record.mount_in_words.empty() ? "mount not found out" : record.mount_in_words)
            << "\n  map: " << map_in_words(record) << "\n  " << proven_in_words(record) << "; "
            << in_words(sheet) << "\n";
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

int list_crafts(bool json) {
  const record::Folders folders = record::Folders::from_environment();
  const std::vector<record::Shelved> all = record::shelf(folders);
  if (json) {
    nlohmann::json out = nlohmann::json::array();
    for (const record::Shelved& shelved : all) out.push_back(as_json(shelved, sheet_state(folders, shelved)));
    std::cout << out.dump(2) << "\n";
    return done;
  }
  if (all.empty()) {
    std::cout << "No craft is on the shelf yet: armwise bench puts one there. The shelf is "
              << crafts_folder(folders).string() << "\n";
  }
  for (const record::Shelved& shelved : all) print(shelved, sheet_state(folders, shelved));
  return done;
}

}  // namespace

CommandSpec crafts_command() {
  return {"crafts", "the crafts on the shelf: map, mount, when proven, and their sheets", "armwise crafts",
          [](CLI::App& command, Chosen&) {
            auto json = std::make_shared<bool>(false);
            command.add_flag("--json", *json, "as JSON");
            return [json] { return list_crafts(*json); };
          }};
}

}  // namespace armwise::app
