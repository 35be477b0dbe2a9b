#include "session_journal.hpp"

#include <utility>

#include "armwise/base/fault.hpp"

namespace armwise::session {

namespace {

using What = record::JournalEntry::What;

}  // namespace

void SessionJournal::met(console::Identity identity, std::string profile, std::string configuration) {
  identity_ = std::move(identity);
  profile_ = std::move(profile);
  configuration_ = std::move(configuration);
}

void SessionJournal::append(record::JournalEntry entry) {
  entry.when = clock_.date_and_time();
  journal_->append(entry);
}

void SessionJournal::begin() {
  if (journal_) return;
  journal_ = store_.start_journal(identity_.board, clock_.date_and_time());
  record::JournalEntry began;
  began.what = What::began;
  began.text = port_;
  began.identity = identity_;
  began.profile_name = profile_;
  append(std::move(began));
  record::JournalEntry saved;
  saved.what = What::configuration_saved;
  saved.text = configuration_;
  append(std::move(saved));
}

void SessionJournal::plan(What what, const solve::Snapshot& before, const solve::Snapshot& after,
                          std::vector<std::string> lines) {
  begin();
  record::JournalEntry planned;
  planned.what = what;
  planned.before = before;
  planned.after = after;
  planned.lines = std::move(lines);
  append(std::move(planned));
}

void SessionJournal::note(What what) {
  if (!journal_) return;
  record::JournalEntry entry;
  entry.what = what;
  append(std::move(entry));
}

void SessionJournal::close(const std::string& how) {
  if (!journal_) return;
  record::JournalEntry entry;
  entry.what = What::closed;
  entry.text = how;
  try {
    append(std::move(entry));
  } catch (const Fault& fault) {
    // All is well but for this one line.
    person_.tell("journal-not-closed", {{"why", fault.why()}});
  }
  journal_.reset();
}

}  // namespace armwise::session
