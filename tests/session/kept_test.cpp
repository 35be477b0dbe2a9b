// Proven means kept: what runs and what is saved are both known before anything is called proven, and a
// restart counts where it was seen.
#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <boost/asio/co_spawn.hpp>
#include <boost/asio/io_context.hpp>
#include <string>

#include "armwise/solve/difference.hpp"
#include "support/permits.hpp"
#include "support/torn.hpp"
#include "support/worked_craft.hpp"

namespace armwise::test::kept_test {
namespace {

using practice::Mischief;
using practice::MischiefPlan;
using Ending = session::RecoverResult::Ending;
using What = practice::Happened::What;

constexpr std::array dialects{"tarn", "sedge", "fell", "brook", "moor"};

practice::PracticeCraft craft() {
  return worked_craft({"rear-left", "front-right", "rear-right", "front-left"}, {false, true});
}

template <typename Result>
Result done(Task<Result> task) {
  boost::asio::io_context loop;
  std::exception_ptr trouble;
  std::optional<Result> result;
  boost::asio::co_spawn(loop, std::move(task), [&](std::exception_ptr error, Result value) {
    trouble = error;
    if (!error) result = std::move(value);
  });
  loop.run();
  if (trouble) std::rethrow_exception(trouble);
  return *result;
}

Task<bool> type_unsaved(console::Console& console, solve::Snapshot target) {
  co_await console.open();
  const solve::Snapshot now = co_await console.snapshot(target.map.size());
  for (const solve::Change& change : solve::difference(now, target, "typed by hand")) {
    const MayWrite permit = test::write_permit(console.lines_for(change));
    co_await console.apply(change, permit);
  }
  co_return true;
}

// What is right is typed in, and not saved; what a session would have saved.
practice::SettingsView right_but_unsaved(PracticeSession& session, const std::string& dialect) {
  PracticeSession other(dialect, craft());
  EXPECT_TRUE(other.bench(worked_options()).result);
  practice::PracticePlug plug(session.port, session.clock);
  console::ProfileConsole console(plug, session.profile, session.clock, session.sentry);
  EXPECT_TRUE(done(type_unsaved(console, other.store.records.at(0).after)));
  return other.port.controller().saved();
}

std::string story(const PracticeSession& session, const Outcome& outcome) {
  std::string told = outcome.fault ? outcome.fault->sentence() + "\n" : std::string();
  told += session.all_told();
  return told;
}

console::Profile without_restart() {
  console::Profile profile = fixture_profile("tarn");
  profile.keep->restart.reset();
  return profile;
}

long count(const PracticeSession& session, What what) {
  const auto& history = session.port.controller().history();
  return std::count_if(history.begin(), history.end(), [&](const auto& each) { return each.what == what; });
}

// A defect found: with nothing to change nothing was saved either, and the next power-up had the old
// settings.
TEST(RightButNeverSaved, EndsSavedAndReadBackAfterARestart) {
  for (const char* dialect : dialects) {
    PracticeSession session(dialect, craft());
    const practice::SettingsView right = right_but_unsaved(session, dialect);
    ASSERT_FALSE(session.port.controller().saved() == right) << dialect;
    const Outcome outcome = session.bench(worked_options());
    ASSERT_TRUE(outcome.result) << dialect << "\n" << story(session, outcome);
    EXPECT_TRUE(session.kept_right(worked_frame(), craft::PropScheme::in)) << dialect;
    EXPECT_EQ(session.port.controller().saved(), session.port.controller().running()) << dialect;
    EXPECT_GE(count(session, What::restarted), 1) << dialect;
    EXPECT_TRUE(session.store.records.at(0).kept) << dialect;
    EXPECT_TRUE(session.store.open_sessions().empty()) << dialect;
    if (std::string(dialect) == "moor") continue;  // what is typed there drives no motor before a restart
    EXPECT_EQ(session.person.asked("plan"), 0) << dialect;
    EXPECT_EQ(session.person.asked("keep"), 1) << dialect;
  }
}

TEST(RightButNeverSaved, AndNotToBeSavedIsNotCalledProven) {
  practice::PersonScript script;
  script.answers["keep"] = {"no"};
  PracticeSession session("tarn", craft(), script);
  right_but_unsaved(session, "tarn");
  const Outcome outcome = session.bench(worked_options());
  EXPECT_TRUE(outcome.stopped);
  EXPECT_TRUE(session.store.records.empty());
  EXPECT_TRUE(session.store.open_sessions().empty());
  EXPECT_EQ(count(session, What::kept), 0);
}

TEST(RightButNeverSaved, RefusedToBeSavedIsNotCalledProven) {
  MischiefPlan refuse;
  refuse.what = Mischief::refuse_keep;
  PracticeSession session("tarn", craft(), {}, refuse);
  right_but_unsaved(session, "tarn");
  const Outcome outcome = session.bench(worked_options());
  ASSERT_TRUE(outcome.fault);
  EXPECT_EQ(outcome.fault->kind(), FaultKind::refused) << outcome.fault->sentence();
  EXPECT_TRUE(session.store.records.empty());
  EXPECT_TRUE(session.store.open_sessions().empty()) << "nothing was written or saved";
}

TEST(RightButNeverSaved, AndTheSaveLostIsFoundOutAfterTheRestart) {
  MischiefPlan lost;
  lost.what = Mischief::store_not_keep;
  PracticeSession session("tarn", craft(), {}, lost);
  right_but_unsaved(session, "tarn");
  const Outcome outcome = session.bench(worked_options());
  ASSERT_TRUE(outcome.fault) << story(session, outcome);
  EXPECT_EQ(outcome.fault->kind(), FaultKind::left_changed);
  EXPECT_TRUE(session.store.records.empty());
  EXPECT_EQ(session.store.open_sessions().size(), 1U);
}

TEST(RestartByHand, IsAskedForAndSeen) {
  PracticeSession session("tarn", craft());
  const Outcome outcome = session.bench_by(session.person, without_restart(), worked_options());
  ASSERT_TRUE(outcome.result) << story(session, outcome);
  EXPECT_EQ(session.person.asked("restart"), 1);
  EXPECT_EQ(count(session, What::restarted), 1);
  EXPECT_TRUE(session.store.records.at(0).read_back_matches);
  EXPECT_TRUE(session.kept_right(worked_frame(), craft::PropScheme::in));
}

TEST(RestartByHand, OfAControllerWhosePortStaysIsSeenByItsBanner) {
  practice::Habits habits;
  habits.port_stays = true;
  PracticeSession session("tarn", craft(), {}, {}, {}, habits);
  const Outcome outcome = session.bench_by(session.person, without_restart(), worked_options());
  ASSERT_TRUE(outcome.result) << story(session, outcome);
  EXPECT_EQ(session.person.asked("restart"), 1);
}

// The person cannot, or says so and does nothing.
TEST(RestartByHand, ThatDoesNotHappenIsNeverClaimed) {
  for (const char* answer : {"no", "yes"}) {
    practice::PersonScript script;
    script.answers["restart"] = {answer};
    PracticeSession session("tarn", craft(), script);
    const Outcome outcome = session.bench_by(session.person, without_restart(), worked_options());
    ASSERT_TRUE(outcome.fault) << story(session, outcome);
    EXPECT_EQ(outcome.fault->kind(), FaultKind::left_changed);
    EXPECT_EQ(outcome.fault->id(), "saved-unverified");
    EXPECT_FALSE(session.told("read-back"));
    EXPECT_EQ(session.person.asked("restart"), std::string(answer) == "no" ? 1 : 3);
    ASSERT_EQ(session.store.records.size(), 1U) << "nothing that was found out is lost";
    EXPECT_FALSE(session.store.records[0].proven_whole());
    EXPECT_FALSE(session.store.records[0].warnings.empty());
    ASSERT_EQ(session.store.open_sessions().size(), 1U);

    // recover reads nothing back either before there was a restart.
    const Outcome still =
        recover_by(session.port, without_restart(), session.person, session.store, session.clock);
    ASSERT_TRUE(still.fault);
    EXPECT_EQ(still.fault->kind(), FaultKind::left_changed) << still.fault->sentence();
    EXPECT_EQ(session.store.open_sessions().size(), 1U);

    practice::PracticePerson able(session.sight, session.clock);
    const Outcome then = recover_by(session.port, without_restart(), able, session.store, session.clock);
    ASSERT_TRUE(then.recovered) << then.fault->sentence();
    EXPECT_EQ(then.recovered->ending, Ending::all_new);
    EXPECT_EQ(able.asked("restart"), 1);
    EXPECT_TRUE(session.store.open_sessions().empty());
  }
}

// A save that was lost shows in recover, too, once there was a restart.
TEST(RestartByHand, InRecoverShowsThatTheSaveWasLost) {
  MischiefPlan lost;
  lost.what = Mischief::store_not_keep;
  practice::PersonScript script;
  script.answers["restart"] = {"no"};
  PracticeSession session("tarn", craft(), script, lost);
  ASSERT_TRUE(session.bench_by(session.person, without_restart(), worked_options()).fault);
  practice::PracticePerson able(session.sight, session.clock);
  const Outcome outcome = recover_by(session.port, without_restart(), able, session.store, session.clock);
  ASSERT_TRUE(outcome.recovered) << outcome.fault->sentence();
  EXPECT_EQ(able.asked("recover"), 1) << "it fell back, so the person decides";
  EXPECT_EQ(outcome.recovered->ending, Ending::all_new);
  EXPECT_TRUE(session.kept_right(worked_frame(), craft::PropScheme::in));
}

// The profile's restart is another command, which the console takes without a word of complaint.
TEST(RestartByCommand, ThatRestartsNothingIsNotTakenForOne) {
  console::Profile profile = fixture_profile("tarn");
  profile.keep->restart = console::Command{{{console::Template::literal("say well"), ""}}, std::nullopt};
  PracticeSession session("tarn", craft());
  const Outcome outcome = session.bench_by(session.person, profile, worked_options());
  ASSERT_TRUE(outcome.result) << story(session, outcome);
  EXPECT_EQ(session.person.asked("restart"), 1);
  EXPECT_EQ(count(session, What::restarted), 1);
}

// Not so brook: it says nothing as it starts, and has no prompt.
TEST(RestartByCommand, OfAControllerWhosePortStaysIsSeen) {
  for (const char* dialect : {"tarn", "sedge", "fell", "moor"}) {
    practice::Habits habits;
    habits.port_stays = true;
    PracticeSession session(dialect, craft(), {}, {}, {}, habits);
    const Outcome outcome = session.bench(worked_options());
    ASSERT_TRUE(outcome.result) << dialect << "\n" << story(session, outcome);
    EXPECT_EQ(session.person.asked("restart"), 0) << dialect;
    EXPECT_EQ(count(session, What::restarted), 1) << dialect;
    EXPECT_EQ(count(session, What::kept), 1) << dialect;
    EXPECT_TRUE(session.kept_right(worked_frame(), craft::PropScheme::in)) << dialect;
  }
}

// A defect found: what was typed into the start-up stopped it in its boot loader.
TEST(StartUp, IsListenedToAndNotTypedInto) {
  for (const bool stays : {false, true}) {
    for (const char* dialect : dialects) {
      practice::Habits habits;
      habits.start = Duration(4000);
      habits.port_stays = stays;
      PracticeSession session(dialect, craft(), {}, {}, {}, habits);
      const Outcome outcome = session.bench(worked_options());
      ASSERT_TRUE(outcome.result) << dialect << " " << stays << "\n" << story(session, outcome);
      EXPECT_TRUE(session.kept_right(worked_frame(), craft::PropScheme::in)) << dialect;
    }
  }
}

}  // namespace
}  // namespace armwise::test::kept_test
