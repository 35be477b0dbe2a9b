#include "armwise/sheet/sheet.hpp"

#include <filesystem>
#include <iostream>
#include <memory>

#include "armwise/base/text.hpp"
#include "armwise/record/files.hpp"
#include "armwise/record/shelf.hpp"
#include "armwise/sheet/picture.hpp"
#include "commands.hpp"
#include "exit_status.hpp"

namespace armwise::app {
namespace {

namespace fs = std::filesystem;

struct SheetOptions {
  std::string record, output;
  bool picture = false, practice = false;
};

// Beside the record, under its name.
fs::path usual_place(const fs::path& record_file, bool picture) {
  std::string name = record_file.filename().string();
  for (const std::string_view ending : {record::record_extension, std::string_view(".json")}) {
    if (name.size() > ending.size() && name.ends_with(ending)) {
      name.resize(name.size() - ending.size());
      break;
    }
  }
  return record_file.parent_path() / (name + (picture ? ".svg" : ".html"));
}

int make_sheet(const SheetOptions& options) {
  record::Folders folders = record::Folders::from_environment();
  if (options.practice) folders = folders.for_practice();
  const record::Shelved found = record::find_record(folders, options.record);
  const std::string made =
      options.picture ? sheet::svg(*found.record)
                      : sheet::sheet(*found.record, {found.file.filename().string(), found.checksum});
  if (options.output == "-") {
    std::cout << made;
    return done;
  }
  const fs::path file =
      options.output.empty() ? usual_place(found.file, options.picture) : fs::path(options.output);
  record::write_whole(file, made);
  if (!options.picture) record::note_sheet(folders, found.file, file);
  std::cout << (options.picture ? "The picture of " : "The build sheet of ")
            << printable(found.record->craft_name) << " is " << printable(file.string()) << "\n";
  if (!found.record->proven_whole()) {
    std::cout << "It says so on the page: this craft is not proven.\n";
  }
  return done;
}

}  // namespace

CommandSpec sheet_command() {
  return {"sheet", "the build sheet, one printable page", "armwise sheet \"my quad\" -o page.html",
          [](CLI::App& command, Chosen&) {
            auto options = std::make_shared<SheetOptions>();
            command.add_option("RECORD", options->record, "a record's file, or a craft's name on the shelf")
                ->required();
            command
                .add_option("-o,--output", options->output,
                            "where it goes; beside the record otherwise; - prints it")
                ->type_name("FILE");
            command.add_flag("--practice", options->practice, "of a practice craft");
            command.add_flag("--svg", options->picture, "only the pictures, before and after, as SVG");
            return [options] { return make_sheet(*options); };
          }};
}

}  // namespace armwise::app
