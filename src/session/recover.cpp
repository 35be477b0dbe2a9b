#include "armwise/session/recover.hpp"

#include <algorithm>
#include <exception>
#include <optional>
#include <utility>

#include "armwise/base/age.hpp"
#include "armwise/base/fault.hpp"
#include "armwise/base/task.hpp"
#include "armwise/base/text.hpp"
#include "armwise/session/ceremony.hpp"
#include "armwise/session/consent.hpp"
#include "armwise/solve/difference.hpp"
#include "cut_off.hpp"
#include "damaged_journal.hpp"
#include "player.hpp"
#include "restart.hpp"
#include "who.hpp"
#include "words.hpp"
#include "writer.hpp"

namespace armwise::session {
namespace {

using record::JournalEntry;
using What = JournalEntry::What;
using Ending = RecoverResult::Ending;

constexpr int most_return_rounds = 3;

class Recovery {
 public:
  Recovery(console::Console& console, Person& person, record::Store& store, Clock& clock)
      : console_(console),
        person_(person),
        store_(store),
        clock_(clock),
        writer_(console, person, clock),
        player_(console, person) {}

  Task<RecoverResult> run() {
    std::vector<record::OpenSession> open = store_.open_sessions();
    std::erase_if(open, [](const record::OpenSession& session) { return trial_in(session).has_value(); });
    if (open.empty()) {
      person_.tell("nothing-to-recover");
      co_return RecoverResult{Ending::nothing_to_do};
    }
    std::optional<Fault> lost;
    try {
      co_await console_.open();
      co_await look(open);
    } catch (const Fault& fault) {
      if (fault.kind() != FaultKind::line_lost && fault.kind() != FaultKind::unsafe) throw;
      lost = fault;
    }
    // A command that was cut off half-way is carried out once its line ends, and may have been a restart.
    if (lost) {
      co_await console_.reopen();
      co_await look(open);
    }
    const bool damaged = !cut_.damage.empty();
    Recovering chosen;
    if (damaged) {
      chosen = co_await ask_about_damage(person_, cut_, now_);
      if (!chosen.permit) co_return leave_it(chosen.choice);
    } else {
      tell_how_things_stand();
    }
    std::exception_ptr trouble;
    RecoverResult result;
    try {
      if (damaged) {
        result = co_await bring_to_it(chosen);
      } else {
        result = co_await finish_or_go_back();
      }
    } catch (...) {
      trouble = std::current_exception();
    }
    if (trouble) stays_open(trouble);
    co_return result;
  }

 private:
  Task<RecoverResult> finish_or_go_back() {
    if (is_new() && cut_.kept) {
      // What runs may still be what was written, and not what is saved: only a restart tells.
      co_await restart_and_read();
      if (is_new()) co_return close("all new", Ending::all_new);
      person_.tell("restart-differs",
                   {{"differences", joined(solve::differences_in_words(now_, *cut_.after), "; ")}});
    }
    if (is_old() && !cut_.keeping && cut_.played.empty()) co_return close("all old", Ending::all_old);
    const Recovering chosen = co_await ask();
    if (!chosen.permit) co_return leave_it(chosen.choice);
    co_return co_await bring_to_it(chosen);
  }

  bool is_old() const { return solve::differences_in_words(now_, *cut_.before).empty(); }
  bool is_new() const { return solve::differences_in_words(now_, *cut_.after).empty(); }

  Task<void> restart_and_read() {
    tell_restart("restarting");
    const bool restarted = co_await console_.restart_without_keeping();
    co_await see_to_restart(restarted, console::Saved::acknowledged);
    now_ = co_await console_.snapshot_as_left(cut_.before->map.size());
  }

  void tell_restart(StatementId id) {
    const console::Timing& timing = console_.profile().timing;
    person_.tell_wait(id, timing.restart + timing.start);
  }

  // By hand, where none was seen yet; and the same controller is back.
  Task<void> see_to_restart(bool restarted, console::Saved saved) {
    if (!restarted) restarted = co_await restart_by_hand(console_, person_);
    const console::Identity back = co_await identify_again(console_, identity_);
    if (!back.same_board(identity_)) {
      throw Fault(FaultKind::left_changed, "A different controller answers after the restart",
                  "it says that it is " + back.in_words(),
                  "Plug in the controller of that session, then run armwise recover again")
          .as("another-controller");
    }
    if (restarted) co_return;
    throw Fault(
        FaultKind::left_changed, unverified(saved), "no restart was seen",
        "Do not fly it. Unplug the battery and USB, plug them in again, then run armwise recover again")
        .as("saved-unverified");
  }

