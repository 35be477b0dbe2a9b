// The journal of one session: begun with the first thing that is about to be done to the controller, closed
// where nothing is left to recover.
#pragma once

#include <memory>
#include <string>
#include <vector>

#include "armwise/base/clock.hpp"
#include "armwise/record/store.hpp"
#include "armwise/session/person.hpp"

namespace armwise::session {

class SessionJournal {
 public:
  // All outlive it. `port`: as the person knows it.
  SessionJournal(Person& person, record::Store& store, Clock& clock, std::string port)
      : person_(person), store_(store), clock_(clock), port_(std::move(port)) {}

  // Who the session is with, and the file that its whole configuration was saved in; empty: none was.
  void met(console::Identity identity, std::string profile, std::string configuration);
  const console::Identity& identity() const { return identity_; }
  const std::string& configuration() const { return configuration_; }

  bool is_open() const { return journal_ != nullptr; }
  // Each opens it where it is not; but for note(), which then says nothing.
  void plan(record::JournalEntry::What what, const solve::Snapshot& before, const solve::Snapshot& after,
            std::vector<std::string> lines);
  void note(record::JournalEntry::What what);
  void close(const std::string& how);
  record::Journal& open() { return *journal_; }

 private:
  void begin();
  void append(record::JournalEntry entry);

  Person& person_;
  record::Store& store_;
  Clock& clock_;
  std::string port_, profile_, configuration_;
  console::Identity identity_;
  std::unique_ptr<record::Journal> journal_;
};

}  // namespace armwise::session
