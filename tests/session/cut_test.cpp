// A session that is cut at every byte, each way: no motor is left turning unsaid, and what is kept is all old
// or all new, or named by a journal from which `recover` makes it so.
#include <gtest/gtest.h>

#include <cstdint>
#include <iostream>
#include <map>
#include <string>

#include "support/sweep.hpp"
#include "support/torn.hpp"
#include "support/worked_craft.hpp"

namespace armwise::test::cut_test {
namespace {

using practice::Mischief;
using practice::MischiefPlan;
using practice::Way;

struct Cut {
  const char* dialect;
  Mischief what;
  Way way;
  int step;  // every how manieth byte
  session::MountWish mount = session::MountWish::leave;
};

std::string words(const Cut& cut) {
  std::string name = std::string(cut.dialect) + "_";
  name += cut.what == Mischief::cut_line            ? "dead"
          : cut.what == Mischief::vanish_same_name  ? "gone_and_back"
          : cut.what == Mischief::vanish_other_name ? "gone_and_renamed"
                                                    : "gone_for_ever";
  name += cut.way == Way::to_controller ? "_in_what_is_sent" : "_in_what_is_answered";
  return name + (cut.mount == session::MountWish::leave ? "" : "_with_mount");
}

practice::Habits short_listing() {
  practice::Habits habits;
  habits.invented_lines = 6;
  return habits;
}

// Two pins on other arms than the controller believes, one motor the wrong way round, a board on its side.
practice::PracticeCraft craft_to_cut() {
  practice::PracticeCraft craft =
      worked_craft({"rear-left", "front-right", "rear-right", "front-left"}, {false, true});
  craft.mount = {90, 0, 0};
  return craft;
}

std::string all_told(const PracticeSession& session) {
  std::string all;
  all += session.all_told();
  return all;
}

class CutAtEveryByte : public ::testing::TestWithParam<Cut> {
 protected:
  // The session that nothing happens to: what it leaves, and how many bytes it takes.
  void SetUp() override {
    PracticeSession session(GetParam().dialect, craft_to_cut(), {}, {}, {}, short_listing());
    settings_.before = session.port.controller().saved();
    practice::PracticePlug plug(session.port, session.clock);
    CountingPlug counting(plug, passed_);
    const Outcome outcome = bench_on(counting, session.profile, session.person, session.store, session.clock,
                                     worked_options(GetParam().mount));
    ASSERT_TRUE(outcome.result) << (outcome.fault ? outcome.fault->sentence() : "");
    settings_.after = session.port.controller().saved();
    ASSERT_FALSE(settings_.after == settings_.before) << "the session would prove nothing";
  }

  // One cut session, then `recover` with this choice. True where `finish` would have been offered.
  bool cut_at(std::uint64_t byte, const std::string& choice) {
    MischiefPlan plan;
    plan.what = GetParam().what;
    plan.way = GetParam().way;
    plan.at = byte;
    practice::PersonScript script;
    script.answers["recover"] = {choice};
    PracticeSession session(GetParam().dialect, craft_to_cut(), script, plan, {}, short_listing());
    const Instant began = session.clock.now();
    const Outcome outcome = session.bench(worked_options(GetParam().mount));
    std::string broken;
    ++ended_[judge(session, outcome, settings_, broken)];
    const Duration took = session.clock.now() - began;
    longest_ = std::max(longest_, took);
    if (took > std::chrono::minutes(6)) broken += "took " + std::to_string(took.count()) + " ms\n";
    bool proven = false;
    for (const record::OpenSession& open : session.store.open_sessions()) {
      for (const record::JournalEntry& entry : open.entries)
        proven = proven || entry.what == record::JournalEntry::What::proven;
    }
    judge_recovery(session, settings_, byte % 2 == 1, broken);
    ++sessions_;
    EXPECT_EQ(broken, "") << "cut at byte " << byte << ", recover: " << choice << "\n"
                          << (outcome.fault ? outcome.fault->sentence() : "no fault") << "\n"
                          << all_told(session);
    return proven;
  }

  OldAndNew settings_;
  Passed passed_;
  std::map<Ended, int> ended_;
  int sessions_ = 0;
  Duration longest_{0};
};

TEST_P(CutAtEveryByte, EndsAllOldOrAllNewAndNoMotorTurnsUnsaid) {
  const bool sent = GetParam().way == Way::to_controller;
  const std::uint64_t bytes = sent ? passed_.to_controller : passed_.from_controller;
  ASSERT_GT(bytes, 200U);
  const int step = one_in(GetParam().step);
  for (auto byte = static_cast<std::uint64_t>(1 + first_of(step)); byte <= bytes;
       byte += static_cast<std::uint64_t>(step)) {
    const bool finish_is_offered = cut_at(byte, "back");
    if (finish_is_offered) cut_at(byte, "finish");
    if (HasFailure()) break;
  }
  std::cout << words(GetParam()) << ": " << bytes << " bytes, " << sessions_ << " sessions:";
  for (const auto& [ended, count] : ended_) std::cout << " " << name(ended) << " " << count << ";";
  std::cout << " the longest took " << longest_.count() / 1000 << " s of its time\n";
}

constexpr auto to = Way::to_controller;
constexpr auto from = Way::from_controller;
constexpr auto with_mount = session::MountWish::find;

INSTANTIATE_TEST_SUITE_P(
    Cuts, CutAtEveryByte,
    ::testing::Values(
        Cut{"tarn", Mischief::cut_line, to, 1}, Cut{"tarn", Mischief::cut_line, from, 1},
        Cut{"tarn", Mischief::vanish_same_name, to, 1}, Cut{"tarn", Mischief::vanish_same_name, from, 1},
        Cut{"tarn", Mischief::vanish_other_name, to, 7}, Cut{"tarn", Mischief::vanish_other_name, from, 7},
        Cut{"tarn", Mischief::vanish_for_ever, to, 7}, Cut{"tarn", Mischief::vanish_for_ever, from, 7},
        Cut{"tarn", Mischief::vanish_same_name, from, 13, with_mount},
        Cut{"tarn", Mischief::cut_line, to, 13, with_mount}, Cut{"sedge", Mischief::cut_line, to, 11},
        Cut{"sedge", Mischief::vanish_same_name, from, 11}, Cut{"fell", Mischief::cut_line, to, 11},
        Cut{"fell", Mischief::vanish_same_name, from, 11}, Cut{"brook", Mischief::cut_line, from, 11},
        Cut{"brook", Mischief::vanish_other_name, to, 11}, Cut{"moor", Mischief::cut_line, from, 11},
        Cut{"moor", Mischief::vanish_same_name, to, 11}),
    [](const ::testing::TestParamInfo<Cut>& given) { return words(given.param); });

}  // namespace
}  // namespace armwise::test::cut_test
