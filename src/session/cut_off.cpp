#include "cut_off.hpp"

#include <utility>

#include "armwise/base/task.hpp"
#include "questions.hpp"

namespace armwise::session {
namespace {

using record::JournalEntry;
using What = JournalEntry::What;

// The steps that follow are this plan's.
void begin_plan(CutOff& cut, const JournalEntry& entry) {
  if (!entry.before || !entry.after) return;
  cut.before = entry.before;
  cut.after = entry.after;
  cut.planned = static_cast<int>(entry.lines.size());
  cut.begun = cut.written = 0;
  cut.proven = cut.keeping = cut.kept = false;
}

void take_in(CutOff& cut, const JournalEntry& entry) {
  switch (entry.what) {
    case What::began:
      cut.identity = entry.identity;
      cut.when = entry.when;
      break;
    case What::configuration_saved:
      cut.configuration = entry.text;
      break;
    case What::playing:
      cut.played = entry.lines;
      begin_plan(cut, entry);
      break;
    case What::planned:
      begin_plan(cut, entry);
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
    case What::taking_back:
    case What::taken_back:
    case What::closed:
    case What::trying:
    case What::put_back:
      break;
  }
}

}  // namespace

CutOff cut_off_in(const record::OpenSession& session) {
  CutOff cut;
  cut.journal = session.journal;
  cut.damage = session.damage;
  for (const JournalEntry& entry : session.entries) take_in(cut, entry);
  if (cut.damage.empty() && !cut.before)
    cut.damage = "The journal " + session.journal + " does not say what was planned.";
  if (cut.damage.empty()) return cut;
  cut.after.reset();
  cut.proven = cut.kept = false;
  cut.keeping = true;
  return cut;
}

Task<Recovering> ask_what_to_recover(Person& person, CutOff cut) {
  Question question = one_of("recover", "What do you want?", {});
  question.level = Level::warn;
  question.may_go_back = false;
  if (cut.proven) question.choices.push_back({"finish", "write what is left, save, and read it back", "f"});
  if (cut.before) {
    question.choices.push_back(
        {"back",
         std::string(cut.identity || cut.damage.empty() ? "" : "if it was this controller: ") +
             "set everything back, save, and read it back",
         "b"});
  }
  if (!cut.damage.empty())
    question.choices.push_back({"aside", "leave the settings, and set the damaged journal aside", "a"});
  question.choices.push_back({"later", "leave it as it is for now", "l"});
  co_return co_await ask_to_recover(person, std::move(question));
}

std::optional<JournalEntry> trial_in(const record::OpenSession& session) {
  std::optional<JournalEntry> trial;
  for (const JournalEntry& entry : session.entries) {
    if (entry.what == What::trying) trial = entry;
    if (entry.what == What::put_back) trial.reset();
  }
  return trial;
}

std::optional<console::Identity> identity_in(const record::OpenSession& session) {
  for (const JournalEntry& entry : session.entries) {
    if (entry.identity) return entry.identity;
  }
  return std::nullopt;
}

bool may_be_with(const record::OpenSession& session, const console::Identity& identity) {
  const std::optional<console::Identity> with = identity_in(session);
  if (!with) return true;
  // teach() knows no more of a controller than the port that it is on.
  if (trial_in(session)) return with->port_identity == identity.port_identity;
  return with->same_board(identity);
}

}  // namespace armwise::session
