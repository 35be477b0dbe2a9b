// Reapply, also with the saved whole configuration played back, cut at its bytes, each way: what is kept is
// all old or all new, or named by a journal from which `recover` makes it so. As cut_test.cpp does for bench.
#include <gtest/gtest.h>

#include <iostream>

#include "support/sweep.hpp"
#include "support/torn.hpp"
#include "support/worked_craft.hpp"

namespace armwise::test::reapply_cut_test {
namespace {

using practice::Mischief;
using practice::Way;

struct Cut {
  const char* dialect;
  bool whole;
  Mischief what;
  Way way;
  int step;                      // every how manieth byte
  bool nothing_to_plan = false;  // what is played back is all that has to change
};

std::string words(const Cut& cut) {
  return std::string(cut.dialect) + (cut.whole ? "_whole" : "") + (cut.nothing_to_plan ? "_alone" : "") +
         (cut.what == Mischief::cut_line ? "_dead" : "_gone_and_back") +
         (cut.way == Way::to_controller ? "_in_what_is_sent" : "_in_what_is_answered");
}

practice::Habits short_listing() {
  practice::Habits habits;
  habits.invented_lines = 6;
  return habits;
}

class ReapplyCut : public ::testing::TestWithParam<Cut> {
 protected:
  void SetUp() override {
    practice::PracticeCraft craft =
        worked_craft({"rear-left", "front-right", "rear-right", "front-left"}, {false, true});
    if (GetParam().nothing_to_plan) craft = worked_craft(as_numbered(GetParam().dialect), {false, true});
    craft.start.entries = {{"birch_limit_1", "17"}, {"fjord_limit_5", "4711"}};
    PracticeSession first_day(GetParam().dialect, craft, {}, {}, {}, short_listing());
    const Outcome first = first_day.bench(worked_options());
    ASSERT_TRUE(first.result);
    record_ = first_day.store.records.at(0);
    if (GetParam().whole) options_.configuration = first_day.store.configurations.back();
    wiped_ = first_day.port.controller().craft();
    wiped_.start = {};

    PracticeSession session(GetParam().dialect, wiped_, {}, {}, {}, short_listing());
    settings_.before = session.port.controller().saved();
    practice::PracticePlug plug(session.port, session.clock);
    CountingPlug counting(plug, passed_);
    const Outcome outcome = reapply_on(counting, session.profile, session.person, session.store,
                                       session.clock, record_, options_);
    ASSERT_TRUE(outcome.result) << (outcome.fault ? outcome.fault->sentence() : "");
    settings_.after = session.port.controller().saved();
    ASSERT_FALSE(settings_.after == settings_.before) << "the session would prove nothing";
    ASSERT_EQ(settings_.after.entries.size(), GetParam().whole ? 2U : 0U);
  }

  bool cut_at(std::uint64_t byte, const std::string& choice) {
    practice::MischiefPlan plan;
    plan.what = GetParam().what;
    plan.way = GetParam().way;
    plan.at = byte;
    practice::PersonScript script;
    script.answers["recover"] = {choice};
    PracticeSession session(GetParam().dialect, wiped_, script, plan, {}, short_listing());
    const Outcome outcome = session.reapply(record_, options_);
    std::string broken;
    ++ended_[judge(session, outcome, settings_, broken)];
    bool finish_is_offered = false;
    for (const record::OpenSession& open : session.store.open_sessions()) {
      for (const record::JournalEntry& entry : open.entries)
        finish_is_offered = finish_is_offered || entry.what == record::JournalEntry::What::proven;
    }
    judge_recovery(session, settings_, byte % 2 == 1, broken);
    ++sessions_;
    EXPECT_EQ(broken, "") << "cut at byte " << byte << ", recover: " << choice << "\n"
                          << (outcome.fault ? outcome.fault->sentence() : "no fault");
    return finish_is_offered;
  }

  record::CraftRecord record_;
  session::ReapplyOptions options_;
  practice::PracticeCraft wiped_;
  OldAndNew settings_;
  Passed passed_;
  std::map<Ended, int> ended_;
  int sessions_ = 0;
};

TEST_P(ReapplyCut, EndsAllOldOrAllNewAndNoMotorTurnsUnsaid) {
  const bool sent = GetParam().way == Way::to_controller;
  const std::uint64_t bytes = sent ? passed_.to_controller : passed_.from_controller;
  ASSERT_GT(bytes, 200U);
  const int step = one_in(GetParam().step);
  for (auto byte = static_cast<std::uint64_t>(1 + first_of(step)); byte <= bytes && !HasFailure();
       byte += static_cast<std::uint64_t>(step)) {
    const bool finish_is_offered = cut_at(byte, "back");
    if (finish_is_offered) cut_at(byte, "finish");
  }
  std::cout << words(GetParam()) << ": " << bytes << " bytes, " << sessions_ << " sessions:";
  for (const auto& [ended, count] : ended_) std::cout << " " << name(ended) << " " << count << ";";
  std::cout << "\n";
}

constexpr auto to = Way::to_controller;
constexpr auto from = Way::from_controller;

INSTANTIATE_TEST_SUITE_P(Cuts, ReapplyCut,
                         ::testing::Values(Cut{"sedge", true, Mischief::cut_line, to, 1},
                                           Cut{"sedge", true, Mischief::vanish_same_name, to, 1},
                                           Cut{"sedge", true, Mischief::cut_line, from, 7},
                                           Cut{"sedge", true, Mischief::vanish_same_name, from, 7},
                                           Cut{"sedge", true, Mischief::cut_line, to, 1, true},
                                           Cut{"sedge", true, Mischief::vanish_same_name, from, 7, true},
                                           Cut{"tarn", false, Mischief::vanish_same_name, to, 3},
                                           Cut{"moor", false, Mischief::vanish_same_name, to, 3}),
                         [](const ::testing::TestParamInfo<Cut>& given) { return words(given.param); });

}  // namespace
}  // namespace armwise::test::reapply_cut_test
