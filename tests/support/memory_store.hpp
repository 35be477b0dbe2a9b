// A store that keeps everything in memory, for tests; its journals can be made to fail.
#pragma once

#include <map>
#include <memory>
#include <string>
#include <vector>

#include "armwise/record/store.hpp"

namespace armwise::test {

class MemoryStore : public record::Store {
 public:
  std::string save_configuration(std::string_view board, std::string_view when,
                                 std::string_view text) override;
  std::vector<std::string> read_configuration(const std::string& file) override;
  std::unique_ptr<record::Journal> start_journal(std::string_view board, std::string_view when) override;
  std::unique_ptr<record::Journal> take_up_journal(const std::string& file) override;
  std::string save_record(const record::CraftRecord& record) override;
  void require_room() override;
  std::vector<record::OpenSession> open_sessions() override;
  std::string set_aside(const std::string& journal) override;
  std::vector<record::CraftRecord> records_of(const console::Identity& identity) override;

  // From the nth append on (from 1, over all journals) the disk is full; 0: never.
  int full_at = 0;
  bool no_room = false;  // for anything, found out beforehand
  std::map<std::string, std::vector<record::JournalEntry>> journals;
  std::vector<record::CraftRecord> records;
  std::vector<std::vector<std::string>> configurations;
  int appended = 0;
};

}  // namespace armwise::test
