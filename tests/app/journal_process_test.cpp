// What the real program makes of journals that cannot be read, of practice crafts that are gone, of a value
// that teach was trying when it was killed, and of a disk or a limit that lets nothing be written.
#include <gtest/gtest.h>
#include <poll.h>
#include <sys/inotify.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <unistd.h>

#include <chrono>
#include <filesystem>
#include <fstream>
#include <string>
#include <vector>

#include "app/machine_driver.hpp"
#include "app/workshop.hpp"

namespace armwise::test::journal_process_test {
namespace {

namespace fs = std::filesystem;
using Json = nlohmann::json;

class Journals : public ::testing::Test {
 protected:
  Journals() { workshop.make_craft("craft.json", *craft::frame_named("quad-x"), 8); }
  ~Journals() override {
    if (controller) controller->signal(SIGTERM);
  }

  fs::path journals() const { return workshop.home() / ".local/state/armwise/journals"; }
  // A controller in a process of its own, which is there for all commands.
  void plug_in(const std::string& baud = "0") {
    controller = workshop.start({"practice", "--directory", workshop.file("devices"), "--profile", "tarn",
                                 "--craft", workshop.file("craft.json"), "--baud", baud});
    while (const auto line = controller->line()) {
      if (line->starts_with("ready")) break;
    }
  }
  std::unique_ptr<Program> start(const std::vector<std::string>& arguments, const Json& answers = {}) const {
    std::vector<std::string> all = arguments;
    if (!answers.is_null()) {
      std::ofstream(workshop.file("answers.json")) << answers;
      all.insert(all.end(), {"--answers", workshop.file("answers.json")});
    }
    return workshop.start(all, {{"ARMWISE_DEVICES", workshop.file("devices")}});
  }
  std::unique_ptr<Program> dry_run() const {
    return start({"bench", "--profile", "tarn", "--frame", "quad-x", "--props", "in", "--leave-mount"},
                 Json{{"props-off", "stop"}});
  }
  std::vector<std::string> practice(const std::vector<std::string>& more) const {
    std::vector<std::string> all{"bench",   "--practice", "--practice-craft", workshop.file("craft.json"),
                                 "--baud",  "0",          "--frame",          "quad-x",
                                 "--props", "in",         "--spin-time",      "200",
                                 "--craft", "a craft",    "--leave-mount"};
    all.insert(all.end(), more.begin(), more.end());
    return all;
  }