  Task<void> look(const std::vector<record::OpenSession>& open) {
    // A motor may have been left turning by whatever cut that session off.
    const console::TellUnstopped tell = [this](const console::Unstopped& unstopped) {
      say_unstopped(person_, unstopped, false);
    };
    if (console_.profile().spin) co_await console_.stop_all(tell);
    identity_ = co_await identify_surely(console_);
    cut_ = matching(open);
    if (cut_.before) co_await read_settings();
  }

  Task<void> read_settings() {
    std::optional<Fault> trouble;
    try {
      now_ = co_await console_.snapshot_as_left(cut_.before->map.size());
    } catch (const Fault& fault) {
      // Settings of another controller, perhaps, whose journal does not say so.
      if (cut_.identity || fault.kind() == FaultKind::line_lost) throw;
      trouble = fault;
    }
    if (trouble) cut_.before.reset();
  }

  Task<RecoverResult> bring_to_it(Recovering chosen) {
    const bool finish = chosen.choice == "finish";
    co_return co_await bring_to(*chosen.permit, finish ? *cut_.after : *cut_.before,
                                finish ? "finished as it had been proven" : "as it was before that session",
                                finish ? Ending::all_new : Ending::all_old);
  }

  // Whatever cut this short too: the journal stays open, and that is said.
  [[noreturn]] static void stays_open(const std::exception_ptr& trouble) {
    std::string why = "it was stopped", next = "Replug the controller, then run armwise recover again";
    try {
      std::rethrow_exception(trouble);
    } catch (const Fault& fault) {
      if (fault.kind() == FaultKind::left_changed || fault.kind() == FaultKind::not_back) throw;
      why = fault.happened() + (fault.why().empty() ? "" : " (" + fault.why() + ")");
      if (fault.kind() == FaultKind::usage) next = "Run armwise recover again. " + fault.next();
    } catch (...) {
      // Stopped, or a signal.
    }
    throw Fault(FaultKind::left_changed, "Recovery did not finish", why, next).as("recovery-unfinished");
  }

  CutOff matching(const std::vector<record::OpenSession>& open) {
    std::string others;
    // The newest one counts: what an older one left was found by the newer one as its "before".
    std::optional<CutOff> of_nobody;
    for (auto session = open.rbegin(); session != open.rend(); ++session) {
      CutOff cut = cut_off_in(*session);
      if (cut.identity && cut.identity->same_board(identity_)) return cut;
      if (cut.identity) others += (others.empty() ? "" : "; ") + cut.identity->in_words();
      if (!cut.identity && !of_nobody) of_nobody = std::move(cut);
    }
    if (of_nobody) return *of_nobody;
    throw Fault(FaultKind::mismatch, "The session that was cut off belongs to another controller",
                "this one says that it is " + identity_.in_words() + "; that one was " + others,
                "Plug in the other controller and run armwise recover again")
        .as("session-of-another");
  }

  void tell_how_things_stand() {
    person_.tell("cut-off", {{"when", cut_.when},
                             {"ago", age_in_words(cut_.when, clock_.date_and_time())},
                             {"begun", std::to_string(cut_.begun)},
                             {"written", std::to_string(cut_.written)}});
    person_.tell(cut_.kept      ? StatementId("cut-off-saved")
                 : cut_.keeping ? StatementId("cut-off-saving")
                 : cut_.proven  ? StatementId("cut-off-proven")
                                : StatementId("cut-off-unproven"));
    const std::string from_before = joined(solve::differences_in_words(now_, *cut_.before), "; ");
    person_.tell(from_before.empty() ? StatementId("as-before") : StatementId("not-as-before"),
                 {{"differences", from_before}});
    const std::string from_wanted = joined(solve::differences_in_words(now_, *cut_.after), "; ");
    person_.tell(from_wanted.empty() ? StatementId("as-planned") : StatementId("not-as-planned"),
                 {{"differences", from_wanted}});
    if (!cut_.configuration.empty()) person_.tell("configuration-before", {{"file", cut_.configuration}});
  }

  // Nothing is finished by a journal that is damaged. What was before can be read, and there is the person's
  // word.
  RecoverResult leave_it(const std::string& choice) {
    if (choice != "aside") {
      person_.tell("recover-later");
      return {Ending::left_open};
    }
    const std::string file = store_.set_aside(cut_.journal);
    person_.tell(statement_of("journal-aside", {{"file", file}, {"ok", "false"}, {"state", "unknown"}},
                              Statement::Kind::done));
    return {Ending::set_aside};
  }

