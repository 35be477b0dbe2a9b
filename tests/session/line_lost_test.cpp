// The line is lost: what is sent first when it is back, and what the person is told meanwhile.
#include <gtest/gtest.h>

#include <algorithm>
#include <memory>
#include <string>
#include <utility>
#include <vector>

#include "armwise/base/task.hpp"
#include "armwise/console/conversation.hpp"
#include "support/sweep.hpp"
#include "support/torn.hpp"
#include "support/worked_craft.hpp"

namespace armwise::test::line_lost_test {
namespace {

using practice::Mischief;
using practice::MischiefPlan;

// Writes down what is sent, line by line of the port: a new list for each opening.
struct Sent {
  std::vector<std::vector<std::string>> openings;
};

class NotingLine : public console::Line {
 public:
  NotingLine(std::unique_ptr<console::Line> line, Sent& sent) : line_(std::move(line)), sent_(sent) {
    sent_.openings.emplace_back();
  }
  Task<console::Received> read(Duration within) override {
    console::Received received = co_await line_->read(within);
    co_return received;
  }
  Task<void> write(std::string_view bytes, Duration within) override {
    sent_.openings.back().emplace_back(bytes);
    co_await line_->write(bytes, within);
  }
  void discard_input() override { line_->discard_input(); }
  std::string name() const override { return line_->name(); }

 private:
  std::unique_ptr<console::Line> line_;
  Sent& sent_;
};

class NotingPlug : public console::Plug {
 public:
  NotingPlug(console::Plug& plug, Sent& sent) : plug_(plug), sent_(sent) {}
  Task<std::unique_ptr<console::Line>> open() override {
    std::unique_ptr<console::Line> line = co_await plug_.open();
    co_return std::make_unique<NotingLine>(std::move(line), sent_);
  }
  Task<std::unique_ptr<console::Line>> reopen(Duration within) override {
    std::unique_ptr<console::Line> line = co_await plug_.reopen(within);
    co_return std::make_unique<NotingLine>(std::move(line), sent_);
  }
  std::string renamed() const override { return plug_.renamed(); }
  std::string identity() const override { return plug_.identity(); }

