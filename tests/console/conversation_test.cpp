#include "armwise/console/conversation.hpp"

#include <gtest/gtest.h>

#include <memory>
#include <tuple>

#include "armwise/base/fault.hpp"
#include "armwise/base/text.hpp"
#include "support/hand_console.hpp"
#include "support/manual_clock.hpp"
#include "support/scripted_line.hpp"

namespace armwise::console::conversation_test {
namespace {

using test::HandConsole;
using test::ManualClock;
using test::ScriptedLine;

constexpr const char* with_barrier = R"({"armwise_profile": 1, "name": "hand", "open": {"prompt": "> ",
  "barrier": {"send": "say {word}", "lines": ["said {word}"]}}, "refusals": ["no: {rest}"]})";
constexpr const char* without_barrier =
    R"({"armwise_profile": 1, "name": "hand", "open": {"prompt": "> "}, "refusals": ["no: {rest}"]})";

std::string answer(const std::string& command) {
  if (command.starts_with("say ")) return "said " + command.substr(4) + "\n";
  if (command == "list") return "motor 1 on P1\nmotor 2 on P2\n";
  if (command == "arrows") return "before > \n> in between\na > b\nafter\n";
  if (command == "quiet") return "";
  return "no: what is " + command + "\n";
}

Steps steps(const std::vector<std::string>& sent) {
  Steps all;
  for (const std::string& one : sent) all.push_back({Template::parse(one), ""});
  return all;
}

// A conversation with a hand-written console, opened unless told otherwise.
struct Bench {
  explicit Bench(const std::string& json, HandConsole::Answer answers = answer)
      : profile(load_profile(json)), console(std::move(answers)) {
    auto made = std::make_unique<ScriptedLine>(clock, console);
    line = made.get();
    conversation = std::make_unique<Conversation>(std::move(made), profile, clock);
  }
  void open() { test::run(conversation->open()); }
  std::vector<std::string> ask(const std::string& command) {
    const Steps sent = steps({command});
    const Values none;
    return test::run(conversation->run(sent, none)).lines;
  }
  // The next command's number, counted as HandConsole counts.
  int next() const { return static_cast<int>(console.commands.size()) + 1; }

  Profile profile;
  ManualClock clock;
  HandConsole console;
  ScriptedLine* line = nullptr;
  std::unique_ptr<Conversation> conversation;
};

template <typename Action>
Fault fault_of(Action action) {
  try {
    action();
  } catch (const Fault& fault) {
    return fault;
  }
  ADD_FAILURE() << "no fault";
  return Fault(FaultKind::internal, "none");
}

const std::vector<std::string> listed{"motor 1 on P1", "motor 2 on P2"};

// Echo, what ends the console's lines, how many bytes one read gives, whether there is a barrier.
using Habits = std::tuple<bool, std::string, std::size_t, bool>;
class AnyConsole : public testing::TestWithParam<Habits> {
 protected:
  AnyConsole() : bench(std::get<3>(GetParam()) ? with_barrier : without_barrier) {
    bench.console.echo = std::get<0>(GetParam());
    bench.console.line_end = std::get<1>(GetParam());
    bench.line->chunk_size = std::get<2>(GetParam());
  }
  Bench bench;
};

TEST_P(AnyConsole, GivesTheReplyAndNothingElse) {
  bench.open();
  EXPECT_EQ(bench.ask("list"), listed);
  EXPECT_EQ(bench.ask("quiet"), std::vector<std::string>{});
  EXPECT_EQ(bench.ask("list"), listed);
}

TEST_P(AnyConsole, CopesWithABannerAndHalfALineFromBefore) {
  bench.console.type("erase eve");
  bench.line->come("\x1b[2J\x1b[1mWelcome!\x1b[0m\r\nfirmware > 1.0\r\n", Duration{5});
  bench.open();
  EXPECT_EQ(bench.ask("list"), listed);
}

TEST_P(AnyConsole, TakesAPromptInsideAReplyForText) {
  bench.open();
  EXPECT_EQ(bench.ask("arrows"), (std::vector<std::string>{"before >", "> in between", "a > b", "after"}));
}

TEST_P(AnyConsole, PassesOverColoursAndNuls) {
  bench.open();
  using namespace std::string_literals;  // a literal's own length, across the NUL
  bench.console.instead[bench.next()] = "\x1b[32mmotor 1\0 on P1\x1b[0m\r\n\x1b[1m> \x1b[0m"s;
  bench.console.echo = false;
  const auto lines = bench.ask("list");
  ASSERT_FALSE(lines.empty());
  EXPECT_EQ(lines.front(), "motor 1 on P1");
}

