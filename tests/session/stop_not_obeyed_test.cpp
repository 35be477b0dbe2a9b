// A stop that the console acknowledges and does not carry out is seen by the person alone: whatever is asked
// or said then leads to the battery plug.
#include <gtest/gtest.h>

#include <algorithm>
#include <optional>
#include <string>
#include <vector>

#include "support/practice_session.hpp"
#include "support/rehearsed_person.hpp"
#include "support/worked_craft.hpp"

namespace armwise::test::stop_not_obeyed_test {
namespace {

practice::MischiefPlan motors_spin_on() {
  practice::MischiefPlan plan;
  plan.what = practice::Mischief::spin_on;
  plan.for_ever = true;
  return plan;
}

bool leads_to_the_plug(const std::string& text) {
  return text.find("pull the battery") != std::string::npos;
}

TEST(StopNotObeyed, EachQuestionAfterASpinSaysWhatToDo) {
  PracticeSession session("tarn", worked_craft());
  RehearsedPerson person(session.person);
  ASSERT_TRUE(session.bench_by(person, session.profile, worked_options()).result);
  int spins = 0;
  for (const session::Question& question : person.asked) {
    if (question.kind != session::Question::Kind::spin) continue;
    ++spins;
    EXPECT_TRUE(leads_to_the_plug(question.text)) << question.text;
  }
  EXPECT_GE(spins, 8);
}

// A defect found: whoever stopped since the motor turned on was told that none does.
TEST(StopNotObeyed, WhoStopsThereIsNotToldThatNoMotorTurns) {
  PracticeSession session("tarn", worked_craft(), {}, motors_spin_on());
  RehearsedPerson person(session.person,
                         [&](int, const session::Question& question) -> std::optional<session::Answer> {
                           if (question.kind != session::Question::Kind::spin) return std::nullopt;
                           EXPECT_TRUE(session.anything_turns());
                           throw StoppedByPerson(StoppedByPerson::How::interrupted);
                         });
  const Outcome outcome = session.bench_by(person, session.profile, worked_options());
  EXPECT_TRUE(outcome.stopped);
  ASSERT_FALSE(person.told.empty());
  EXPECT_EQ(person.told.back().id, "still-turning") << person.told.back().text;
  EXPECT_EQ(person.told.back().level, session::Level::danger);
  EXPECT_EQ(outcome.left.find("no motor turns"), std::string::npos);
  EXPECT_NE(outcome.left, "");
}

}  // namespace
}  // namespace armwise::test::stop_not_obeyed_test
