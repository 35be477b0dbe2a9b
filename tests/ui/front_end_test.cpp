#include "armwise/ui/front_end.hpp"

#include <gtest/gtest.h>

#include "armwise/base/fault.hpp"
#include "armwise/base/task.hpp"
#include "driving.hpp"

namespace armwise::ui::front_end_test {
namespace {

Surroundings around(bool input, bool output,
                    std::map<std::string, std::string> variables = {{"TERM", "xterm"}}) {
  Surroundings made;
  made.input_is_terminal = input;
  made.output_is_terminal = output;
  made.error_is_terminal = true;
  made.variables = std::move(variables);
  return made;
}

TEST(FrontEnd, IsTheTerminalOnlyWithATerminalOnBothSides) {
  EXPECT_EQ(front_end_for({}, around(true, true)), FrontEnd::terminal);
  EXPECT_EQ(front_end_for({}, around(true, false)), FrontEnd::plain);
  EXPECT_EQ(front_end_for({}, around(false, true)), FrontEnd::mute);
  EXPECT_EQ(front_end_for({}, around(false, false)), FrontEnd::mute);
  EXPECT_EQ(front_end_for({}, around(true, true, {{"TERM", "dumb"}})), FrontEnd::plain);
  EXPECT_EQ(front_end_for({}, around(true, true, {})), FrontEnd::plain);
}

TEST(FrontEnd, IsWhatTheOptionsAndTheEnvironmentAskFor) {
  UiOptions plain;
  plain.plain = true;
  EXPECT_EQ(front_end_for(plain, around(false, false)), FrontEnd::plain);
  EXPECT_EQ(front_end_for({}, around(true, true, {{"TERM", "xterm"}, {"ACCESSIBLE", "1"}})), FrontEnd::plain);
  EXPECT_EQ(front_end_for({}, around(true, true, {{"TERM", "xterm"}, {"ACCESSIBLE", "0"}})),
            FrontEnd::terminal);
  UiOptions machine;
  machine.machine = true;
  EXPECT_EQ(front_end_for(machine, around(true, true)), FrontEnd::machine);
}

TEST(FrontEnd, KeepsPromptsOutOfAPipeWhileATerminalCanAnswer) {
  EXPECT_EQ(streams_for(around(true, false)).prompts, STDERR_FILENO);
  EXPECT_EQ(streams_for(around(true, false)).output, STDOUT_FILENO);
  EXPECT_EQ(streams_for(around(true, true)).prompts, STDOUT_FILENO);
  EXPECT_EQ(streams_for(around(false, false)).prompts, STDOUT_FILENO);
}

struct NoClock : Clock {
  Instant now() const override { return Instant{0}; }
  Task<void> sleep(Duration) override { co_return; }
  std::string date_and_time() const override { return {}; }
};

TEST(FrontEnd, NamesTheWayOutWhereNobodyCanBeAsked) {
  boost::asio::io_context loop;
  NoClock clock;
  UiOptions options;
  options.yes = true;
  const auto person = make_person(loop.get_executor(), clock, options, around(false, false));
  session::Question settings = testing::confirm_question("plan");
  settings.about_settings = true;
  EXPECT_EQ(testing::answer_of(loop, *person, settings), session::Answer{std::string("yes")});
  try {
    testing::answer_of(loop, *person, testing::word_question());
    ADD_FAILURE();
  } catch (const Fault& fault) {
    EXPECT_EQ(fault.kind(), FaultKind::usage);
    EXPECT_NE(fault.sentence().find("\"props-off\""), std::string::npos);
    EXPECT_NE(fault.sentence().find("--plain"), std::string::npos);
  }
}

TEST(FrontEnd, SaysWhatIsWrongWithAnAnswersFile) {
  boost::asio::io_context loop;
  NoClock clock;
  UiOptions options;
  options.answers_file = "/nowhere/answers.json";
  EXPECT_THROW(make_person(loop.get_executor(), clock, options, around(true, true)), Fault);
}

}  // namespace
}  // namespace armwise::ui::front_end_test