TEST_P(AnyConsole, TellsARefusalFromAnAnswer) {
  bench.open();
  const Fault fault = fault_of([&] { bench.ask("fly"); });
  EXPECT_EQ(fault.kind(), FaultKind::refused);
  EXPECT_EQ(fault.sentence(), "The console refused \"fly\". It said: \"no: what is fly\".");
  EXPECT_EQ(bench.ask("list"), listed);
}

// A guard that took the tool for hung has said a stop just before: an order to spin was once called refused
// then, and the motor turned.
TEST_P(AnyConsole, TakesNoRefusalOfTheGuardsWordForItsOwn) {
  bench.open();
  bench.console.instead[bench.next()] =
      "no: what is " + std::string(spoiling_word()) + "\r\nmotor 1 spins\r\n> ";
  const auto lines = bench.ask("list");
  ASSERT_FALSE(lines.empty());
  EXPECT_EQ(lines.back(), "motor 1 spins");
}

TEST_P(AnyConsole, NeverTakesALateAnswerForTheNext) {
  bench.open();
  bench.console.late[bench.next()] = Duration{1500};
  const Fault fault = fault_of([&] { bench.ask("fly"); });
  EXPECT_EQ(fault.kind(), FaultKind::no_reply);
  EXPECT_FALSE(bench.conversation->in_step());
  EXPECT_EQ(bench.ask("list"), listed);
  EXPECT_TRUE(bench.conversation->in_step());
}

TEST_P(AnyConsole, ReadsOnWhereALineOfItsOwnComesBehindThePrompt) {
  bench.open();
  bench.console.afterwards[bench.next()] = "\r\nbattery low\r\n";
  if (std::get<3>(GetParam())) {
    EXPECT_EQ(bench.ask("list"), (std::vector<std::string>{"motor 1 on P1", "motor 2 on P2", "battery low"}));
  } else {
    EXPECT_EQ(fault_of([&] { bench.ask("list"); }).kind(), FaultKind::no_reply);
  }
  EXPECT_EQ(bench.ask("list"), listed);
}

INSTANTIATE_TEST_SUITE_P(Habits, AnyConsole,
                         testing::Combine(testing::Bool(), testing::Values("\r\n", "\n", "\r", "\n\r"),
                                          testing::Values(1U, 7U, 1000U), testing::Bool()));

TEST(Conversation, FindsOutWhetherThereIsAnEcho) {
  for (const bool echo : {true, false}) {
    Bench bench(with_barrier, [](const std::string& command) {
      // An answer that looks like the command: only a console that does not echo means it.
      return command == "P4" ? std::string("P4\n") : answer(command);
    });
    bench.console.echo = echo;
    bench.open();
    EXPECT_EQ(bench.ask("P4"), std::vector<std::string>{"P4"});
  }
}

TEST(Conversation, TakesOutAnEchoThatIsBrokenInto) {
  for (const char* interruption : {"\r\nbattery low\r\n", "BATTERY LOW\r\n", "\r\n", " \r"}) {
    for (const std::size_t chunk : {1U, 1000U}) {
      Bench bench(with_barrier);
      bench.line->chunk_size = chunk;
      bench.open();
      bench.console.interrupts[bench.next()] = interruption;
      std::vector<std::string> lines = bench.ask("list");
      std::erase_if(lines,
                    [](const std::string& line) { return line == "battery low" || line == "BATTERY LOW"; });
      EXPECT_EQ(lines, listed) << interruption;
    }
  }
}

TEST(Conversation, ThrowsAwayWhatCameByItselfBetweenTwoCommands) {
  Bench bench(with_barrier);
  bench.console.echo = false;
  bench.open();
  bench.line->come("\r\nmotor 9 on P9\r\n> ");
  EXPECT_EQ(bench.ask("list"), listed);
}

TEST(Conversation, DoesNotTakeAnOldPromptForTheEndOfANewReply) {
  Bench bench(with_barrier);
  bench.open();
  // The prompt of before comes just after the command was sent, the reply itself a little later.
  bench.console.instead[bench.next()] = "> ";
  bench.clock.advance(Duration{1});
  const int at = bench.next();
  bench.console.before_answering = [&, at] {
    if (static_cast<int>(bench.console.commands.size()) == at) {
      bench.line->come("> ");
      bench.line->come("list\r\nmotor 1 on P1\r\n> ", Duration{200});
      bench.console.instead[at] = "";
    }
  };
  EXPECT_EQ(bench.ask("list"), std::vector<std::string>{"motor 1 on P1"});
}