 private:
  console::Plug& plug_;
  Sent& sent_;
};

// The byte of what is sent with which the `nth` line that begins so begins.
std::uint64_t byte_of(const std::string& beginning, int nth) {
  PracticeSession session("tarn", worked_craft());
  practice::PracticePlug practice(session.port, session.clock);
  Sent sent;
  NotingPlug plug(practice, sent);
  bench_on(plug, session.profile, session.person, session.store, session.clock, worked_options());
  std::uint64_t passed = 0;
  for (const std::string& line : sent.openings.front()) {
    if (line.starts_with(beginning) && --nth == 0) return passed + 1;
    passed += line.size();
  }
  return 0;
}

struct Lost {
  explicit Lost(const MischiefPlan& plan)
      : session("tarn", worked_craft(), {}, plan), before(session.port.controller().saved()) {
    practice::PracticePlug practice(session.port, session.clock);
    NotingPlug plug(practice, sent);
    outcome = bench_on(plug, session.profile, session.person, session.store, session.clock, worked_options());
  }
  PracticeSession session;
  practice::SettingsView before;
  Sent sent;
  Outcome outcome;
};

std::string stop_line() {
  const std::string lines = console::stop_lines(fixture_profile("tarn"));
  return lines.substr(0, lines.find_first_of("\r\n"));
}

MischiefPlan in_the_stop(Mischief what, int nth) {
  MischiefPlan plan;
  plan.what = what;
  plan.way = practice::Way::to_controller;
  plan.at = byte_of(stop_line(), nth);
  return plan;
}

TEST(LineLost, InMidSpinTheStopIsTheFirstThingSentWhenItIsBack) {
  for (const Mischief what : {Mischief::vanish_same_name, Mischief::vanish_other_name}) {
    Lost lost(in_the_stop(what, 2));
    ASSERT_GE(lost.sent.openings.size(), 2U);
    const std::string first = lost.sent.openings[1].front();
    EXPECT_NE(first.find(stop_line()), std::string::npos) << first;
    const std::string spoiled = console::spoiled_line_end(lost.session.profile);
    EXPECT_EQ(first.find(stop_line()), spoiled.size()) << "nothing but a spoiled line end before it";
    EXPECT_TRUE(first.starts_with(spoiled)) << first;
    EXPECT_FALSE(lost.session.anything_turns());
    EXPECT_TRUE(lost.session.told("stop-lost"));
    EXPECT_TRUE(lost.session.told("stop-found"));
    ASSERT_TRUE(lost.outcome.fault);
    EXPECT_EQ(lost.outcome.fault->kind(), FaultKind::line_lost);
    EXPECT_TRUE(holds(lost.before, lost.session.port));
  }
}

TEST(LineLost, ForGoodInMidSpinEndsUnsafeAndSaysPullTheBattery) {
  Lost lost(in_the_stop(Mischief::vanish_for_ever, 2));
  ASSERT_TRUE(lost.outcome.fault);
  EXPECT_EQ(lost.outcome.fault->kind(), FaultKind::unsafe);
  EXPECT_NE(lost.outcome.fault->sentence().find("Keep clear and pull the battery plug"), std::string::npos);
  EXPECT_TRUE(lost.session.told("stop-lost"));
  EXPECT_FALSE(lost.session.told("stop-found"));
}

// The proof: new settings run, nothing is kept.
TEST(LineLost, WithChangesWrittenTheyAreTakenBackOnceItIsBack) {
  Lost lost(in_the_stop(Mischief::vanish_same_name, 6));
  ASSERT_TRUE(lost.outcome.fault);
  EXPECT_EQ(lost.outcome.fault->kind(), FaultKind::line_lost) << lost.outcome.fault->sentence();
  EXPECT_TRUE(lost.session.told("undone"));
  EXPECT_TRUE(holds(lost.before, lost.session.port));
  EXPECT_TRUE(lost.session.store.open_sessions().empty());
}

TEST(LineLost, ForGoodWithChangesWrittenPointsToRecover) {
  Lost lost(in_the_stop(Mischief::vanish_for_ever, 6));
  ASSERT_TRUE(lost.outcome.fault);
  EXPECT_EQ(lost.outcome.fault->kind(), FaultKind::left_changed);
  const std::string sentence = lost.outcome.fault->sentence();
  EXPECT_NE(sentence.find("armwise recover"), std::string::npos) << sentence;
  EXPECT_NE(sentence.find("pull the battery plug"), std::string::npos) << sentence;
  EXPECT_EQ(lost.session.store.open_sessions().size(), 1U);
}

// A defect found: the line was lost with the order to keep, so nothing was kept; the controller had not
// restarted, so that what was read back was what it ran, and the session ended as proven.
TEST(LineLost, WithTheOrderToKeepTheOrderIsGivenAgain) {
  MischiefPlan plan;
  plan.what = Mischief::vanish_same_name;
  plan.way = practice::Way::to_controller;
  plan.at = byte_of("keep", 1) + 2;
  Lost lost(plan);
  ASSERT_TRUE(lost.outcome.result) << lost.outcome.fault->sentence();
  EXPECT_TRUE(lost.session.kept_right(worked_frame(), craft::PropScheme::in));
}

// A defect found: a byte lost in the first reading of the map got into what everything is taken back to.
TEST(Disturbed, FirstReadingOfTheSettingsIsReadAgain) {
  int read_again = 0;
  practice::Habits short_listing;
  short_listing.invented_lines = 6;
  for (auto byte = static_cast<std::uint64_t>(1 + first_of(every)); byte < 1600;
       byte += static_cast<std::uint64_t>(every)) {
    MischiefPlan plan;
    plan.what = Mischief::drop_byte;
    plan.at = byte;
    PracticeSession session("tarn", worked_craft(), {}, plan, {}, short_listing);
    const practice::SettingsView before = session.port.controller().saved();
    const Outcome outcome = session.bench(worked_options());
    if (session.told("settings-unsteady")) ++read_again;
    if (outcome.result) {
      EXPECT_TRUE(session.kept_right(worked_frame(), craft::PropScheme::in)) << byte;
    } else {
      EXPECT_TRUE(holds(before, session.port)) << byte << ": " << outcome.fault->sentence();
    }
  }
  if (!sanitized) {
    EXPECT_GT(read_again, 0);
  }
}

// A defect found: a byte damaged in the name of the board got into the journal, and recover then took the
// controller for another one.
TEST(Disturbed, NameOfTheBoardIsAskedForAgain) {
  for (std::uint64_t command = 1; command <= 6; ++command) {
    MischiefPlan plan;
    plan.what = Mischief::hostile_bytes;
    plan.at = command;
    PracticeSession session("tarn", worked_craft(), {}, plan);
    const Outcome outcome = session.bench(worked_options());
    ASSERT_TRUE(outcome.result) << command << ": " << (outcome.fault ? outcome.fault->sentence() : "");
    EXPECT_TRUE(is_printable(session.store.records.at(0).identity.board));
    EXPECT_EQ(session.store.records[0].identity.board.find('\x1b'), std::string::npos);
    EXPECT_EQ(session.store.records[0].identity.in_words().find("31m"), std::string::npos) << command;
  }
}

}  // namespace
}  // namespace armwise::test::line_lost_test