  Task<Recovering> ask() {
    if (!cut_.played.empty()) {
      person_.tell("was-playing", {{"lines", std::to_string(cut_.played.size())}});
    }
    if (!cut_.proven) {
      person_.tell("only-back");
    }
    co_return co_await ask_what_to_recover(person_, cut_);
  }

  // Forward: plays it again, as whatever was not kept is gone where the controller restarted since. Back: a
  // restart forgets it, where it had not been told to keep it; true where that was done.
  Task<bool> see_to_what_was_played(bool taking_back, const MayPlay& permit) {
    // A line that cannot be read may have been about playing, or about keeping: a restart shows what is kept.
    const bool unsure = !cut_.damage.empty();
    if (!unsure && (cut_.played.empty() || (taking_back && cut_.keeping))) co_return false;
    bool forgotten = false;
    if (taking_back) {
      tell_restart("restarting");
      forgotten = co_await console_.restart_without_keeping();
    } else {
      co_await player_.play(cut_.played, permit);
    }
    now_ = co_await console_.snapshot_as_left(cut_.before->map.size());
    co_return forgotten && !unsure;
  }

  Task<RecoverResult> bring_to(RecoverPermit permit, solve::Snapshot target, std::string reason,
                               Ending ending) {
    const std::unique_ptr<record::Journal> journal = store_.take_up_journal(cut_.journal);
    const MayWrite may_write = permit;
    const MayPlay may_play = permit;
    const MayKeep may_keep = permit;
    const bool taking_back = ending == Ending::all_old;
    const bool forgotten = co_await see_to_what_was_played(taking_back, may_play);
    // A setting that belongs to a pin shows only once the pin is on its motor again: hence in rounds.
    for (int round = 0; round < most_return_rounds; ++round) {
      const std::vector<solve::Change> changes = solve::difference(now_, target, reason);
      if (changes.empty()) break;
      co_await writer_.write(changes, may_write, *journal);
      now_ = co_await console_.snapshot_as_left(target.map.size());
    }
    if (taking_back && !cut_.played.empty() && !forgotten) {
      const std::vector<std::string> before = store_.read_configuration(cut_.configuration);
      co_await player_.play_before(before, may_play);
    }
    if (!cut_.damage.empty()) co_await tell_what_else_differs(console_, person_, store_, cut_.configuration);
    const std::vector<std::string> standing = solve::differences_in_words(now_, target);
    if (!standing.empty()) {
      throw Fault(FaultKind::left_changed, "The controller does not take the settings",
                  joined(standing, "; "),
                  "Nothing more was saved. Replug the controller, then run armwise recover again")
          .as("settings-not-taken");
    }
    JournalEntry keeping;
    keeping.what = What::keeping;
    keeping.when = clock_.date_and_time();
    journal->append(keeping);
    tell_restart("saving-restarts");
    const bool restarted = co_await console_.keep_and_restart(may_keep);
    co_await see_to_restart(restarted, console_.saved());
    const solve::Snapshot read_back = co_await console_.snapshot(target.map.size());
    const std::vector<std::string> differing = solve::differences_in_words(read_back, target);
    if (!differing.empty()) {
      throw Fault(FaultKind::left_changed, "After the restart, the settings are not what was written",
                  joined(differing, "; "), "Do not fly it. Run armwise recover again")
          .as("not-held");
    }
    person_.tell("recovered-read-back", {{"state", reason}});
    co_return close(reason, ending);
  }

  RecoverResult close(const std::string& how, Ending ending) {
    const std::unique_ptr<record::Journal> journal = store_.take_up_journal(cut_.journal);
    JournalEntry closed;
    closed.what = What::closed;
    closed.when = clock_.date_and_time();
    closed.text = how;
    journal->append(closed);
    const bool is_new = ending == Ending::all_new;
    person_.tell(statement_of(is_new ? StatementId("recovered-new") : StatementId("recovered-old"),
                              {{"ok", "true"}, {"state", is_new ? "new" : "old"}}, Statement::Kind::done));
    return RecoverResult{ending};
  }

  console::Console& console_;
  Person& person_;
  record::Store& store_;
  Clock& clock_;
  Writer writer_;
  Player player_;
  console::Identity identity_;
  CutOff cut_;
  solve::Snapshot now_;
};

}  // namespace

Task<RecoverResult> recover(console::Console& console, Person& person, record::Store& store, Clock& clock) {
  Recovery recovery(console, person, store, clock);
  co_return co_await recovery.run();
}

}  // namespace armwise::session
