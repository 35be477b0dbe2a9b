#include "armwise/ui/machine_person.hpp"

#include <gtest/gtest.h>

#include <nlohmann/json.hpp>
#include <sstream>

#include "armwise/base/fault.hpp"
#include "driving.hpp"

namespace armwise::ui {
namespace {

using craft::Turn;
using nlohmann::json;
using session::Answer;
using session::Back;
using session::Question;
using session::SpinSeen;
using session::Statement;
using testing::answer_of;
using testing::confirm_question;
using testing::interrupted;
using testing::MemoryFile;
using testing::spin_question;
using testing::word_question;

struct Machine {
  explicit Machine(std::string_view sent)
      : input(sent),
        person(loop.get_executor(), {input.descriptor(), output.descriptor(), output.descriptor()}) {}

  std::vector<json> lines() const {
    std::vector<json> all;
    std::istringstream stream(output.content());
    for (std::string line; std::getline(stream, line);) all.push_back(json::parse(line));
    return all;
  }

  boost::asio::io_context loop;
  MemoryFile input, output;
  MachinePerson person;
};

TEST(MachinePerson, AsksAndReadsASpinAsDocumented) {
  Machine machine("{\"id\":\"spin\",\"arm\":\"rear-left\",\"turn\":\"cw\",\"comment\":{\"x\":[1]}}\n");
  const Answer answer = answer_of(machine.loop, machine.person, spin_question());
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
  EXPECT_EQ(std::get<SpinSeen>(answer_of(machine.loop, machine.person, spin_question())).what,
            SpinSeen::What::several);
  EXPECT_EQ(std::get<SpinSeen>(answer_of(machine.loop, machine.person, spin_question())).turn, Turn::cw);
  EXPECT_EQ(answer_of(machine.loop, machine.person, spin_question()), Answer{Back{}});
  EXPECT_EQ(answer_of(machine.loop, machine.person, confirm_question()), Answer{std::string("yes")});
  EXPECT_EQ(answer_of(machine.loop, machine.person, word_question()), Answer{std::string("props off")});
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
  EXPECT_EQ(answer_of(machine.loop, machine.person, confirm_question()), Answer{std::string("no")});
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
    answer_of(machine.loop, machine.person, spin_question());
    EXPECT_NE(machine.lines().at(1)["text"].get<std::string>().find(expected), std::string::npos)
        << machine.lines().at(1);
  }
}

TEST(MachinePerson, StopsOnStopAndOnEndOfInput) {
  for (const std::string_view sent : {"{\"id\":\"stop\"}\n", "{\"id\":\"spin\",\"seen\":\"stop\"}\n", "",
                                      "{\"id\":\"spin\",\"seen\":\"none\"}"}) {
    Machine machine(sent);
    EXPECT_THROW(answer_of(machine.loop, machine.person, spin_question()), StoppedByPerson) << sent;
  }
}

TEST(MachinePerson, TakesAConsolesOwnWordsInQuotes) {
  Machine machine(
      "{\"id\":\"leave\",\"answer\":\"\\\"skip\\\"\"}\n{\"id\":\"leave\",\"answer\":\"skip\"}\n"
      "{\"id\":\"leave\",\"answer\":\"\\\"stop\\\"\"}\n");
  for (const char* expected : {"\"skip\"", "skip", "stop"})
    EXPECT_EQ(answer_of(machine.loop, machine.person, testing::command_question()),
              Answer{std::string(expected)});
}

TEST(MachinePerson, TakesATextAsItStands) {
  Machine machine("{\"id\":\"lesson\",\"answer\":\"stop\"}\n");
  Question question;
  question.id = "lesson";
  question.kind = Question::Kind::text;
  question.values = {{"motor", "2"}};
  EXPECT_EQ(answer_of(machine.loop, machine.person, question), Answer{std::string("stop")});
  EXPECT_EQ(machine.lines().at(0)["values"], json({{"motor", "2"}}));
}

TEST(MachinePerson, RefusesToGoBackWhereThatCannotBe) {
  Machine machine("{\"id\":\"back\"}\n{\"id\":\"keep\",\"answer\":\"yes\"}\n");
  Question question = confirm_question();
  question.may_go_back = false;
  EXPECT_EQ(answer_of(machine.loop, machine.person, question), Answer{std::string("yes")});
  EXPECT_EQ(machine.lines().at(1)["type"], "error");
}

TEST(MachinePerson, HearsAnInterruptInMidSpinAndKeepsOtherLines) {
  Machine machine("{\"id\":\"interrupt\"}\n");
  EXPECT_TRUE(interrupted(machine.loop, machine.person, Duration{60000}));
  Machine early("{\"id\":\"keep\",\"answer\":\"yes\"}\n");
  EXPECT_FALSE(interrupted(early.loop, early.person, Duration{5}));
  EXPECT_EQ(answer_of(early.loop, early.person, confirm_question()), Answer{std::string("yes")});
  Machine stop("{\"id\":\"stop\"}\n");
  EXPECT_THROW(interrupted(stop.loop, stop.person, Duration{60000}), StoppedByPerson);
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
  machine.person.say("careful", session::Level::danger);
  const std::vector<json> lines = machine.lines();
  ASSERT_EQ(lines.size(), 4U);
  EXPECT_EQ(lines[0]["changes"][0],
            json({{"what", "map"}, {"motor", 1}, {"from", "P1"}, {"to", "P3"}, {"reason", "why"}}));
  EXPECT_EQ(lines[0]["changes"][1]["to"], "out");
  EXPECT_EQ(lines[0]["lines"], json({"put 1 P3"}));
  EXPECT_EQ(lines[0]["text"].get<std::string>().find('\x1B'), std::string::npos);
  EXPECT_EQ(lines[1], json({{"type", "wrote"}, {"step", 1}, {"of", 2}}));
  EXPECT_EQ(lines[2], json({{"type", "done"}, {"ok", true}, {"record", "/x/y.json"}}));
  EXPECT_EQ(lines[3], json({{"type", "say"}, {"level", "danger"}, {"text", "careful"}}));
}

}  // namespace
}  // namespace armwise::ui
