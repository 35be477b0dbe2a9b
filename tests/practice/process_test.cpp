// The practice craft as a process: a real pseudo-terminal, a real socket, real time. Nothing here sleeps:
// each wait is for something that comes, with a limit.
#include "armwise/practice/process.hpp"

#include <gtest/gtest.h>
#include <stdlib.h>
#include <sys/wait.h>
#include <unistd.h>

#include <boost/asio/io_context.hpp>
#include <chrono>
#include <csignal>
#include <cstdio>
#include <nlohmann/json.hpp>

#include "armwise/base/fault.hpp"
#include "armwise/link/ports.hpp"
#include "armwise/link/serial_line.hpp"
#include "armwise/practice/onlooker.hpp"
#include "practice/run_task.hpp"

namespace armwise::practice::process_test {
namespace {

namespace fs = std::filesystem;
using namespace std::chrono_literals;
using console::Received;

constexpr Duration wait_limit = 10000ms;

class Process : public testing::Test {
 protected:
  void SetUp() override {
    std::string pattern = (fs::temp_directory_path() / "armwise-test-XXXXXX").string();
    ASSERT_NE(::mkdtemp(pattern.data()), nullptr);
    directory_ = fs::canonical(pattern);
  }
  void TearDown() override {
    onlooker_.reset();
    line_.reset();
    if (child_ > 0) end();
    fs::remove_all(directory_);
  }

  // A craft of its own process, spoken to from here; says what it says through a pipe.
  void start(const std::string& profile, int baud = 0, const std::string& mischief = {}) {
    int ends[2] = {-1, -1};
    ASSERT_EQ(::pipe(ends), 0);
    PracticeOptions options;
    options.directory = directory_;
    options.profile = std::string(ARMWISE_FIXTURES) + "/profiles/" + profile + ".json";
    options.craft = std::string(ARMWISE_FIXTURES) + "/crafts/as-designed.json";
    options.baud = baud;
    options.habits.away = 200ms;
    options.mischief = mischief;
    options.mischief_at = 1;
    options.end_with_parent = true;
    options.say = [end = ends[1]](const std::string& text) {
      const std::string bytes = text + "\n";
      if (::write(end, bytes.data(), bytes.size()) < 0) ::_exit(9);
    };
    child_ = ::fork();
    if (child_ == 0) {
      int status = 8;
      try {
        status = run_practice(options);
      } catch (const std::exception& error) {
        std::fprintf(stderr, "%s\n", error.what());
      }
      ::_exit(status);
    }
    ::close(ends[1]);
    said_ = ::fdopen(ends[0], "r");
    hear("ready");
  }

  // Reads on until a line of the craft's begins so.
  std::string hear(const std::string& beginning) {
    char* text = nullptr;
    std::size_t room = 0;
    std::string heard;
    while (::getline(&text, &room, said_) > 0) {
      heard = text;
      if (heard.starts_with(beginning)) break;
    }
    ::free(text);
    EXPECT_TRUE(heard.starts_with(beginning)) << "the last it said was " << heard;
    return heard;
  }

  int end() {
    int status = 0;
    ::kill(child_, SIGTERM);
    ::waitpid(child_, &status, 0);
    std::fclose(said_);
    child_ = 0;
    return WIFEXITED(status) ? WEXITSTATUS(status) : 128 + WTERMSIG(status);
  }

  link::DeviceRoot devices() const { return {directory_ / "dev", directory_ / "sys", "/proc"}; }
  void open(const std::string& name) {
    line_ = link::SerialLine::open(loop_.get_executor(), directory_ / "dev" / name);
  }
  void look_on() { onlooker_ = result_of(Onlooker::connect(directory_ / "onlooker", wait_limit), loop_); }

  // What comes until `ending` has come.
  std::string read_to(const std::string& ending) {
    std::string all;
    while (!all.ends_with(ending)) {
      const Received received = result_of(line_->read(wait_limit), loop_);
      if (received.status != Received::Status::data) break;
      all += received.bytes;
    }
    EXPECT_TRUE(all.ends_with(ending)) << all;
    return all;
  }
  void write(const std::string& bytes) { run(line_->write(bytes, wait_limit), loop_); }
  std::string say(const std::string& text, const std::string& ending) {
    write(text);
    return read_to(ending);
  }

