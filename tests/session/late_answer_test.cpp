// Answers that come late: no motor turns longer for it, the guard has no cause to step in, and what was
// refused is said.
#include <gtest/gtest.h>

#include <boost/asio/co_spawn.hpp>
#include <boost/asio/io_context.hpp>
#include <functional>
#include <memory>
#include <utility>

#include "armwise/base/task.hpp"
#include "support/guard_on_paper.hpp"
#include "support/practice_session.hpp"
#include "support/sweep.hpp"
#include "support/warned_person.hpp"
#include "support/worked_craft.hpp"

namespace armwise::test::late_answer_test {
namespace {

practice::Habits late_by(Duration latency) {
  practice::Habits habits;
  habits.latency = latency;
  return habits;
}

// A profile as it is taught on a console that answers so late.
console::Profile patient(const std::string& dialect, Duration latency) {
  console::Profile profile = fixture_profile(dialect);
  profile.timing.reply = std::max(profile.timing.reply, 2 * latency);
  profile.timing.listing = 2 * profile.timing.listing;
  profile.sense.reset();  // too late to measure with while somebody holds the craft
  return profile;
}

// A line on which nothing passes any more from some moment on.
class DyingLine : public console::Line {
 public:
  DyingLine(std::unique_ptr<console::Line> line, Clock& clock, const std::function<bool()>& dead)
      : line_(std::move(line)), clock_(clock), dead_(dead) {}
  Task<console::Received> read(Duration within) override {
    console::Received got;
    got.status = console::Received::Status::quiet;
    if (dead_()) {
      co_await clock_.sleep(within);
    } else {
      got = co_await line_->read(within);
    }
    co_return got;
  }
  Task<void> write(std::string_view bytes, Duration within) override {
    if (!dead_()) co_await line_->write(bytes, within);
  }
  void discard_input() override { line_->discard_input(); }
  std::string name() const override { return line_->name(); }

 private:
  std::unique_ptr<console::Line> line_;
  Clock& clock_;
  const std::function<bool()>& dead_;
};
class DyingPlug : public console::Plug {
 public:
  DyingPlug(console::Plug& plug, Clock& clock, std::function<bool()> dead)
      : plug_(plug), clock_(clock), dead_(std::move(dead)) {}
  Task<std::unique_ptr<console::Line>> open() override {
    std::unique_ptr<console::Line> line = co_await plug_.open();
    co_return std::make_unique<DyingLine>(std::move(line), clock_, dead_);
  }
  Task<std::unique_ptr<console::Line>> reopen(Duration within) override {
    std::unique_ptr<console::Line> line = co_await plug_.reopen(within);
    co_return std::make_unique<DyingLine>(std::move(line), clock_, dead_);
  }
  std::string renamed() const override { return plug_.renamed(); }
  std::string identity() const override { return plug_.identity(); }

 private:
  console::Plug& plug_;
  Clock& clock_;
  std::function<bool()> dead_;
};

struct LateSession {
  LateSession(const std::string& dialect, Duration latency, const practice::MischiefPlan& mischief = {})
      : session(dialect, worked_craft(), {}, mischief, {}, late_by(latency)),
        sentry(session.clock),
        spoken(patient(dialect, latency)) {}

  void bench() { bench(session.person); }
  void bench(session::Person& person) {
    practice::PracticePlug straight(session.port, session.clock);
    DyingPlug plug(straight, session.clock, [this] { return dead_after_spin && session.spins() > 0; });
    console::ProfileConsole console(plug, spoken, session.clock, sentry);
    boost::asio::io_context loop;
    std::exception_ptr trouble;
    const session::BenchOptions options = worked_options();
    boost::asio::co_spawn(loop, session::bench(console, person, session.store, session.clock, options),
                          [&](std::exception_ptr error, const session::BenchResult& ended) {
                            trouble = error;
                            if (!error) result = ended;
                          });
    loop.run();
    try {
      if (trouble) std::rethrow_exception(trouble);
    } catch (const Fault& caught) {
      fault = caught;
    }
  }

