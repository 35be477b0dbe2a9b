#include "support/memory_store.hpp"

#include "armwise/base/fault.hpp"
#include "armwise/console/whole_configuration.hpp"

namespace armwise::test {
namespace {

class MemoryJournal : public record::Journal {
 public:
  MemoryJournal(MemoryStore& store, std::vector<record::JournalEntry>& entries)
      : store_(store), entries_(entries) {}
  void append(const record::JournalEntry& entry) override {
    ++store_.appended;
    if (store_.full_at != 0 && store_.appended >= store_.full_at) {
      throw Fault(FaultKind::file, "Writing the journal did not work", "No space left on device",
                  "Make room");
    }
    entries_.push_back(entry);
  }

 private:
  MemoryStore& store_;
  std::vector<record::JournalEntry>& entries_;
};

}  // namespace

std::string MemoryStore::save_configuration(std::string_view, std::string_view, std::string_view text) {
  configurations.push_back(console::configuration_lines(text));
  return "configuration-" + std::to_string(configurations.size());
}

std::vector<std::string> MemoryStore::read_configuration(const std::string& file) {
  const std::string number = file.substr(file.rfind('-') + 1);
  return configurations.at(static_cast<std::size_t>(std::stoi(number)) - 1);
}

std::unique_ptr<record::Journal> MemoryStore::start_journal(std::string_view, std::string_view) {
  const std::string file = "journal-" + std::to_string(journals.size() + 1);
  return std::make_unique<MemoryJournal>(*this, journals[file]);
}

std::unique_ptr<record::Journal> MemoryStore::take_up_journal(const std::string& file) {
  return std::make_unique<MemoryJournal>(*this, journals.at(file));
}

std::string MemoryStore::save_record(const record::CraftRecord& record) {
  records.push_back(record);
  return "record-" + std::to_string(records.size());
}

void MemoryStore::require_room() {
  if (no_room)
    throw Fault(FaultKind::file, "Writing the record did not work", "Read-only file system", "Make room");
}

std::string MemoryStore::set_aside(const std::string& journal) {
  journals.erase(journal);
  return journal + ".damaged";
}

std::vector<record::OpenSession> MemoryStore::open_sessions() {
  std::vector<record::OpenSession> open;
  for (const auto& [file, entries] : journals) {
    if (record::needs_recovery({entries, false, {}})) open.push_back({file, entries, {}});
  }
  return open;
}

std::vector<record::CraftRecord> MemoryStore::records_of(const console::Identity& identity) {
  std::vector<record::CraftRecord> found;
  for (const record::CraftRecord& record : records) {
    if (record.identity.same_board(identity)) found.push_back(record);
  }
  return found;
}

}  // namespace armwise::test
