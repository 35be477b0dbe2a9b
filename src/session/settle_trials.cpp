// A value that teach() was trying when it was cut off: only the person can put it back, as no profile may
// know its command yet.
#include <algorithm>

#include "armwise/base/age.hpp"
#include "armwise/base/text.hpp"
#include "armwise/session/recover.hpp"
#include "cut_off.hpp"

namespace armwise::session {

void tell_trials(Person& person, record::Store& store, const Clock& clock) {
  for (const record::OpenSession& open : store.open_sessions()) {
    const std::optional<record::JournalEntry> trial = trial_in(open);
    if (!trial) continue;
    person.tell("trial-left", {{"when", printable(trial->when)},
                               {"ago", age_in_words(trial->when, clock.date_and_time())},
                               {"what", printable(trial->text)}});
  }
}

Task<void> settle_trials(Person& person, record::Store& store, Clock& clock) {
  const std::vector<record::OpenSession> all = store.open_sessions();
  for (const record::OpenSession& open : all) {
    const std::optional<record::JournalEntry> trial = trial_in(open);
    if (!trial) continue;
    Question question;
    question.id = "put-back";
    question.kind = Question::Kind::choose;
    question.level = Level::warn;
    question.may_go_back = false;
    question.text = "Restart the controller: that drops what wasn't saved. Or type at its console: " +
                    printable(joined(trial->lines, "; or, if that didn't help, ")) + ". Is it done?";
    question.choices = {{"done", "it reads as before"}, {"later", "not yet; remind me next time"}};
    const Answer answer = co_await person.ask(question);
    const auto* said = std::get_if<std::string>(&answer);
    if (said == nullptr || *said != "done") continue;
    record::JournalEntry closed;
    closed.what = record::JournalEntry::What::closed;
    closed.when = clock.date_and_time();
    closed.text = "put back by hand";
    store.take_up_journal(open.journal)->append(closed);
  }
}

bool needs_recovery(record::Store& store) {
  const std::vector<record::OpenSession> all = store.open_sessions();
  return !std::all_of(all.begin(), all.end(), [](const auto& open) { return trial_in(open).has_value(); });
}

}  // namespace armwise::session
