#include "armwise/link/capture.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <signal.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#include <deque>
#include <fstream>
#include <nlohmann/json.hpp>
#include <sstream>

#include "armwise/base/task.hpp"
#include "armwise/link/real_clock.hpp"
#include "run.hpp"
#include "support/capture_entries.hpp"

namespace armwise::link::capture_test {
namespace {

using test::CaptureEntry;
using test::load_capture;

using console::Received;
using Kind = CaptureEntry::Kind;
using testing::fault_of;
using ::testing::HasSubstr;
using testing::run;
using namespace std::chrono_literals;

// Answers each read with the next of its script.
class ScriptedLine : public console::Line {
 public:
  explicit ScriptedLine(std::deque<Received> script, bool takes_writes = true)
      : script_(std::move(script)), takes_writes_(takes_writes) {}
  Task<Received> read(Duration) override {
    Received next = script_.front();
    script_.pop_front();
    co_return next;
  }
  Task<void> write(std::string_view, Duration) override {
    if (!takes_writes_) throw Fault(FaultKind::line_lost, "gone");
    co_return;
  }
  void discard_input() override {}
  std::string name() const override { return "/dev/ttyACM0"; }

 private:
  std::deque<Received> script_;
  bool takes_writes_;
};

class ScriptedPlug : public console::Plug {
 public:
  Task<std::unique_ptr<console::Line>> open() override {
    co_return std::make_unique<ScriptedLine>(std::deque<Received>{});
  }
  Task<std::unique_ptr<console::Line>> reopen(Duration) override {
    co_return std::make_unique<ScriptedLine>(std::deque<Received>{});
  }
  std::string renamed() const override { return "another name"; }
  std::string identity() const override { return "USB 1209:0001"; }
};

class CaptureTest : public ::testing::Test {
 protected:
  CaptureTest() {
    std::string pattern = (std::filesystem::temp_directory_path() / "armwise-capture-XXXXXX").string();
    folder = mkdtemp(pattern.data());
    path = folder / "session.jsonl";
  }
  ~CaptureTest() override { std::filesystem::remove_all(folder); }

  std::string text() const {
    std::ostringstream all;
    all << std::ifstream(path).rdbuf();
    return all.str();
  }

