#include "armwise/ui/machine_person.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <nlohmann/json.hpp>
#include <sstream>

#include "armwise/base/fault.hpp"
#include "driving.hpp"

namespace armwise::ui::machine_person_test {
namespace {

using craft::Turn;
using nlohmann::json;
using session::Answer;
using session::Back;
using session::Question;
using session::SpinSeen;
using session::Statement;
using testing::confirm_question;
using testing::interrupted;
using testing::MemoryFile;
using testing::spin_question;
using testing::word_question;

// A program behind it that sends its next line whenever a question has been put. What is sent `early` is
// there before anything is asked.
struct Machine {
  explicit Machine(std::string_view answering, std::string_view early = {})
      : writer(loop, ::dup(pipe.writer())),
        person(loop.get_executor(), {pipe.reader(), output.descriptor(), output.descriptor()}) {
    pipe.put(early);
    pipe.close_writer();
    while (!answering.empty()) {
      const std::size_t length = std::min(answering.find('\n'), answering.size() - 1) + 1;
      answers.emplace_back(answering.substr(0, length));
      answering.remove_prefix(length);
    }
  }

  std::vector<json> lines() const {
    std::vector<json> all;
    std::istringstream stream(output.content());
    for (std::string line; std::getline(stream, line);) all.push_back(json::parse(line));
    return all;
  }
  std::size_t asked() const {
    const std::vector<json> all = lines();
    return static_cast<std::size_t>(
        std::count_if(all.begin(), all.end(), [](const json& line) { return line["type"] == "ask"; }));
  }
  Answer ask(const Question& question) {
    std::optional<Answer> answer;
    const auto flow = [&]() -> Task<void> { answer = co_await person.ask(question); };
    const auto send = [&]() -> Task<void> {
      boost::asio::steady_timer timer(loop);
      while (!answer) {
        if (asked() > sent && sent < answers.size())
          co_await boost::asio::async_write(writer, boost::asio::buffer(answers[sent++]),
                                            boost::asio::use_awaitable);
        if (asked() > 0 && sent == answers.size() && writer.is_open()) writer.close();
        timer.expires_after(std::chrono::milliseconds(1));
        co_await timer.async_wait(boost::asio::use_awaitable);
      }
    };
    std::vector<Task<void>> tasks;
    tasks.push_back(flow());
    tasks.push_back(send());
    testing::run(loop, std::move(tasks));
    return answer.value();
  }

