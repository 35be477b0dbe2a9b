// Where a session keeps what must not be lost. One of the three interfaces to the world.
#pragma once

#include <filesystem>
#include <memory>
#include <string>
#include <vector>

#include "armwise/record/craft_record.hpp"
#include "armwise/record/journal.hpp"
#include "armwise/record/paths.hpp"

namespace armwise::record {

// A session that was cut off.
struct OpenSession {
  std::string journal;  // its file
  std::vector<JournalEntry> entries;
  std::string damage;  // a sentence, as in JournalRead
};

class Store {
 public:
  virtual ~Store() = default;

  // All of these throw Fault(file). Each returns the file's path once the content is on disk.
  // As it came over the line.
  virtual std::string save_configuration(std::string_view board, std::string_view when,
                                         std::string_view text) = 0;
  // The lines of one that save_configuration() saved (console::configuration_lines).
  virtual std::vector<std::string> read_configuration(const std::string& file) = 0;
  virtual std::unique_ptr<Journal> start_journal(std::string_view board, std::string_view when) = 0;
  virtual std::unique_ptr<Journal> take_up_journal(const std::string& file) = 0;
  virtual std::string save_record(const CraftRecord& record) = 0;

  // Throws where not all of this could be written later: found out before anything turns or is written.
  virtual void require_room() = 0;

  // Sessions that were cut off, oldest first.
  virtual std::vector<OpenSession> open_sessions() = 0;
  // No open session from now on. Kept under another name, which is returned.
  virtual std::string set_aside(const std::string& journal) = 0;
  // The record of the craft with this board, the newest one, if any.
  virtual std::vector<CraftRecord> records_of(const console::Identity& identity) = 0;
};

class DiskStore : public Store {
 public:
  // `record_file`: where -o says the record goes; empty: NAME.armwise.json in the data folder. The saved
  // whole configurations are copied beside it.
  explicit DiskStore(Folders folders, std::filesystem::path record_file = {});

  std::string save_configuration(std::string_view board, std::string_view when,
                                 std::string_view text) override;
  std::vector<std::string> read_configuration(const std::string& file) override;
  std::unique_ptr<Journal> start_journal(std::string_view board, std::string_view when) override;
  std::unique_ptr<Journal> take_up_journal(const std::string& file) override;
  std::string save_record(const CraftRecord& record) override;
  void require_room() override;
  std::vector<OpenSession> open_sessions() override;
  std::string set_aside(const std::string& journal) override;
  std::vector<CraftRecord> records_of(const console::Identity& identity) override;

 private:
  std::filesystem::path place_on_shelf(const std::string& craft_name) const;
  void put_aside(const std::filesystem::path& file) const;
  std::filesystem::path journals() const;
  std::filesystem::path configurations() const;
  Folders folders_;
  std::filesystem::path record_file_;
};

}  // namespace armwise::record
