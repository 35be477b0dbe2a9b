#include "armwise/practice/person.hpp"

#include <gtest/gtest.h>

#include "armwise/base/fault.hpp"
#include "armwise/base/task.hpp"
#include "armwise/practice/in_process.hpp"
#include "practice/far_side.hpp"
#include "practice/run_task.hpp"

namespace armwise::practice::person_test {
namespace {

using namespace std::chrono_literals;
using session::Answer;
using session::Question;
using session::SpinSeen;

// Keeps what it is told.
class Audience : public session::Person {
 public:
  Task<Answer> ask(const Question&) override {
    throw Fault(FaultKind::internal, "the audience is not asked");
  }
  void tell(const session::Statement& statement) override { heard.push_back(statement.text); }
  Task<bool> interrupted(craft::Motor, Duration) override { co_return false; }
  std::vector<std::string> heard;
};

struct PersonTest : testing::Test {
  void spin(const std::string& line, Duration length = 1000ms) {
    port.receive(line + "\r\n", clock.now());
    port.take(clock.now());
    result_of(person->interrupted(craft::Motor{1}, length));
    port.receive("halt every motor\r\n", clock.now());
  }
  Answer ask(Question question) { return result_of(person->ask(question)); }
  Answer ask_spin() {
    Question question;
    question.id = "spin";
    question.kind = Question::Kind::spin;
    question.frame = craft::frame_named("quad-x");
    question.text = "Which arm moved?";
    return ask(question);
  }
  void play(PersonScript script) { person.emplace(sight, clock, std::move(script), &audience); }
  craft::PlaceIndex place(const char* name) { return *craft::frame_named("quad-x")->find(name); }

  ManualClock clock;
  console::Profile profile = profile_named("tarn");
  PracticePort port{profile, plain_craft(), {}, short_listing()};
  PortSight sight{port, clock};
  Audience audience;
  std::optional<PracticePerson> person{std::in_place, sight, clock, PersonScript{}, &audience};
};

TEST_F(PersonTest, SaysWhatWasSeenWhileTheMotorTurned) {
  spin("spin motor 2 at 6 for 1500");
  EXPECT_EQ(ask_spin(), Answer(SpinSeen{SpinSeen::What::one, place("rear-right"), craft::Turn::cw}));
  spin("tell props");
  EXPECT_EQ(std::get<SpinSeen>(ask_spin()).what, SpinSeen::What::none);
  port.receive("spin motor 1 at 6 for 1500\r\n", clock.now());
  spin("spin motor 2 at 6 for 1500");
  EXPECT_EQ(std::get<SpinSeen>(ask_spin()).what, SpinSeen::What::several);
}

TEST_F(PersonTest, SeesASpinThatEndsBeforeTheLook) {
  spin("spin motor 2 at 6 for 10");
  EXPECT_EQ(std::get<SpinSeen>(ask_spin()).what, SpinSeen::What::one);
}

TEST_F(PersonTest, MakesTheMistakesAskedForOnce) {
  using Slip = PersonScript::Slip;
  play({{}, {{1, Slip::wrong_turn}, {2, Slip::wrong_place}, {3, Slip::once_more}, {4, Slip::stop}}, {}, 200});
  spin("spin motor 2 at 6 for 1500");
  EXPECT_EQ(ask_spin(), Answer(SpinSeen{SpinSeen::What::one, place("rear-right"), craft::Turn::ccw}));
  const SpinSeen wrong = std::get<SpinSeen>(ask_spin());
  EXPECT_NE(wrong.place, place("rear-right"));
  EXPECT_EQ(wrong.turn, craft::Turn::cw);
  EXPECT_EQ(std::get<SpinSeen>(ask_spin()).what, SpinSeen::What::again);
  EXPECT_THROW(ask_spin(), StoppedByPerson);
  EXPECT_EQ(std::get<SpinSeen>(ask_spin()).place, place("rear-right"));
}

TEST_F(PersonTest, PressesAKeyOrStopsInMidSpin) {
  play({{}, {}, {{1, PersonScript::Slip::once_more}, {2, PersonScript::Slip::stop}}, 200});
  EXPECT_TRUE(result_of(person->interrupted(craft::Motor{1}, 1000ms)));
  EXPECT_THROW(result_of(person->interrupted(craft::Motor{1}, 1000ms)), StoppedByPerson);
  EXPECT_FALSE(result_of(person->interrupted(craft::Motor{1}, 1000ms)));
  EXPECT_EQ(clock.now(), 1000ms);
}

TEST_F(PersonTest, AnswersTheOtherQuestionsOfItself) {
  Question question;
  question.id = "battery";
  EXPECT_EQ(ask(question), Answer(std::string("yes")));
  question.kind = Question::Kind::typed_word;
  question.word = "props off";
  EXPECT_EQ(ask(question), Answer(std::string("props off")));
  question.kind = Question::Kind::choose;
  question.choices = {{"in", "props in"}, {"out", "props out"}};
  EXPECT_EQ(ask(question), Answer(std::string("in")));
  question.kind = Question::Kind::pose;
  question.pose = "nose-down";
  EXPECT_EQ(ask(question), Answer(std::string("ready")));
  EXPECT_EQ(port.controller().craft().pose, "nose-down");
  EXPECT_EQ(person->asked("battery"), 4);
}

TEST_F(PersonTest, AnswersByTheScriptInTurn) {
  play({{{"props", {"out", "back", "in"}}, {"spin", {"fl ccw", "none"}}}, {}, {}, 200});
  Question question;
  question.id = "props";
  question.kind = Question::Kind::choose;
  question.choices = {{"in", "props in"}, {"out", "props out"}};
  EXPECT_EQ(ask(question), Answer(std::string("out")));
  EXPECT_EQ(ask(question), Answer(session::Back{}));
  EXPECT_EQ(ask(question), Answer(std::string("in")));
  EXPECT_EQ(ask(question), Answer(std::string("in"))) << "the last one from then on";
  EXPECT_EQ(ask_spin(), Answer(SpinSeen{SpinSeen::What::one, place("front-left"), craft::Turn::ccw}));
  EXPECT_EQ(std::get<SpinSeen>(ask_spin()).what, SpinSeen::What::none);
}

TEST_F(PersonTest, LosesPatienceInTheEnd) {
  play({{}, {}, {}, 3});
  for (int i = 0; i < 3; ++i) EXPECT_EQ(std::get<SpinSeen>(ask_spin()).what, SpinSeen::What::none);
  EXPECT_THROW(ask_spin(), StoppedByPerson);
}

TEST_F(PersonTest, ReversesByHandWhatThePlanAsksFor) {
  solve::Plan plan;
  plan.by_hand.push_back({craft::Motor{1}, craft::Pin{"P1"}, place("front-right"), craft::Turn::ccw,
                          craft::Turn::cw, "Swap two wires."});
  spin("tell props");
  ask_spin();
  session::Statement shown;
  shown.kind = session::Statement::Kind::plan;
  shown.plan = &plan;
  person->tell(shown);
  Question question;
  question.id = "by-hand";
  ask(question);
  EXPECT_EQ(port.controller().craft().wiring.at("P1").turn, craft::Turn::cw);
}

TEST_F(PersonTest, LetsTheAudienceHear) {
  person->tell(session::statement_of("ability", {{"line", "Now motor 2."}}));
  spin("spin motor 2 at 6 for 1500");
  ask_spin();
  EXPECT_EQ(audience.heard,
            (std::vector<std::string>{"Now motor 2.", "Which arm moved?", "> rear-right cw"}));
}

}  // namespace
}  // namespace armwise::practice::person_test
