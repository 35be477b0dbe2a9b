// Doing it all again from a record: the same craft with a controller that forgot everything, with another
// firmware's console, on another board, with new solder; and the saved whole configuration played back.
#include "armwise/session/reapply.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <random>

#include "armwise/base/task.hpp"
#include "support/manual_clock.hpp"
#include "support/permits.hpp"
#include "support/rehearsed_person.hpp"
#include "support/sweep.hpp"
#include "support/worked_craft.hpp"

namespace armwise::test::reapply_test {
namespace {

using What = practice::Happened::What;
using session::MountWish;

constexpr std::array dialects{"tarn", "sedge", "brook", "fell", "moor"};

session::BenchOptions first_day(const craft::Frame& frame, MountWish mount) {
  session::BenchOptions options;
  options.frame = frame.name;
  options.scheme = craft::PropScheme::in;
  options.craft_name = "again and again";
  options.mount = mount;
  return options;
}

// What the first day left behind: the record, and the craft as it is soldered since.
struct FirstDay {
  FirstDay(const std::string& dialect, const practice::PracticeCraft& craft,
           MountWish mount = MountWish::leave)
      : session(dialect, craft) {
    outcome = session.bench(first_day(*craft.frame, mount));
  }
  const record::CraftRecord& record() const { return session.store.records.at(0); }
  // A controller that knows nothing: the same craft, as its hands have left it.
  practice::PracticeCraft wiped() const {
    practice::PracticeCraft craft = session.port.controller().craft();
    craft.start = {};
    return craft;
  }