  Workshop workshop;
  std::unique_ptr<Program> controller;
};

std::string said(const Program& program) {
  return program.output() + program.errors();
}

// Defects found: an empty one was "nothing to recover", and a pipe of such a name was the end of both
// commands.
TEST_F(Journals, OneThatCannotBeReadIsSaidAndSetAside) {
  plug_in();
  fs::create_directories(journals());
  ASSERT_EQ(::mkfifo((journals() / "a.journal").c_str(), 0600), 0);
  std::ofstream(journals() / "b.journal") << std::string(2000, '\0');
  const auto refused = dry_run();
  EXPECT_EQ(refused->ended(), 4) << said(*refused);
  EXPECT_NE(said(*refused).find("Run armwise recover first"), std::string::npos) << said(*refused);
  for (const char* name : {"b.journal", "a.journal"}) {
    const auto recovery = start({"recover", "--profile", "tarn"}, Json{{"recover", "aside"}});
    EXPECT_EQ(recovery->ended(), 4) << said(*recovery);
    EXPECT_NE(said(*recovery).find(name), std::string::npos) << said(*recovery);
    EXPECT_EQ(said(*recovery).find("nothing to recover"), std::string::npos) << said(*recovery);
    EXPECT_TRUE(fs::exists(journals() / (std::string(name) + ".damaged")));
  }
  const auto goes_on = dry_run();
  EXPECT_EQ(goes_on->ended(), 5) << said(*goes_on);
}

// A defect found: "Run armwise recover first", and recover said that no controller is plugged in, or that the
// session belongs to another one.
TEST_F(Journals, OfAPracticeCraftThatIsGoneBlocksNothing) {
  const auto cut = workshop.start(practice({"--machine"}), {}, true);
  MachineDriver driver(*cut);
  driver.at_line = [&](const Json& line) {
    if (line.value("type", "") == "wrote") cut->signal(SIGKILL);
  };
  driver.run();
  EXPECT_EQ(cut->ended(), 128 + SIGKILL) << driver.all();
  const auto recovery = start({"recover"});
  EXPECT_EQ(recovery->ended(), 0) << said(*recovery);
  EXPECT_NE(said(*recovery).find("nothing to recover"), std::string::npos) << said(*recovery);
  const auto again = workshop.start(practice({"--play"}));
  EXPECT_EQ(again->ended(), 0) << said(*again);
}

bool is_running(const std::string& argument) {
  for (const auto& process : fs::directory_iterator("/proc")) {
    if (contents(process.path() / "cmdline").find(argument) != std::string::npos) return true;
  }
  return false;
}

// A defect found: "run armwise recover", said of a practice craft that was gone with its session.
TEST_F(Journals, WhatWasCutOffInPracticeIsRecoveredThere) {
  const auto program = workshop.start(practice({"--play", "--mischief", "store-not-keep", "--seed", "1"}));
  EXPECT_EQ(program->ended(), 4) << said(*program);
  EXPECT_NE(said(*program).find("confirmed but lost on the restart"), std::string::npos) << said(*program);
  EXPECT_NE(said(*program).find("Type armwise recover --practice"), std::string::npos) << said(*program);
  const auto recovery = start({"recover", "--practice"}, Json{{"recover", "finish"}});
  EXPECT_EQ(recovery->ended(), 0) << said(*recovery);
  EXPECT_NE(said(*recovery).find("Recovered: the controller holds"), std::string::npos) << said(*recovery);
  // The practice craft has the command line of the session that made it.
  const auto last = std::chrono::steady_clock::now() + std::chrono::seconds(10);
  while (is_running(workshop.file("craft.json")) && std::chrono::steady_clock::now() < last)
    ::poll(nullptr, 0, 20);
  EXPECT_FALSE(is_running(workshop.file("craft.json"))) << "the practice craft has ended";
  const auto again = start({"recover", "--practice"});
  EXPECT_EQ(again->ended(), 2) << said(*again);
  EXPECT_NE(said(*again).find("No practice craft waits"), std::string::npos) << said(*again);
}

// Whoever does not come back for it finds it gone with the next one.
TEST_F(Journals, ANewPracticeSessionEndsWhatAnEarlierOneLeftBehind) {
  const auto cut = workshop.start(practice({"--play", "--mischief", "store-not-keep", "--seed", "1"}));
  EXPECT_EQ(cut->ended(), 4) << said(*cut);
  const auto next = workshop.start(practice({"--play"}));
  EXPECT_EQ(next->ended(), 0) << said(*next);
  const auto recovery = start({"recover", "--practice"});
  EXPECT_EQ(recovery->ended(), 2) << said(*recovery);
}

// A defect found: all was kept, and then the record could not be written.
TEST_F(Journals, ARecordThatCouldNotBeWrittenIsSaidBeforeTheFirstSpin) {
  std::ofstream(workshop.file("file")) << "no folder";
  const auto program = workshop.start(practice({"--play", "-o", workshop.file("file") + "/record.json"}));
  EXPECT_EQ(program->ended(), 1) << said(*program);
  EXPECT_NE(said(*program).find("Making the folder"), std::string::npos) << said(*program);
  EXPECT_EQ(said(*program).find("Motor 1 turns"), std::string::npos) << said(*program);
}

// A defect found: the signal for a file that is too long ended it without a word.
TEST_F(Journals, AFileThatMustNotGrowIsAFaultInWords) {
  std::vector<std::string> limited{"sh", "-c", "ulimit -f 1; exec \"$0\" \"$@\"", ARMWISE_PROGRAM};
  const std::vector<std::string> bench = practice({"--play"});
  limited.insert(limited.end(), bench.begin(), bench.end());
  Program program(limited, workshop.home());
  EXPECT_EQ(program.ended(), 1) << said(program);
  EXPECT_NE(said(program).find("ulimit -f"), std::string::npos) << said(program);
}

// A defect found: it ended by std::terminate, after keeping, and there was no record.
TEST_F(Journals, ASessionIsBroughtToItsEndWithTheMemoryThatItHas) {
  const auto program = workshop.start(practice({"--machine"}), {}, true);
  MachineDriver driver(*program);
  bool turned = false;
  driver.at_line = [&](const Json& line) {
    if (turned || line.value("doing", "") != "practice") return;
    turned = true;
    program->take_no_more_memory();
  };
  const Json last = driver.run();
  EXPECT_TRUE(turned);
  EXPECT_EQ(program->ended(), 0) << driver.all() << program->errors();
  EXPECT_EQ(last.value("ok", false), true) << last;
}

// A defect found: "something went wrong inside armwise", and no word of what to do.
TEST_F(Journals, ALimitOfTheSystemIsSaid) {
  for (const char* limit : {"ulimit -n 5", "ulimit -n 8", "ulimit -n 10"}) {
    std::vector<std::string> limited{"sh", "-c", std::string(limit) + "; exec \"$0\" \"$@\"",
                                     ARMWISE_PROGRAM};
    const std::vector<std::string> bench = practice({"--play"});
    limited.insert(limited.end(), bench.begin(), bench.end());
    Program program(limited, workshop.home());
    EXPECT_NE(program.ended(), 0) << limit;
    EXPECT_EQ(said(program).find("wrong inside"), std::string::npos) << limit << said(program);
    EXPECT_NE(said(program), "") << limit;
  }
}

// Waits for a journal that says this; false where none ever does.
bool journal_says(const fs::path& folder, const std::string& what) {
  const int watch = ::inotify_init1(IN_CLOEXEC);
  ::inotify_add_watch(watch, folder.c_str(), IN_CREATE | IN_MODIFY);
  bool found = false;
  for (int event = 0; event < 1000 && !found; ++event) {
    for (const auto& entry : fs::directory_iterator(folder))
      found = found || contents(entry.path()).find(what) != std::string::npos;
    pollfd one{watch, POLLIN, 0};
    if (found || ::poll(&one, 1, 60'000) <= 0) break;
    char events[4096];
    if (::read(watch, events, sizeof events) < 0) break;
  }
  ::close(watch);
  return found;
}

// A defect found: the other value stayed, and the next bench took it for the owner's.
TEST_F(Journals, WhatTeachWasTryingWhenItWasKilledIsSaidAndHowToPutItBack) {
  plug_in("4800");  // slow enough that a trial takes a while
  fs::create_directories(journals());
  Json half = Json::parse(contents(std::string(ARMWISE_FIXTURES) + "/profiles/tarn.json"));
  half.erase("props");
  std::ofstream(workshop.file("half.json")) << half;
  const auto teach = start({"teach", "--from", workshop.file("half.json"), "--frame", "quad-x"},
                           Json{{"read-props", "tell props"},
                                {"right", "yes"},
                                {"props-now", "in"},
                                {"props-word", "1"},
                                {"props-out-command", "sweep props outward"},
                                {"props-in-command", "sweep props inward"},
                                {"try-change", "yes"}});
  ASSERT_TRUE(journal_says(journals(), "\"trying\"")) << said(*teach);
  teach->signal(SIGKILL);
  EXPECT_EQ(teach->ended(), 128 + SIGKILL) << said(*teach);
  const auto bench = dry_run();
  EXPECT_EQ(bench->ended(), 4) << said(*bench);
  EXPECT_NE(said(*bench).find("armwise teach was cut off"), std::string::npos) << said(*bench);
  const auto later = start({"recover"}, Json{{"put-back", "later"}});
  EXPECT_EQ(later->ended(), 4) << said(*later);
  const auto recovery = start({"recover"}, Json{{"put-back", "done"}});
  EXPECT_EQ(recovery->ended(), 0) << said(*recovery);
  EXPECT_NE(said(*recovery).find("\"sweep props "), std::string::npos) << said(*recovery);
  EXPECT_NE(said(*recovery).find("Before, it read \"props sweep "), std::string::npos) << said(*recovery);
  const auto goes_on = dry_run();
  EXPECT_EQ(goes_on->ended(), 5) << said(*goes_on);
}

}  // namespace
}  // namespace armwise::test::journal_process_test
