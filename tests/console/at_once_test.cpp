// When a reply is taken for whole without any wait, and when a console has shown that it has to be waited
// for.
#include <gtest/gtest.h>

#include <memory>
#include <string>
#include <vector>

#include "armwise/base/fault.hpp"
#include "armwise/console/conversation.hpp"
#include "armwise/console/profile_console.hpp"
#include "hand_controllers.hpp"
#include "support/hand_console.hpp"
#include "support/manual_clock.hpp"
#include "support/permits.hpp"
#include "support/scripted_line.hpp"
#include "support/scripted_plug.hpp"

namespace armwise::console::at_once_test {
namespace {

using test::HandConsole;
using test::ManualClock;
using test::ScriptedLine;
using Lines = std::vector<std::string>;

constexpr const char* spoken = R"({"armwise_profile": 1, "name": "hand", "open": {"prompt": "> ",
  "barrier": {"send": "say {word}", "lines": ["said {word}"]}}, "refusals": ["no: {rest}"]})";

std::string hand_answer(const std::string& command) {
  if (command.starts_with("say ")) return "said " + command.substr(4) + "\n";
  if (command == "list") return "motor 1 on P1\nmotor 2 on P2\n";
  if (command == "hashed") return "# motor 1 on P1\n# motor 2 on P2\n";
  if (command == "mixed") return "motor 1 on P1\n> motor 2 on P2\n";
  return "no: what is " + command + "\n";
}

struct Asked {
  Lines lines;
  Duration waited{0};
};

struct HandBench {
  explicit HandBench(const std::string& json = spoken, const HandConsole::Answer& answer = hand_answer)
      : profile(load_profile(json)), console(answer) {
    console.echo = profile.open.echo.value_or(true);
    console.prompt = profile.open.prompt;
    auto made = std::make_unique<ScriptedLine>(clock, console);
    line = made.get();
    talk = std::make_unique<Conversation>(std::move(made), profile, clock);
  }
  Duration open() {
    const Instant began = clock.now();
    test::run(talk->open());
    return clock.now() - began;
  }
  Asked ask(const std::string& command, const char* answer = "motor {motor} on {pin}") {
    const Steps steps{{Template::parse(command), ""}};
    const std::vector<Template> answers{Template::parse(answer)};
    const Values none;
    const Instant began = clock.now();
    const Reply reply = test::run(talk->run(steps, none, answers));
    return {reply.lines, clock.now() - began};
  }

  Profile profile;
  ManualClock clock;
  HandConsole console;
  ScriptedLine* line = nullptr;
  std::unique_ptr<Conversation> talk;
};

const Lines both{"motor 1 on P1", "motor 2 on P2"};

TEST(AtOnce, TheSyncWordAloneOpensAConsole) {
  for (const std::size_t chunk : {1U, 1000U}) {
    HandBench bench;
    bench.line->chunk_size = chunk;
    EXPECT_EQ(bench.open(), Duration{0});
    EXPECT_TRUE(bench.talk->in_step());
    EXPECT_EQ(bench.ask("list").lines, both);
  }
}

TEST(AtOnce, AndGetsBackIntoStepAfterAnAnswerThatNeverCame) {
  HandBench bench;
  bench.open();
  bench.console.unsaid.insert(static_cast<int>(bench.console.commands.size()) + 1);
  EXPECT_THROW(bench.ask("list"), Fault);
  const Instant began = bench.clock.now();
  EXPECT_EQ(bench.ask("list").lines, both);
  EXPECT_EQ(bench.clock.now() - began, Duration{0});
}

TEST(AtOnce, AnAnswerAndThePromptAreAWholeReply) {
  for (const bool echo : {true, false}) {
    HandBench bench;
    bench.console.echo = echo;
    bench.open();
    bench.ask("list");  // the first tells whether there is an echo
    const Asked asked = bench.ask("list");
    EXPECT_EQ(asked.lines, both);
    EXPECT_EQ(asked.waited, Duration{0});
  }
}

