#include "armwise/link/guard.hpp"

#include <fcntl.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <pty.h>
#include <sched.h>
#include <sys/prctl.h>
#include <sys/resource.h>
#include <termios.h>
#include <unistd.h>

#include <array>
#include <boost/asio/steady_timer.hpp>
#include <filesystem>
#include <memory>

#include "guarded_tool.hpp"
#include "run.hpp"

namespace armwise::link::guard_test {
namespace {

using testing::fault_of;
using testing::GuardedTool;
using ::testing::HasSubstr;
using testing::PseudoTerminal;
using testing::spin_for_ever;
using testing::Stage;
using ::testing::StartsWith;
using testing::test_speech;
using namespace std::chrono_literals;

const std::string the_stop = "\r\nstop all\r\n";

Duration since(std::chrono::steady_clock::time_point start) {
  return std::chrono::duration_cast<Duration>(std::chrono::steady_clock::now() - start);
}

Task<void> wait_for_beats(boost::asio::io_context& loop) {
  boost::asio::steady_timer timer(loop, 300ms);
  co_await timer.async_wait(boost::asio::use_awaitable);
}

bool was_killed(int status) {
  return WIFSIGNALED(status) && WTERMSIG(status) == SIGKILL;
}

class GuardTest : public ::testing::Test {
 protected:
  void expect_spin() { ASSERT_EQ(far_side.until("spin 1\r\n", 5s), "spin 1\r\n"); }

