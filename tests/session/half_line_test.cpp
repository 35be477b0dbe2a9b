// What an earlier conversation left half typed in the console is not carried out by the next session's first
// line end: no half order to spin, none to write, none to keep.
#include <gtest/gtest.h>

#include <string>
#include <utility>
#include <vector>

#include "armwise/console/conversation.hpp"
#include "support/manual_clock.hpp"
#include "support/practice_session.hpp"
#include "support/worked_craft.hpp"

namespace armwise::test::half_line_test {
namespace {

using console::Values;
using practice::Happened;

// The lines of a command, without their ends.
std::vector<std::string> lines_of(const console::Command& command, const Values& values) {
  return console::Conversation::as_sent(command.steps, values);
}

std::vector<std::string> spin_lines(const console::Profile& profile) {
  return lines_of(
      profile.spin->spin,
      {{"motor", profile.motor_code(craft::Motor{2})},
       {"strength",
        profile.spin->decimals > 0 ? "0.06" : std::to_string(static_cast<int>(profile.spin->standard))},
       {"milliseconds", "3000"}});
}

std::vector<std::string> write_lines(const console::Profile& profile, const practice::PracticeCraft& craft) {
  return lines_of(*profile.map->put,
                  {{"motor", profile.motor_code(craft::Motor{1})}, {"pin", craft.pins.back()}});
}

practice::Habits entered() {
  practice::Habits habits;
  habits.console_open = true;
  return habits;
}

// A practice craft into whose console somebody has typed all of the last line but its end.
struct LeftHalfTyped {
  LeftHalfTyped(const std::string& dialect, const std::vector<std::string>& lines, std::size_t of_last_line)
      : session(dialect, worked_craft(), {}, {}, {}, entered()), before(session.port.controller().saved()) {
    const std::string end(console::line_end_of(session.profile));
    for (std::size_t i = 0; i + 1 < lines.size(); ++i) type(lines[i] + end);
    type(lines.back().substr(0, of_last_line));
  }
  void type(const std::string& bytes) {
    session.port.receive(bytes, session.clock.now());
    session.clock.wind(Duration{200});
    session.port.take(session.clock.now());
  }
  int times(Happened::What what) const {
    int count = 0;
    for (const Happened& happened : session.port.controller().history())
      count += happened.what == what ? 1 : 0;
    return count;
  }
  void open() {
    practice::PracticePlug plug(session.port, session.clock);
    console::ProfileConsole console(plug, session.profile, session.clock, session.sentry);
    run(console.open());
  }

  PracticeSession session;
  practice::SettingsView before;
};

constexpr const char* dialects[] = {"tarn", "sedge", "brook", "fell", "moor"};

TEST(HalfLine, TheTestWouldSeeAMotorStartedByALineEnd) {
  for (const char* dialect : dialects) {
    const std::vector<std::string> lines = spin_lines(fixture_profile(dialect));
    LeftHalfTyped left(dialect, lines, lines.back().size());
    left.type(std::string(console::line_end_of(left.session.profile)));
    EXPECT_EQ(left.times(Happened::What::spun), 1) << dialect;
  }
}

TEST(HalfLine, OfASpinTurnsNoMotorWhereverItWasCut) {
  for (const char* dialect : dialects) {
    const std::vector<std::string> lines = spin_lines(fixture_profile(dialect));
    for (std::size_t cut = 0; cut <= lines.back().size(); ++cut) {
      LeftHalfTyped left(dialect, lines, cut);
      left.open();
      EXPECT_EQ(left.times(Happened::What::spun), 0) << dialect << ", cut after " << cut;
      EXPECT_GE(left.times(Happened::What::stopped), 1) << dialect << ", cut after " << cut;
      EXPECT_FALSE(left.session.anything_turns()) << dialect << ", cut after " << cut;
    }
  }
}

TEST(HalfLine, OfAWriteIsNotStored) {
  for (const char* dialect : dialects) {
    const console::Profile& profile = fixture_profile(dialect);
    const std::vector<std::string> all = write_lines(profile, worked_craft());
    for (auto end = all.begin() + 1; end <= all.end(); ++end) {
      const std::vector<std::string> lines(all.begin(), end);
      for (std::size_t cut = 0; cut <= lines.back().size(); ++cut) {
        LeftHalfTyped left(dialect, lines, cut);
        const int written = left.times(Happened::What::wrote);
        left.open();
        EXPECT_EQ(left.times(Happened::What::wrote), written) << dialect << ", cut after " << cut;
      }
    }
  }
}

TEST(HalfLine, OfAnOrderToKeepKeepsNothing) {
  for (const char* dialect : dialects) {
    const std::vector<std::string> lines = lines_of(fixture_profile(dialect).keep->keep, {});
    LeftHalfTyped left(dialect, lines, lines.back().size());
    left.open();
    EXPECT_EQ(left.times(Happened::What::kept), 0) << dialect;
    EXPECT_EQ(left.session.port.controller().restarts(), 0) << dialect;
  }
}

// The whole session behind it is as it always is.
TEST(HalfLine, OfASpinDoesNotDisturbTheSession) {
  for (const char* dialect : dialects) {
    const std::vector<std::string> lines = spin_lines(fixture_profile(dialect));
    LeftHalfTyped left(dialect, lines, lines.back().size());
    const Outcome outcome = left.session.bench(worked_options());
    ASSERT_TRUE(outcome.result) << dialect << (outcome.fault ? outcome.fault->sentence() : "");
    PracticeSession undisturbed(dialect, worked_craft(), {}, {}, {}, entered());
    ASSERT_TRUE(undisturbed.bench(worked_options()).result) << dialect;
    EXPECT_EQ(left.session.spins(), undisturbed.spins()) << dialect;
    EXPECT_TRUE(left.session.kept_right(worked_frame(), craft::PropScheme::in)) << dialect;
  }
}

}  // namespace
}  // namespace armwise::test::half_line_test