TEST(AtOnce, ARefusalIsWaitedForAsBefore) {
  HandBench bench;
  bench.open();
  bench.ask("list");
  const Instant began = bench.clock.now();
  EXPECT_THROW(bench.ask("fly"), Fault);
  EXPECT_EQ(bench.clock.now() - began, bench.profile.timing.quiet);
}

TEST(AtOnce, APromptThatIsKnownOnlyByItsEndIsWaitedForOnce) {
  HandBench bench;
  bench.console.prompt = "[craft 1] > ";
  bench.open();
  EXPECT_GT(bench.ask("list").waited, Duration{0});
  bench.console.prompt = "[craft 23] > ";
  const Asked asked = bench.ask("list");
  EXPECT_EQ(asked.lines.front(), "motor 1 on P1");
  EXPECT_EQ(asked.waited, Duration{0});
  bench.console.prompt = "[craft 23] ! > ";
  EXPECT_GT(bench.ask("list").waited, Duration{0});
}

TEST(AtOnce, WhatComesBehindBelongsToTheReplyBeforeAndIsWaitedForFromThenOn) {
  HandBench bench;
  bench.open();
  bench.ask("list");
  bench.ask("list");
  bench.line->come("\r\nmotor 9 on P9\r\n> ", Duration{5});
  EXPECT_EQ(bench.ask("list").lines, both);
  const Asked asked = bench.ask("list");
  EXPECT_EQ(asked.lines, both);
  EXPECT_EQ(asked.waited, bench.profile.timing.quiet);
}

TEST(AtOnce, ButNotWhereItCameLaterThanAnybodyWouldHaveWaited) {
  HandBench bench;
  bench.open();
  bench.ask("list");
  bench.ask("list");
  bench.clock.advance(Duration{500});
  bench.line->come("\r\nbattery low\r\n> ");
  EXPECT_EQ(bench.ask("list").lines, both);
  EXPECT_EQ(bench.ask("list").waited, Duration{0});
}

// Cut after every byte, a reply ends at each prompt that stands inside it.
TEST(AtOnce, AnswersThatBeginLikeThePromptAreWaitedFor) {
  for (const std::size_t chunk : {1U, 2U, 1000U}) {
    HandBench bench(R"({"armwise_profile": 1, "name": "hand", "open": {"prompt": "# ",
        "barrier": {"send": "say {word}", "lines": ["said {word}"]}}, "refusals": ["no: {rest}"]})");
    bench.console.prompt = "# ";
    bench.line->chunk_size = chunk;
    bench.open();
    for (int i = 0; i < 3; ++i) {
      EXPECT_EQ(bench.ask("hashed", "# motor {motor} on {pin}").lines.size(), 2U);
      EXPECT_EQ(bench.ask("hashed", "{any} motor {motor} on {pin}").lines.size(), 2U);
    }
  }
}

TEST(AtOnce, AConsoleThatHasSaidItsPromptInsideAReplyIsWaitedFor) {
  HandBench bench;
  bench.open();
  EXPECT_EQ(bench.ask("mixed").lines.size(), 2U);
  bench.line->chunk_size = 1;
  for (int i = 0; i < 3; ++i) EXPECT_EQ(bench.ask("mixed").lines.size(), 2U);
}

// What is read again with each sample is only the sample.
TEST(AtOnce, ReadingsAskForTheMountOnlyWhereItMayHaveChanged) {
  int mounts = 0;
  HandConsole console([&](const std::string& command) -> std::string {
    if (command.starts_with("EC,")) return "+EC " + command.substr(3) + "\n";
    if (command == "AC") return "+AC 0 0 -1000\n";
    if (command == "OR") ++mounts;
    if (command.starts_with("OR")) return "+OR 2\n";
    return "-ERR\n";
  });
  console.prompt = "moor:";
  ManualClock clock;
  test::ScriptedPlug plug(clock, console);
  test::NotingSentry sentry;
  ProfileConsole controller(plug, load_profile_file(ARMWISE_FIXTURES "/profiles/moor.json"), clock, sentry);
  test::run(controller.open());
  for (int i = 0; i < 10; ++i) test::run(controller.sense());
  EXPECT_EQ(mounts, 1);
  const solve::Change change{solve::SetMount{{0, 0, 0}, {90, 0, 0}}, ""};
  test::run(controller.apply(change, test::write_permit(controller.lines_for(change))));
  EXPECT_EQ(mounts, 2);  // read back
  for (int i = 0; i < 10; ++i) test::run(controller.sense());
  EXPECT_EQ(mounts, 2);
}