  PseudoTerminal far_side;
  GuardTiming timing;
};

TEST_F(GuardTest, StopsTheMotorWhenTheToolIsKilled) {
  GuardedTool tool(far_side, timing, spin_for_ever);
  expect_spin();
  kill(tool.tool(), SIGKILL);
  const auto start = std::chrono::steady_clock::now();
  EXPECT_EQ(far_side.until(the_stop, 5s), the_stop);
  EXPECT_LT(since(start), 200ms);  // the benchmark measures it; this is told apart from the heartbeat's way
}

TEST_F(GuardTest, StopsTheMotorAndKillsTheToolWhenItHangs) {
  GuardedTool tool(far_side, timing, spin_for_ever);
  expect_spin();
  kill(tool.tool(), SIGSTOP);
  const auto start = std::chrono::steady_clock::now();
  EXPECT_THAT(far_side.until(the_stop, 5s), StartsWith(the_stop));
  EXPECT_LT(since(start), 500ms);
  EXPECT_TRUE(was_killed(tool.wait_for_tool()));  // so SIGCONT wakes nobody who could spin again
}

TEST_F(GuardTest, StopsTheMotorWhenTheToolRunsInCircles) {
  GuardedTool tool(far_side, timing, [](Stage& stage) {
    stage.guard.turning(60s);
    stage.write("spin 1\r\n");
    for (volatile bool endless = true; endless;) {
    }
  });
  expect_spin();
  EXPECT_THAT(far_side.until(the_stop, 5s), StartsWith(the_stop));
  EXPECT_TRUE(was_killed(tool.wait_for_tool()));
}

// On a busy machine the stop must not wait for its turn, where the system lets the guard come first.
TEST_F(GuardTest, ComesBeforeOthersWhereItMay) {
  GuardedTool tool(far_side, timing, spin_for_ever);
  expect_spin();
  rlimit allowed{};
  getrlimit(RLIMIT_RTPRIO, &allowed);
  if (geteuid() != 0 && allowed.rlim_cur == 0) GTEST_SKIP() << "not allowed to this user";
  EXPECT_EQ(sched_getscheduler(tool.guard()) & ~SCHED_RESET_ON_FORK, SCHED_RR);
  EXPECT_EQ(sched_getscheduler(tool.tool()), SCHED_OTHER);
}

TEST_F(GuardTest, NeverSpeaksWhileTheToolBeats) {
  GuardedTool tool(far_side, timing, [](Stage& stage) {
    stage.guard.turning(800ms);
    stage.write("spin 1\r\n");
    boost::asio::steady_timer timer(stage.loop, 700ms);
    timer.async_wait([&](const boost::system::error_code&) {
      stage.write("stop\r\nbye\r\n");
      stage.guard.stopped();
    });
    stage.loop.run();  // ends by itself: no beat goes on after the stop
  });
  EXPECT_EQ(far_side.until("bye\r\n", 5s), "spin 1\r\nstop\r\nbye\r\n");
  EXPECT_EQ(tool.wait_for_tool(), 0);
  EXPECT_EQ(far_side.until("stop", 100ms), "");
  EXPECT_TRUE(tool.guard_ends_within(2s));
}

TEST_F(GuardTest, DoesNotMindAHangWhileNothingTurns) {
  GuardedTool tool(far_side, timing, [](Stage& stage) {
    stage.write("idle\r\n");
    stage.run_for_ever();
  });
  EXPECT_EQ(far_side.until("idle\r\n", 5s), "idle\r\n");
  kill(tool.tool(), SIGSTOP);
  EXPECT_EQ(far_side.until("stop", 400ms), "");
  kill(tool.tool(), SIGKILL);
  EXPECT_TRUE(tool.guard_ends_within(2s));
  EXPECT_EQ(far_side.until("stop", 50ms), "");
}

TEST_F(GuardTest, StopsWhatTheToolForgotAndTellsIt) {
  timing.grace = 100ms;
  GuardedTool tool(
      far_side, timing,
      [](Stage& stage) {
        stage.guard.turning(100ms);
        stage.write("spin 1\r\n");
        stage.run_for_ever();
      },
      [](Stage& stage, const Fault& fault) {
        stage.guard.stopped();
        _exit(fault.kind() == FaultKind::unsafe ? 17 : 1);
      });
  expect_spin();
  const auto start = std::chrono::steady_clock::now();
  EXPECT_THAT(far_side.until(the_stop, 5s), StartsWith(the_stop));
  EXPECT_GT(since(start), 100ms);
  const int status = tool.wait_for_tool();
  EXPECT_TRUE(WIFEXITED(status) && WEXITSTATUS(status) == 17);
}

// A defect found: two seconds after a stop whose answer was lost it killed a tool that was just stopping the
// motor.
TEST_F(GuardTest, KillsNoToolThatBeatsAndSpeaksSeldomBesideIt) {
  timing.grace = 20ms;
  timing.kill = 300ms;
  timing.insist = 300ms;
  timing.seldom = 400ms;
  GuardedTool tool(far_side, timing, [](Stage& stage) {
    stage.guard.turning(20ms);
    stage.write("spin 1\r\n");
    boost::asio::steady_timer timer(stage.loop, 1500ms);
    timer.async_wait([&](const boost::system::error_code&) { stage.guard.stopped(); });
    stage.loop.run();
  });
  expect_spin();
  const int stops = PseudoTerminal::count(far_side.until("no such text", 1300ms), the_stop);
  EXPECT_GE(stops, 2);
  EXPECT_LE(stops, 6);  // four times; from the third on it is said again behind the word that enters
  EXPECT_EQ(tool.wait_for_tool(), 0);
}

// While the tool goes on stopping, its console hears nobody else.
TEST_F(GuardTest, KeepsQuietWhileTheToolStopsTheMotorItself) {
  timing.grace = 50ms;
  GuardedTool tool(far_side, timing, [](Stage& stage) {
    stage.guard.turning(100ms);
    stage.write("spin 1\r\n");
    stage.guard.stopping(2000ms);
    boost::asio::steady_timer timer(stage.loop, 700ms);
    timer.async_wait([&](const boost::system::error_code&) {
      stage.write("bye\r\n");
      stage.guard.stopped();
    });
    stage.loop.run();
  });
  EXPECT_EQ(far_side.until("bye\r\n", 5s), "spin 1\r\nbye\r\n");
  EXPECT_EQ(tool.wait_for_tool(), 0);
}

// Kept from running for a moment, as on a busy machine, it is stopped beside, and lives.
TEST_F(GuardTest, KillsNoToolThatIsSilentForAMomentOnly) {
  timing.kill = 2000ms;
  GuardedTool tool(far_side, timing, [](Stage& stage) {
    stage.guard.turning(60s);
    stage.write("spin 1\r\n");
    boost::asio::steady_timer timer(stage.loop, 1200ms);
    timer.async_wait([&](const boost::system::error_code&) { stage.guard.stopped(); });
    stage.loop.run();
  });
  expect_spin();
  kill(tool.tool(), SIGSTOP);
  EXPECT_THAT(far_side.until(the_stop, 5s), StartsWith(the_stop));
  kill(tool.tool(), SIGCONT);
  EXPECT_EQ(tool.wait_for_tool(), 0);
}

// The port is gone with the tool; the battery is not.
TEST_F(GuardTest, StopsOnThePortThatComesBackAfterTheToolsEnd) {
  const std::filesystem::path name =
      std::filesystem::temp_directory_path() / ("port-" + std::to_string(getpid()));
  std::filesystem::remove(name);
  std::filesystem::create_symlink(far_side.node(), name);
  auto gone = std::make_unique<PseudoTerminal>();
  GuardedTool tool(*gone, timing, [&](Stage& stage) {
    HeldPort which;
    which.node = name;
    stage.guard.hold(stage.line.descriptor(), which);
    spin_for_ever(stage);
  });
  EXPECT_EQ(gone->until("spin 1\r\n", 5s), "spin 1\r\n");
  std::filesystem::remove(name);
  gone.reset();
  kill(tool.tool(), SIGKILL);
  tool.wait_for_tool();
  EXPECT_EQ(far_side.until("stop", 300ms), "");
  std::filesystem::create_symlink(far_side.node(), name);
  EXPECT_THAT(far_side.until("enter\r\nstop all\r\n", 5s), HasSubstr("enter\r\nstop all\r\n"));
  for (int answers = 0; answers < 40 && !tool.guard_ends_within(100ms); ++answers)
    far_side.send("stopped\r\n> ");
  EXPECT_TRUE(tool.guard_ends_within(1s));
  std::filesystem::remove(name);
}

// A tool that hangs looks for no port; and gets it back where it goes on.
TEST_F(GuardTest, StopsOnThePortThatComesBackWhileTheToolHangs) {
  const std::filesystem::path name =
      std::filesystem::temp_directory_path() / ("hung-" + std::to_string(getpid()));
  std::filesystem::remove(name);
  auto gone = std::make_unique<PseudoTerminal>();
  timing.kill = 60s;
  GuardedTool tool(*gone, timing, [&](Stage& stage) {
    HeldPort which;
    which.node = name;
    stage.guard.hold(stage.line.descriptor(), which);
    stage.guard.turning(60s);
    stage.write("spin 1\r\n");
    raise(SIGSTOP);
    testing::run(stage.loop, wait_for_beats(stage.loop));
    const auto line = SerialLine::open(stage.loop.get_executor(), name.string());
    if (write(line->descriptor(), "back\r\n", 6) != 6) return;
    stage.run_for_ever();
  });
  EXPECT_EQ(gone->until("spin 1\r\n", 5s), "spin 1\r\n");
  gone.reset();
  const int there = open(far_side.node().c_str(), O_RDWR | O_NOCTTY);  // also while nobody else has it
  std::filesystem::create_symlink(far_side.node(), name);
  EXPECT_THAT(far_side.until("enter\r\nstop all\r\n", 2s), HasSubstr("enter\r\nstop all\r\n"));
  kill(tool.tool(), SIGCONT);
  EXPECT_THAT(far_side.until("back\r\n", 5s), HasSubstr("back\r\n"));
  close(there);
  std::filesystem::remove(name);
}

// Nobody else is left to say it.
TEST_F(GuardTest, SaysInTheToolsStreamWhatBecameOfTheMotor) {
  int stream[2];
  ASSERT_EQ(pipe(stream), 0);
  timing.insist = 700ms;
  timing.warn = 200ms;
  {
    GuardedTool tool(
        far_side, timing,
        [](Stage& stage) {
          stage.guard.speak(GuardVoice::machine);
          spin_for_ever(stage);
        },
        {}, [&] { dup2(stream[1], STDOUT_FILENO); });
    expect_spin();
    kill(tool.tool(), SIGKILL);
    tool.wait_for_tool();
    EXPECT_TRUE(tool.guard_ends_within(5s));
  }
  close(stream[1]);
  std::string said;
  std::array<char, 4096> buffer{};
  for (ssize_t count = 0; (count = read(stream[0], buffer.data(), buffer.size())) > 0;)
    said.append(buffer.data(), static_cast<std::size_t>(count));
  close(stream[0]);
  EXPECT_THAT(said, HasSubstr(R"({"type":"say","id":"stop-lost","level":"danger","text":")"));
  EXPECT_THAT(said, HasSubstr(R"("id":"guard-gave-up")"));
}

// What is said on the screen that a tool has taken is gone with it (xterm's private mode 1049).
TEST_F(GuardTest, GivesTheScreenBackBeforeItSaysAWord) {
  int screen = -1, terminal = -1;
  ASSERT_EQ(openpty(&screen, &terminal, nullptr, nullptr, nullptr), 0);
  timing.insist = 700ms;
  timing.warn = 200ms;
  {
    GuardedTool tool(
        far_side, timing,
        [](Stage& stage) {
          termios keys{};
          tcgetattr(STDIN_FILENO, &keys);
          keys.c_lflag &= ~static_cast<tcflag_t>(ICANON | ECHO);
          tcsetattr(STDIN_FILENO, TCSANOW, &keys);
          stage.guard.speak(GuardVoice::screen);
          spin_for_ever(stage);
        },
        {},
        [&] {
          for (const int standard : {STDIN_FILENO, STDOUT_FILENO, STDERR_FILENO}) dup2(terminal, standard);
        });
    expect_spin();
    kill(tool.tool(), SIGKILL);
    tool.wait_for_tool();
    EXPECT_TRUE(tool.guard_ends_within(5s));
  }
  fcntl(screen, F_SETFL, O_NONBLOCK);
  std::string said;
  std::array<char, 4096> buffer{};
  for (ssize_t count = 0; (count = read(screen, buffer.data(), buffer.size())) > 0;)
    said.append(buffer.data(), static_cast<std::size_t>(count));
  close(terminal);
  close(screen);
  EXPECT_THAT(said, HasSubstr("\x1B[?1049l"));
  EXPECT_LT(said.find("\x1B[?1049l"), said.find("DANGER")) << said;
  EXPECT_THAT(said, HasSubstr("DANGER"));
}

TEST_F(GuardTest, TellsTheToolThatTheGuardDied) {
  GuardedTool tool(far_side, timing, spin_for_ever, [](Stage& stage, const Fault& fault) {
    stage.write(fault.kind() == FaultKind::unsafe ? "tool stops\r\n" : "?");
    _exit(0);
  });
  expect_spin();
  kill(tool.guard(), SIGKILL);
  EXPECT_EQ(far_side.until("tool stops\r\n", 5s), "tool stops\r\n");
}

TEST_F(GuardTest, TellsTheToolThatTheGuardHangs) {
  GuardedTool tool(far_side, timing, spin_for_ever, [](Stage& stage, const Fault&) {
    stage.write("tool stops\r\n");
    _exit(0);
  });
  expect_spin();
  kill(tool.guard(), SIGSTOP);
  EXPECT_EQ(far_side.until("tool stops\r\n", 5s), "tool stops\r\n");
  kill(tool.guard(), SIGKILL);
}

TEST_F(GuardTest, RepeatsTheStopUntilItIsAcknowledged) {
  GuardedTool tool(far_side, timing, spin_for_ever);
  expect_spin();
  kill(tool.tool(), SIGKILL);
  far_side.until(the_stop, 5s);
  far_side.send("> ");  // may be the answer to a half-written command: not enough
  EXPECT_THAT(far_side.until(the_stop, 5s), HasSubstr("stop all"));
  far_side.send("stop all\r\nstopped\r\n> ");
  EXPECT_TRUE(tool.guard_ends_within(1s));
  EXPECT_EQ(far_side.until("stop", 50ms), "");
}

// Where each motor has a stop of its own. Of more than nine only the last digit was taken.
TEST_F(GuardTest, RepeatsTheStopUntilEveryMotorHasConfirmed) {
  GuardedTool tool(far_side, timing, [](Stage& stage) {
    stage.guard.say({"\r\n", "stop all\r\n", "halted", 12});
    spin_for_ever(stage);
  });
  expect_spin();
  kill(tool.tool(), SIGKILL);
  EXPECT_THAT(far_side.until(the_stop, 5s), HasSubstr(the_stop));
  std::string halted;
  for (int motor = 1; motor <= 11; ++motor) halted += "halted " + std::to_string(motor) + "\r\n";
  far_side.send(halted);
  EXPECT_THAT(far_side.until(the_stop, 5s), HasSubstr(the_stop)) << "one is missing";
  far_side.send(halted + "halted 12\r\n");
  EXPECT_TRUE(tool.guard_ends_within(5s));
}

// A busy machine, and a console whose stops were lost behind their echo: two echoes were once taken for an
// echo and its answer, and a motor was left on.
TEST_F(GuardTest, TakesTheEchoesOfTwoStopsForNoAnswer) {
  GuardedTool tool(far_side, timing, [](Stage& stage) {
    stage.guard.say({"\r\n", "stop all\r\n", "stop all", 2});
    spin_for_ever(stage);
  });
  expect_spin();
  kill(tool.tool(), SIGKILL);
  EXPECT_THAT(far_side.until(the_stop, 5s), HasSubstr(the_stop));
  EXPECT_THAT(far_side.until(the_stop, 5s), HasSubstr(the_stop));
  far_side.send("stop all\r\nstop ");
  far_side.send("all\r\n");
  EXPECT_THAT(far_side.until(the_stop, 5s), HasSubstr(the_stop));
  far_side.send("stop all\r\nstop all\r\n");
  EXPECT_TRUE(tool.guard_ends_within(5s)) << "three stops at most were repeated, and four such lines came";
}

TEST_F(GuardTest, GivesUpAfterAWhileWithoutAnAnswer) {
  timing.insist = 350ms;
  GuardedTool tool(far_side, timing, spin_for_ever);
  expect_spin();
  kill(tool.tool(), SIGKILL);
  const std::string came = far_side.until("no such text", 1s);
  EXPECT_GE(PseudoTerminal::count(came, the_stop), 3);
  EXPECT_LE(PseudoTerminal::count(came, the_stop), 5);
  EXPECT_TRUE(tool.guard_ends_within(1s));
}

Duration processor_time(pid_t process) {
  clockid_t clock{};
  timespec used{};
  if (clock_getcpuclockid(process, &clock) != 0 || clock_gettime(clock, &used) != 0) return Duration::max();
  return std::chrono::duration_cast<Duration>(std::chrono::seconds(used.tv_sec) +
                                              std::chrono::nanoseconds(used.tv_nsec));
}

// It runs before all others where it may: a busy one once kept every tool on the machine from its work.
TEST_F(GuardTest, ComputesNothingWhileItWaits) {
  const auto ends = [](Stage& stage) {
    stage.guard.turning(60s);
    stage.write("spin 1\r\n");
  };
  const std::array<GuardedTool::Play, 2> plays{spin_for_ever, ends};
  for (const GuardedTool::Play& play : plays) {
    PseudoTerminal port;
    GuardedTool tool(port, timing, play);
    if (&play == plays.data()) {
      port.until("spin 1\r\n", 5s);
      kill(tool.tool(), SIGKILL);
    }
    EXPECT_THAT(port.until("no such text", 1500ms), HasSubstr(the_stop));
    EXPECT_LT(processor_time(tool.guard()), 100ms);
  }
}

TEST_F(GuardTest, EndsAHalfWrittenCommandFirst) {
  GuardedTool tool(far_side, timing, [](Stage& stage) {
    stage.guard.turning(60s);
    stage.write("spin 1 10");
    stage.run_for_ever();
  });
  EXPECT_EQ(far_side.until("spin 1 10", 5s), "spin 1 10");
  kill(tool.tool(), SIGKILL);
  EXPECT_THAT(far_side.until("stop all\r\n", 5s), StartsWith("\r\nstop all\r\n"));
}

// Until the driver takes no more; the number of bytes that it took.
std::size_t fill(const SerialLine& line) {
  const std::string much(1 << 16, 's');
  std::size_t taken = 0;
  while (true) {
    const ssize_t count = write(line.descriptor(), much.data(), much.size());
    if (count <= 0) return taken;
    taken += static_cast<std::size_t>(count);
  }
}

TEST_F(GuardTest, ThrowsAwayWhatStandsBeforeTheStop) {
  // As much as a terminal's reading side has taken over by itself (N_TTY_BUF_SIZE) has arrived and cannot be
  // fetched back; without the guard's flush, all that the driver took would stand before the stop.
  constexpr std::size_t arrived = 4096;
  {
    boost::asio::io_context loop;
    const PseudoTerminal full;
    const auto line = SerialLine::open(loop.get_executor(), full.node());
    ASSERT_GT(fill(*line), 2 * arrived);
  }
  timing.insist = 250ms;
  GuardedTool tool(far_side, timing, [](Stage& stage) {
    stage.guard.turning(60s);
    fill(stage.line);
    raise(SIGKILL);
  });
  // The far side reads nothing for as long as the guard insists.
  ASSERT_TRUE(was_killed(tool.wait_for_tool()));
  ASSERT_TRUE(tool.guard_ends_within(10s));
  const std::string came = far_side.until("no such text", 200ms);
  EXPECT_THAT(came, HasSubstr(the_stop));
  EXPECT_LE(came.find(the_stop), arrived);
}

TEST_F(GuardTest, IsDeafToTheTerminalsSignals) {
  GuardedTool tool(far_side, timing, spin_for_ever);
  expect_spin();
  for (const int number : {SIGINT, SIGQUIT, SIGTERM, SIGHUP, SIGTSTP, SIGPIPE}) kill(tool.guard(), number);
  EXPECT_NE(getsid(tool.guard()), getsid(tool.tool()));
  kill(tool.tool(), SIGKILL);
  EXPECT_EQ(far_side.until(the_stop, 5s), the_stop);
}

TEST_F(GuardTest, KeepsNoDescriptorButItsOwn) {
  GuardedTool tool(far_side, timing, spin_for_ever);
  expect_spin();
  kill(tool.tool(), SIGKILL);
  // Whoever reads the tool's output is not kept waiting by the guard, which insists for two seconds here.
  EXPECT_TRUE(tool.report_ends_within(1s));
  EXPECT_FALSE(tool.guard_ends_within(0ms));
}

TEST_F(GuardTest, StopsTheMotorWhenTheToolFallsOutOfItsLoop) {
  GuardedTool tool(far_side, timing, [](Stage& stage) {
    stage.guard.turning(60s);
    stage.write("spin 1\r\n");
    stage.beats.reset();  // an exception on its way out
  });
  EXPECT_EQ(PseudoTerminal::count(far_side.until(the_stop, 5s, 2), the_stop), 2);
  far_side.send("> ");
  EXPECT_EQ(tool.wait_for_tool(), 0);  // not killed: it has words left to say
}

TEST_F(GuardTest, LetsThePortGo) {
  GuardedTool tool(far_side, timing, [](Stage& stage) {
    stage.guard.let_go(stage.held);
    stage.line.close();
    stage.run_for_ever();
  });
  // A terminal that nobody has open any more hangs up on its far side.
  pollfd hung_up{far_side.master(), 0, 0};
  EXPECT_EQ(poll(&hung_up, 1, 5000), 1);
  EXPECT_NE(hung_up.revents & POLLHUP, 0);
}

TEST_F(GuardTest, KeepsThePortOfATurningMotorWhenItsLineIsClosed) {
  GuardedTool tool(far_side, timing, [](Stage& stage) {
    stage.guard.turning(60s);
    stage.write("spin 1\r\n");
    stage.guard.let_go(stage.held);
    stage.line.close();
    raise(SIGKILL);
  });
  EXPECT_THAT(far_side.until(the_stop, 5s), HasSubstr(the_stop));
}

TEST_F(GuardTest, StopsOnThePortThatCameBackInMidSpin) {
  PseudoTerminal back;
  GuardedTool tool(far_side, timing, [&](Stage& stage) {
    stage.guard.turning(60s);
    stage.write("spin 1\r\n");
    console::Received received;
    while (received.status != console::Received::Status::closed) {
      received = testing::run(stage.loop, stage.line.read(5s));
    }
    stage.guard.let_go(stage.held);
    const auto line = SerialLine::open(stage.loop.get_executor(), back.node());
    stage.guard.hold(line->descriptor());
    if (write(line->descriptor(), "back\r\n", 6) != 6) return;
    stage.run_for_ever();
  });
  expect_spin();
  far_side.hang_up();
  EXPECT_EQ(back.until("back\r\n", 5s), "back\r\n");
  kill(tool.tool(), SIGKILL);
  EXPECT_EQ(back.until(the_stop, 5s), the_stop);
}

class GuardInHand : public ::testing::Test {
 protected:
  std::unique_ptr<Guard> guard = Guard::start();
  boost::asio::io_context loop;
  PseudoTerminal far_side;
  std::unique_ptr<SerialLine> line = SerialLine::open(loop.get_executor(), far_side.node());
  std::unique_ptr<Guard::Beats> beats;

  void prepare() {
    beats = guard->join(loop.get_executor(), [](const Fault&) {});
    guard->hold(line->descriptor());
    guard->say(test_speech);
  }
  FaultKind refusal() {
    return fault_of([&] { guard->turning(1s); }).kind();
  }
};

TEST_F(GuardInHand, LetsNothingTurnWithoutPortSpeechOrLoop) {
  EXPECT_EQ(refusal(), FaultKind::unsafe);
  beats = guard->join(loop.get_executor(), [](const Fault&) {});
  EXPECT_EQ(refusal(), FaultKind::unsafe);
  guard->hold(line->descriptor());
  EXPECT_EQ(refusal(), FaultKind::unsafe);
  guard->say(test_speech);
  EXPECT_NO_THROW(guard->turning(1s));
  guard->stopped();
}

TEST_F(GuardInHand, LetsNothingTurnOnceTheGuardHasDied) {
  prepare();
  EXPECT_NO_THROW(guard->turning(1s));
  guard->stopped();
  kill(guard->process(), SIGKILL);
  siginfo_t gone{};
  waitid(P_PID, static_cast<id_t>(guard->process()), &gone, WEXITED | WNOWAIT);
  EXPECT_EQ(refusal(), FaultKind::unsafe);
  EXPECT_EQ(fault_of([&] { guard->say(test_speech); }).kind(), FaultKind::unsafe);
}

TEST_F(GuardInHand, LetsNothingTurnOnALineThatIsGone) {
  prepare();
  far_side.hang_up();
  EXPECT_EQ(refusal(), FaultKind::unsafe);
}

TEST_F(GuardInHand, RefusesASpeechThatIsEmptyOrTooLong) {
  EXPECT_EQ(fault_of([&] { guard->say({"\r\n", "", ""}); }).kind(), FaultKind::unsafe);
  EXPECT_EQ(fault_of([&] { guard->say({"", std::string(3000, 's'), ""}); }).kind(), FaultKind::unsafe);
}

TEST_F(GuardInHand, SpinsAgainAndAgain) {
  prepare();
  for (int spin = 0; spin < 50; ++spin) {
    guard->turning(1s);
    loop.restart();
    loop.poll();
    guard->stopped();
  }
  loop.restart();
  loop.run();  // no beat is left behind
}

// Linux, fs/coredump.c: a limit of 0 does not keep a dump from being piped to a program, one of 1 does; and
// what is not dumpable (prctl(2)) is not dumped at all.
TEST(NoCoreDumps, KeepsThemFromFilesAndFromPrograms) {
  const pid_t child = fork();
  if (child == 0) {
    no_core_dumps();
    rlimit limit{};
    getrlimit(RLIMIT_CORE, &limit);
    const bool never_piped = limit.rlim_cur == 1 || prctl(PR_GET_DUMPABLE) == 0;
    _exit(never_piped && limit.rlim_cur <= 1 && limit.rlim_max <= 1 ? 0 : 1);
  }
  int status = 1;
  waitpid(child, &status, 0);
  EXPECT_EQ(status, 0);
}

}  // namespace
}  // namespace armwise::link::guard_test
