// The shelf of crafts: the records in the data folder, and the build sheets that were made of them.
#pragma once

#include <filesystem>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "armwise/record/craft_record.hpp"
#include "armwise/record/paths.hpp"

namespace armwise::record {

inline constexpr std::string_view record_extension = ".armwise.json";

struct Shelved {
  std::filesystem::path file;
  std::string checksum;               // SHA-256 of the file; empty where it cannot be read
  std::optional<CraftRecord> record;  // absent: damaged, and why
  std::string damage;
};

std::filesystem::path crafts_folder(const Folders& folders);
// Reads one record file; what is wrong with it stands in `damage`.
Shelved shelved(const std::filesystem::path& file);
// By file name. A damaged one is on the list too.
std::vector<Shelved> shelf(const Folders& folders);

// A record by its file; or by its craft's name on the shelf or on that for practice, or its file's there,
// with or without the ending, in large letters or small. Throws Fault(usage) with the nearest name where
// there is none or where two fit, and Fault(bad_data) where it is damaged.
Shelved find_record(const Folders& folders, const std::string& file_or_craft);

// The lines of the whole configuration as the record's session left it, or found it where it kept nothing.
// Throws Fault(file) where none was saved or it is gone, and Fault(bad_data) where it is not as it was saved.
std::vector<std::string> saved_configuration(const Shelved& record);

// Sheets are made of one state of a record file and hold its SHA-256.
enum class SheetState { never_made, up_to_date, out_of_date, gone };
std::string_view in_words(SheetState state);
// Remembers where the sheet of this record went. Throws Fault(file).
void note_sheet(const Folders& folders, const std::filesystem::path& record_file,
                const std::filesystem::path& sheet_file);
SheetState sheet_state(const Folders& folders, const Shelved& record);

// The files in a folder with this ending, hidden ones apart, by name; none where there is no folder.
std::vector<std::filesystem::path> files_with(const std::filesystem::path& folder, std::string_view ending);

}  // namespace armwise::record
