// Answers that come late: no motor turns longer for it, the guard has no cause to step in, and what was
// refused is said.
#include <gtest/gtest.h>

#include <boost/asio/co_spawn.hpp>
#include <boost/asio/io_context.hpp>

#include "support/guard_on_paper.hpp"
#include "support/practice_session.hpp"
#include "support/worked_craft.hpp"

namespace armwise::test {
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

struct LateSession {
  LateSession(const std::string& dialect, Duration latency, const practice::MischiefPlan& mischief = {})
      : session(dialect, worked_craft(), {}, mischief, {}, late_by(latency)),
        sentry(session.clock),
        spoken(patient(dialect, latency)) {}

  void bench() {
    practice::PracticePlug plug(session.port, session.clock);
    console::ProfileConsole console(plug, spoken, session.clock, sentry);
    boost::asio::io_context loop;
    std::exception_ptr trouble;
    const session::BenchOptions options = worked_options();
    boost::asio::co_spawn(loop,
                          session::bench(console, session.person, session.store, session.clock, options),
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
  for (const char* dialect : {"brook", "moor", "tarn"}) {
    for (std::uint64_t command = 1; command <= 60; ++command) {
      LateSession late(dialect, Duration(0), {practice::Mischief::late_answer, command});
      late.bench();
      const std::string why = late.fault ? late.fault->sentence() : "";
      EXPECT_FALSE(late.fault && late.fault->kind() == FaultKind::refused) << dialect << command << why;
      EXPECT_FALSE(late.session.anything_turns());
    }
  }
}

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
}  // namespace armwise::test