  boost::asio::io_context loop_;
  fs::path directory_;
  std::unique_ptr<link::SerialLine> line_;
  std::unique_ptr<Onlooker> onlooker_;
  pid_t child_ = 0;
  std::FILE* said_ = nullptr;
};

TEST_F(Process, IsFoundAsAUsbPort) {
  start("tarn");
  const std::vector<link::PortInfo> ports = link::list_ports(devices());
  ASSERT_EQ(ports.size(), 1U);
  EXPECT_EQ(ports[0].node, directory_ / "dev/ttyACM0");
  EXPECT_EQ(ports[0].identity, (link::PortIdentity{"1209", "0001", "AWDESIGNED", "00", "1-2"}));
  EXPECT_EQ(ports[0].access, link::Access::ok);
}

TEST_F(Process, SpeaksItsConsole) {
  start("tarn");
  open("ttyACM0");
  const std::string answer = say("say 4711\r\n", "said 4711\r\ntarn> ");
  EXPECT_TRUE(answer.ends_with("say 4711\r\nsaid 4711\r\ntarn> ")) << answer;
}

TEST_F(Process, ComesBackFromARestartUnderAnotherName) {
  start("sedge");
  open("ttyACM0");
  say("edit\nprops.outward = on\nsave = yes\n", "save = done\n");
  EXPECT_EQ(result_of(line_->read(wait_limit), loop_).status, Received::Status::closed);
  hear("plugged in: " + (directory_ / "dev/ttyACM1").string());
  EXPECT_FALSE(fs::exists(fs::symlink_status(directory_ / "dev/ttyACM0")));
  ASSERT_EQ(link::list_ports(devices()).size(), 1U);
  open("ttyACM1");
  say("edit\n", "# ");
  say("props.outward\n", "props.outward = on\n# ");
}

TEST_F(Process, TellsWhatTurnsAndLendsItsHands) {
  start("tarn");
  look_on();
  EXPECT_EQ(onlooker_->frame(), "quad-x");
  EXPECT_EQ(onlooker_->port(), "ttyACM0");
  EXPECT_TRUE(onlooker_->turning().empty());
  open("ttyACM0");
  say("spin motor 1 at 6 for 300\r\n", "motor 1 spins at 6\r\ntarn> ");
  using Seen = std::vector<Turning>;
  Seen seen = onlooker_->turning();
  if (seen.empty()) seen = result_of(onlooker_->change(wait_limit), loop_);
  EXPECT_EQ(seen, (Seen{{"rear-right", craft::Turn::cw}}));
  EXPECT_EQ(result_of(onlooker_->change(wait_limit), loop_), Seen{}) << "it stops by itself";
  run(onlooker_->reverse("rear-right"), loop_);
  run(onlooker_->hold("nose-down"), loop_);
  EXPECT_THROW(run(onlooker_->hold("on-its-head"), loop_), Fault);
  EXPECT_THROW(run(onlooker_->reverse("tail"), loop_), Fault);
  const std::string truth = result_of(onlooker_->request(R"({"truth":true})"), loop_);
  EXPECT_EQ(nlohmann::json::parse(truth)["truth"]["wiring"]["P1"]["turn"], "ccw") << truth;
  const std::string nonsense = result_of(onlooker_->request("[{"), loop_);
  EXPECT_FALSE(nlohmann::json::parse(nonsense)["ok"].get<bool>());
}

// 10 bits a byte: 115200 baud carry 11,520 bytes a second (arithmetic).
TEST_F(Process, TakesAsLongAsALineOfItsSpeed) {
  start("tarn", 115200);
  open("ttyACM0");
  say("\r\n", "tarn> ");
  const auto began = std::chrono::steady_clock::now();
  const std::string all = say("tell everything\r\n", "\r\ntarn> ");
  const std::chrono::duration<double> took = std::chrono::steady_clock::now() - began;
  ASSERT_GT(all.size(), 5000U);
  EXPECT_GE(took.count(), 0.98 * static_cast<double>(all.size()) / 11520);
}

TEST_F(Process, LetsAnEndlessAnswerWaitWhereNobodyReads) {
  start("tarn", 0, "endless-output");
  open("ttyACM0");
  write("\r\ntell props\r\n");
  std::size_t read = 0;
  while (read < 300'000) {
    const Received received = result_of(line_->read(wait_limit), loop_);
    ASSERT_EQ(received.status, Received::Status::data);
    read += received.bytes.size();
  }
  line_.reset();
  EXPECT_EQ(end(), 0) << "it still hears the signal";
}

TEST_F(Process, IsPluggedInAgainByHand) {
  start("tarn", 0, "vanish-for-ever-in-command");
  look_on();
  open("ttyACM0");
  write("say one\r\n");
  hear("the port has gone away");
  const std::string done = result_of(onlooker_->request(R"({"plug":"again"})"), loop_);
  EXPECT_EQ(done, "{\"ok\":true}\n");
  hear("plugged in: ");
  open("ttyACM0");
  say("say two\r\n", "said two\r\ntarn> ");
}

TEST_F(Process, EndsCleanlyAndTakesItsTreeAway) {
  start("tarn");
  ASSERT_TRUE(fs::exists(directory_ / "onlooker"));
  EXPECT_EQ(end(), 0);
  EXPECT_TRUE(fs::is_empty(directory_));
}

TEST_F(Process, RefusesASecondOneInTheSameFolder) {
  start("tarn");
  PracticeOptions options;
  options.directory = directory_;
  options.profile = std::string(ARMWISE_FIXTURES) + "/profiles/tarn.json";
  try {
    run_practice(options);
    FAIL() << "it ran";
  } catch (const Fault& fault) {
    EXPECT_EQ(fault.kind(), FaultKind::file);
    EXPECT_NE(fault.sentence().find("nother practice craft is at work"), std::string::npos)
        << fault.sentence();
  }
  EXPECT_TRUE(fs::exists(directory_ / "dev/ttyACM0")) << "the first one's port is left alone";
}

TEST(PracticeOptions, SayWhatIsWrongWithThem) {
  PracticeOptions options;
  options.profile = std::string(ARMWISE_FIXTURES) + "/profiles/tarn.json";
  options.frame = "hexagon";
  EXPECT_THROW(run_practice(options), Fault);
  options.frame = "quad-x";
  options.mischief = "no-such-thing";
  EXPECT_THROW(run_practice(options), Fault);
}

}  // namespace
}  // namespace armwise::practice::process_test
