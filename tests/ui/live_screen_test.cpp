// The live screen at a real terminal, and what stays behind when it goes.
#include <gtest/gtest.h>
#include <sys/ioctl.h>

#include "armwise/base/fault.hpp"
#include "armwise/base/task.hpp"
#include "armwise/ui/terminal_person.hpp"
#include "driving.hpp"
#include "screen.hpp"
#include "support/sweep.hpp"
#include "virtual_screen.hpp"

namespace armwise::ui::live_screen_test {
namespace {

using craft::Turn;
using session::Answer;
using session::Question;
using session::SpinSeen;
using session::Statement;
using testing::confirm_question;
using testing::go_question;
using testing::spin_question;
using testing::Typist;
using testing::VirtualScreen;

class LiveScreen : public ::testing::Test {
 protected:
  LiveScreen() : typist(loop), before(typist.modes()) {
    TerminalOptions options;
    options.style.colour = ColourDepth::eight;
    person = std::make_unique<TerminalPerson>(loop.get_executor(), typist.terminal(), std::move(options));
  }

  Task<void> ask(Question question) { answer = co_await person->ask(question); }
  Task<void> spin(Duration within) { pressed = co_await person->interrupted(craft::Motor{2}, within); }

  // `flow`, while `types` sees and types.
  void play(std::function<Task<void>()> flow, std::function<Task<void>()> types) {
    std::vector<Task<void>> tasks;
    tasks.push_back(flow());
    tasks.push_back(types());
    testing::run(loop, std::move(tasks));
  }
  VirtualScreen screen(int rows = 24, int columns = 80) const {
    VirtualScreen shown(rows, columns);
    shown.feed(typist.screen());
    return shown;
  }

