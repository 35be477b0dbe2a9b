// kill -9 at every line of the journal, for real: the program, a practice controller in a process of its own,
// a pseudo-terminal between them. The guard stops the motor; `recover` ends in all old or all new.
#include <gtest/gtest.h>
#include <poll.h>
#include <sys/inotify.h>
#include <unistd.h>

#include <algorithm>
#include <chrono>
#include <fstream>
#include <future>
#include <iostream>
#include <string>
#include <vector>

#include "app/machine_driver.hpp"
#include "app/workshop.hpp"

namespace armwise::test::kill_test {
namespace {

namespace fs = std::filesystem;
using Json = nlohmann::json;

constexpr std::chrono::seconds limit{90};
constexpr std::size_t kills_at_a_time = 14;

// What somebody who sees the craft answers in a whole session.
const std::string& answers() {
  static const std::string all = [] {
    Workshop workshop;
    workshop.make_craft("craft.json", *craft::frame_named("quad-x"), 8);
    const auto program =
        workshop.start({"bench",         "--practice", "--practice-craft", workshop.file("craft.json"),
                        "--baud",        "0",          "--profile",        "tarn",
                        "--frame",       "quad-x",     "--props",          "in",
                        "--craft",       "kill craft", "--spin-time",      "200",
                        "--leave-mount", "--machine",  "--order",          "1"},
                       {}, true);
    MachineDriver driver(*program);
    driver.run();
    EXPECT_EQ(program->ended(), 0) << driver.all();
    return driver.given.dump();
  }();
  return all;
}

// One controller and one home, with what a session with it needs.
class KillBench {
 public:
  KillBench() {
    workshop_.make_craft("craft.json", *craft::frame_named("quad-x"), 8);
    fs::create_directories(journals());
    std::ofstream(workshop_.file("answers.json")) << answers();
    controller_ = workshop_.start({"practice", "--directory", workshop_.file("devices"), "--profile", "tarn",
                                   "--craft", workshop_.file("craft.json"), "--baud", "0"});
    while (const auto line = controller_->line()) {
      if (line->starts_with("ready")) break;
    }
  }
  ~KillBench() { controller_->signal(SIGTERM); }

  std::unique_ptr<Program> session() const {
    return started({"bench", "--profile", "tarn", "--frame", "quad-x", "--props", "in", "--craft",
                    "kill craft", "--spin-time", "200", "--leave-mount", "--answers",
                    workshop_.file("answers.json")});
  }
  // Finishes where that is offered, or takes back.
  std::unique_ptr<Program> recovery(const std::string& choice) const {
    std::ofstream(workshop_.file("recover.json")) << Json{{"recover", choice}};
    return started({"recover", "--answers", workshop_.file("recover.json")});
  }
  // The whole configuration as the controller now says it.
  std::string configuration() const {
    const auto program = started({"backup", "--profile", "tarn", "-o", workshop_.file("now.txt")});
    EXPECT_EQ(program->ended(), 0) << program->output() << program->errors();
    std::string settings;
    std::ifstream in(workshop_.file("now.txt"));
    for (std::string line; std::getline(in, line);) settings += line + "\n";
    fs::remove(workshop_.file("now.txt"));
    return settings;
  }
  fs::path journals() const { return workshop_.home() / ".local/state/armwise/journals"; }

  int journal_lines() const {
    int lines = 0;
    for (const auto& entry : fs::directory_iterator(journals())) {
      const std::string text = contents(entry.path());
      lines += static_cast<int>(std::count(text.begin(), text.end(), '\n'));
    }
    return lines;
  }

 private:
  std::unique_ptr<Program> started(const std::vector<std::string>& arguments) const {
    return workshop_.start(arguments, {{"ARMWISE_DEVICES", workshop_.file("devices")}});
  }

  Workshop workshop_;
  std::unique_ptr<Program> controller_;
};

// Kills as soon as the journal has so many lines; false where it never has.
bool kill_at_line(const KillBench& bench, const Program& program, int line) {
  const int watch = ::inotify_init1(IN_CLOEXEC);
  ::inotify_add_watch(watch, bench.journals().c_str(), IN_CREATE | IN_MODIFY);
  const auto until = std::chrono::steady_clock::now() + limit;
  bool reached = false;
  while (!(reached = bench.journal_lines() >= line) && std::chrono::steady_clock::now() < until) {
    pollfd one{watch, POLLIN, 0};
    if (::poll(&one, 1, 1000) <= 0) continue;
    char events[4096];
    if (::read(watch, events, sizeof events) < 0) break;
  }
  if (reached) program.signal(SIGKILL);
  ::close(watch);
  return reached;
}

struct Case {
  std::string ended;   // what does not hold; empty where all does
  bool fresh = false;  // ended in all new
};

Case killed_at(int line, const std::string& choice, const std::string& before, const std::string& after) {
  Case result;
  const auto expect = [&](bool good, const std::string& what) {
    if (!good) result.ended += what + "\n";
  };
  const KillBench bench;
  const auto session = bench.session();
  expect(kill_at_line(bench, *session, line), "the journal never had that line");
  const int status = session->ended();
  expect(status == 128 + SIGKILL || status == 0, "it ended with " + std::to_string(status));
  const auto recovery = bench.recovery(choice);
  const int recovered = recovery->ended();
  expect(recovered == 0,
         "recover ended with " + std::to_string(recovered) + ": " + recovery->output() + recovery->errors());
  const std::string now = bench.configuration();
  expect(now == before || now == after, "neither all old nor all new:\n" + now);
  const auto again = bench.recovery(choice);
  expect(again->ended() == 0 && again->output().find("nothing to recover") != std::string::npos,
         "there is still something to recover: " + again->output());
  result.fresh = now == after;
  return result;
}

TEST(Kill, AtEveryLineOfTheJournalIsRecoveredToAllOldOrAllNew) {
  std::string before, after;
  int lines = 0;
  {
    const KillBench bench;
    before = bench.configuration();
    const auto session = bench.session();
    ASSERT_EQ(session->ended(), 0) << session->output() << session->errors();
    after = bench.configuration();
    lines = bench.journal_lines();
  }
  ASSERT_NE(before, after);
  ASSERT_GE(lines, 10);
  int old_ones = 0, new_ones = 0;
  for (int first = 1; first <= lines; first += static_cast<int>(kills_at_a_time)) {
    std::vector<std::future<Case>> running;
    for (int line = first; line <= lines && line < first + static_cast<int>(kills_at_a_time); ++line) {
      // "finish" is offered once every arm has been proven: the last five lines.
      const std::string choice = line > lines - 5 && line % 2 == 0 ? "finish" : "back";
      running.push_back(std::async(std::launch::async,
                                   [=, &before, &after] { return killed_at(line, choice, before, after); }));
    }
    for (std::size_t i = 0; i < running.size(); ++i) {
      const Case result = running[i].get();
      EXPECT_EQ(result.ended, "") << "killed at line " << first + static_cast<int>(i);
      ++(result.fresh ? new_ones : old_ones);
    }
  }
  EXPECT_GT(old_ones, 0);
  EXPECT_GT(new_ones, 0);
  std::cout << lines << " lines of the journal: " << old_ones << " ended all old, " << new_ones
            << " all new\n";
}

}  // namespace
}  // namespace armwise::test::kill_test
