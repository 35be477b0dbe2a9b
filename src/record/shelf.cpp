#include "armwise/record/shelf.hpp"

#include <algorithm>
#include <nlohmann/json.hpp>
#include <utility>

#include "armwise/base/fault.hpp"
#include "armwise/base/text.hpp"
#include "armwise/console/whole_configuration.hpp"
#include "armwise/record/files.hpp"
#include "armwise/record/sha256.hpp"
#include "json_fields.hpp"

namespace armwise::record {
namespace {

namespace fs = std::filesystem;

fs::path sheets_file(const Folders& folders) {
  return folders.state / "sheets.json";
}

std::string key_of(const fs::path& file) {
  std::error_code ignored;
  const fs::path whole = fs::weakly_canonical(file, ignored);
  return ignored ? file.string() : whole.string();
}

// Where each record's sheet went. Only a help: a damaged file is started anew.
nlohmann::json known_sheets(const Folders& folders) {
  try {
    nlohmann::json known =
        parse_strictly(read_whole(sheets_file(folders)), written_here("the list of sheets"));
    if (known.is_object()) return known;
  } catch (const Fault&) {
    return nlohmann::json::object();
  }
  return nlohmann::json::object();
}

}  // namespace

std::vector<fs::path> files_with(const fs::path& folder, std::string_view ending) {
  std::vector<fs::path> files;
  std::error_code error;
  for (fs::directory_iterator it(folder, error), end; !error && it != end; it.increment(error)) {
    const std::string file = it->path().filename().string();
    if (file.ends_with(ending) && !file.starts_with('.')) files.push_back(it->path());
  }
  std::sort(files.begin(), files.end());
  return files;
}

fs::path crafts_folder(const Folders& folders) {
  return folders.data / "crafts";
}

Shelved shelved(const fs::path& file) {
  Shelved found;
  found.file = file;
  try {
    const std::string text = read_whole(file);
    found.checksum = sha256(text);
    found.record = record_from_json(text);
  } catch (const Fault& fault) {
    found.damage = fault.sentence();
  }
  return found;
}

std::vector<Shelved> shelf(const Folders& folders) {
  std::vector<Shelved> all;
  for (const fs::path& file : files_with(crafts_folder(folders), record_extension))
    all.push_back(shelved(file));
  return all;
}

Shelved find_record(const Folders& folders, const std::string& file_or_craft) {
  std::error_code ignored;
  if (fs::exists(file_or_craft, ignored)) {
    const std::string text = read_whole(file_or_craft);
    return Shelved{file_or_craft, sha256(text), record_from_json(text), {}};
  }
  // The craft's very name counts first; then names without case, and the names of the records' files.
  std::vector<Shelved> alike;
  std::vector<std::string> names;
  const std::string sought = lower_case(file_or_craft);
  std::vector<Shelved> known = shelf(folders);
  for (Shelved& practised : shelf(folders.for_practice())) known.push_back(std::move(practised));
  for (Shelved& on_shelf : known) {
    const std::string file = lower_case(on_shelf.file.filename().string());
    const bool same_file = file == sought || file == sought + std::string(record_extension);
    if (same_file && !on_shelf.record) throw Fault(FaultKind::bad_data, on_shelf.damage);
    if (!on_shelf.record) continue;
    const std::string& name = on_shelf.record->craft_name;
    if (name == file_or_craft) return std::move(on_shelf);
    names.push_back(name);
    if (same_file || lower_case(name) == sought) alike.push_back(std::move(on_shelf));
  }
  if (alike.size() == 1) return std::move(alike.front());
  if (alike.size() > 1) {
    throw Fault(FaultKind::usage, "More than one craft is called " + printable(file_or_craft),
                printable(alike[0].record->craft_name) + " and " + printable(alike[1].record->craft_name),
                "Say which, letter by letter, or name its file");
  }
  const std::string near = nearest(file_or_craft, names);
  throw Fault(FaultKind::usage, "There is no record " + printable(file_or_craft),
              "no file and no craft on the shelf has this name" +
                  (near.empty() ? std::string() : "; the nearest craft is " + printable(near)),
              "armwise crafts lists the shelf");
}

std::vector<std::string> saved_configuration(const Shelved& record) {
  if (!record.record) throw Fault(FaultKind::bad_data, record.damage);
  const CraftRecord& made = *record.record;
  const bool after = !made.configuration_after.empty();
  const std::string& name = after ? made.configuration_after : made.configuration_before;
  if (name.empty()) {
    throw Fault(FaultKind::file, "No whole configuration was saved with this record", {},
                "Leave --whole out: wires, mount and prop direction are in the record itself");
  }
  // A name alone stands for a file beside the record; nothing else is read for it.
  const fs::path file = record.file.parent_path() / fs::path(name).filename();
  const std::string content = read_whole(file);
  if (sha256(content) != (after ? made.configuration_after_sha256 : made.configuration_before_sha256)) {
    throw Fault(FaultKind::bad_data, "The saved whole configuration is not what was saved with the record",
                file.string() + " was changed afterwards", "Use an untouched copy, or leave --whole out");
  }
  return console::configuration_lines(content);
}

std::string_view in_words(SheetState state) {
  switch (state) {
    case SheetState::never_made:
      return "none";
    case SheetState::up_to_date:
      return "up to date";
    case SheetState::out_of_date:
      return "out of date";
    case SheetState::gone:
      break;
  }
  return "moved or deleted";
}

void note_sheet(const Folders& folders, const fs::path& record_file, const fs::path& sheet_file) {
  nlohmann::json known = known_sheets(folders);
  known[key_of(record_file)] = key_of(sheet_file);
  write_whole(sheets_file(folders),
              known.dump(2, ' ', false, nlohmann::json::error_handler_t::replace) + "\n");
}

SheetState sheet_state(const Folders& folders, const Shelved& record) {
  const nlohmann::json known = known_sheets(folders);
  const auto found = known.find(key_of(record.file));
  if (found == known.end() || !found->is_string()) return SheetState::never_made;
  try {
    const std::string page = read_whole(found->get<std::string>());
    return page.find(record.checksum) == std::string::npos ? SheetState::out_of_date : SheetState::up_to_date;
  } catch (const Fault&) {
    return SheetState::gone;
  }
}

}  // namespace armwise::record