  boost::asio::io_context loop;
  Typist typist;
  termios before;
  std::unique_ptr<TerminalPerson> person;
  Answer answer;
  bool pressed = false;
};

TEST_F(LiveScreen, TakesTheScreenAndLeavesATranscriptBehind) {
  play([&] { return ask(confirm_question("battery")); },
       [&]() -> Task<void> {
         co_await typist.see("? help");
         typist.type("y");
       });
  EXPECT_TRUE(screen().other());
  person->tell(session::statement_of("not-understood", {{"why", "What comes next."}}));
  person.reset();
  play([&]() -> Task<void> { co_return; },
       [&]() -> Task<void> {
         co_await typist.see("ok battery");
         co_await typist.see("What comes next.");
       });
  const VirtualScreen left = screen();
  EXPECT_FALSE(left.other());
  EXPECT_TRUE(left.cursor());
  EXPECT_TRUE(left.shows("ok battery yes")) << left.text();
  EXPECT_TRUE(left.shows("What comes next.")) << left.text();
  EXPECT_EQ(typist.modes().c_lflag, before.c_lflag);
}

TEST_F(LiveScreen, GivesTheScreenBackFromASignalHandler) {
  const auto flow = [&]() -> Task<void> {
    try {
      co_await ask(confirm_question());
    } catch (const StoppedByPerson&) {
      pressed = true;
    }
  };
  play(flow, [&]() -> Task<void> {
    co_await typist.see("? help");
    restore_terminal();
    co_await typist.see("\x1B[?1049l");
    typist.hang_up();
  });
  EXPECT_TRUE(pressed);
  EXPECT_FALSE(screen().other());
}

TEST_F(LiveScreen, SaysAWrongKeyInPlaceAndNoLineMore) {
  play([&] { return ask(confirm_question()); },
       [&]() -> Task<void> {
         co_await typist.see("? help");
         for (const char* wrong : {"x", "z", "b"}) {
           typist.type(wrong);
           co_await typist.see(std::string("Not here: \"") + wrong);
         }
         const VirtualScreen shown = screen();
         EXPECT_FALSE(shown.shows("\"x\"")) << shown.text();
         EXPECT_TRUE(shown.shows("Not here: \"b\". Press y or n.")) << shown.text();
         EXPECT_TRUE(shown.shows("Shall it?")) << shown.text();
         typist.type("y");
       });
}

TEST_F(LiveScreen, FoldsWhatIsAnswered) {
  const auto flow = [&]() -> Task<void> {
    const Question first = confirm_question("props-off"), second = confirm_question("battery");
    co_await ask(first);
    co_await ask(second);
  };
  play(flow, [&]() -> Task<void> {
    co_await typist.see("? help");
    typist.type("y");
    co_await typist.see("ok");
    co_await typist.see("n no");
    EXPECT_TRUE(screen().shows("ok props off yes")) << screen().text();
    typist.type("y");
  });
}

// An answer with which a flow could do nothing, so that it asks the same again.
TEST_F(LiveScreen, FoldsNoAnswerThatWasNotTaken) {
  const auto flow = [&]() -> Task<void> {
    Question command;
    command.id = "identify";
    command.kind = Question::Kind::text;
    command.text = "Type a command";
    co_await ask(command);
    co_await ask(command);
    const Question last = confirm_question("battery");
    co_await ask(last);
  };
  play(flow, [&]() -> Task<void> {
    co_await typist.see("> ");
    typist.type("wrong");
    co_await typist.see("> wrong");
    typist.type("\r");
    co_await typist.see("> ");
    typist.type("right\r");
    co_await typist.see("y yes");
    const VirtualScreen shown = screen();
    EXPECT_TRUE(shown.shows("identify right")) << shown.text();
    EXPECT_FALSE(shown.shows("identify wrong")) << shown.text();
    typist.type("y");
  });
}

TEST_F(LiveScreen, PointsWithArrowsIntoWhatTheConsoleSaid) {
  Question question;
  question.id = "point-pin";
  question.kind = Question::Kind::choose;
  question.text = "Which part is its pin?";
  question.shown = {"motor 1 on P4"};
  question.choices = {{"1", "motor", {}, session::PlaceInText{0, 0, 5}},
                      {"2", "1", {}, session::PlaceInText{0, 6, 7}},
                      {"4", "P4", {}, session::PlaceInText{0, 11, 13}},
                      {"none", "it does not stand there", "n"}};
  play([&] { return ask(question); },
       [&]() -> Task<void> {
         co_await typist.see("n none of these");
         EXPECT_TRUE(screen().shows("motor 1 on P4")) << screen().text();
         typist.type("x");
         co_await typist.see("Press an arrow, Enter, or n.");
         typist.type("\x1B[C");
         co_await typist.see("\x1B[7m1");
         typist.type("\x1B[C");
         co_await typist.see("\x1B[7mP4");
         typist.type("\r");
       });
  EXPECT_EQ(answer, Answer{std::string("4")});
  play([&] { return ask(question); },
       [&]() -> Task<void> {
         co_await typist.see("n none of these");
         typist.type("n");
       });
  EXPECT_EQ(answer, Answer{std::string("none")});
}

TEST_F(LiveScreen, FitsANewSizeInMidQuestion) {
  play([&] { return ask(spin_question()); },
       [&]() -> Task<void> {
         co_await typist.see("? help");
         winsize small{20, 60, 0, 0};
         ::ioctl(typist.terminal(), TIOCSWINSZ, &small);
         co_await typist.see("? help");
         VirtualScreen shown(20, 60);
         shown.feed(std::string_view(typist.screen()).substr(typist.screen().rfind("\x1B[1;1H")));
         EXPECT_TRUE(shown.shows("Which arm moved?")) << shown.text();
         EXPECT_TRUE(shown.shows(" q ")) << shown.text();
         for (const std::string& line : shown.lines()) EXPECT_LE(line.size(), 60U) << line;
         // A defect found: the last column of a line that fills its row was erased with what may stand behind
         // it.
         EXPECT_EQ(shown.lines()[1].size(), 60U) << shown.text();
         typist.type("q");
       });
  EXPECT_EQ(answer,
            (Answer{SpinSeen{SpinSeen::What::one, *craft::frame_named("quad-x")->find("fl"), Turn::ccw}}));
}

// A defect found: each "still trying" stood below the last, and all of them beside "the stop is confirmed".
TEST_F(LiveScreen, ShowsAnAlarmOnceAndNotWhenItIsOver) {
  const auto nothing = [&]() -> Task<void> { co_return; };
  play(nothing, [&]() -> Task<void> {
    person->tell(session::statement_of("stop-lost", {{"why", "nothing comes back"}}));
    for (const char* seconds : {"22", "44"})
      person->tell(session::statement_of("stop-tried", {{"seconds", seconds}}));
    co_await typist.see("44");
    const VirtualScreen during = screen();
    EXPECT_TRUE(during.shows("nothing comes back")) << during.text();
    EXPECT_FALSE(during.shows("22")) << during.text();
    person->tell(session::statement_of("stop-found"));
    co_await typist.see("confirmed now");
    const VirtualScreen after = screen();
    EXPECT_FALSE(after.shows("nothing comes back")) << after.text();
    EXPECT_FALSE(after.shows("44")) << after.text();
  });
}

TEST_F(LiveScreen, ShowsThatItWaitsAndForWhat) {
  person->tell(session::statement_of("saving-restarts"));
  play([&]() -> Task<void> { co_return; },
       [&]() -> Task<void> {
         co_await typist.see("Saving; then the controller restarts.");
         co_await typist.see("0 s");
         co_await typist.see("1 s");
       });
}

// Space, two beeps to look up by, and the spin with the third.
TEST_F(LiveScreen, BeepsThreeTimesAndSpinsWithTheLast) {
  const auto flow = [&]() -> Task<void> {
    const Question question = go_question();
    co_await ask(question);
    co_await spin(Duration{1});
  };
  play(flow, [&]() -> Task<void> {
    co_await typist.see("Space spins P4.");
    typist.type(" ");
    co_await typist.see("told to stop");
  });
  EXPECT_EQ(answer, Answer{std::string("spin")});
  EXPECT_EQ(screen().bells(), 3);
}

TEST_F(LiveScreen, SpinsNothingWhereAKeyComesBetweenTheBeeps) {
  play([&] { return ask(go_question()); },
       [&]() -> Task<void> {
         co_await typist.see("? help");
         typist.type(" ");
         co_await typist.see("\a");
         typist.type(" ");
         co_await typist.see("Not spun");
         typist.type("u");
       });
  EXPECT_EQ(answer, Answer{session::Back{}});
}

// A second Space in fright must not start what the first has stopped: only one at "Space spins P4." spins.
TEST_F(LiveScreen, ASpaceThatAsksForAnotherSpinSpinsNothingYet) {
  const auto flow = [&]() -> Task<void> {
    const Question go = go_question(), about = spin_question();
    co_await ask(go);
    co_await ask(about);
    EXPECT_EQ(std::get<SpinSeen>(answer).what, SpinSeen::What::again);
    co_await ask(go);
  };
  play(flow, [&]() -> Task<void> {
    co_await typist.see("Space spins P4.");
    typist.type(" ");
    co_await typist.see("Space back to the spin");
    typist.type(" ");
    co_await typist.see("Space spins P4.");
    typist.type("u");
  });
  EXPECT_EQ(answer, Answer{session::Back{}});
  EXPECT_EQ(screen().bells(), 2);
}

class EarlyAnswer : public LiveScreen {
 protected:
  // A spin, then its question; the answer is `later` where the early key was none.
  Answer spin_then_ask(const std::string& keys, Duration after, const std::string& later) {
    const auto flow = [&]() -> Task<void> {
      co_await spin(Duration{60000});
      const Question question = spin_question();
      co_await ask(question);
    };
    play(flow, [&]() -> Task<void> {
      co_await typist.see("any key stops it");
      boost::asio::steady_timer timer(loop, after);
      co_await timer.async_wait(boost::asio::use_awaitable);
      typist.type(keys);
      if (later.empty()) co_return;
      co_await typist.see("? help");
      typist.type(later);
    });
    EXPECT_TRUE(pressed);
    return answer;
  }
  static Answer seen(const char* place, Turn turn) {
    return SpinSeen{SpinSeen::What::one, *craft::frame_named("quad-x")->find(place), turn};
  }
};

TEST_F(EarlyAnswer, IsAnArmsKeyThatStopsTheMotor) {
  EXPECT_EQ(spin_then_ask("l", Duration{250}, ""), seen("rr", Turn::cw));
}

TEST_F(EarlyAnswer, IsNoOtherKey) {
  EXPECT_EQ(spin_then_ask(" ", Duration{250}, "a"), seen("rl", Turn::ccw));
}

TEST_F(EarlyAnswer, IsNoBurst) {
  EXPECT_EQ(spin_then_ask("lq", Duration{250}, "a"), seen("rl", Turn::ccw));
}

// Faster than anybody sees a motor start: pressed in fright, or typed ahead.
TEST_F(EarlyAnswer, IsNothingThatCameBeforeAHandCould) {
  EXPECT_EQ(spin_then_ask("l", Duration{0}, "a"), seen("rl", Turn::ccw));
}

Screen full_screen(const craft::Frame& frame) {
  Screen screen;
  screen.header.title = "bench " + frame.name;
  screen.header.phases = {"find", "plan", "write", "check", "save"};
  screen.header.phase = 1;
  screen.header.where = "motor 3 of 4";
  screen.folded = {{"frame        quad-x"}, {"props        in"}, {"battery      yes"}};
  screen.question =
      "Which motor spun, and which way, seen from above? If it's still spinning, pull the battery.";
  screen.keys = {"Space back to the spin", "5 none", "0 several", "t paper", "u back", "? help"};
  const ArmKeys keys(frame, NoseSide::away);
  screen.picture = [&frame, keys](const Style& style) { return asking_picture(frame, keys, style); };
  return screen;
}

int columns_in(const Line& line) {
  int columns = 0;
  for (const Span& span : line) columns += columns_of(span.text);
  return columns;
}

TEST(ScreenLayout, HoldsQuestionAndKeysAtEverySizeAndNeverALongLine) {
  test::InTurn in_turn;
  for (const craft::Frame& frame : craft::frames()) {
    for (const int rows : {5, 8, 10, 15, 20, 24, 40, 60}) {
      for (const int columns : {40, 60, 80, 200}) {
        if (in_turn.is_left_out()) continue;
        Style style;
        style.unicode = true;
        style.rows = rows;
        style.columns = columns;
        const Laid laid = laid_out(full_screen(frame), style);
        std::string text;
        for (const std::string& line : rendered(Picture{laid.lines}, {})) text += line + "\n";
        EXPECT_LE(laid.lines.size(), static_cast<std::size_t>(rows)) << text;
        EXPECT_NE(text.find("battery."), std::string::npos) << text;
        EXPECT_NE(text.find("? help"), std::string::npos) << text;
        for (const Line& line : laid.lines) EXPECT_LE(columns_in(line), std::min(columns, 78)) << text;
      }
    }
  }
}

TEST(ScreenLayout, HasThePictureOfEveryFrameAtTheCommonestSize) {
  for (const craft::Frame& frame : craft::frames()) {
    Style style;
    style.rows = 24;
    const Laid laid = laid_out(full_screen(frame), style);
    std::string text;
    for (const std::string& line : rendered(Picture{laid.lines}, {})) text += line + "\n";
    EXPECT_NE(text.find("/^\\"), std::string::npos) << frame.name << "\n" << text;
    EXPECT_NE(text.find("motor 3 of 4"), std::string::npos) << text;
  }
}

// From "ready" to the answer, and from there to a second word about it, the craft stays where it was.
TEST(ScreenLayout, KeepsThePictureInItsPlaceFromOneSpinQuestionToTheNext) {
  Style style;
  style.rows = 24;
  Screen screen = full_screen(*craft::frame_named("quad-x"));
  screen.rows_below = 4;
  const auto picture = [&] {
    const Laid laid = laid_out(screen, style);
    std::string text;
    for (const std::string& line : rendered(Picture{laid.lines}, {})) text += line + "\n";
    return text.substr(0, text.find("rear-right"));
  };
  const std::string answering = picture();
  screen.folded.push_back({"pose         level"});
  screen.question = "Which way?";
  screen.keys = {"any key stops it"};
  EXPECT_EQ(picture(), answering);
  screen.notes.push_back({{"Once more, to be sure."}, session::Level::info});
  EXPECT_EQ(picture(), answering);
}

TEST(ScreenLayout, SaysThatItIsPracticeOnANarrowScreenToo) {
  Screen screen = full_screen(*craft::frame_named("quad-x"));
  screen.header.banner = "practice: nothing can turn";
  for (const int columns : {60, 80}) {
    Style style;
    style.rows = 24;
    style.columns = columns;
    const Laid laid = laid_out(screen, style);
    std::string first;
    for (const Span& span : laid.lines.front()) first += span.text;
    EXPECT_NE(first.find("practice"), std::string::npos) << first;
    EXPECT_NE(first.find("motor 3 of 4"), std::string::npos) << first;
  }
}

TEST(ScreenLayout, KeepsADangerWhateverElseGoes) {
  Screen screen = full_screen(*craft::frame_named("quad-x"));
  screen.notes.push_back({{"A motor may be turning. Pull the battery plug now."}, session::Level::alarm});
  for (int i = 0; i < 30; ++i) screen.notes.push_back({{"What happened next."}, session::Level::info});
  Style style;
  style.rows = 20;
  style.columns = 60;
  std::string text;
  for (const std::string& line : rendered(Picture{laid_out(screen, style).lines}, {})) text += line + "\n";
  EXPECT_NE(text.find("DANGER: A motor may be turning."), std::string::npos) << text;
}

}  // namespace
}  // namespace armwise::ui::live_screen_test
