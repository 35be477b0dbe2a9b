// Declining, stopping and going back at every question; the dry run; a craft that is right already.
#include <gtest/gtest.h>

#include <algorithm>
#include <random>
#include <set>
#include <string>

#include "support/rehearsed_person.hpp"
#include "support/worked_craft.hpp"

namespace armwise::test::way_back_test {
namespace {

using Ending = session::BenchResult::Ending;
using Kind = session::Question::Kind;
using What = practice::Happened::What;
using session::MountWish;

constexpr std::array dialects{"tarn", "sedge", "brook", "fell", "moor"};

// Everything is asked: the frame, the props and the name too. One motor turns the wrong way, the board is
// turned, and the map is a cycle, so that there is work of every kind.
session::BenchOptions all_asked(MountWish mount) {
  session::BenchOptions options;
  options.mount = mount;
  return options;
}
practice::PracticeCraft craft_with_work_of_every_kind() {
  practice::PracticeCraft craft =
      worked_craft({"front-right", "rear-right", "rear-left", "front-left"}, {false, true});
  craft.mount = {90, 0, 0};
  return craft;
}

// A session in which the person answers `answer` at question `at` (from 1), once; 0: never.
struct Rehearsal {
  Rehearsal(const std::string& dialect, MountWish mount, practice::PracticeCraft craft,
            RehearsedPerson::Intervene intervene = {})
      : session(dialect, std::move(craft)),
        before(session.port.controller().running()),
        person(session.person, std::move(intervene)) {
    outcome = session.bench_by(person, session.profile, all_asked(mount));
  }
  std::string story() const {
    std::string text;
    for (const session::Question& question : person.asked) text += "  " + question.id + "\n";
    if (outcome.fault) text += outcome.fault->sentence() + "\n";
    return text;
  }
  int count(What what) const {
    const auto& history = session.port.controller().history();
    return static_cast<int>(std::count_if(history.begin(), history.end(),
                                          [&](const auto& happened) { return happened.what == what; }));
  }