  boost::asio::io_context loop;
  testing::Pipe pipe;
  MemoryFile output;
  std::vector<std::string> answers;
  std::size_t sent = 0;
  boost::asio::posix::stream_descriptor writer;
  MachinePerson person;
};

TEST(MachinePerson, AsksAndReadsASpinAsDocumented) {
  Machine machine("{\"id\":\"spin\",\"arm\":\"rear-left\",\"turn\":\"cw\",\"comment\":{\"x\":[1]}}\n");
  const Answer answer = machine.ask(spin_question());
  EXPECT_EQ(
      answer,
      (Answer{SpinSeen{SpinSeen::What::one, *craft::frame_named("quad-x")->find("rear-left"), Turn::cw}}));
  const json ask = machine.lines().at(0);
  EXPECT_EQ(ask["type"], "ask");
  EXPECT_EQ(ask["id"], "spin");
  EXPECT_EQ(ask["kind"], "spin");
  EXPECT_EQ(ask["motor"], 2);
  EXPECT_EQ(ask["pin"], "P4");
  EXPECT_EQ(ask["attempt"], 1);
  EXPECT_EQ(ask["choices"]["arm"], json({"front-right", "rear-right", "rear-left", "front-left"}));
  EXPECT_EQ(ask["choices"]["seen"], json({"none", "several", "again", "stop"}));
}

TEST(MachinePerson, ReadsTheOtherForms) {
  Machine machine(
      "{\"id\":\"spin\",\"seen\":\"several\"}\n{\"id\":\"spin\",\"arm\":\"fl\",\"flicked\":\"nose\"}\n"
      "{\"id\":\"back\"}\n{\"id\":\"keep\",\"answer\":\"yes\"}\n{\"id\":\"props-off\",\"answer\":\"yes\"}\n");
  EXPECT_EQ(std::get<SpinSeen>(machine.ask(spin_question())).what, SpinSeen::What::several);
  EXPECT_EQ(std::get<SpinSeen>(machine.ask(spin_question())).turn, Turn::cw);
  EXPECT_EQ(machine.ask(spin_question()), Answer{Back{}});
  EXPECT_EQ(machine.ask(confirm_question()), Answer{std::string("yes")});
  EXPECT_EQ(machine.ask(word_question()), Answer{std::string("props off")});
}

TEST(MachinePerson, AnswersEveryBadLineWithAnErrorAndAsksAgain) {
  const std::vector<std::string> bad{
      "",
      "no json",
      "[1,2]",
      "\"yes\"",
      "{\"id\":\"keep\"}",
      "{\"answer\":\"yes\"}",
      "{\"id\":\"plan\",\"answer\":\"yes\"}",
      "{\"id\":7,\"answer\":\"yes\"}",
      "{\"id\":\"keep\",\"answer\":true}",
      "{\"id\":\"keep\",\"answer\":\"perhaps\"}",
      "{\"id\":\"keep\",\"answer\":\"yes\"",
      "{\"id\":\"keep\",\"answer\":\"\xFF\"}",
      "{\"id\":\"keep\",\"x\":" + std::string(10000, '[') + std::string(10000, ']') + "}",
      "{\"id\":\"keep\",\"x\":\"" + std::string(std::size_t{2} << 20U, 'x') + "\"}",
      std::string("\0\0\0", 3),
  };
  std::string sent;
  for (const std::string& line : bad) sent += line + "\n";
  Machine machine(sent + "{\"id\":\"keep\",\"answer\":\"no\"}\n");
  EXPECT_EQ(machine.ask(confirm_question()), Answer{std::string("no")});
  const std::vector<json> lines = machine.lines();
  ASSERT_EQ(lines.size(), 2 * bad.size() + 1);
  for (std::size_t i = 0; i < lines.size(); ++i) {
    EXPECT_EQ(lines[i]["type"], i % 2 == 0 ? "ask" : "error");
    EXPECT_EQ(lines[i]["id"], "keep");
    EXPECT_FALSE(lines[i]["text"].get<std::string>().empty());
  }
  EXPECT_LT(machine.output.content().size(), 20000U);
}

TEST(MachinePerson, NamesWhatIsWrongWithASpin) {
  const std::vector<std::pair<std::string, std::string>> cases{
      {R"({"id":"spin","arm":"middle","turn":"cw"})", "front-right, rear-right"},
      {R"({"id":"spin","arm":"fl"})", "turn"},
      {R"({"id":"spin","arm":"fl","turn":"left"})", "cw or ccw"},
      {R"({"id":"spin","arm":"fl","turn":"cw","flicked":"nose"})", "either"},
      {R"({"id":"spin","arm":"fl","flicked":"left"})", "nose or tail"},
      {R"({"id":"spin","seen":"everything"})", "none, several"},
      {R"({"id":"spin","seen":"none","arm":"fl"})", "exclude"},
      {R"({"id":"spin"})", "\"arm\""}};
  for (const auto& [line, expected] : cases) {
    Machine machine(line + "\n{\"id\":\"spin\",\"seen\":\"none\"}\n");
    machine.ask(spin_question());
    EXPECT_NE(machine.lines().at(1)["text"].get<std::string>().find(expected), std::string::npos)
        << machine.lines().at(1);
  }
}

TEST(MachinePerson, StopsOnStopAndOnEndOfInput) {
  for (const std::string_view sent : {"{\"id\":\"stop\"}\n", "{\"id\":\"spin\",\"seen\":\"stop\"}\n", "",
                                      "{\"id\":\"spin\",\"seen\":\"none\"}"}) {
    Machine machine(sent);
    EXPECT_THROW(machine.ask(spin_question()), StoppedByPerson) << sent;
  }
}

TEST(MachinePerson, TakesAConsolesOwnWordsInQuotes) {
  Machine machine(
      "{\"id\":\"leave\",\"answer\":\"\\\"skip\\\"\"}\n{\"id\":\"leave\",\"answer\":\"skip\"}\n"
      "{\"id\":\"leave\",\"answer\":\"\\\"stop\\\"\"}\n");
  for (const char* expected : {"\"skip\"", "skip", "stop"})
    EXPECT_EQ(machine.ask(testing::command_question()), Answer{std::string(expected)});
}

TEST(MachinePerson, TakesATextAsItStands) {
  Machine machine("{\"id\":\"lesson\",\"answer\":\"stop\"}\n");
  Question question;
  question.id = "lesson";
  question.kind = Question::Kind::text;
  question.values = {{"motor", "2"}};
  EXPECT_EQ(machine.ask(question), Answer{std::string("stop")});
  EXPECT_EQ(machine.lines().at(0)["values"], json({{"motor", "2"}}));
}

TEST(MachinePerson, RefusesToGoBackWhereThatCannotBe) {
  Machine machine("{\"id\":\"back\"}\n{\"id\":\"keep\",\"answer\":\"yes\"}\n");
  Question question = confirm_question();
  question.may_go_back = false;
  EXPECT_EQ(machine.ask(question), Answer{std::string("yes")});
  EXPECT_EQ(machine.lines().at(1)["type"], "error");
}

TEST(MachinePerson, HearsInterruptAndStopInMidSpinAndTakesNothingElse) {
  Machine machine("", "{\"id\":\"keep\",\"answer\":\"yes\"}\n{\"id\":\"interrupt\"}\n");
  EXPECT_TRUE(interrupted(machine.loop, machine.person, Duration{60000}));
  EXPECT_EQ(machine.lines().at(1)["type"], "error");
  Machine early("{\"id\":\"keep\",\"answer\":\"no\"}\n", "{\"id\":\"keep\",\"answer\":\"yes\"}\n");
  EXPECT_FALSE(interrupted(early.loop, early.person, Duration{5}));
  EXPECT_EQ(early.ask(confirm_question()), Answer{std::string("no")});
  Machine stop("", "{\"id\":\"stop\"}\n");
  EXPECT_THROW(interrupted(stop.loop, stop.person, Duration{60000}), StoppedByPerson);
}

// A defect found: what had been sent before a spin answered it.
TEST(MachinePerson, TakesNothingForASpinThatCameBeforeItWasAskedAbout) {
  const std::string go = R"({"id":"go","answer":"spin"})", seen = R"({"id":"spin","seen":"several"})";
  for (const std::string& early : {go + "\n" + seen + "\n", go + "\n" + seen, seen.substr(0, 9)}) {
    Machine spin("", early);
    spin.answers = {(early.ends_with('\n') ? "" : "\n") + go + "\n", R"({"id":"spin","seen":"none"})"
                                                                     "\n"};
    EXPECT_EQ(spin.ask(testing::go_question()), Answer{std::string("spin")});
    EXPECT_EQ(spin.asked(), 1U);
    EXPECT_EQ(std::get<SpinSeen>(spin.ask(spin_question())).what, SpinSeen::What::none);
    EXPECT_EQ(spin.lines().at(0)["type"], "error");
  }
  for (const Question& question : {testing::go_question(), spin_question()}) {
    Machine stopped("", "{\"id\":\"stop\"}\n");
    EXPECT_THROW(stopped.ask(question), StoppedByPerson);
  }
}

TEST(MachinePerson, TakesAnAnswerWithANumberForThatQuestionAlone) {
  const auto answer = [](int number) {
    return R"({"id":"go","answer":"spin","number":)" + std::to_string(number) + "}\n";
  };
  Machine machine(answer(1) + answer(1) + answer(2));
  for (const int number : {1, 2}) {
    EXPECT_EQ(machine.ask(testing::go_question()), Answer{std::string("spin")});
    EXPECT_EQ(machine.lines().back()["number"], number);
  }
  const json ask = machine.lines().at(0);
  EXPECT_EQ(ask["id"], "go");
  EXPECT_EQ(ask["kind"], "go");
  EXPECT_EQ(ask["motor"], 2);
  EXPECT_EQ(ask["pin"], "P4");
  EXPECT_EQ(ask["choices"]["answer"], json({"spin"}));
  EXPECT_NE(machine.lines().at(2)["text"].get<std::string>().find("\"number\" has to be 2"),
            std::string::npos);
}

TEST(MachinePerson, TellsPlanWrittenStepsAndTheEnd) {
  Machine machine("");
  solve::Plan plan;
  plan.changes.push_back(
      {solve::SetMap{{solve::MapWrite::Kind::put, craft::Motor{1}, craft::Pin{"P3"}}, craft::Pin{"P1"}},
       "why"});
  plan.changes.push_back({solve::SetProps{craft::PropScheme::in, craft::PropScheme::out}, "props"});
  Statement statement;
  statement.kind = Statement::Kind::plan;
  statement.plan = &plan;
  statement.text = "bad \xFF bytes\x1B[1m";
  statement.console_lines = {"put 1 P3"};
  machine.person.tell(statement);
  Statement wrote;
  wrote.kind = Statement::Kind::wrote;
  wrote.step = 1;
  wrote.of = 2;
  machine.person.tell(wrote);
  Statement done;
  done.kind = Statement::Kind::done;
  done.facts = {{"ok", "true"}, {"record", "/x/y.json"}};
  machine.person.tell(done);
  machine.person.tell(session::statement_of("flies-perhaps", {{"sense", "careful"}}));
  const std::vector<json> lines = machine.lines();
  ASSERT_EQ(lines.size(), 4U);
  EXPECT_EQ(lines[0]["changes"][0],
            json({{"what", "map"}, {"motor", 1}, {"from", "P1"}, {"to", "P3"}, {"reason", "why"}}));
  EXPECT_EQ(lines[0]["changes"][1]["to"], "out");
  EXPECT_EQ(lines[0]["lines"], json({"put 1 P3"}));
  EXPECT_EQ(lines[0]["text"].get<std::string>().find('\x1B'), std::string::npos);
  EXPECT_EQ(lines[1], json({{"type", "wrote"}, {"step", 1}, {"of", 2}}));
  EXPECT_EQ(lines[2], json({{"type", "done"}, {"ok", true}, {"record", "/x/y.json"}}));
  EXPECT_EQ(lines[3], json({{"type", "say"},
                            {"id", "flies-perhaps"},
                            {"level", "danger"},
                            {"sense", "careful"},
                            {"text", "careful"}}));
}

}  // namespace
}  // namespace armwise::ui::machine_person_test
