// What a journal tells of a session that was cut off.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "armwise/base/task_fwd.hpp"
#include "armwise/console/identity.hpp"
#include "armwise/record/store.hpp"
#include "armwise/session/consent.hpp"
#include "armwise/solve/plan.hpp"

namespace armwise::session {

struct CutOff {
  std::string journal;
  std::string damage;                         // a sentence; empty: every line was read
  std::optional<console::Identity> identity;  // absent: it cannot be read
  std::string configuration;                  // file; empty: none was saved
  // Absent where no plan was read, and `after` wherever anything is damaged: the plan that counts may be in a
  // line that cannot be read. What was before is the same in every plan of a session.
  std::optional<solve::Snapshot> before, after;
  int begun = 0, written = 0, planned = 0;
  // Where anything is damaged, nothing counts as proven or kept, and all may have been told to be kept.
  bool proven = false, keeping = false, kept = false;
  std::vector<std::string> played;  // lines of a saved configuration that were sent, too
  std::string when;
};

CutOff cut_off_in(const record::OpenSession& session);

// Finish it, where it was proven; go back, where it is known to what; set it aside, where it is damaged; or
// later.
Task<Recovering> ask_what_to_recover(Person& person, CutOff cut);

// What teach() had set to another value when it was cut off; absent where it was no such session.
std::optional<record::JournalEntry> trial_in(const record::OpenSession& session);

// Who the session was with, as far as it can be read.
std::optional<console::Identity> identity_in(const record::OpenSession& session);
// Whether it was, or may have been, with this controller.
bool may_be_with(const record::OpenSession& session, const console::Identity& identity);

}  // namespace armwise::session