  PracticeSession session;
  practice::SettingsView before;
  RehearsedPerson person;
  Outcome outcome;
};

void expect_as_before(Rehearsal& rehearsal, const std::string& where) {
  EXPECT_EQ(rehearsal.session.port.controller().running(), rehearsal.before) << where;
  EXPECT_EQ(rehearsal.session.port.controller().saved(), rehearsal.before) << where;
  EXPECT_TRUE(rehearsal.session.store.open_sessions().empty()) << where;
  EXPECT_TRUE(rehearsal.session.store.records.empty()) << where;
  EXPECT_FALSE(rehearsal.session.anything_turns()) << where;
  EXPECT_EQ(rehearsal.count(What::kept), 0) << where;
}

// The quad-x has to be chosen, not the first of the list; the practice person does the rest.
std::optional<session::Answer> frame_answer(const session::Question& question) {
  if (question.id == "frame") return session::Answer(std::string("quad-x"));
  return std::nullopt;
}

Rehearsal undisturbed(const std::string& dialect, MountWish mount) {
  return Rehearsal(dialect, mount, craft_with_work_of_every_kind(),
                   [](int, const auto& question) { return frame_answer(question); });
}

struct Case {
  const char* dialect;
  MountWish mount;
};

class EveryQuestion : public ::testing::TestWithParam<Case> {};

// Until the settings are kept, stopping leaves the controller as it was. After that the person is told that
// the new settings stand.
TEST_P(EveryQuestion, StoppedAtLeavesTheControllerAsItWas) {
  const Rehearsal whole = undisturbed(GetParam().dialect, GetParam().mount);
  ASSERT_TRUE(whole.outcome.result) << whole.story();
  const int questions = static_cast<int>(whole.person.asked.size());
  bool keep_agreed = false;
  for (int at = 1; at <= questions; ++at) {
    const std::string id = whole.person.asked[static_cast<std::size_t>(at - 1)].id;
    const std::string where =
        std::string(GetParam().dialect) + ", question " + std::to_string(at) + ": " + id;
    Rehearsal stopped(GetParam().dialect, GetParam().mount, craft_with_work_of_every_kind(),
                      [&](int number, const session::Question& question) {
                        if (number == at) throw StoppedByPerson();
                        return frame_answer(question);
                      });
    if (id == "craft") {
      // All is proven and kept: only the name is missing.
      ASSERT_TRUE(stopped.outcome.result) << where << "\n" << stopped.story();
      EXPECT_EQ(stopped.session.store.records.at(0).craft_name, "quad-x");
    } else if (keep_agreed) {
      ASSERT_TRUE(stopped.outcome.fault) << where;
      EXPECT_EQ(stopped.outcome.fault->kind(), FaultKind::left_changed) << where;
      EXPECT_EQ(stopped.outcome.fault->id(), "saved-unrecorded") << where;
    } else {
      EXPECT_TRUE(stopped.outcome.stopped) << where << "\n" << stopped.story();
      expect_as_before(stopped, where);
    }
    if (id == "keep") keep_agreed = true;
  }
}

// "No" where the answer is yes or no: at the plan, at the work by hand, at the keep, at the battery.
TEST_P(EveryQuestion, DeclinedLeavesTheControllerAsItWas) {
  const Rehearsal whole = undisturbed(GetParam().dialect, GetParam().mount);
  std::set<std::string> declined;
  for (std::size_t i = 0; i < whole.person.asked.size(); ++i) {
    const session::Question& asked = whole.person.asked[i];
    if (asked.id == "from-above" || asked.id == "nose-half") continue;  // where "no" is an answer
    if (asked.kind != Kind::confirm || !declined.insert(asked.id).second) continue;
    Rehearsal no(GetParam().dialect, GetParam().mount, craft_with_work_of_every_kind(),
                 [&](int number, const session::Question& question) -> std::optional<session::Answer> {
                   if (number == static_cast<int>(i) + 1) return session::Answer(std::string("no"));
                   return frame_answer(question);
                 });
    EXPECT_TRUE(no.outcome.stopped) << asked.id << "\n" << no.story();
    expect_as_before(no, asked.id);
  }
  EXPECT_TRUE(declined.contains("plan"));
  EXPECT_TRUE(declined.contains("keep"));
  EXPECT_TRUE(declined.contains("battery"));
  EXPECT_EQ(declined.contains("by-hand"), !whole.session.profile.turn.has_value());
}

// The person goes back once at each question in turn, and then answers on: it always ends right, and the
// record keeps what was undone.
TEST_P(EveryQuestion, GoneBackFromEndsRightAllTheSame) {
  const Rehearsal whole = undisturbed(GetParam().dialect, GetParam().mount);
  ASSERT_TRUE(whole.outcome.result);
  for (std::size_t i = 0; i < whole.person.asked.size(); ++i) {
    const session::Question& asked = whole.person.asked[i];
    if (!asked.may_go_back) continue;
    const std::string where =
        std::string(GetParam().dialect) + ", back at question " + std::to_string(i + 1) + ": " + asked.id;
    Rehearsal back(GetParam().dialect, GetParam().mount, craft_with_work_of_every_kind(),
                   [&](int number, const session::Question& question) -> std::optional<session::Answer> {
                     if (number == static_cast<int>(i) + 1) return session::Answer(session::Back{});
                     return frame_answer(question);
                   });
    ASSERT_TRUE(back.outcome.result) << where << "\n" << back.story();
    EXPECT_EQ(back.outcome.result->ending, Ending::proven);
    EXPECT_TRUE(back.session.kept_right(worked_frame(), craft::PropScheme::in)) << where;
    ASSERT_EQ(back.session.store.records.size(), 1U);
    const auto& record = back.session.store.records[0];
    EXPECT_TRUE(record.read_back_matches) << where;
    EXPECT_EQ(record.proof_spins, 4) << where;
    // Nothing is asked, spun or held again but what was gone back over: of a spin two questions each. In the
    // check an answer that was taken back is doubt besides, which may bring one more spin and what goes with
    // it.
    const bool checked = asked.blind || asked.id == "edge" || asked.id == "lid" || asked.id == "go";
    EXPECT_LE(back.person.asked.size(), whole.person.asked.size() + (checked ? 12 : 4)) << where;
    EXPECT_LE(back.session.spins(), whole.session.spins() + (checked ? 4 : 2)) << where;
    // The question before comes again, where there is one that can be taken back.
    ASSERT_GT(back.person.asked.size(), i + 1) << where;
    const bool first = i == 0;
    const session::Question& again = back.person.asked[i + 1];
    // Of a spin's two questions the first has nothing to be taken back.
    const std::size_t step = asked.kind == Kind::spin ? 2 : 1;
    const session::Question& previous = whole.person.asked[first ? 0 : i - step];
    const bool answers_a_spin =
        previous.kind == Kind::spin && again.kind == Kind::go && again.pin == previous.pin;
    if (answers_a_spin) {
      EXPECT_TRUE(std::any_of(record.spins.begin(), record.spins.end(), [&](const auto& spin) {
        return spin.undone && (previous.blind || spin.pin == previous.pin.name);
      })) << where;
    }
    const bool asked_of_one_motor = asked.kind == Kind::spin || asked.kind == Kind::go;
    if (asked_of_one_motor && previous.kind == Kind::spin) {
      EXPECT_TRUE(answers_a_spin) << where << " came to " << again.id << " " << again.pin.name;
    }
  }
}

// Going back and forth at random, as somebody would who is not sure of anything.
TEST_P(EveryQuestion, WanderingBackAndForthEndsRight) {
  for (unsigned seed = 1; seed <= 25; ++seed) {
    std::mt19937 random(seed);
    Rehearsal lost(GetParam().dialect, GetParam().mount, craft_with_work_of_every_kind(),
                   [&](int number, const session::Question& question) -> std::optional<session::Answer> {
                     const bool tired = number > 150;
                     if (!tired && question.may_go_back && random() % 4 == 0)
                       return session::Answer(session::Back{});
                     return frame_answer(question);
                   });
    ASSERT_TRUE(lost.outcome.result) << GetParam().dialect << " seed " << seed << "\n" << lost.story();
    EXPECT_TRUE(lost.session.kept_right(worked_frame(), craft::PropScheme::in)) << "seed " << seed;
    EXPECT_EQ(lost.session.store.records.at(0).proof_spins, 4);
    EXPECT_FALSE(lost.session.anything_turns());
  }
}

INSTANTIATE_TEST_SUITE_P(Dialects, EveryQuestion,
                         ::testing::Values(Case{"tarn", MountWish::leave}, Case{"tarn", MountWish::find},
                                           Case{"sedge", MountWish::leave}, Case{"sedge", MountWish::find},
                                           Case{"brook", MountWish::leave}, Case{"fell", MountWish::leave},
                                           Case{"fell", MountWish::find}, Case{"moor", MountWish::leave},
                                           Case{"moor", MountWish::find}),
                         [](const auto& given) {
                           return std::string(given.param.dialect) +
                                  (given.param.mount == MountWish::find ? "WithMount" : "");
                         });

TEST(Stop, InTheMiddleOfASpinStopsTheMotorFirst) {
  for (const char* dialect : dialects) {
    for (const int spin : {1, 3, 5, 8}) {
      practice::PersonScript script;
      script.during_spin[spin] = practice::PersonScript::Slip::stop;
      PracticeSession session(dialect, worked_craft(), script);
      const practice::SettingsView before = session.port.controller().running();
      const Outcome outcome = session.bench(worked_options());
      EXPECT_TRUE(outcome.stopped) << dialect << " " << spin;
      EXPECT_FALSE(session.anything_turns()) << dialect << " " << spin;
      EXPECT_EQ(session.port.controller().running(), before) << dialect << " " << spin;
      EXPECT_EQ(session.port.controller().saved(), before) << dialect << " " << spin;
      EXPECT_EQ(session.spins(), spin);
    }
  }
}

TEST(DryRun, WritesNothingAndListsTheVeryLinesThatTheRealRunWrites) {
  for (const char* dialect : dialects) {
    for (const MountWish mount : {MountWish::leave, MountWish::find}) {
      const auto run = [&](bool dry) {
        PracticeSession session(dialect, craft_with_work_of_every_kind());
        RehearsedPerson person(session.person);
        session::BenchOptions options = worked_options(mount);
        options.dry_run = dry;
        const practice::SettingsView before = session.port.controller().running();
        const Outcome outcome = session.bench_by(person, session.profile, options);
        EXPECT_TRUE(outcome.result) << dialect;
        std::vector<std::string> planned, wrote, heard;
        for (const session::Statement& statement : person.told) {
          const auto& lines = statement.console_lines;
          if (statement.kind == session::Statement::Kind::plan)
            planned.insert(planned.end(), lines.begin(), lines.end());
          if (statement.kind == session::Statement::Kind::wrote)
            wrote.insert(wrote.end(), lines.begin(), lines.end());
        }
        for (const practice::Happened& happened : session.port.controller().history()) {
          if (happened.what == What::wrote) heard.push_back(happened.line);
          EXPECT_FALSE(dry && happened.what == What::kept);
          EXPECT_FALSE(dry && happened.what == What::restarted);
        }
        if (dry) {
          EXPECT_EQ(outcome.result->ending, Ending::planned_only);
          EXPECT_TRUE(heard.empty()) << dialect << " heard a write in a dry run: " << heard.front();
          EXPECT_EQ(session.port.controller().running(), before);
          EXPECT_TRUE(session.store.journals.empty());
          EXPECT_TRUE(session.store.records.empty());
          EXPECT_EQ(session.spins(), 4);
        } else {
          EXPECT_EQ(wrote, planned) << dialect;
          // Of a menu's steps the controller notes the one that does it; of the others, the very line.
          if (std::string(dialect) != "fell") {
            EXPECT_EQ(heard, planned) << dialect;
          }
          EXPECT_FALSE(heard.empty());
        }
        return planned;
      };
      const std::vector<std::string> dry = run(true), real = run(false);
      EXPECT_FALSE(dry.empty());
      EXPECT_EQ(dry, real) << dialect;
    }
  }
}

TEST(RightAlready, IsNotWrittenToAndStillSavedAndProven) {
  for (const char* dialect : dialects) {
    PracticeSession session(dialect, worked_craft(as_numbered(dialect)));
    const practice::SettingsView before = session.port.controller().running();
    const Outcome outcome = session.bench(worked_options());
    ASSERT_TRUE(outcome.result) << dialect;
    EXPECT_EQ(outcome.result->ending, Ending::proven);
    EXPECT_TRUE(session.told("plan-empty"));
    EXPECT_TRUE(session.told("motors-proven", {{"motors", "4"}}));
    for (const practice::Happened& happened : session.port.controller().history())
      EXPECT_FALSE(happened.what == What::wrote) << dialect << ": " << happened.line;
    const bool late = std::string(dialect) == "moor";  // proven once more after the restart
    EXPECT_EQ(session.spins(), 4 + 4 + (late ? 4 : 0));
    EXPECT_EQ(session.person.asked("plan"), 0);
    EXPECT_EQ(session.person.asked("keep"), 1);
    EXPECT_EQ(session.port.controller().running(), before);
    EXPECT_TRUE(session.store.open_sessions().empty());
    ASSERT_EQ(session.store.records.size(), 1U);
    EXPECT_TRUE(session.store.records[0].kept);
    EXPECT_TRUE(session.store.records[0].read_back_matches);
    EXPECT_EQ(session.store.records[0].proof_spins, 4);
    EXPECT_TRUE(session.store.records[0].changes.empty());
  }
}

TEST(EveryTurnOpposite, BothWaysOutEndRight) {
  for (const char* dialect : dialects) {
    for (const char* way : {"reverse", "change-over"}) {
      practice::PersonScript script;
      script.answers["all-opposite"] = {way};
      PracticeSession session(
          dialect,
          worked_craft({"front-right", "rear-right", "rear-left", "front-left"}, {true, true, true, true}),
          script);
      const Outcome outcome = session.bench(worked_options());
      ASSERT_TRUE(outcome.result) << dialect << " " << way;
      EXPECT_EQ(session.person.asked("all-opposite"), 1);
      const bool changed_over = std::string(way) == "change-over";
      const craft::PropScheme flown = changed_over ? craft::PropScheme::out : craft::PropScheme::in;
      EXPECT_TRUE(session.kept_right(worked_frame(), flown)) << dialect << " " << way;
      EXPECT_EQ(session.store.records.at(0).scheme, flown);
      if (session.profile.props) {
        EXPECT_EQ(session.port.controller().saved().props, flown) << dialect;
      }
      EXPECT_EQ(session.person.asked("by-hand"), !session.profile.turn && !changed_over ? 1 : 0);
    }
  }
}

}  // namespace
}  // namespace armwise::test::way_back_test
