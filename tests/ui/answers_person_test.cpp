#include "armwise/ui/answers_person.hpp"

#include <gtest/gtest.h>
#include <unistd.h>

#include <fstream>

#include "armwise/base/fault.hpp"
#include "armwise/base/task.hpp"
#include "driving.hpp"

namespace armwise::ui::answers_person_test {
namespace {

using craft::Turn;
using session::Answer;
using session::Back;
using session::Question;
using session::SpinSeen;
using testing::answer_of;
using testing::confirm_question;
using testing::spin_question;
using testing::word_question;

// Remembers what it was told; fails the test where it is asked.
struct Listener : session::Person {
  Task<Answer> ask(const Question& question) override {
    asked.push_back(question.id);
    co_return Answer{std::string("from the person")};
  }
  void tell(const session::Statement& statement) override { told.push_back(statement.text); }
  Task<bool> interrupted(craft::Motor, Duration) override { co_return true; }
  std::vector<std::string> asked, told;
};

struct CountingClock : Clock {
  Instant now() const override { return Instant{0}; }
  Task<void> sleep(Duration duration) override {
    slept += duration;
    co_return;
  }
  std::string date_and_time() const override { return {}; }
  Duration slept{0};
};

struct Answered {
  explicit Answered(std::string_view json, Listening listening = Listening::nobody) {
    auto front_end = std::make_unique<Listener>();
    listener = front_end.get();
    person =
        std::make_unique<AnswersPerson>(Answers::from_json(json), std::move(front_end), listening, clock);
  }
  boost::asio::io_context loop;
  CountingClock clock;
  Listener* listener = nullptr;
  std::unique_ptr<AnswersPerson> person;
};

Fault fault_of(Answered& answered, const Question& question) {
  try {
    answer_of(answered.loop, *answered.person, question);
  } catch (const Fault& fault) {
    return fault;
  }
  ADD_FAILURE() << "no fault";
  return {FaultKind::internal, "none"};
}

TEST(Answers, AreUsedInTurn) {
  Answered answered(
      R"({"spin":["fl cw",{"arm":"rr","turn":"ccw"},{"seen":"none"}],"keep":"yes","props-off":"yes"})");
  const craft::Frame& frame = *craft::frame_named("quad-x");
  EXPECT_EQ(answer_of(answered.loop, *answered.person, spin_question()),
            (Answer{SpinSeen{SpinSeen::What::one, *frame.find("fl"), Turn::cw}}));
  EXPECT_EQ(answer_of(answered.loop, *answered.person, spin_question()),
            (Answer{SpinSeen{SpinSeen::What::one, *frame.find("rr"), Turn::ccw}}));
  EXPECT_EQ(std::get<SpinSeen>(answer_of(answered.loop, *answered.person, spin_question())).what,
            SpinSeen::What::none);
  for (int i = 0; i < 2; ++i)
    EXPECT_EQ(answer_of(answered.loop, *answered.person, confirm_question()), Answer{std::string("yes")});
  EXPECT_EQ(answer_of(answered.loop, *answered.person, word_question()), Answer{std::string("props off")});
  EXPECT_TRUE(answered.listener->asked.empty());
  EXPECT_NE(answered.listener->told.at(0).find("front-left, clockwise"), std::string::npos);
  const Fault fault = fault_of(answered, spin_question());
  EXPECT_EQ(fault.kind(), FaultKind::usage);
  EXPECT_NE(fault.sentence().find("\"spin\""), std::string::npos);
  EXPECT_NE(fault.sentence().find("3 answers"), std::string::npos);
}

TEST(Answers, NameTheQuestionThatNothingAnswers) {
  Answered answered("{}");
  const Fault fault = fault_of(answered, confirm_question("battery"));
  EXPECT_EQ(fault.kind(), FaultKind::usage);
  EXPECT_NE(fault.sentence().find("\"battery\""), std::string::npos);
  EXPECT_NE(fault.sentence().find("--answers"), std::string::npos);
}

TEST(Answers, ThatDoNotFitAreSaidAndNotGuessed) {
  Answered answered(R"({"keep":"perhaps","spin":"fl","frame":"quad-y"})");
  EXPECT_NE(fault_of(answered, confirm_question()).sentence().find("perhaps"), std::string::npos);
  EXPECT_NE(fault_of(answered, spin_question()).sentence().find("turn is missing"), std::string::npos);
  Question frame;
  frame.id = "frame";
  frame.kind = Question::Kind::choose;
  frame.choices = {{"quad-x", "four"}};
  EXPECT_NE(fault_of(answered, frame).sentence().find("\"quad-x\""), std::string::npos);
}

TEST(Answers, MayGoBackAndStop) {
  Answered answered(R"({"keep":["back","stop"]})");
  EXPECT_EQ(answer_of(answered.loop, *answered.person, confirm_question()), Answer{Back{}});
  EXPECT_THROW(answer_of(answered.loop, *answered.person, confirm_question()), StoppedByPerson);
}

TEST(Answers, DoNotGoOnForEver) {
  Answered answered(R"({"keep":"back"})");
  int used = 0;
  try {
    for (; used < 100000; ++used) answer_of(answered.loop, *answered.person, confirm_question());
  } catch (const Fault& fault) {
    EXPECT_EQ(fault.kind(), FaultKind::usage);
  }
  EXPECT_EQ(used, 100);
}

TEST(Answers, AreCheckedWhenTheyAreRead) {
  for (const std::string& text :
       {std::string("[]"), std::string("{\"a\":7}"), std::string("{\"a\":[\"yes\",null]}"),
        std::string("{\"a\""), std::string(""),
        "{\"a\":" + std::string(100, '[') + std::string(100, ']') + "}"}) {
    try {
      Answers::from_json(text);
      ADD_FAILURE() << text;
    } catch (const Fault& fault) {
      EXPECT_EQ(fault.kind(), FaultKind::usage);
    }
  }
}

TEST(Answers, ComeFromAFileWhoseNameIsSaidWhereItIsNotSound) {
  const std::string file = ::testing::TempDir() + "armwise-answers-" + std::to_string(::getpid()) + ".json";
  std::ofstream(file) << "{\"keep\":\"yes\"}";
  Answers answers = Answers::from_file(file);
  EXPECT_EQ(answers.next(confirm_question()), Answer{std::string("yes")});
  std::ofstream(file) << "nonsense";
  try {
    Answers::from_file(file);
    ADD_FAILURE();
  } catch (const Fault& fault) {
    EXPECT_NE(fault.sentence().find(file), std::string::npos);
  }
  ::unlink(file.c_str());
  EXPECT_THROW(Answers::from_file(file), Fault);
}

TEST(AnswersPerson, WaitsOutASpinUnlessSomebodyListens) {
  Answered alone("{}");
  EXPECT_FALSE(testing::interrupted(alone.loop, *alone.person, Duration{1000}));
  EXPECT_EQ(alone.clock.slept, Duration{1000});
  Answered watched("{}", Listening::someone);
  EXPECT_TRUE(testing::interrupted(watched.loop, *watched.person, Duration{1000}));
  EXPECT_EQ(watched.clock.slept, Duration{0});
}

TEST(YesPerson, AnswersForSettingsAndNothingElse) {
  auto front_end = std::make_unique<Listener>();
  Listener* listener = front_end.get();
  YesPerson person(std::move(front_end));
  boost::asio::io_context loop;
  Question about_settings = confirm_question("plan");
  about_settings.about_settings = true;
  EXPECT_EQ(answer_of(loop, person, about_settings), Answer{std::string("yes")});
  EXPECT_TRUE(listener->asked.empty());
  EXPECT_EQ(listener->told.size(), 1U);
  Question typed_keep = word_question();
  typed_keep.about_settings = true;
  for (const Question& question : {confirm_question("battery"), confirm_question("keep"), word_question(),
                                   typed_keep, testing::go_question(), spin_question()}) {
    EXPECT_FALSE(is_about_settings(question));
    answer_of(loop, person, question);
  }
  EXPECT_EQ(listener->asked.size(), 6U);
}

}  // namespace
}  // namespace armwise::ui::answers_person_test