  boost::asio::io_context loop;
  RealClock clock{loop.get_executor()};
  std::filesystem::path folder, path;
};

TEST_F(CaptureTest, KeepsEveryByteBothWaysInOrder) {
  std::string all;
  for (int byte = 0; byte < 256; ++byte) all += static_cast<char>(byte);
  const auto file = std::make_shared<CaptureFile>(path, clock);
  CapturingLine line(
      std::make_unique<ScriptedLine>(std::deque<Received>{
          {Received::Status::data, all}, {Received::Status::quiet, ""}, {Received::Status::closed, ""}}),
      file);
  run(loop, line.write("map list\r\n", 1s));
  EXPECT_THAT(text(), HasSubstr(R"("sent":"map list\r\n")"));  // already on disk, the file still open
  EXPECT_EQ(run(loop, line.read(1s)).bytes, all);
  run(loop, line.write(all, 1s));
  line.discard_input();
  EXPECT_EQ(run(loop, line.read(1s)).status, Received::Status::quiet);
  EXPECT_EQ(run(loop, line.read(1s)).status, Received::Status::closed);

  const std::vector<CaptureEntry> entries = load_capture(path);
  ASSERT_EQ(entries.size(), 7U);
  EXPECT_EQ(entries[0].kind, Kind::started);
  EXPECT_EQ(entries[1].bytes, "opened");
  EXPECT_EQ(entries[2].kind, Kind::sent);
  EXPECT_EQ(entries[2].bytes, "map list\r\n");
  EXPECT_EQ(entries[3].kind, Kind::came);
  EXPECT_EQ(entries[3].bytes, all);
  EXPECT_EQ(entries[4].bytes, all);
  EXPECT_EQ(entries[5].bytes, "discarded");
  EXPECT_EQ(entries[6].bytes, "closed");
  EXPECT_TRUE(std::is_sorted(entries.begin(), entries.end(),
                             [](const CaptureEntry& a, const CaptureEntry& b) { return a.at < b.at; }));
}

TEST_F(CaptureTest, IsPlainAsciiAndJsonInEachLine) {
  CaptureFile file(path, clock);
  file.came(std::string("\x1b[2J\xff\0", 6));
  std::istringstream lines(text());
  for (std::string line; std::getline(lines, line);) {
    EXPECT_TRUE(nlohmann::json::accept(line)) << line;
    for (const char c : line) EXPECT_TRUE(c >= 0x20 && c < 0x7f);
  }
}

TEST_F(CaptureTest, SaysWhichWriteFailed) {
  const auto file = std::make_shared<CaptureFile>(path, clock);
  CapturingLine line(std::make_unique<ScriptedLine>(std::deque<Received>{}, false), file);
  EXPECT_EQ(fault_of([&] { run(loop, line.write("spin 1\r\n", 1s)); }).kind(), FaultKind::line_lost);
  EXPECT_EQ(load_capture(path).back().bytes, "not sent");
}

TEST_F(CaptureTest, GoesOnInTheSameFileAfterAReopen) {
  const auto file = std::make_shared<CaptureFile>(path, clock);
  CapturingPlug plug(std::make_unique<ScriptedPlug>(), file);
  auto line = run(loop, plug.open());
  run(loop, line->write("save\r\n", 1s));
  line = run(loop, plug.reopen(1s));
  run(loop, line->write("version\r\n", 1s));
  EXPECT_EQ(plug.renamed(), "another name");
  std::vector<std::string> all;
  for (const CaptureEntry& entry : load_capture(path)) all.push_back(entry.bytes);
  EXPECT_THAT(all, ::testing::ElementsAre("", "opened", "save\r\n", "waiting for its return", "opened",
                                          "version\r\n"));
}

TEST_F(CaptureTest, LosesNothingOfAnEarlierSession) {
  { CaptureFile(path, clock).sent("one"); }
  { CaptureFile(path, clock).sent("two"); }
  const std::vector<CaptureEntry> entries = load_capture(path);
  ASSERT_EQ(entries.size(), 4U);
  EXPECT_EQ(entries[1].bytes, "one");
  EXPECT_EQ(entries[3].bytes, "two");
}

TEST_F(CaptureTest, PassesOverATornLastLineOnly) {
  { CaptureFile(path, clock).sent("one"); }
  std::ofstream(path, std::ios::app) << R"({"at":5,"se)";
  EXPECT_EQ(load_capture(path).size(), 2U);
  std::ofstream(path, std::ios::app) << "\n{\"at\":6,\"sent\":\"x\"}\n";
  const Fault fault = fault_of([&] { load_capture(path); });
  EXPECT_EQ(fault.kind(), FaultKind::bad_data);
  EXPECT_THAT(fault.happened(), HasSubstr("Line 3"));
}

TEST_F(CaptureTest, SaysSoWhereTheFileCannotBeWritten) {
  EXPECT_EQ(fault_of([&] { CaptureFile(folder / "no" / "such", clock); }).kind(), FaultKind::file);
  EXPECT_EQ(fault_of([&] { CaptureFile("/dev/full", clock); }).kind(), FaultKind::file);
}

TEST_F(CaptureTest, NeverKeepsBytesFromGoingOut) {
  // In a process of its own, since the limit that stands for a full disk counts for all of it.
  const pid_t child = fork();
  if (child == 0) {
    signal(SIGXFSZ, SIG_IGN);
    const rlimit little{200, 200};
    setrlimit(RLIMIT_FSIZE, &little);
    CaptureFile file(path, clock);
    file.sent(std::string(500, 'x'));
    file.sent("stop");
    _exit(file.trouble().find("ends early") != std::string::npos ? 0 : 1);
  }
  int status = 1;
  waitpid(child, &status, 0);
  EXPECT_EQ(status, 0);
}

}  // namespace
}  // namespace armwise::link::capture_test
