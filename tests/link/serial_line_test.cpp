#include "armwise/link/serial_line.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <signal.h>
#include <sys/file.h>
#include <sys/ioctl.h>
#include <sys/wait.h>

#include <boost/asio/buffer.hpp>
#include <boost/asio/posix/stream_descriptor.hpp>

#include "../../src/link/line_settings.hpp"
#include "pseudo_terminal.hpp"
#include "run.hpp"

namespace armwise::link::serial_line_test {
namespace {

using console::Received;
using testing::fault_of;
using ::testing::HasSubstr;
using testing::PseudoTerminal;
using testing::run;
using namespace std::chrono_literals;

class SerialLineTest : public ::testing::Test {
 protected:
  std::unique_ptr<SerialLine> open(int speed = usual_speed) {
    return SerialLine::open(loop.get_executor(), terminal.node(), speed);
  }
  boost::asio::io_context loop;
  PseudoTerminal terminal;
};

TEST_F(SerialLineTest, CarriesBytesBothWaysUnchanged) {
  const auto line = open();
  std::string all;
  for (int byte = 0; byte < 256; ++byte) all += static_cast<char>(byte);
  run(loop, line->write(all, 1s));
  EXPECT_EQ(terminal.until("\xff", 1s), all);
  terminal.send(all);
  std::string came;
  while (came.size() < all.size()) {
    const Received received = run(loop, line->read(1s));
    ASSERT_EQ(received.status, Received::Status::data);
    came += received.bytes;
  }
  EXPECT_EQ(came, all);
  EXPECT_EQ(line->name(), terminal.node());
}

TEST_F(SerialLineTest, IsQuietAtTheDeadlineAndAtOnceForZero) {
  const auto line = open();
  const auto before = std::chrono::steady_clock::now();
  EXPECT_EQ(run(loop, line->read(0ms)).status, Received::Status::quiet);
  EXPECT_LT(std::chrono::steady_clock::now() - before, 20ms);
  EXPECT_EQ(run(loop, line->read(30ms)).status, Received::Status::quiet);
  EXPECT_GE(std::chrono::steady_clock::now() - before, 30ms);
}

TEST_F(SerialLineTest, IsWokenByBytesThatComeWhileItWaits) {
  const auto line = open();
  boost::asio::post(loop, [&] { terminal.send("late"); });
  const Received received = run(loop, line->read(5s));
  EXPECT_EQ(received.bytes, "late");
}

TEST_F(SerialLineTest, ThrowsAwayWhatCameBeforeItWasOpened) {
  {
    const auto first = open();
    terminal.send("half a reply");
  }
  const auto line = open();
  EXPECT_EQ(run(loop, line->read(0ms)).status, Received::Status::quiet);
  terminal.send("noise");
  line->discard_input();
  EXPECT_EQ(run(loop, line->read(0ms)).status, Received::Status::quiet);
}

TEST_F(SerialLineTest, IsClosedOnceTheFarSideIsGoneAndStaysSo) {
  const auto line = open();
  boost::asio::post(loop, [&] { terminal.hang_up(); });
  EXPECT_EQ(run(loop, line->read(5s)).status, Received::Status::closed);
  EXPECT_EQ(run(loop, line->read(5s)).status, Received::Status::closed);
  const Fault fault = fault_of([&] { run(loop, line->write("stop\r\n", 1s)); });
  EXPECT_EQ(fault.kind(), FaultKind::line_lost);
  EXPECT_THAT(fault.sentence(), HasSubstr("pull the battery"));
}

TEST_F(SerialLineTest, TellsHowMuchAReaderThatStoppedHasTaken) {
  const auto line = open();
  const std::string much(1 << 20, 'x');
  const auto before = std::chrono::steady_clock::now();
  const Fault fault = fault_of([&] { run(loop, line->write(much, 50ms)); });
  EXPECT_LT(std::chrono::steady_clock::now() - before, 2s);
  EXPECT_EQ(fault.kind(), FaultKind::no_reply);
  const std::size_t taken = terminal.until("\n", 100ms).size();
  EXPECT_GT(taken, 0U);
  EXPECT_THAT(fault.happened(),
              HasSubstr("took only " + std::to_string(taken) + " of 1048576 bytes within 50 ms"));
}

TEST_F(SerialLineTest, GoesOnWritingOnceTheReaderReadsAgain) {
  const auto line = open();
  const std::string much(100'000, 'x');
  std::string taken;
  boost::asio::posix::stream_descriptor far(loop, dup(terminal.master()));
  std::array<char, 4096> buffer{};
  std::function<void()> read_on = [&] {
    far.async_read_some(boost::asio::buffer(buffer),
                        [&](const boost::system::error_code& error, std::size_t size) {
                          taken.append(buffer.data(), size);
                          if (!error && taken.size() < much.size()) read_on();
                        });
  };
  read_on();
  run(loop, line->write(much, 5s));
  loop.restart();
  while (taken.size() < much.size() && loop.run_one_for(1s) > 0) {
  }
  EXPECT_EQ(taken.size(), much.size());
}

TEST_F(SerialLineTest, IsForOneProcessAtATime) {
  auto line = open();
  EXPECT_EQ(fault_of([&] { open(); }).kind(), FaultKind::port_busy);
  line.reset();
  EXPECT_NO_THROW(open());
}

TEST_F(SerialLineTest, SetsSpeedsWithoutAConstantOfTheirOwn) {
  for (const int speed : {9600, 115200, 250000, 420000}) {
    const auto line = open(speed);
    EXPECT_EQ(speed_of(line->descriptor()), speed);
  }
}

TEST_F(SerialLineTest, IsRawIgnoresModemLinesAndIsNotInherited) {
  const auto line = open();
  termios settings{};
  ASSERT_EQ(tcgetattr(line->descriptor(), &settings), 0);
  EXPECT_EQ(settings.c_lflag & (ECHO | ICANON | ISIG | IEXTEN), 0U);
  EXPECT_EQ(settings.c_iflag & (IXON | ICRNL | INLCR), 0U);
  EXPECT_EQ(settings.c_oflag & OPOST, 0U);
  EXPECT_NE(settings.c_cflag & CLOCAL, 0U);
  EXPECT_EQ(settings.c_cflag & HUPCL, 0U);
  EXPECT_EQ(settings.c_cc[VMIN], 1);
  EXPECT_NE(fcntl(line->descriptor(), F_GETFD) & FD_CLOEXEC, 0);
}

TEST_F(SerialLineTest, DoesNotTakeChangedSettingsForTheEnd) {
  const auto line = open();
  termios settings{};
  ASSERT_EQ(tcgetattr(line->descriptor(), &settings), 0);
  settings.c_cc[VMIN] = 0;  // makes an empty line read as end of file
  ASSERT_EQ(tcsetattr(line->descriptor(), TCSANOW, &settings), 0);
  EXPECT_EQ(run(loop, line->read(20ms)).status, Received::Status::quiet);
  terminal.send("alive");
  EXPECT_EQ(run(loop, line->read(1s)).bytes, "alive");
}

TEST_F(SerialLineTest, LeavesAPseudoTerminalOpenToOthersWhenItsProcessIsKilled) {
  // An exclusive mark lasted for as long as the far side, and no one but the superuser could open the line
  // again.
  const pid_t child = fork();
  if (child == 0) {
    const auto line = open();
    raise(SIGKILL);
  }
  waitpid(child, nullptr, 0);
  const int again = ::open(terminal.node().c_str(), O_RDWR | O_NOCTTY | O_CLOEXEC);
  int marked = 1;
  EXPECT_EQ(ioctl(again, TIOCGEXCL, &marked), 0);
  EXPECT_EQ(marked, 0);
  close(again);
}

TEST(SerialLineOpening, RefusesWhatIsNoSerialPort) {
  boost::asio::io_context loop;
  EXPECT_EQ(fault_of([&] { SerialLine::open(loop.get_executor(), "/dev/null"); }).kind(),
            FaultKind::port_missing);
  EXPECT_EQ(fault_of([&] { SerialLine::open(loop.get_executor(), "/dev/ttyACM99"); }).kind(),
            FaultKind::port_missing);
}

}  // namespace
}  // namespace armwise::link::serial_line_test