TEST(AtOnce, AStopIsAcknowledgedAsSoonAsItsConfirmationHasCome) {
  test::Tarn tarn;
  HandConsole console([&](const std::string& command) { return tarn.answer(command); });
  console.prompt = "tarn> ";
  ManualClock clock;
  test::ScriptedPlug plug(clock, console);
  test::NotingSentry sentry;
  ProfileConsole controller(plug, load_profile_file(ARMWISE_FIXTURES "/profiles/tarn.json"), clock, sentry);
  test::run(controller.open());
  const TellUnstopped nobody;
  const Instant began = clock.now();
  test::run(controller.stop_all(nobody));
  EXPECT_EQ(clock.now(), began);
  EXPECT_EQ(console.commands.back(), "halt every motor");
  // Its echo confirms nothing.
  tarn.spins_on = true;
  EXPECT_THROW(test::run(controller.stop_all(nobody)), Fault);
}

// Byte by byte the list seems to end with the prompt in it; what is missing is asked for again, with more
// patience.
TEST(AtOnce, AListThatSeemsToEndEarlyIsAskedForAgain) {
  test::Tarn tarn;
  tarn.extra_lines = "tarn> is what this console asks with\n";
  HandConsole console([&](const std::string& command) { return tarn.answer(command); });
  console.prompt = "tarn> ";
  ManualClock clock;
  test::ScriptedPlug plug(clock, console);
  plug.chunk_size = 1;
  test::NotingSentry sentry;
  ProfileConsole controller(plug, load_profile_file(ARMWISE_FIXTURES "/profiles/tarn.json"), clock, sentry);
  test::run(controller.open());
  EXPECT_EQ(test::run(controller.snapshot(4)).map.size(), 4);
}

// Without a prompt, and without anything that brings a word back.
std::string status_answer(const std::string& command) {
  if (command == "ping") return "200 ok\n";
  if (command == "list") return "210-motor 1 on P1\n210-motor 2 on P2\n210 end\n";
  return "500 unknown\n";
}

const Lines listed{"210-motor 1 on P1", "210-motor 2 on P2", "210 end"};
constexpr const char* two_questions = R"({"armwise_profile": 1, "name": "hand", "refusals": ["500 {rest}"],
  "open": {"echo": false, "reply_end": "{skip:digits} {rest}",
           "barrier": {"send": ["qzv", "ping"], "lines": ["500 unknown", "200 ok"]}}})";

TEST(AtOnce, AWordMayBeSpelledInTwoQuestions) {
  HandBench bench(two_questions, status_answer);
  bench.open();
  EXPECT_TRUE(bench.talk->in_step());
  EXPECT_EQ(bench.ask("list").lines, listed);
}

// Whichever of its lines is lost, unanswered, garbled or late: no answer from before counts for what is asked
// next.
TEST(AtOnce, AndOneThatIsNotBackWholeProvesNothing) {
  for (int number = 1; number <= 11; ++number) {
    for (const std::string what : {"unsaid", "garbled", "twice", "late"}) {
      HandBench bench(two_questions, status_answer);
      if (what == "unsaid") bench.console.unsaid.insert(number);
      if (what == "garbled") bench.console.instead[number] = "20 ok\r\n";
      if (what == "twice") bench.console.instead[number] = "200 ok\r\n200 ok\r\n";
      if (what == "late") bench.console.late[number] = Duration(1500);
      bench.open();
      EXPECT_EQ(bench.ask("list").lines, listed) << what << ' ' << number;
      EXPECT_EQ(bench.console.commands.back(), "list");
    }
  }
}

}  // namespace
}  // namespace armwise::console::at_once_test