  PracticeSession session;
  GuardOnPaper sentry;
  console::Profile spoken;
  std::optional<session::BenchResult> result;
  std::optional<Fault> fault;
  bool dead_after_spin = false;  // from the first one on nothing passes any more, either way
};

class LateAnswers : public testing::TestWithParam<std::tuple<const char*, int>> {};

// A defect found: the spin's time began with its answer, so a motor turned for as long as that was late, and
// the guard stopped it and ended the session.
TEST_P(LateAnswers, LetNoMotorTurnLongerAndEndInAKeptResult) {
  const auto& [dialect, milliseconds] = GetParam();
  LateSession late(dialect, Duration(milliseconds));
  late.bench();
  ASSERT_TRUE(late.result) << (late.fault ? late.fault->sentence() : "stopped");
  EXPECT_EQ(late.result->ending, session::BenchResult::Ending::proven);
  EXPECT_TRUE(late.session.kept_right(worked_frame(), craft::PropScheme::in));
  EXPECT_FALSE(late.session.anything_turns());
  EXPECT_LE(longest_spin(late.session.port.controller()), worked_options().spin_time + Duration(300));
  EXPECT_FALSE(late.sentry.stepped_in);
}

INSTANTIATE_TEST_SUITE_P(Consoles, LateAnswers,
                         testing::Combine(testing::Values("tarn", "sedge", "fell", "brook", "moor"),
                                          testing::Values(100, 210, 250, 400, 700, 1240, 1260, 2500)));

class LostStop : public testing::TestWithParam<std::tuple<const char*, int, bool>> {};

// Defects found: behind a late answer the lost stop was only missed when no answer to it had come for as long
// as one may take, 7.5 s at 2.5 s; and where the console repeats what is sent, and confirms a stop in the
// very words of the order, the echo was taken for the confirmation: a motor turned on for half a minute,
// unsaid.
TEST_P(LostStop, BehindALateAnswerIsSoonSaidAgain) {
  const auto& [dialect, milliseconds, has_words] = GetParam();
  for (std::uint64_t stop = 1; stop <= 12; ++stop) {
    LateSession late(dialect, Duration(milliseconds), {practice::Mischief::swallow_stop, stop});
    if (!has_words) late.spoken.spin->stop_all.confirms.reset();
    late.bench();
    EXPECT_FALSE(late.session.anything_turns()) << stop;
    EXPECT_LE(longest_spin(late.session.port.controller()), worked_options().spin_time + Duration(900))
        << stop;
  }
}

// Only another stop makes sure there, and the guard has no cause to step in meanwhile.
TEST_P(LostStop, OrNot_ASessionEndsInAKeptResult) {
  const auto& [dialect, milliseconds, has_words] = GetParam();
  LateSession late(dialect, Duration(milliseconds));
  if (!has_words) late.spoken.spin->stop_all.confirms.reset();
  late.bench();
  ASSERT_TRUE(late.result) << (late.fault ? late.fault->sentence() : "stopped");
  EXPECT_EQ(late.result->ending, session::BenchResult::Ending::proven);
  EXPECT_FALSE(late.sentry.stepped_in);
}

INSTANTIATE_TEST_SUITE_P(Consoles, LostStop,
                         testing::Combine(testing::Values("tarn", "sedge", "fell", "brook", "moor"),
                                          testing::Values(400, 700, 2500), testing::Bool()));

// One answer comes late and the next ones at once, as where a computer is busy: without prompt and echo, the
// refusal of the word that spoils stood in the answer to the spin and passed for it.
TEST(LateAnswer, OfOneCommandIsNoRefusalOfASpin) {
  InTurn turn;
  for (const char* dialect : {"brook", "moor", "tarn"}) {
    for (std::uint64_t command = 1; command <= 60; ++command) {
      if (turn.is_left_out()) continue;
      LateSession late(dialect, Duration(0), {practice::Mischief::late_answer, command});
      late.bench();
      const std::string why = late.fault ? late.fault->sentence() : "";
      EXPECT_FALSE(late.fault && late.fault->kind() == FaultKind::refused) << dialect << command << why;
      EXPECT_FALSE(late.session.anything_turns());
    }
  }
}

class SilentStop : public testing::TestWithParam<std::tuple<const char*, int>> {};

// Nothing passes any more once the stop is due. A defect found: behind a late answer that was said only after
// a whole try of the stop had failed, after 7 s where a reply takes one at most.
TEST_P(SilentStop, IsSaidAsSoonAsAReplyIsOverdue) {
  const auto& [dialect, milliseconds] = GetParam();
  LateSession late(dialect, Duration(milliseconds));
  WarnedPerson warned(late.session.person, late.session.clock);
  late.dead_after_spin = true;
  late.bench(warned);
  ASSERT_TRUE(warned.at) << (late.fault ? late.fault->sentence() : "");
  EXPECT_LE(*warned.at - warned.stop_is_due, late.spoken.timing.reply + Duration(50));
  EXPECT_TRUE(late.fault);
}

// No false alarm where a console is known to be slow, whatever its stop is known by.
TEST_P(SilentStop, IsNotSaidOfAConsoleThatIsKnownToBeSlow) {
  const auto& [dialect, milliseconds] = GetParam();
  for (const bool has_words : {true, false}) {
    LateSession late(dialect, Duration(milliseconds));
    if (!has_words) late.spoken.spin->stop_all.confirms.reset();
    WarnedPerson warned(late.session.person, late.session.clock);
    late.bench(warned);
    ASSERT_TRUE(late.result) << (late.fault ? late.fault->sentence() : "stopped");
    EXPECT_FALSE(warned.at);
  }
}

INSTANTIATE_TEST_SUITE_P(Consoles, SilentStop,
                         testing::Combine(testing::Values("tarn", "sedge", "fell", "brook", "moor"),
                                          testing::Values(0, 400, 700, 2500)));

TEST(LateRefusal, OfASpinIsSaidInTheConsolesWords) {
  LateSession late("tarn", Duration(700));
  late.spoken.spin->standard = late.spoken.spin->highest = 40;
  late.bench();
  ASSERT_TRUE(late.fault);
  EXPECT_EQ(late.fault->kind(), FaultKind::refused);
  EXPECT_NE(late.fault->sentence().find("no: out of range"), std::string::npos) << late.fault->sentence();
  EXPECT_FALSE(late.sentry.stepped_in);
  EXPECT_EQ(late.session.spins(), 0);
}

}  // namespace
}  // namespace armwise::test::late_answer_test