  PracticeSession session;
  Outcome outcome;
};

int count(const PracticeSession& session, What what) {
  const auto& history = session.port.controller().history();
  return static_cast<int>(std::count_if(history.begin(), history.end(),
                                        [&](const auto& happened) { return happened.what == what; }));
}

std::string story(const PracticeSession& session, const Outcome& outcome) {
  std::string text;
  text += session.all_told();
  if (outcome.fault) text += outcome.fault->sentence() + "\n";
  return text;
}

// Spins that a proof takes: all once more after the restart where the map applies only then.
int proof_spins(const std::string& dialect, const craft::Frame& frame) {
  return dialect == "moor" ? 2 * frame.size() : frame.size();
}

TEST(Reapply, AfterNewFirmwareEveryFrameIsProvenInOneSpinAnArm) {
  InTurn turn;
  for (const char* dialect : dialects) {
    for (const craft::Frame& frame : craft::frames()) {
      if (turn.is_left_out()) continue;
      SCOPED_TRACE(std::string(dialect) + " " + frame.name);
      FirstDay first(dialect, practice::seeded_craft(frame, 7));
      ASSERT_TRUE(first.outcome.result) << story(first.session, first.outcome);
      PracticeSession again(dialect, first.wiped());
      const Outcome outcome = again.reapply(first.record(), {});
      ASSERT_TRUE(outcome.result) << story(again, outcome);
      EXPECT_TRUE(again.kept_right(frame, craft::PropScheme::in)) << story(again, outcome);
      EXPECT_LE(again.spins(), proof_spins(dialect, frame));
      EXPECT_GE(again.spins(), frame.size());
      EXPECT_EQ(again.person.asked("spin"), 0);
      EXPECT_FALSE(again.anything_turns());
      EXPECT_EQ(again.store.records.at(0).craft_name, "again and again");
      EXPECT_TRUE(again.store.records.at(0).proven_whole());
    }
  }
}

// Turn settings are kept by motor here, by pin there, and not at all in fell.
TEST(Reapply, AnotherFirmwaresConsoleIsSetFromTheSameRecord) {
  const craft::Frame& frame = worked_frame();
  InTurn turn;
  for (const char* from : dialects) {
    for (const char* to : dialects) {
      for (const std::uint64_t seed : {3U, 11U}) {
        if (turn.is_left_out()) continue;
        SCOPED_TRACE(std::string(from) + " to " + to + ", craft " + std::to_string(seed));
        FirstDay first(from, practice::seeded_craft(frame, seed));
        ASSERT_TRUE(first.outcome.result) << story(first.session, first.outcome);
        PracticeSession again(to, first.wiped());
        const Outcome outcome = again.reapply(first.record(), {});
        ASSERT_TRUE(outcome.result) << story(again, outcome);
        EXPECT_EQ(again.person.asked("spin"), 0);
        EXPECT_EQ(again.person.asked("numbering"), 0);
        const bool settable = again.profile.turn && first.session.profile.turn;
        if (settable || std::string(from) == to) {
          EXPECT_TRUE(again.kept_right(frame, craft::PropScheme::in)) << story(again, outcome);
          EXPECT_EQ(again.spins(), proof_spins(to, frame)) << story(again, outcome);
        } else if (again.profile.turn) {
          EXPECT_TRUE(again.kept_right(frame, craft::PropScheme::in)) << story(again, outcome);
        }
      }
    }
  }
}

TEST(Reapply, TheMountIsSetAndProvenByPosesAgain) {
  for (const char* dialect : dialects) {
    SCOPED_TRACE(dialect);
    practice::PracticeCraft craft = worked_craft();
    craft.mount = {90, 0, 180};
    FirstDay first(dialect, craft, MountWish::find);
    ASSERT_TRUE(first.outcome.result) << story(first.session, first.outcome);
    PracticeSession again(dialect, first.wiped());
    session::ReapplyOptions options;
    const Outcome outcome = again.reapply(first.record(), options);
    ASSERT_TRUE(outcome.result) << story(again, outcome);
    const record::CraftRecord& record = again.store.records.at(0);
    ASSERT_TRUE(record.after.mount && first.record().after.mount);
    EXPECT_EQ(again.port.controller().saved().mount, first.session.port.controller().saved().mount);
    EXPECT_EQ(again.port.controller().saved().mount_code, first.session.port.controller().saved().mount_code);
    if (again.profile.sense) {
      EXPECT_GE(again.person.asked("pose"), 3);
    }
  }
}

TEST(Reapply, AControllerThatHoldsItAllIsOnlyProvenAndSaved) {
  FirstDay first("tarn", worked_craft());
  ASSERT_TRUE(first.outcome.result);
  const Outcome outcome = first.session.reapply(first.record(), {});
  ASSERT_TRUE(outcome.result) << story(first.session, outcome);
  EXPECT_EQ(first.session.spins(), 4 + 4 + 4);
  EXPECT_TRUE(first.session.told("as-recorded"));
  EXPECT_EQ(count(first.session, What::kept), 2) << "what it holds may not be what it had saved";
}

TEST(Reapply, SolderThatChangedSinceIsCaughtByTheProofAndPlannedAnew) {
  const craft::Frame& frame = worked_frame();
  FirstDay first("tarn", worked_craft());
  ASSERT_TRUE(first.outcome.result);
  practice::PracticeCraft craft = first.wiped();
  std::swap(craft.wiring.at("P1"), craft.wiring.at("P2"));
  PracticeSession again("tarn", craft);
  const Outcome outcome = again.reapply(first.record(), {});
  ASSERT_TRUE(outcome.result) << story(again, outcome);
  EXPECT_TRUE(again.kept_right(frame, craft::PropScheme::in)) << story(again, outcome);
  EXPECT_TRUE(again.told("motor-not-proven"));
}

TEST(Reapply, AnotherBoardIsAskedAbout) {
  FirstDay first("tarn", worked_craft());
  ASSERT_TRUE(first.outcome.result);
  practice::PracticeCraft craft = first.wiped();
  craft.serial = "AWOTHER";
  {
    practice::PersonScript script;
    script.answers["other-board"] = {"no"};
    PracticeSession declined("tarn", craft, script);
    const Outcome outcome = declined.reapply(first.record(), {});
    EXPECT_TRUE(outcome.stopped);
    EXPECT_EQ(count(declined, What::wrote), 0);
    EXPECT_EQ(declined.spins(), 0);
  }
  PracticeSession accepted("tarn", craft);
  const Outcome outcome = accepted.reapply(first.record(), {});
  ASSERT_TRUE(outcome.result) << story(accepted, outcome);
  EXPECT_EQ(accepted.person.asked("other-board"), 1);
  EXPECT_TRUE(accepted.kept_right(worked_frame(), craft::PropScheme::in));
  const auto& warnings = accepted.store.records.at(0).warnings;
  EXPECT_TRUE(std::any_of(warnings.begin(), warnings.end(), [](const std::string& warning) {
    return warning.find("another board") != std::string::npos;
  }));
}

TEST(Reapply, WhereThePinsHaveOtherNamesEachMotorIsSpunOnce) {
  FirstDay first("tarn", worked_craft());
  ASSERT_TRUE(first.outcome.result);
  practice::PracticeCraft craft = first.wiped();
  for (std::string& pin : craft.pins) {
    const std::string renamed = "OUT" + pin.substr(1);
    const auto wire = craft.wiring.find(pin);
    if (wire != craft.wiring.end()) {
      craft.wiring[renamed] = wire->second;
      craft.wiring.erase(pin);
    }
    pin = renamed;
  }
  PracticeSession again("tarn", craft);
  const Outcome outcome = again.reapply(first.record(), {});
  ASSERT_TRUE(outcome.result) << story(again, outcome);
  EXPECT_TRUE(again.kept_right(worked_frame(), craft::PropScheme::in));
  EXPECT_EQ(again.spins(), 8);
  EXPECT_TRUE(again.told("other-pins"));
}

// Declining, stopping or going back at every question leaves a controller that is as it was.
TEST(Reapply, StoppingAtEveryQuestionLeavesTheControllerAsItWas) {
  for (const char* dialect : dialects) {
    FirstDay first(dialect, worked_craft({"front-right", "rear-right", "rear-left", "front-left"}, {true}));
    ASSERT_TRUE(first.outcome.result);
    for (int at = 1;; ++at) {
      SCOPED_TRACE(std::string(dialect) + ", stopped at question " + std::to_string(at));
      PracticeSession again(dialect, first.wiped());
      const practice::SettingsView before = again.port.controller().running();
      RehearsedPerson person(again.person, [&](int number, const session::Question&) {
        if (number == at) throw StoppedByPerson();
        return std::optional<session::Answer>();
      });
      const Outcome outcome = again.reapply_by(person, first.record(), {});
      if (static_cast<int>(person.asked.size()) < at) {
        EXPECT_TRUE(outcome.result);
        EXPECT_GT(at, 6);
        break;
      }
      const bool kept = count(again, What::kept) > 0;
      EXPECT_TRUE(outcome.stopped || kept);
      if (!kept) {
        EXPECT_EQ(again.port.controller().running(), before);
        EXPECT_EQ(again.port.controller().saved(), before);
        EXPECT_TRUE(again.store.open_sessions().empty());
      }
      EXPECT_FALSE(again.anything_turns());
    }
  }
}

TEST(Reapply, GoingBackAtEveryQuestionComesToTheSameEnd) {
  FirstDay first("brook", worked_craft({"front-right", "rear-right", "rear-left", "front-left"}, {true}));
  ASSERT_TRUE(first.outcome.result);
  for (int at = 1; at < 20; ++at) {
    SCOPED_TRACE("back at question " + std::to_string(at));
    PracticeSession again("brook", first.wiped());
    RehearsedPerson person(again.person, [&](int number, const session::Question& question) {
      const bool now = number == at && question.may_go_back;
      return now ? std::optional<session::Answer>(session::Back{}) : std::nullopt;
    });
    const Outcome outcome = again.reapply_by(person, first.record(), {});
    ASSERT_TRUE(outcome.result) << story(again, outcome);
    EXPECT_TRUE(again.kept_right(worked_frame(), craft::PropScheme::in));
  }
}

TEST(Reapply, ADryRunWritesNothing) {
  FirstDay first("sedge", worked_craft());
  PracticeSession again("sedge", first.wiped());
  session::ReapplyOptions options;
  options.bench.dry_run = true;
  options.configuration = {"amber_limit_1 = 17"};
  const Outcome outcome = again.reapply(first.record(), options);
  ASSERT_TRUE(outcome.result) << story(again, outcome);
  EXPECT_EQ(outcome.result->ending, session::BenchResult::Ending::planned_only);
  EXPECT_EQ(count(again, What::wrote), 0);
  EXPECT_EQ(count(again, What::kept), 0);
}

// The rest of the configuration, which armwise knows nothing about.
struct WithEntries {
  WithEntries() : first("sedge", start()) { lines = first.session.store.configurations.back(); }
  static practice::PracticeCraft start() {
    practice::PracticeCraft craft = worked_craft();
    craft.start.entries = {{"birch_limit_1", "17"}, {"delta_gain_15", "4711"}};
    return craft;
  }
  session::ReapplyOptions whole() const {
    session::ReapplyOptions options;
    options.configuration = lines;
    return options;
  }
  FirstDay first;
  std::vector<std::string> lines;
};

TEST(ReapplyWhole, TheRestOfTheConfigurationComesBackToo) {
  WithEntries with;
  ASSERT_TRUE(with.first.outcome.result);
  std::vector<std::string> lines = with.lines;
  lines.emplace_back("no_such_entry_9 = 3");
  lines.emplace_back(with.first.session.profile.keep->keep.steps.front().send.format({}));
  lines.emplace_back(with.first.session.profile.spin->spin.steps.front().send.format(
      {{"motor", "0"}, {"strength", "1100"}, {"milliseconds", "500"}}));
  session::ReapplyOptions options;
  options.configuration = lines;
  PracticeSession again("sedge", with.first.wiped());
  ASSERT_NE(again.port.controller().saved().entries, with.first.session.port.controller().saved().entries);
  const Outcome outcome = again.reapply(with.first.record(), options);
  ASSERT_TRUE(outcome.result) << story(again, outcome);
  EXPECT_EQ(again.port.controller().saved(), with.first.session.port.controller().saved());
  EXPECT_TRUE(again.kept_right(worked_frame(), craft::PropScheme::in));
  EXPECT_EQ(again.spins(), 4) << "a played line must turn nothing";
  EXPECT_EQ(count(again, What::kept), 1) << "a played line must keep nothing";
  EXPECT_TRUE(again.told("played-otherwise", {{"warning", "no_such_entry_9 = 3"}}));
  EXPECT_EQ(again.person.asked("whole"), 1);
  const auto& warnings = again.store.records.at(0).warnings;
  EXPECT_TRUE(std::any_of(warnings.begin(), warnings.end(), [](const std::string& warning) {
    return warning.find("no_such_entry_9") != std::string::npos;
  }));
}

TEST(ReapplyWhole, StoppedAtEveryQuestionTheRestIsForgottenToo) {
  WithEntries with;
  for (int at = 1;; ++at) {
    SCOPED_TRACE("stopped at question " + std::to_string(at));
    PracticeSession again("sedge", with.first.wiped());
    const practice::SettingsView before = again.port.controller().running();
    RehearsedPerson person(again.person, [&](int number, const session::Question&) {
      if (number == at) throw StoppedByPerson();
      return std::optional<session::Answer>();
    });
    const Outcome outcome = again.reapply_by(person, with.first.record(), with.whole());
    if (static_cast<int>(person.asked.size()) < at) break;
    if (count(again, What::kept) > 0) continue;
    EXPECT_TRUE(outcome.stopped) << story(again, outcome);
    EXPECT_EQ(again.port.controller().running(), before) << story(again, outcome);
    EXPECT_TRUE(again.store.open_sessions().empty());
  }
}

// Back over the playback to the first station and forwards again: what was read before it stays what the
// record calls before, and what is taken back to.
TEST(ReapplyWhole, GoneBackOverTheSettingsFromBeforeStayThoseFromBefore) {
  FirstDay first("sedge", worked_craft(as_numbered("sedge"), {false, true}));
  ASSERT_TRUE(first.outcome.result);
  session::ReapplyOptions options;
  options.configuration = first.session.store.configurations.back();
  PracticeSession again("sedge", first.wiped());
  int props_off = 0;
  RehearsedPerson person(again.person, [&](int, const session::Question& question) {
    const bool back = question.id == "props-off" && ++props_off == 1;
    return back ? std::optional<session::Answer>(session::Back{}) : std::nullopt;
  });
  const Outcome outcome = again.reapply_by(person, first.record(), options);
  ASSERT_TRUE(outcome.result) << story(again, outcome);
  EXPECT_EQ(props_off, 2);
  const record::CraftRecord& record = again.store.records.at(0);
  EXPECT_EQ(std::count(record.before.turns.begin(), record.before.turns.end(), craft::Turn::ccw), 0);
  EXPECT_EQ(std::count(record.after.turns.begin(), record.after.turns.end(), craft::Turn::ccw), 1);
}

TEST(ReapplyWhole, AnotherConsolesConfigurationIsNotPlayedBack) {
  WithEntries with;
  PracticeSession again("tarn", with.first.wiped());
  const Outcome outcome = again.reapply(with.first.record(), with.whole());
  ASSERT_TRUE(outcome.result) << story(again, outcome);
  EXPECT_EQ(again.person.asked("whole"), 0);
  EXPECT_TRUE(again.told("not-played"));
  EXPECT_TRUE(again.kept_right(worked_frame(), craft::PropScheme::in));
}

// The line goes dead after so many of the played lines were written, for good: recover forgets them.
TEST(ReapplyWhole, ACutInThePlaybackIsRecovered) {
  WithEntries with;
  for (const int writes : {1, 2, 7, 40}) {
    SCOPED_TRACE(writes);
    PracticeSession again("sedge", with.first.wiped());
    const practice::SettingsView before = again.port.controller().running();
    int seen = 0;
    // The tool dies in the middle: its journal says that it was playing, and nothing closed it.
    {
      practice::PracticePlug plug(again.port, again.clock);
      console::ProfileConsole console(plug, again.profile, again.clock, again.sentry);
      const auto play_some = [&]() -> Task<bool> {
        co_await console.open();
        const console::Identity identity = co_await console.identify();
        const std::string text = co_await console.whole_configuration();
        const std::string file = again.store.save_configuration("", "", text);
        const solve::Snapshot now = co_await console.snapshot(4);
        const auto kept = again.store.start_journal("", "");
        record::JournalEntry entry;
        entry.what = record::JournalEntry::What::began;
        entry.identity = identity;
        kept->append(entry);
        entry = {};
        entry.what = record::JournalEntry::What::configuration_saved;
        entry.text = file;
        kept->append(entry);
        entry = {};
        entry.what = record::JournalEntry::What::playing;
        entry.lines = with.lines;
        entry.before = now;
        entry.after = now;
        kept->append(entry);
        const MayPlay permit = test::play_permit(with.lines);
        for (const std::string& line : with.lines) {
          if (seen == writes) break;
          bool refused = false;
          try {
            co_await console.play(line, permit);
          } catch (const Fault&) {
            refused = true;
          }
          seen += refused ? 0 : 1;
        }
        co_return true;
      };
      run(play_some());
    }
    ASSERT_EQ(again.store.open_sessions().size(), 1U);
    const Outcome outcome = again.recover();
    ASSERT_TRUE(outcome.recovered) << story(again, outcome);
    EXPECT_EQ(again.port.controller().running(), before) << story(again, outcome);
    EXPECT_EQ(again.port.controller().saved(), before);
    EXPECT_TRUE(again.store.open_sessions().empty());
  }
}

TEST(ReapplyWhole, AWholeSessionTakesLessThanAMinute) {
  WithEntries with;
  PracticeSession again("sedge", with.first.wiped());
  const Instant begun = again.clock.now();
  const Outcome outcome = again.reapply(with.first.record(), {});
  ASSERT_TRUE(outcome.result);
  // The practice line has no pace of its own here; the app's test says what it takes at 115200 baud.
  EXPECT_LT(again.clock.now() - begun, Duration{60000});
}

}  // namespace
}  // namespace armwise::test::reapply_test
