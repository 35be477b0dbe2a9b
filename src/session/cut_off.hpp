// What a journal tells of a session that was cut off.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "armwise/console/identity.hpp"
#include "armwise/record/store.hpp"
#include "armwise/solve/plan.hpp"

namespace armwise::session {

struct CutOff {
  std::string journal;
  console::Identity identity;
  std::string configuration;  // file; empty: none was saved
  solve::Snapshot before, after;
  int begun = 0, written = 0, planned = 0;
  bool proven = false, keeping = false, kept = false;
  std::vector<std::string> played;  // lines of a saved configuration that were sent, too
  std::string when;
};

// Absent where it had no plan yet, so that nothing had been changed.
std::optional<CutOff> cut_off_in(const record::OpenSession& session);

}  // namespace armwise::session
