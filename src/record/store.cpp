#include "armwise/record/store.hpp"

#include <algorithm>
#include <utility>

#include "armwise/base/fault.hpp"
#include "armwise/base/text.hpp"
#include "armwise/console/whole_configuration.hpp"
#include "armwise/record/files.hpp"
#include "armwise/record/sha256.hpp"
#include "armwise/record/shelf.hpp"

namespace armwise::record {
namespace {

namespace fs = std::filesystem;

// "2026-11-25T07:10:00+01:00" as a part of a file name.
std::string stamp(std::string_view when) {
  std::string out;
  for (const char c : when.substr(0, 19)) {
    if ((c >= '0' && c <= '9') || c == 'T') out += c;
  }
  return out;
}

std::string stem_of(const fs::path& record_file) {
  std::string name = record_file.filename().string();
  for (const std::string_view each : {record_extension, std::string_view(".json")}) {
    if (name.size() > each.size() && name.ends_with(each)) {
      name.resize(name.size() - each.size());
      break;
    }
  }
  return name;
}

bool is_beside(const std::string& file) {
  return !file.empty() && file == fs::path(file).filename().string() && file != "." && file != "..";
}

// A copy of a saved configuration, and its checksum, go with the record. A configuration that is gone must
// not cost the record.
void bring_beside(CraftRecord& record, std::string& file, std::string& checksum, const fs::path& beside) {
  if (file.empty()) return;
  try {
    const std::string content = read_whole(file);
    write_whole(beside, content);
    checksum = sha256(content);
    file = beside.filename().string();
  } catch (const Fault& fault) {
    record.warnings.push_back(
        "The saved whole configuration is not beside this record: " + printable(fault.happened()) + ".");
    file.clear();
  }
}

}  // namespace

DiskStore::DiskStore(Folders folders, fs::path record_file)
    : folders_(std::move(folders)), record_file_(std::move(record_file)) {}

std::string DiskStore::save_configuration(std::string_view board, std::string_view when,
                                          std::string_view text) {
  const fs::path file = take_fresh_name(configurations(), stamp(when) + "-" + file_name_for(board), ".txt");
  write_whole(file, text);
  return file.string();
}

std::vector<std::string> DiskStore::read_configuration(const std::string& file) {
  return console::configuration_lines(read_whole(file));
}

std::unique_ptr<Journal> DiskStore::start_journal(std::string_view board, std::string_view when) {
  return create_journal(journals(), stamp(when) + "-" + file_name_for(board));
}

std::unique_ptr<Journal> DiskStore::take_up_journal(const std::string& file) {
  return continue_journal(file);
}

std::string DiskStore::save_record(const CraftRecord& record) {
  const fs::path file = record_file_.empty() ? place_on_shelf(record.craft_name) : record_file_;
  if (record_file_.empty() && fs::exists(file)) put_aside(file);
  CraftRecord complete = record;
  const std::string stem = stem_of(file) + "-" + stamp(record.made_at);
  bring_beside(complete, complete.configuration_before, complete.configuration_before_sha256,
               file.parent_path() / (stem + ".before.txt"));
  bring_beside(complete, complete.configuration_after, complete.configuration_after_sha256,
               file.parent_path() / (stem + ".after.txt"));
  write_whole(file, to_json(complete));
  return file.string();
}

// Two names may make one file name ("<b>" and "b"): each craft keeps a file of its own.
fs::path DiskStore::place_on_shelf(const std::string& craft_name) const {
  const fs::path folder = crafts_folder(folders_);
  const std::string stem = file_name_for(craft_name);
  fs::path file = folder / (stem + std::string(record_extension));
  for (int n = 2; fs::exists(file); ++n) {
    const Shelved there = shelved(file);
    if (there.record && there.record->craft_name == craft_name) break;
    file = folder / (stem + "-" + std::to_string(n) + std::string(record_extension));
  }
  return file;
}

// The older record of the same craft is kept, with what belongs to it, never written over.
void DiskStore::put_aside(const fs::path& file) const {
  const fs::path folder = file.parent_path() / "older";
  make_folder(folder);
  const Shelved there = shelved(file);
  if (there.record) {
    for (const std::string& beside :
         {there.record->configuration_before, there.record->configuration_after}) {
      const fs::path from = file.parent_path() / beside;
      if (!is_beside(beside) || !fs::exists(from)) continue;
      write_whole(folder / beside, read_whole(from));
    }
  }
  write_whole(take_fresh_name(folder, stem_of(file), ".json"), read_whole(file));
}

fs::path DiskStore::journals() const {
  return folders_.state / "journals";
}

fs::path DiskStore::configurations() const {
  return folders_.state / "configurations";
}

void DiskStore::require_room() {
  if (fs::is_directory(record_file_)) {
    throw Fault(FaultKind::file, record_file_.string() + " is a folder", "the record is to be a file",
                "Name a file in it with -o");
  }
  const fs::path record_folder = record_file_.empty()             ? crafts_folder(folders_)
                                 : record_file_.has_parent_path() ? record_file_.parent_path()
                                                                  : fs::path(".");
  for (const fs::path& folder : {journals(), configurations(), record_folder})
    armwise::record::require_room(folder);
}

std::vector<OpenSession> DiskStore::open_sessions() {
  std::error_code error;
  fs::directory_iterator listable(journals(), error);
  if (error && error != std::errc::no_such_file_or_directory) {
    throw Fault(FaultKind::file,
                "Whether a session was cut off cannot be known: " + journals().string() + " cannot be read",
                error.message(), "Give yourself access to that folder, or move it away if it is none");
  }
  std::vector<OpenSession> open;
  for (const fs::path& file : files_with(journals(), journal_extension)) {
    JournalRead read = read_journal(file);
    if (needs_recovery(read))
      open.push_back({file.string(), std::move(read.entries), std::move(read.damage)});
  }
  return open;
}

std::string DiskStore::set_aside(const std::string& journal) {
  const std::string damaged = journal + ".damaged";
  std::string to = damaged;
  std::error_code error;
  for (int n = 2; fs::exists(fs::symlink_status(to, error)); ++n) to = damaged + "-" + std::to_string(n);
  fs::rename(journal, to, error);
  if (error) {
    throw Fault(FaultKind::file, "Setting aside " + journal + " did not work", error.message(),
                "Give yourself access to its folder, then try again");
  }
  sync_folder(fs::path(journal).parent_path());
  return to;
}

std::vector<CraftRecord> DiskStore::records_of(const console::Identity& identity) {
  std::vector<CraftRecord> records;
  for (Shelved& on_shelf : shelf(folders_)) {
    // A damaged record of another craft must not stop this session.
    if (on_shelf.record && on_shelf.record->identity.same_board(identity))
      records.push_back(std::move(*on_shelf.record));
  }
  std::stable_sort(records.begin(), records.end(),
                   [](const CraftRecord& a, const CraftRecord& b) { return a.made_at > b.made_at; });
  return records;
}

}  // namespace armwise::record
