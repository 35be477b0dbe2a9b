// What a session has changed in its controller, and how that is taken back: the settings as they were, as
// they are kept and as they were last written. Each step is in the journal, on disk, before it is made.
#pragma once

#include <exception>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "armwise/base/clock.hpp"
#include "armwise/base/fault.hpp"
#include "armwise/base/permit.hpp"
#include "armwise/base/task_fwd.hpp"
#include "armwise/console/console.hpp"
#include "armwise/record/store.hpp"
#include "armwise/session/person.hpp"
#include "armwise/solve/plan.hpp"
#include "player.hpp"
#include "session_journal.hpp"

namespace armwise::session {

class Ledger {
 public:
  // All outlive it. `port`: as the person knows it.
  Ledger(console::Console& console, Person& person, record::Store& store, Clock& clock, std::string port)
      : console_(console),
        person_(person),
        store_(store),
        clock_(clock),
        journal_(person, store, clock, std::move(port)) {}

  SessionJournal& journal() { return journal_; }
  const SessionJournal& journal() const { return journal_; }
  // The settings as they were found.
  void found(solve::Snapshot settings);
  // The settings as they read after lines were played.
  void reads(solve::Snapshot settings) { now_ = std::move(settings); }

  const solve::Snapshot& before() const { return before_; }      // as found
  const solve::Snapshot& baseline() const { return baseline_; }  // as the controller keeps them at the moment
  const solve::Snapshot& now() const { return now_; }            // as last written and read back
  bool anything_written() const { return undo_.has_value(); }    // and not kept
  bool kept() const;
  bool verified() const { return stage_ >= Stage::verified; }
  const std::vector<record::ChangeEntry>& changes() const { return changes_; }
  std::vector<std::string> lines_for(const std::vector<solve::Change>& changes) const;

  // Throws the Fault of the change that failed; what was written is to be taken back.
  Task<void> write(std::vector<solve::Change> changes, WritePermit agreed);
  // The refused lines; see Player.
  Task<std::vector<Player::Line>> play(std::vector<std::string> lines, PlayPermit agreed);
  // Where all that was to be changed is what was played: what it comes to.
  void plan_nothing_more();
  // True where the controller was seen to restart. Throws as Console::keep_and_restart().
  Task<bool> keep(KeepPermit agreed);
  bool keeping() const { return stage_ == Stage::keeping; }  // told to, and not read back yet
  void read_back_right();
  void all_done() { stage_ = Stage::done; }

  // Whatever ended the session: what was written and not kept is taken back, and the journal is closed only
  // where the controller reads as before. Throws what ended it, or Fault(left_changed, not_back).
  Task<void> end_early(std::exception_ptr trouble);

 private:
  // keeping: between the order to keep and the read-back, not to be taken back blindly. done: also proven
  // once more where that was called for.
  enum class Stage { open, keeping, verified, done };

  void journal_plan(const std::vector<solve::Change>& changes);
  Task<void> get_everything_back(std::optional<Fault> ended_by);
  Task<void> take_it_back();
  Task<void> reach_again();

  console::Console& console_;
  Person& person_;
  record::Store& store_;
  Clock& clock_;
  SessionJournal journal_;
  solve::Snapshot before_, baseline_, now_;
  std::optional<UndoPermit> undo_;  // what was written and is not kept
  bool played_ = false;             // lines of a saved configuration among it
  Stage stage_ = Stage::open;
  bool kept_ = false;
  std::vector<record::ChangeEntry> changes_;
};

}  // namespace armwise::session
