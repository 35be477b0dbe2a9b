// How strong a spin may be is the profile's to say, before anything turns or is asked.
#include <gtest/gtest.h>

#include "armwise/session/teach.hpp"
#include "support/practice_session.hpp"
#include "support/worked_craft.hpp"

namespace armwise::test::strength_test {
namespace {

TEST(Strength, OutsideOfTheProfilesLimitsIsRefusedWithTheLimits) {
  for (const double per_cent : {0.5, 49.0}) {
    PracticeSession session("tarn", worked_craft());
    session::BenchOptions options = worked_options();
    options.strength_per_cent = per_cent;
    const Outcome outcome = session.bench(options);
    ASSERT_TRUE(outcome.fault) << per_cent;
    EXPECT_EQ(outcome.fault->kind(), FaultKind::usage);
    EXPECT_NE(outcome.fault->sentence().find("from 4"), std::string::npos) << outcome.fault->sentence();
    EXPECT_NE(outcome.fault->sentence().find("to 12"), std::string::npos) << outcome.fault->sentence();
    EXPECT_EQ(session.spins(), 0);
  }
}

TEST(Strength, WithinTheLimitsIsWhatTheMotorIsSpunWith) {
  PracticeSession session("tarn", worked_craft());
  session::BenchOptions options = worked_options();
  options.strength_per_cent = 9;
  ASSERT_TRUE(session.bench(options).result);
  for (const practice::Happened& happened : session.port.controller().history()) {
    if (happened.what != practice::Happened::What::spun) continue;
    EXPECT_NE(happened.line.find(" at 9 "), std::string::npos) << happened.line;
  }
  EXPECT_GT(session.spins(), 0);
}

TEST(Strength, OfAProfileThatCannotSpinIsSaidToBeMissing) {
  console::Profile spinless = fixture_profile("tarn");
  spinless.spin.reset();
  PracticeSession session("tarn", worked_craft());
  const Outcome outcome = session.bench_by(session.person, spinless, worked_options());
  ASSERT_TRUE(outcome.fault);
  EXPECT_EQ(outcome.fault->kind(), FaultKind::bad_profile);
  EXPECT_EQ(outcome.fault->id(), "spin-not-in-profile");
}

}  // namespace
}  // namespace armwise::test::strength_test