TEST(Conversation, EntersAConsoleThatIsNotOpenYet) {
  bool open = false;
  Bench bench(R"({"armwise_profile": 1, "name": "hand", "open": {"send": "console", "prompt": "# "}})",
              [&](const std::string& command) {
                if (command == "console") open = true;
                return std::string(open ? "" : "\x02\x03 binary\n");
              });
  bench.console.echo = false;
  bench.console.prompt = "";
  bench.console.before_answering = [&] {
    if (open || bench.console.commands.back() == "console") bench.console.prompt = "# ";
  };
  bench.open();
  EXPECT_EQ(bench.ask("list"), std::vector<std::string>{});
  const auto& commands = bench.console.commands;
  EXPECT_EQ(std::count(commands.begin(), commands.end(), "console"), 1);
}

TEST(Conversation, DoesNotSendTheWayInToAConsoleThatIsOpen) {
  Bench bench(R"({"armwise_profile": 1, "name": "hand", "open": {"send": "console", "prompt": "> "}})");
  bench.open();
  for (const std::string& command : bench.console.commands) EXPECT_NE(command, "console");
}

TEST(Conversation, SendsAWakeUpKeyBare) {
  Bench bench(R"({"armwise_profile": 1, "name": "hand", "open": {"send": "\u0003", "prompt": "> "}})");
  bench.console.silent = true;
  EXPECT_EQ(fault_of([&] { bench.open(); }).kind(), FaultKind::no_reply);
  EXPECT_NE(bench.line->written.find("\r\n\x03"), std::string::npos);
  EXPECT_EQ(bench.line->written.find("\x03\x0a"), std::string::npos);
}

TEST(Conversation, SaysWhyNothingOpens) {
  {
    Bench bench(with_barrier);
    bench.console.silent = true;
    EXPECT_EQ(fault_of([&] { bench.open(); }).happened(), "nothing answers on /dev/scripted");
  }
  {
    Bench bench(with_barrier);
    bench.line->come("\xff\xfe\x80\x93\x01\xd7\xc3\x80\x81", Duration{5});
    bench.console.silent = true;
    const Fault fault = fault_of([&] { bench.open(); });
    EXPECT_EQ(fault.kind(), FaultKind::unreadable);
    EXPECT_EQ(fault.happened(), "what comes from /dev/scripted is no text");
  }
  {
    Bench bench(R"({"armwise_profile": 1, "name": "hand", "open": {"send": "console", "prompt": "> "}})");
    bench.console.silent = true;
    for (int number = 1; number < 20; ++number) bench.console.instead[number] = "";
    bench.console.before_answering = [&] { bench.line->come(bench.console.commands.back() + "\r\n"); };
    EXPECT_EQ(fault_of([&] { bench.open(); }).happened(),
              "/dev/scripted repeats what is sent, but does not answer");
  }
}

