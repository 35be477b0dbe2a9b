// The console written by hand: that it is one, and that its profile is sound. The tool against it: in the
// tests of the program.
#include <gtest/gtest.h>
#include <stdlib.h>
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <boost/asio/io_context.hpp>
#include <csignal>
#include <cstdio>
#include <filesystem>

#include "armwise/console/profile.hpp"
#include "armwise/link/ports.hpp"
#include "armwise/link/serial_line.hpp"
#include "practice/run_task.hpp"

namespace armwise::practice::byhand_test {
namespace {

namespace fs = std::filesystem;
using console::Received;

const fs::path here = fs::path(ARMWISE_FIXTURES) / "../tests/practice";
constexpr Duration limit{10000};

struct ByHand : testing::Test {
  void SetUp() override {
    std::string pattern = (fs::temp_directory_path() / "armwise-test-XXXXXX").string();
    ASSERT_NE(::mkdtemp(pattern.data()), nullptr);
    directory = fs::canonical(pattern);
    int ends[2] = {-1, -1};
    ASSERT_EQ(::pipe(ends), 0);
    child = ::fork();
    if (child == 0) {
      ::dup2(ends[1], STDOUT_FILENO);
      ::execlp("python3", "python3", (here / "byhand_console.py").c_str(), "--dir", directory.c_str(),
               "--wiring", "out-1=front-left:cw,out-2=rear-right:ccw", "--away", "0.1", nullptr);
      ::_exit(9);
    }
    ::close(ends[1]);
    told = ::fdopen(ends[0], "r");
    ASSERT_EQ(next(), R"({"ready": ")" + (directory / "dev/ttyACM0").string() + "\"}");
    line = link::SerialLine::open(loop.get_executor(), directory / "dev/ttyACM0");
  }
  void TearDown() override {
    line.reset();
    ::kill(child, SIGTERM);
    int status = 0;
    ::waitpid(child, &status, 0);
    EXPECT_TRUE(WIFEXITED(status) && WEXITSTATUS(status) == 0) << status;
    std::fclose(told);
    fs::remove_all(directory);
  }

  // The next line that it tells.
  std::string next() {
    char* text = nullptr;
    std::size_t room = 0;
    const ssize_t size = ::getline(&text, &room, told);
    const std::string heard(text, size > 0 ? static_cast<std::size_t>(size - 1) : 0);
    ::free(text);
    return heard;
  }
  std::string say(const std::string& text, const std::string& ending = "heath % ") {
    run(line->write(text + "\r", limit), loop);
    std::string all;
    // Its greeting may come before the echo, and ends in the prompt too.
    while (all.find(text + "\r\n") == std::string::npos || !all.ends_with("\r\n" + ending)) {
      const Received received = result_of(line->read(limit), loop);
      if (received.status != Received::Status::data) break;
      all += received.bytes;
    }
    return all.substr(std::min(all.find(text + "\r\n"), all.size()));
  }

  boost::asio::io_context loop;
  fs::path directory;
  std::unique_ptr<link::SerialLine> line;
  pid_t child = 0;
  std::FILE* told = nullptr;
};

TEST_F(ByHand, AnswersAsItIsWritten) {
  EXPECT_EQ(say("self"), "self\r\n(self: heath-2 with moss 0.9.1, number HEATH0001)\r\nheath % ");
  EXPECT_EQ(say("leg A to out-2"), "leg A to out-2\r\n(cannot: out-2 is taken by B)\r\nheath % ");
  EXPECT_EQ(say("way B backward"), "way B backward\r\n(way of B is backward)\r\nheath % ");
  EXPECT_EQ(say("whirl B 50 100"), "whirl B 50 100\r\n(B whirls with 50)\r\nheath % ");
  EXPECT_EQ(next(), R"({"turning": [{"place": "rear-right", "turn": "cw"}]})");
  EXPECT_EQ(next(), R"({"turning": []})") << "it stops by itself";
}

TEST_F(ByHand, ForgetsWhatWasNotStoredAndComesBackUnderAnotherName) {
  say("sweep off-nose");
  // What is unread when the line is hung up is lost: on a busy machine the echo can be.
  const std::string echo = say("again", "");
  EXPECT_TRUE(echo.empty() || echo == "again\r\n") << echo;
  EXPECT_EQ(next(), R"({"away": true})");
  EXPECT_EQ(next(), R"({"ready": ")" + (directory / "dev/ttyACM1").string() + "\"}");
  const auto ports = link::list_ports({directory / "dev", directory / "sys", "/proc"});
  ASSERT_EQ(ports.size(), 1U);
  EXPECT_EQ(ports[0].identity.serial, "HEATH0001");
  line = link::SerialLine::open(loop.get_executor(), directory / "dev/ttyACM1");
  EXPECT_TRUE(say("sweep").ends_with("(the blades sweep over-nose)\r\nheath % "));
}

TEST(ByHandProfile, IsSound) {
  const console::Profile profile = console::load_profile_file(here / "byhand.profile.json");
  EXPECT_TRUE(profile.map && profile.props && profile.turn && profile.spin && profile.keep);
}

}  // namespace
}  // namespace armwise::practice::byhand_test
