#include "armwise/record/store.hpp"

#include <algorithm>
#include <utility>

#include "armwise/base/fault.hpp"
#include "armwise/base/text.hpp"
#include "armwise/record/files.hpp"

namespace armwise::record {
namespace {

namespace fs = std::filesystem;

constexpr std::string_view record_extension = ".armwise.json";

// "2026-11-25T07:10:00+01:00" as a part of a file name.
std::string stamp(std::string_view when) {
  std::string out;
  for (const char c : when.substr(0, 19)) {
    if ((c >= '0' && c <= '9') || c == 'T') out += c;
  }
  return out;
}

std::vector<fs::path> files_in(const fs::path& folder, std::string_view extension) {
  std::vector<fs::path> files;
  std::error_code error;
  for (fs::directory_iterator it(folder, error), end; !error && it != end; it.increment(error)) {
    const std::string file = it->path().filename().string();
    if (file.ends_with(extension) && !file.starts_with('.')) files.push_back(it->path());
  }
  std::sort(files.begin(), files.end());
  return files;
}

}  // namespace

DiskStore::DiskStore(Folders folders, fs::path record_file)
    : folders_(std::move(folders)), record_file_(std::move(record_file)) {}

fs::path DiskStore::fresh(const fs::path& folder, const std::string& stem,
                          const std::string& extension) const {
  fs::path file = folder / (stem + extension);
  for (int n = 2; fs::exists(file); ++n) file = folder / (stem + "-" + std::to_string(n) + extension);
  return file;
}

std::string DiskStore::save_configuration(std::string_view board, std::string_view when,
                                          const std::vector<std::string>& lines) {
  const fs::path folder = folders_.state / "configurations";
  const fs::path file = fresh(folder, stamp(when) + "-" + file_name_for(board), ".txt");
  write_whole(file, joined(lines, "\n") + "\n");
  return file.string();
}

std::unique_ptr<Journal> DiskStore::start_journal(std::string_view board, std::string_view when) {
  return create_journal(
      fresh(folders_.state / "journals", stamp(when) + "-" + file_name_for(board), ".journal"));
}

std::unique_ptr<Journal> DiskStore::take_up_journal(const std::string& file) {
  return continue_journal(file);
}

std::string DiskStore::save_record(const CraftRecord& record) {
  const fs::path file =
      record_file_.empty()
          ? folders_.data / "crafts" / (file_name_for(record.craft_name) + std::string(record_extension))
          : record_file_;
  if (record_file_.empty() && fs::exists(file)) {
    // The older record of the same craft is kept beside, never written over.
    const fs::path older = fresh(file.parent_path() / "older", file_name_for(record.craft_name), ".json");
    make_folder(older.parent_path());
    write_whole(older, read_whole(file));
  }
  write_whole(file, to_json(record));
  return file.string();
}

std::vector<OpenSession> DiskStore::open_sessions() {
  std::vector<OpenSession> open;
  for (const fs::path& file : files_in(folders_.state / "journals", ".journal")) {
    const JournalRead read = read_journal(file);
    if (needs_recovery(read.entries)) open.push_back({file.string(), read.entries, read.damage});
  }
  return open;
}

std::vector<CraftRecord> DiskStore::records_of(const console::Identity& identity) {
  std::vector<CraftRecord> records;
  for (const fs::path& file : files_in(folders_.data / "crafts", record_extension)) {
    try {
      CraftRecord record = record_from_json(read_whole(file));
      if (record.identity.same_board(identity)) records.push_back(std::move(record));
    } catch (const Fault&) {
      continue;  // a damaged record of another craft must not stop this session
    }
  }
  std::stable_sort(records.begin(), records.end(),
                   [](const CraftRecord& a, const CraftRecord& b) { return a.made_at > b.made_at; });
  return records;
}

}  // namespace armwise::record
