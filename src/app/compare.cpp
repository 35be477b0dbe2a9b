#include "armwise/record/compare.hpp"

#include <iostream>
#include <memory>
#include <nlohmann/json.hpp>

#include "armwise/record/shelf.hpp"
#include "commands.hpp"
#include "exit_status.hpp"

namespace armwise::app {
namespace {

struct CompareOptions {
  std::string older, newer;
  bool json = false;
};

int compare_records(const CompareOptions& options) {
  const record::Folders folders = record::Folders::from_environment();
  const record::Shelved older = record::find_record(folders, options.older);
  const record::Shelved newer = record::find_record(folders, options.newer);
  const std::vector<record::Difference> differences = record::compare(*older.record, *newer.record);
  if (options.json) {
    nlohmann::json out = nlohmann::json::array();
    for (const record::Difference& difference : differences)
      out.push_back({{"about", difference.about}, {"words", difference.words}});
    std::cout << out.dump(2) << "\n";
    return done;
  }
  std::cout << newer.record->craft_name << " of " << newer.record->made_at << " against "
            << older.record->craft_name << " of " << older.record->made_at << ":\n";
  if (differences.empty()) std::cout << "  Nothing that matters differs.\n";
  for (const record::Difference& difference : differences)
    std::cout << "  " << difference.about << ": " << difference.words << ".\n";
  return done;
}

}  // namespace

CommandSpec compare_command() {
  return {"compare", "what changed between two records, in trade words",
          "armwise compare old.armwise.json \"my quad\"", [](CLI::App& command, Chosen&) {
            auto options = std::make_shared<CompareOptions>();
            command.add_option("OLDER", options->older, "a record's file, or a craft's name on the shelf")
                ->required();
            command.add_option("NEWER", options->newer, "the one to compare it with")->required();
            command.add_flag("--json", options->json, "as JSON");
            return [options] { return compare_records(*options); };
          }};
}

}  // namespace armwise::app