TEST(Conversation, HasADeadlineForEverything) {
  Bench bench(with_barrier);
  bench.open();
  bench.console.silent = true;
  const Instant before = bench.clock.now();
  EXPECT_EQ(fault_of([&] { bench.ask("list"); }).happened(), "no reply to \"list\" came within 1 s");
  EXPECT_LE(bench.clock.now() - before, Duration{1100});
  EXPECT_EQ(fault_of([&] { bench.ask("list"); }).kind(), FaultKind::no_reply);
  EXPECT_LE(bench.clock.now() - before, Duration{20'000});
}

TEST(Conversation, GivesUpAReplyThatNeverEnds) {
  Bench bench(with_barrier);
  bench.open();
  bench.console.instead[bench.next()] = "list\r\n";
  bench.console.before_answering = [&] {
    for (int i = 0; i < 2000; ++i) bench.line->come("motor 1 on P1\r\n", Duration{100});
    bench.console.before_answering = nullptr;
  };
  const Fault fault = fault_of([&] { bench.ask("list"); });
  EXPECT_EQ(fault.kind(), FaultKind::no_reply);
  EXPECT_EQ(fault.happened(), "the reply to \"list\" did not end within 20 s");
}

TEST(Conversation, KeepsNoMoreThanItCanUse) {
  for (const bool with_lines : {true, false}) {
    Bench bench(with_barrier);
    bench.open();
    std::string much(3'000'000, 'x');
    if (with_lines) {
      for (std::size_t i = 80; i < much.size(); i += 80) much[i] = '\n';
    }
    bench.line->chunk_size = 4096;
    bench.console.instead[bench.next()] = much;
    const Fault fault = fault_of([&] { bench.ask("list"); });
    EXPECT_EQ(fault.kind(), FaultKind::unreadable);
    EXPECT_EQ(fault.happened(), with_lines ? "the console sent more than 1 MiB in one reply"
                                           : "the console sent a line longer than 64 KiB");
  }
}

TEST(Conversation, SaysThatTheLineIsLost) {
  Bench bench(with_barrier);
  bench.open();
  bench.console.instead[bench.next()] = "lis";
  bench.line->closed = false;
  bench.console.before_answering = [&] { bench.line->closed = true; };
  const Fault fault = fault_of([&] { bench.ask("list"); });
  EXPECT_EQ(fault.kind(), FaultKind::line_lost);
}

TEST(Conversation, SaysWhenTheFarSideTakesNothing) {
  Bench bench(with_barrier);
  bench.open();
  bench.line->takes_at_most = 3;
  EXPECT_EQ(fault_of([&] { bench.ask("list"); }).kind(), FaultKind::no_reply);
  EXPECT_FALSE(bench.conversation->in_step());
  bench.line->takes_at_most = 1000;
  EXPECT_EQ(bench.ask("list"), listed);
}

TEST(Conversation, DoesNotTrustHalfALineAtTheEndOfAStalledReply) {
  Bench bench(with_barrier);
  bench.open();
  bench.console.instead[bench.next()] = "list\r\nmotor 1 on P";  // of P1, or of P12
  const Fault fault = fault_of([&] { bench.ask("list"); });
  EXPECT_EQ(fault.kind(), FaultKind::no_reply);
  EXPECT_EQ(fault.happened(), "only part of a reply to \"list\" came");
}

// A defect found: the line was cut at 80 bytes, in the middle of a character.
TEST(Conversation, QuotesALongLineWithoutCuttingACharacter) {
  for (std::size_t before = 70; before <= 80; ++before) {
    Bench bench(with_barrier);
    bench.open();
    bench.console.instead[bench.next()] = "list\r\n" + std::string(before, 'x') + "\u00e9\u00e9\u00e9";
    const Fault fault = fault_of([&] { bench.ask("list"); });
    EXPECT_TRUE(is_printable(fault.sentence())) << fault.sentence();
  }
}

TEST(Conversation, TurnsThePages) {
  for (const std::size_t chunk : {1U, 1000U}) {
    Bench bench(R"({"armwise_profile": 1, "name": "hand", "open": {"prompt": "> ", "more": "-- more --"}})");
    bench.console.echo = false;
    bench.line->chunk_size = chunk;
    bench.open();
    bench.console.instead[bench.next()] = "motor 1 on P1\r\n-- more --";
    bench.console.instead[bench.next() + 1] = "\r          \rmotor 2 on P2\r\n-- more --";
    bench.console.instead[bench.next() + 2] = "\b\b\b\b\b\b\b\b\b\bmotor 3 on P3\r\n> ";
    EXPECT_EQ(bench.ask("list"),
              (std::vector<std::string>{"motor 1 on P1", "motor 2 on P2", "motor 3 on P3"}));
  }
}

TEST(Conversation, StopsAtOnceAndGetsBackIntoStep) {
  Bench bench(R"({"armwise_profile": 1, "name": "hand", "open": {"prompt": "> "},
      "spin": {"spin": "spin {motor} {strength}", "stop_all": "stop", "standard": 6}})");
  bench.open();
  test::run(bench.conversation->stop_now());
  EXPECT_TRUE(bench.line->written.ends_with("\r\nstop\r\n"));
  EXPECT_EQ(bench.ask("list"), listed);
}

TEST(Conversation, ReadsRepliesThatEndWithALineOfTheirOwn) {
  for (const std::size_t chunk : {1U, 1000U}) {
    Bench bench(
        R"({"armwise_profile": 1, "name": "hand", "open": {"reply_end": "{{\"re\":{rest}", "echo": false,
        "barrier": {"send": "ping {word}", "lines": ["{{\"re\":\"{word}\"}}"]}}})",
        [](const std::string& command) {
          if (command.starts_with("ping ")) return "{\"re\":\"" + command.substr(5) + "\"}\n";
          return std::string("{\"event\":\"low\"}\n{\"re\":\"map\"}\n");
        });
    bench.console.echo = false;
    bench.console.prompt = "";
    bench.line->chunk_size = chunk;
    bench.open();
    EXPECT_EQ(bench.ask("map"), (std::vector<std::string>{"{\"event\":\"low\"}", "{\"re\":\"map\"}"}));
    bench.console.late[bench.next()] = Duration{1400};
    EXPECT_EQ(fault_of([&] { bench.ask("slow"); }).kind(), FaultKind::no_reply);
    EXPECT_EQ(bench.ask("map").size(), 2U);
  }
}

TEST(Conversation, StripsEscapeCodesFromWhatAPersonMaySee) {
  Bench bench(with_barrier, [](const std::string& command) {
    return command == "bad" ? std::string("no: \x1b]0;owned\x07\x1b[2Jx\xff\n") : answer(command);
  });
  bench.open();
  EXPECT_EQ(fault_of([&] { bench.ask("bad"); }).why(), "It said: \"no: x\xEF\xBF\xBD\"");
}

}  // namespace
}  // namespace armwise::console::conversation_test
