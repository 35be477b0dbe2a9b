// The executor: the only place in the flows that changes a setting. Writes a list of changes, each read
// back, with the intent in the journal before the bytes; and takes everything back where one fails.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "armwise/base/clock.hpp"
#include "armwise/base/permit.hpp"
#include "armwise/base/task_fwd.hpp"
#include "armwise/console/console.hpp"
#include "armwise/record/journal.hpp"
#include "armwise/session/person.hpp"
#include "armwise/solve/plan.hpp"

namespace armwise::session {

class Writer {
 public:
  Writer(console::Console& console, Person& person, Clock& clock)
      : console_(console), person_(person), clock_(clock) {}

  // Throws the Fault of the change that failed; what had been written stays and is to be taken back.
  Task<void> write(const std::vector<solve::Change>& changes, const MayWrite& permit,
                   record::Journal& journal);

  // Brings the controller from what it reads now to `before`. Throws Fault(line_lost), or
  // Fault(left_changed), which names every setting that is not as it was, where that does not work. Goes on
  // where the journal cannot be written: it names this session already.
  Task<void> take_back(const solve::Snapshot& before, const UndoPermit& undo, record::Journal& journal,
                       const std::string& why);

 private:
  Task<std::optional<Fault>> set_back(const solve::Snapshot& before, const MayWrite& permit);
  void note_if_possible(record::Journal& journal, record::JournalEntry::What what, const std::string& text);
  void note(record::Journal& journal, record::JournalEntry::What what, int step,
            const std::vector<std::string>& lines, const std::string& text);

  console::Console& console_;
  Person& person_;
  Clock& clock_;
};

}  // namespace armwise::session
