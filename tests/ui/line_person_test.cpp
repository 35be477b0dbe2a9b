#include "armwise/ui/line_person.hpp"

#include <gtest/gtest.h>

#include <boost/asio/post.hpp>
#include <csignal>

#include "armwise/base/fault.hpp"
#include "armwise/base/task.hpp"
#include "driving.hpp"

namespace armwise::ui::line_person_test {
namespace {

using craft::Turn;
using session::Answer;
using session::Question;
using session::SpinSeen;
using session::Statement;
using testing::answer_of;
using testing::confirm_question;
using testing::interrupted;
using testing::MemoryFile;
using testing::Pipe;
using testing::spin_question;

struct Plain {
  explicit Plain(std::string_view typed, Onlooker onlooker = {})
      : input(typed),
        person(loop.get_executor(), {input.descriptor(), output.descriptor(), output.descriptor()},
               std::move(onlooker)) {}

  boost::asio::io_context loop;
  MemoryFile input, output;
  LinePerson person;
};

const SpinSeen front_left_clockwise{SpinSeen::What::one, *craft::frame_named("quad-x")->find("fl"), Turn::cw};

TEST(LinePerson, TakesASpinAtOnceOrInTwoLines) {
  Plain plain("fl cw\nfront-left\nback\nfl\ncw\n");
  EXPECT_EQ(answer_of(plain.loop, plain.person, spin_question()), Answer{front_left_clockwise});
  EXPECT_EQ(answer_of(plain.loop, plain.person, spin_question()), Answer{front_left_clockwise});
  EXPECT_NE(plain.output.content().find("Noted: front-left, clockwise."), std::string::npos);
}

TEST(LinePerson, SpinsByTheWordAlone) {
  Plain plain("\n \ny\nyes\nfl cw\nagain\np\n1\nready\nspin P4\nspin\nback\n");
  EXPECT_EQ(answer_of(plain.loop, plain.person, testing::go_question()), Answer{std::string("spin")});
  EXPECT_EQ(answer_of(plain.loop, plain.person, testing::go_question()), Answer{session::Back{}});
  EXPECT_NE(plain.output.content().find("Eyes on the craft.\nType spin to spin P4, back or stop.\n"),
            std::string::npos);
}

TEST(LinePerson, SaysWhatIsNoAnswerAndAsksAgain) {
  Plain plain("\nyse\r\nyes\r\n");
  EXPECT_EQ(answer_of(plain.loop, plain.person, confirm_question()), Answer{std::string("yes")});
  const std::string output = plain.output.content();
  EXPECT_NE(output.find("Type an answer."), std::string::npos) << output;
  EXPECT_NE(output.find("The nearest is \"yes\"."), std::string::npos) << output;
}

TEST(LinePerson, TakesEndOfInputForStopAndACutOffLineForNoAnswer) {
  for (const std::string_view typed : {"", "yes", "\nyes"}) {
    Plain plain(typed);
    try {
      answer_of(plain.loop, plain.person, confirm_question());
      ADD_FAILURE() << "answered out of \"" << typed << "\"";
    } catch (const StoppedByPerson& stopped) {
      EXPECT_EQ(stopped.how(), StoppedByPerson::How::end_of_input);
    }
  }
}

TEST(LinePerson, StopsWhenToldTo) {
  Plain plain("stop\nyes\n");
  EXPECT_THROW(answer_of(plain.loop, plain.person, confirm_question()), StoppedByPerson);
}

TEST(LinePerson, TakesAConsolesOwnWordsInQuotes) {
  Plain plain("\"skip\"\nskip\n\"stop\"\n\"back\"\n");
  const Question question = testing::command_question();
  for (const char* expected : {"\"skip\"", "skip", "stop", "back"})
    EXPECT_EQ(answer_of(plain.loop, plain.person, question), Answer{std::string(expected)});
  EXPECT_NE(plain.output.content().find("in double quotes"), std::string::npos);
}

TEST(LinePerson, RefusesALineWithoutEndInBoundedMemory) {
  Plain plain(std::string(std::size_t{3} << 20U, 'y') + "\nyes\n");
  EXPECT_EQ(answer_of(plain.loop, plain.person, confirm_question()), Answer{std::string("yes")});
  const std::string output = plain.output.content();
  EXPECT_NE(output.find("too long"), std::string::npos);
  EXPECT_LT(output.size(), 2000U);
}

TEST(LinePerson, WritesNoEscapeCodesAndNoLoneCarriageReturns) {
  Plain plain("\x1B[2Jyes\nfl sideways\nfl cw\nnext\n");
  Statement statement;
  statement.text = "board says \x1B[31mred\r\x07 and\nmore";
  statement.kind = Statement::Kind::plan;
  statement.level = session::Level::danger;
  statement.console_lines = {"put 1 \x1B]0;title\x07P1"};
  session::CraftView view;
  view.frame = craft::frame_named("quad-x");
  view.title = "as it is now";
  view.at[0] = {craft::Motor{3}, craft::Pin{"P\x1B[1m4"}, Turn::cw, Turn::ccw};
  statement.views.push_back(view);
  plain.person.tell(statement);
  answer_of(plain.loop, plain.person, spin_question());
  EXPECT_FALSE(interrupted(plain.loop, plain.person, Duration{1}));
  const std::string output = plain.output.content();
  EXPECT_EQ(output.find('\x1B'), std::string::npos);
  EXPECT_EQ(output.find('\r'), std::string::npos);
  EXPECT_EQ(output.find('\x07'), std::string::npos);
  EXPECT_NE(output.find("DANGER: board says red and\nmore\n"), std::string::npos) << output;
  EXPECT_NE(
      output.find("front-right: motor 3 on pin P4, turning clockwise, but it should turn counter-clockwise."),
      std::string::npos)
      << output;
  EXPECT_EQ(output.back(), '\n');
}

TEST(LinePerson, LeavesAnswersWrittenInAdvanceForTheirQuestion) {
  Plain plain("fl cw\nyes\n");
  EXPECT_FALSE(interrupted(plain.loop, plain.person, Duration{5}));
  EXPECT_EQ(answer_of(plain.loop, plain.person, spin_question()), Answer{front_left_clockwise});
  EXPECT_EQ(answer_of(plain.loop, plain.person, confirm_question()), Answer{std::string("yes")});
}

TEST(LinePerson, EndsASpinOnStopAndOnEndOfInput) {
  Plain stop("stop\n");
  EXPECT_THROW(interrupted(stop.loop, stop.person, Duration{60000}), StoppedByPerson);
  Plain end("");
  EXPECT_THROW(interrupted(end.loop, end.person, Duration{60000}), StoppedByPerson);
}

TEST(LinePerson, SeesAWriterGoAwayInMidSpin) {
  boost::asio::io_context loop;
  Pipe input;
  MemoryFile output;
  LinePerson person(loop.get_executor(), {input.reader(), output.descriptor(), output.descriptor()});
  boost::asio::post(loop, [&] { input.close_writer(); });
  EXPECT_THROW(interrupted(loop, person, Duration{60000}), StoppedByPerson);
}

TEST(LinePerson, StopsWhereNobodyReadsItsOutput) {
  ::signal(SIGPIPE, SIG_IGN);
  boost::asio::io_context loop;
  Pipe output;
  MemoryFile input("yes\n");
  LinePerson person(loop.get_executor(), {input.descriptor(), output.writer(), output.writer()});
  ::close(output.reader());
  EXPECT_THROW(answer_of(loop, person, confirm_question()), StoppedByPerson);
}

TEST(LinePerson, TellsWhatThePracticeCraftShows) {
  int looks = 0;
  Plain plain("fl cw\n", [&looks]() -> std::optional<Scene> {
    ++looks;
    return Scene{craft::frame_named("quad-x"), {{3, Turn::ccw}}};
  });
  EXPECT_FALSE(interrupted(plain.loop, plain.person, Duration{1}));
  EXPECT_EQ(looks, 1);
  EXPECT_NE(plain.output.content().find("The front-left motor turns counter-clockwise"), std::string::npos);
}

// Each line a read of its own, as a terminal gives them.
TEST(LinePersonOnATerminal, TakesNoPasteOfSeveralLinesForAnAnswer) {
  boost::asio::io_context loop;
  testing::Typist typist(loop);
  LinePerson person(loop.get_executor(), {typist.terminal(), typist.terminal(), typist.terminal()});
  std::optional<Answer> answer;
  const auto session = [&]() -> Task<void> { answer = co_await person.ask(testing::go_question()); };
  const auto types = [&]() -> Task<void> {
    co_await typist.see("Type spin to spin P4");
    typist.type("spin\nyes\nspin\n");
    co_await typist.see("none of them counts");
    typist.type("back\n");
  };
  std::vector<Task<void>> tasks;
  tasks.push_back(session());
  tasks.push_back(types());
  testing::run(loop, std::move(tasks));
  EXPECT_EQ(answer, std::optional<Answer>(Answer{session::Back{}}));
}

// On a terminal, as with a screen reader: any key ends a spin, and what was typed too early is forgotten.
TEST(LinePersonOnATerminal, TakesAnyKeyInMidSpinAndForgetsKeysTypedTooEarly) {
  boost::asio::io_context loop;
  testing::Typist typist(loop);
  const termios before = typist.modes();
  LinePerson person(loop.get_executor(), {typist.terminal(), typist.terminal(), typist.terminal()});
  bool pressed = false;
  std::optional<Answer> answer;
  const Question question = confirm_question();
  const auto session = [&]() -> Task<void> {
    pressed = co_await person.interrupted(craft::Motor{2}, Duration{60000});
    typist.type("no\n");
    answer = co_await person.ask(question);
  };
  const auto types = [&]() -> Task<void> {
    co_await typist.see("any key stops it");
    typist.type("x");
    co_await typist.see("Answer yes, no");
    typist.type("yes\n");
  };
  std::vector<Task<void>> tasks;
  tasks.push_back(session());
  tasks.push_back(types());
  testing::run(loop, std::move(tasks));
  EXPECT_TRUE(pressed);
  EXPECT_EQ(answer, std::optional<Answer>(Answer{std::string("yes")}));
  EXPECT_EQ(typist.modes().c_lflag, before.c_lflag);
}

}  // namespace
}  // namespace armwise::ui::line_person_test
