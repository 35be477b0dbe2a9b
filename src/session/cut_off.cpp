#include "cut_off.hpp"

namespace armwise::session {
namespace {

using record::JournalEntry;
using What = JournalEntry::What;

// The steps that follow are this plan's. False where the entry does not say what was and what was wanted.
bool begin_plan(CutOff& cut, const JournalEntry& entry) {
  if (!entry.before || !entry.after) return false;
  cut.before = *entry.before;
  cut.after = *entry.after;
  cut.planned = static_cast<int>(entry.lines.size());
  cut.begun = cut.written = 0;
  cut.proven = cut.keeping = cut.kept = false;
  return true;
}

void take_in(CutOff& cut, const JournalEntry& entry) {
  switch (entry.what) {
    case What::began:
      if (entry.identity) cut.identity = *entry.identity;
      cut.when = entry.when;
      break;
    case What::configuration_saved:
      cut.configuration = entry.text;
      break;
    case What::playing:
      cut.played = entry.lines;
      break;
    case What::writing:
      cut.begun = entry.step;
      break;
    case What::wrote:
      cut.written = entry.step;
      break;
    case What::proven:
      cut.proven = true;
      break;
    case What::keeping:
      cut.keeping = true;
      break;
    case What::kept:
    case What::verified:
      cut.kept = true;
      break;
    case What::planned:
    case What::taking_back:
    case What::taken_back:
    case What::closed:
      break;
  }
}

}  // namespace

std::optional<CutOff> cut_off_in(const record::OpenSession& session) {
  CutOff cut;
  cut.journal = session.journal;
  bool has_plan = false;
  for (const JournalEntry& entry : session.entries) {
    take_in(cut, entry);
    const bool plans = entry.what == What::playing || entry.what == What::planned;
    if (plans && begin_plan(cut, entry)) has_plan = true;
  }
  if (!has_plan) return std::nullopt;
  return cut;
}

}  // namespace armwise::session
