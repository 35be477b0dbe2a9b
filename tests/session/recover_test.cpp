// Sessions that were cut off by a full disk or in the middle of writing, and what `recover` makes of them.
#include "armwise/session/recover.hpp"

#include <gtest/gtest.h>

#include <string>

#include "support/torn.hpp"
#include "support/worked_craft.hpp"

namespace armwise::test::recover_test {
namespace {

using practice::Mischief;
using practice::MischiefPlan;
using Ending = session::RecoverResult::Ending;
using What = record::JournalEntry::What;

practice::PracticeCraft craft() {
  return worked_craft({"rear-left", "front-right", "rear-right", "front-left"}, {false, true});
}

MischiefPlan mischief(Mischief what, std::uint64_t at, practice::Way way = practice::Way::from_controller) {
  MischiefPlan plan;
  plan.what = what;
  plan.at = at;
  plan.way = way;
  return plan;
}

practice::PersonScript choosing(const std::string& choice) {
  practice::PersonScript script;
  script.answers["recover"] = {choice};
  return script;
}

OldAndNew settings_of(const std::string& dialect) {
  PracticeSession session(dialect, craft());
  OldAndNew settings;
  settings.before = session.port.controller().saved();
  EXPECT_TRUE(session.bench(worked_options()).result);
  settings.after = session.port.controller().saved();
  EXPECT_FALSE(settings.before == settings.after);
  return settings;
}

class FullDisk : public ::testing::TestWithParam<const char*> {};

// The journal cannot be written from the nth entry on.
TEST_P(FullDisk, AtEveryEntryLeavesAllOldOrAllNewOrAJournalThatSaysSo) {
  const OldAndNew settings = settings_of(GetParam());
  int stopped_by_it = 0;
  for (int nth = 1; nth < 100; ++nth) {
    for (const char* choice : {"back", "finish"}) {
      PracticeSession session(GetParam(), craft(), choosing(choice));
      session.store.full_at = nth;
      const Outcome outcome = session.bench(worked_options());
      std::string broken;
      judge(session, outcome, settings, broken);
      // All is well but for the line that closes the journal, and that is said.
      const bool not_closed = session.told("journal-not-closed");
      const bool only_that =
          broken.find("but a journal is open") != std::string::npos && broken.find('\n') == broken.size() - 1;
      EXPECT_TRUE(broken.empty() || (not_closed && only_that))
          << broken << "full at entry " << nth << ": "
          << (outcome.fault ? outcome.fault->sentence() : "no fault");
      const bool struck = session.store.appended >= nth;
      if (!struck) {
        EXPECT_GT(stopped_by_it, 15) << "one for each entry of a journal at least";
        return;
      }
      ++stopped_by_it;
      session.store.full_at = 0;
      broken.clear();
      judge_recovery(session, settings, nth % 2 == 0, broken);
      EXPECT_EQ(broken, "") << "full at entry " << nth << ", recover: " << choice;
    }
  }
  FAIL() << "the journal does not end";
}

// The disk is full again while recover writes.
TEST_P(FullDisk, InRecoverItselfLeavesTheJournalOpenAndTheNextRunEndsIt) {
  const OldAndNew settings = settings_of(GetParam());
  for (int nth = 1; nth < 40; ++nth) {
    PracticeSession session(GetParam(), craft(), choosing("back"), mischief(Mischief::never_back, 1));
    ASSERT_TRUE(session.bench(worked_options()).fault);
    session.port.plug_in_again(session.clock.now());
    session.store.full_at = session.store.appended + nth;
    const Outcome first = session.recover();
    if (first.recovered) return;
    ASSERT_TRUE(first.fault);
    EXPECT_EQ(first.fault->kind(), FaultKind::left_changed) << first.fault->sentence();
    EXPECT_EQ(session.store.open_sessions().size(), 1U);
    session.store.full_at = 0;
    std::string broken;
    judge_recovery(session, settings, true, broken);
    EXPECT_EQ(broken, "") << "full at entry " << nth << " of recover";
  }
  FAIL() << "recover never ends";
}

INSTANTIATE_TEST_SUITE_P(Dialects, FullDisk, ::testing::Values("tarn", "sedge", "fell", "brook", "moor"));

// The line is dead from somewhere in the writing on, so nothing can be taken back.
MischiefPlan dead_while_writing(const std::string& dialect) {
  for (std::uint64_t byte = 100;; ++byte) {
    PracticeSession session(dialect, craft(), {},
                            mischief(Mischief::cut_line, byte, practice::Way::to_controller));
    session.bench(worked_options());
    const auto open = session.store.open_sessions();
    if (open.empty() || session.port.controller().running() == session.port.controller().saved()) continue;
    return mischief(Mischief::cut_line, byte, practice::Way::to_controller);
  }
}

TEST(Recover, OfASessionWhoseArmsWereNotProvenOnlyTakesBack) {
  PracticeSession session("tarn", craft(), {}, dead_while_writing("tarn"));
  const practice::SettingsView before = session.port.controller().saved();
  ASSERT_TRUE(session.bench(worked_options()).fault);
  session.port.plug_in_again(session.clock.now(), true);
  ASSERT_FALSE(session.port.controller().running() == before) << "half written, and still powered";
  const Outcome outcome = session.recover();
  ASSERT_TRUE(outcome.recovered) << outcome.fault->sentence();
  // The person takes the first choice: it would be "finish" if that were offered.
  EXPECT_EQ(session.person.asked("recover"), 1);
  EXPECT_EQ(outcome.recovered->ending, Ending::all_old);
  EXPECT_TRUE(session.told("only-back"));
  EXPECT_TRUE(holds(before, session.port));
}

TEST(Recover, LaterLeavesEverythingAsItIs) {
  PracticeSession session("tarn", craft(), choosing("later"), dead_while_writing("tarn"));
  ASSERT_TRUE(session.bench(worked_options()).fault);
  session.port.plug_in_again(session.clock.now(), true);
  const practice::SettingsView half = session.port.controller().running();
  const Outcome outcome = session.recover();
  ASSERT_TRUE(outcome.recovered);
  EXPECT_EQ(outcome.recovered->ending, Ending::left_open);
  EXPECT_TRUE(session.told("recover-later"));
  EXPECT_EQ(session.port.controller().running(), half);
  EXPECT_EQ(session.store.open_sessions().size(), 1U);
  const Outcome again = session.bench(worked_options());
  ASSERT_TRUE(again.fault) << "bench says first that there is an open journal";
  EXPECT_EQ(again.fault->id(), "session-left-over");
}

TEST(Recover, WithNothingToRecoverSaysSoAndSendsNothing) {
  PracticeSession session("tarn", craft());
  const Outcome outcome = session.recover();
  ASSERT_TRUE(outcome.recovered);
  EXPECT_EQ(outcome.recovered->ending, Ending::nothing_to_do);
  EXPECT_TRUE(session.told("nothing-to-recover"));
  EXPECT_TRUE(session.port.controller().history().empty());
}

TEST(Recover, LeavesAnotherBoardAloneAndNamesBoth) {
  PracticeSession cut("tarn", craft(), {}, dead_while_writing("tarn"));
  ASSERT_TRUE(cut.bench(worked_options()).fault);
  practice::PracticeCraft other = craft();
  other.serial = "ANOTHER1";
  PracticeSession session("tarn", other);
  session.store = cut.store;
  const practice::SettingsView before = session.port.controller().saved();
  const Outcome outcome = session.recover();
  ASSERT_TRUE(outcome.fault);
  EXPECT_EQ(outcome.fault->kind(), FaultKind::mismatch);
  EXPECT_NE(outcome.fault->sentence().find("ANOTHER1"), std::string::npos) << outcome.fault->sentence();
  EXPECT_NE(outcome.fault->sentence().find(cut.port.controller().craft().serial), std::string::npos);
  EXPECT_TRUE(holds(before, session.port));
  EXPECT_EQ(session.store.open_sessions().size(), 1U);
}

// A store whose journal has a damaged line.
class DamagedStore : public MemoryStore {
 public:
  std::vector<record::OpenSession> open_sessions() override {
    std::vector<record::OpenSession> open = MemoryStore::open_sessions();
    for (record::OpenSession& session : open) session.damage = "Line 4 of the journal is damaged";
    return open;
  }
};

TEST(Recover, SaysThatAJournalIsDamagedAndGoesByWhatTheControllerReads) {
  PracticeSession session("tarn", craft(), {}, dead_while_writing("tarn"));
  const practice::SettingsView before = session.port.controller().saved();
  ASSERT_TRUE(session.bench(worked_options()).fault);
  session.port.plug_in_again(session.clock.now(), true);
  DamagedStore store;
  static_cast<MemoryStore&>(store) = session.store;
  const Outcome outcome = recover_by(session.port, session.profile, session.person, store, session.clock);
  ASSERT_TRUE(outcome.recovered) << outcome.fault->sentence();
  EXPECT_TRUE(session.told("journal-damaged", {{"damage", "Line 4 of the journal"}}));
  EXPECT_TRUE(holds(before, session.port));
}

// A defect found: the mount tried after a failed proof was not in the plan that recover finishes.
TEST(Recover, FinishesTheMountThatWasProvenNotTheOneFirstPlanned) {
  console::Profile right = fixture_profile("tarn");
  right.sense->after_mount = true;
  console::Profile wrong = right;
  wrong.mount->signs = {-1, 1, 1};
  practice::PracticeCraft turned = craft();
  turned.mount = {90, 0, 0};
  PracticeSession session("tarn", turned);
  practice::PracticePort port(right, turned, mischief(Mischief::never_back, 1));
  practice::PracticePlug plug(port, session.clock);
  practice::PortSight sight(port, session.clock);
  practice::PracticePerson person(sight, session.clock);
  const Outcome cut =
      bench_on(plug, wrong, person, session.store, session.clock, worked_options(session::MountWish::find));
  ASSERT_TRUE(cut.fault);
  ASSERT_EQ(person.asked("try-mount"), 1);
  port.plug_in_again(session.clock.now());
  const Outcome outcome = recover_by(port, wrong, person, session.store, session.clock);
  ASSERT_TRUE(outcome.recovered) << outcome.fault->sentence();
  EXPECT_EQ(outcome.recovered->ending, Ending::all_new);
  EXPECT_EQ(port.controller().saved().mount[0], 90);
}

// A defect found: another controller that came back from the restart was read back in place of this one.
TEST(Recover, NoticesAnotherControllerAfterItsOwnRestart) {
  PracticeSession session("tarn", craft(), {}, dead_while_writing("tarn"));
  ASSERT_TRUE(session.bench(worked_options()).fault);
  session.port.plug_in_again(session.clock.now(), true);
  // The same controller and journal, in a port from which another one comes back.
  PracticeSession second("tarn", craft(), {}, mischief(Mischief::another_controller, 1));
  second.store = session.store;
  for (auto& [file, entries] : second.store.journals) {
    record::JournalEntry keeping;
    keeping.what = What::keeping;
    entries.push_back(keeping);
  }
  const Outcome outcome = second.recover();
  ASSERT_TRUE(outcome.fault);
  EXPECT_EQ(outcome.fault->kind(), FaultKind::left_changed);
  EXPECT_EQ(outcome.fault->id(), "another-controller");
  EXPECT_EQ(second.store.open_sessions().size(), 1U);
}

}  // namespace
}  // namespace armwise::test::recover_test
