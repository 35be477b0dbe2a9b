#include "writer.hpp"

#include <exception>
#include <optional>
#include <utility>

#include "armwise/base/fault.hpp"
#include "armwise/base/task.hpp"
#include "armwise/base/text.hpp"
#include "armwise/solve/difference.hpp"
#include "words.hpp"

namespace armwise::session {

using What = record::JournalEntry::What;

void Writer::note(record::Journal& journal, What what, int step, const std::vector<std::string>& lines,
                  const std::string& text) {
  record::JournalEntry entry;
  entry.what = what;
  entry.when = clock_.date_and_time();
  entry.step = step;
  entry.lines = lines;
  entry.text = text;
  journal.append(entry);
}

Task<void> Writer::write(const std::vector<solve::Change>& changes, const MayWrite& permit,
                         record::Journal& journal) {
  int step = 0;
  for (const solve::Change& change : changes) {
    ++step;
    const std::vector<std::string> lines = console_.lines_for(change);
    note(journal, What::writing, step, lines, words::change(change));
    co_await console_.apply(change, permit);
    note(journal, What::wrote, step, lines, {});
    Statement wrote = statement_of("wrote", {{"change", words::change(change)}}, Statement::Kind::wrote);
    wrote.console_lines = lines;
    wrote.step = step;
    wrote.of = static_cast<int>(changes.size());
    person_.tell(wrote);
  }
}

void Writer::note_if_possible(record::Journal& journal, What what, const std::string& text) {
  try {
    note(journal, what, 0, {}, text);
  } catch (const Fault& fault) {
    person_.tell("journal-unwritten", {{"why", fault.why()}});
  }
}

// One try; what went wrong, if anything did.
Task<std::optional<Fault>> Writer::set_back(const solve::Snapshot& before, const MayWrite& permit) {
  std::optional<Fault> trouble;
  try {
    const solve::Snapshot now = co_await console_.snapshot_as_left(before.map.size());
    const std::vector<solve::Change> changes = solve::difference(now, before, "as it was before");
    for (const solve::Change& change : changes) co_await console_.apply(change, permit);
  } catch (const Fault& fault) {
    trouble = fault;
  }
  co_return trouble;
}

Task<void> Writer::take_back(const solve::Snapshot& before, const UndoPermit& undo, record::Journal& journal,
                             const std::string& why) {
  const MayWrite permit = undo;
  note_if_possible(journal, What::taking_back, why);
  std::optional<Fault> trouble;
  std::vector<std::string> standing;
  // What disturbed the first try may be over.
  for (int attempt = 0; attempt < 2; ++attempt) {
    trouble = co_await set_back(before, permit);
    standing.clear();
    try {
      const solve::Snapshot now = co_await console_.snapshot_as_left(before.map.size());
      standing = solve::differences_in_words(now, before);
    } catch (const Fault& fault) {
      if (fault.kind() == FaultKind::line_lost) throw;
      if (!trouble) trouble = fault;
      standing.emplace_back("what it holds now cannot be read");
    }
    if (standing.empty()) {
      note_if_possible(journal, What::taken_back, {});
      person_.tell("undone");
      co_return;
    }
  }
  std::string why_not = joined(standing, "; ");
  if (trouble) why_not += " (" + trouble->happened() + ")";
  throw Fault(FaultKind::left_changed, "The controller could not be set back to what it was", why_not,
              "Nothing is saved. Replug the controller, then run armwise recover")
      .as("not-undone");
}

}  // namespace armwise::session
