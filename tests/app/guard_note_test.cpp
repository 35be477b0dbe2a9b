// The word that the guard leaves of a motor that it stopped is said by the next command, once.
#include <gtest/gtest.h>
#include <poll.h>
#include <sys/inotify.h>
#include <unistd.h>

#include <filesystem>
#include <fstream>
#include <string>

#include "app/machine_driver.hpp"
#include "app/workshop.hpp"

namespace armwise::test::guard_note_test {
namespace {

namespace fs = std::filesystem;

class GuardNoteSaid : public ::testing::Test {
 protected:
  GuardNoteSaid() {
    fs::create_directories(state());
    workshop.make_craft("craft.json", *craft::frame_named("quad-x"), 7);
  }
  fs::path state() const { return workshop.home() / ".local/state/armwise"; }
  std::string said_by(const std::vector<std::string>& arguments) const {
    const auto program = workshop.start(arguments);
    program->ended();
    return program->output() + program->errors();
  }
  std::vector<std::string> bench() const {
    return {"bench",   "--practice", "--practice-craft", workshop.file("craft.json"),
            "--baud",  "0",          "--frame",          "quad-x",
            "--props", "in",         "--spin-time",      "3000",
            "--craft", "a craft",    "--leave-mount",    "--machine"};
  }

  Workshop workshop;
};

TEST_F(GuardNoteSaid, ByRecoverAlsoWhereThereIsNothingToRecover) {
  std::ofstream(state() / "guard-17.note") << "2026-05-04T08:00:00Z unanswered\n";
  EXPECT_NE(said_by({"recover"}).find("a motor may be turning. Keep clear and pull the battery plug."),
            std::string::npos);
  EXPECT_EQ(said_by({"recover"}).find("a motor may be turning"), std::string::npos);
}

TEST_F(GuardNoteSaid, ByBenchBeforeItAsksAnything) {
  std::ofstream(state() / "guard-17.note") << "2026-05-04T08:00:00Z acknowledged\n";
  const std::string said = said_by(bench());
  const std::size_t note = said.find("told the controller to stop, and the controller answered");
  ASSERT_NE(note, std::string::npos) << said;
  EXPECT_LT(note, said.find("\"ask\"")) << said;
}

// True once a note stands in the folder.
bool note_comes(const fs::path& folder, int watch) {
  const auto is_there = [&] {
    for (const auto& entry : fs::directory_iterator(folder)) {
      if (entry.path().extension() == ".note") return true;
    }
    return false;
  };
  for (int event = 0; event < 10 && !is_there(); ++event) {
    pollfd one{watch, POLLIN, 0};
    if (::poll(&one, 1, 10'000) <= 0) break;
    char events[4096];
    if (::read(watch, events, sizeof events) < 0) break;
  }
  return is_there();
}

TEST_F(GuardNoteSaid, AfterARealKillInMidSpin) {
  const int watch = ::inotify_init1(IN_CLOEXEC);
  ::inotify_add_watch(watch, state().c_str(), IN_CREATE | IN_MOVED_TO);
  const auto program = workshop.start(bench(), {}, true);
  MachineDriver driver(*program);
  driver.at_line = [&](const nlohmann::json& line) {
    if (line.value("doing", "") == "practice" && !line.at("moving").empty()) program->signal(SIGKILL);
  };
  driver.run();
  EXPECT_EQ(program->ended(), 128 + SIGKILL) << driver.all();
  EXPECT_TRUE(note_comes(state(), watch));
  ::close(watch);
  EXPECT_NE(said_by({"recover"}).find("armwise ended while a motor was turning"), std::string::npos);
}

}  // namespace
}  // namespace armwise::test::guard_note_test
