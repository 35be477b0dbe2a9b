// The tool against a console that was written by hand, in another language and as a process of its own, so
// that nothing which the tool and the practice craft have in common can hide a mistake. What turns is what
// that console says; restart included.
#include <gtest/gtest.h>

#include "app/machine_driver.hpp"
#include "app/workshop.hpp"
#include "armwise/record/craft_record.hpp"

namespace armwise::test::byhand_bench_test {
namespace {

using Json = nlohmann::json;
namespace fs = std::filesystem;

const fs::path by_hand = fs::path(ARMWISE_FIXTURES) / "../tests/practice";

// Where its letters stand, by the profile's numbering, and which way each arm turns for props in: common
// practice for an x of four, no source (diagonal pairs alike; the front blades sweep in over the nose).
const std::map<std::string, std::string> letter_at{
    {"A", "rear-left"}, {"B", "front-left"}, {"C", "front-right"}, {"D", "rear-right"}};
const std::map<std::string, std::string> props_in{
    {"front-left", "cw"}, {"front-right", "ccw"}, {"rear-left", "ccw"}, {"rear-right", "cw"}};

std::string other_way(const std::string& turn) {
  return turn == "cw" ? "ccw" : "cw";
}

class ByHandBench : public ::testing::Test {
 protected:
  struct Wire {
    std::string place, turn;
  };
  std::map<std::string, Wire> wiring{{"out-1", {"front-left", "ccw"}},
                                     {"out-2", {"rear-right", "cw"}},
                                     {"out-3", {"rear-left", "cw"}},
                                     {"out-4", {"front-right", "ccw"}}};

  void start_console(const std::vector<std::string>& more = {}) {
    std::string wires;
    for (const auto& [out, wire] : wiring)
      wires += (wires.empty() ? "" : ",") + out + "=" + wire.place + ":" + wire.turn;
    std::vector<std::string> command{"python3",  (by_hand / "byhand_console.py").string(),
                                     "--dir",    workshop.file("devices"),
                                     "--wiring", wires,
                                     "--away",   "0.3"};
    command.insert(command.end(), more.begin(), more.end());
    console = std::make_unique<Program>(command, workshop.home(), std::map<std::string, std::string>{}, true);
    const auto ready = console->line();
    ASSERT_TRUE(ready && ready->find("ready") != std::string::npos) << console->errors();
  }
  std::string profile_without_restart() const {
    Json profile = Json::parse(contents(by_hand / "byhand.profile.json"));
    profile["keep"].erase("restart");
    std::ofstream(workshop.file("hand.json")) << profile;
    return workshop.file("hand.json");
  }
  std::unique_ptr<Program> start_bench(
      std::vector<std::string> more,
      const std::string& profile = (by_hand / "byhand.profile.json").string()) {
    std::vector<std::string> arguments{
        "bench",  "--machine",   "--profile", profile,    "--frame",
        "quad-x", "--spin-time", "200",       "--output", workshop.file("record.json")};
    arguments.insert(arguments.end(), more.begin(), more.end());
    return workshop.start(arguments, {{"ARMWISE_DEVICES", workshop.file("devices")}}, true);
  }
  // What has turned since it was last asked.
  Json turned() {
    Json seen = Json::array();
    while (const auto line = console->line_at_hand()) {
      const Json told = Json::parse(*line);
      if (told.contains("stored")) stored = told.at("stored");
      if (told.contains("ready")) port = told.at("ready");
      if (!told.contains("turning")) continue;
      for (const Json& one : told.at("turning"))
        seen.push_back({{"arm", one.at("place")}, {"turn", one.at("turn")}});
    }
    return seen;
  }
  void expect_stored_right(bool props_out) {
    turned();
    ASSERT_FALSE(stored.is_null());
    EXPECT_EQ(stored.at("sweep"), props_out ? "off-nose" : "over-nose");
    for (const auto& [letter, place] : letter_at) {
      const Wire& wire = wiring.at(stored.at("legs").at(letter));
      EXPECT_EQ(wire.place, place) << letter;
      const std::string turn = stored.at("ways").at(letter) == "backward" ? other_way(wire.turn) : wire.turn;
      EXPECT_EQ(turn, props_out ? other_way(props_in.at(place)) : props_in.at(place)) << letter;
    }
  }

  Workshop workshop;
  std::unique_ptr<Program> console;
  Json stored;
  std::string port;
};

TEST_F(ByHandBench, EndsKeptAndRightAcrossItsRestart) {
  for (const bool out : {false, true}) {
    fs::remove_all(workshop.file("devices"));
    start_console();
    const auto bench = start_bench({"--props", out ? "out" : "in"});
    MachineDriver driver(*bench);
    driver.eyes = [this] { return turned(); };
    driver.answers["craft"] = {{"answer", "heath"}};
    const Json last = driver.run();
    EXPECT_EQ(bench->ended(), 0) << driver.all() << bench->errors();
    EXPECT_EQ(last.value("type", ""), "done");
    EXPECT_EQ(driver.asked("spin"), 4);
    EXPECT_EQ(driver.asked("prove"), 4);
    EXPECT_TRUE(driver.said("controller", "heath-2")) << "what it calls itself";
    expect_stored_right(out);
    EXPECT_TRUE(port.ends_with("ttyACM1")) << "it restarted, and came back under another name: " << port;
    const record::CraftRecord record = record::record_from_json(contents(workshop.file("record.json")));
    EXPECT_TRUE(record.proven_whole());
    EXPECT_TRUE(record.kept);
    fs::remove(workshop.file("record.json"));
  }
}

// A defect found: what ran was right, nothing had to change, and what was saved stayed wrong.
TEST_F(ByHandBench, TypedRightAndNeverStoredEndsStored) {
  start_console({"--typed",        "leg A off",      "--typed",        "leg B off",      "--typed",
                 "leg C off",      "--typed",        "leg D off",      "--typed",        "leg A to out-3",
                 "--typed",        "leg B to out-1", "--typed",        "leg C to out-4", "--typed",
                 "leg D to out-2", "--typed",        "way A backward", "--typed",        "way B backward"});
  const auto bench = start_bench({"--props", "in"});
  MachineDriver driver(*bench);
  driver.eyes = [this] { return turned(); };
  driver.run();
  EXPECT_EQ(bench->ended(), 0) << driver.all() << bench->errors();
  EXPECT_EQ(driver.asked("plan"), 0) << "nothing had to change";
  EXPECT_EQ(driver.asked("keep"), 1);
  expect_stored_right(false);
  EXPECT_TRUE(port.ends_with("ttyACM1")) << "it restarted: " << port;
}

TEST_F(ByHandBench, ThatOnlyAHandRestartsIsSeenToRestart) {
  start_console();
  const auto bench = start_bench({"--props", "in"}, profile_without_restart());
  MachineDriver driver(*bench);
  driver.eyes = [this] { return turned(); };
  driver.at_line = [this](const Json& line) {
    if (line.value("id", "") == "restart") console->write("replug\n");
  };
  driver.run();
  EXPECT_EQ(bench->ended(), 0) << driver.all() << bench->errors();
  EXPECT_EQ(driver.asked("restart"), 1);
  EXPECT_TRUE(driver.said("read-back"));
  expect_stored_right(false);
  EXPECT_TRUE(port.ends_with("ttyACM1")) << port;
}

TEST_F(ByHandBench, ThatNobodyRestartsIsSavedButNotProven) {
  start_console();
  const auto bench = start_bench({"--props", "in"}, profile_without_restart());
  MachineDriver driver(*bench);
  driver.eyes = [this] { return turned(); };
  driver.answers["restart"] = {{"answer", "no"}};
  driver.run();
  EXPECT_EQ(bench->ended(), 4) << driver.all() << bench->errors();
  EXPECT_FALSE(driver.said("done"));
  EXPECT_FALSE(driver.said("read-back"));
  EXPECT_TRUE(driver.said("saved-unverified")) << driver.all();
  expect_stored_right(false);
  const record::CraftRecord record = record::record_from_json(contents(workshop.file("record.json")));
  EXPECT_FALSE(record.proven_whole());
}

TEST_F(ByHandBench, ThatAsksBeforeItStoresIsNotAnsweredYes) {
  start_console({"--asks"});
  const auto bench = start_bench({"--props", "in"});
  MachineDriver driver(*bench);
  driver.eyes = [this] { return turned(); };
  driver.run();
  EXPECT_EQ(bench->ended(), 4) << driver.all() << bench->errors();
  EXPECT_TRUE(driver.said("fault", "write them? y/n")) << driver.all();
  turned();
  EXPECT_TRUE(stored.is_null());
  EXPECT_FALSE(fs::exists(workshop.file("record.json")));
}

// A defect found: the stop was typed into the start-up, which took it for a key that stops it.
TEST_F(ByHandBench, ThatAKeyStopsInItsStartUpIsLeftToStart) {
  start_console({"--start", "2"});
  const auto bench = start_bench({"--props", "in"});
  MachineDriver driver(*bench);
  driver.eyes = [this] { return turned(); };
  driver.run();
  EXPECT_EQ(bench->ended(), 0) << driver.all() << bench->errors();
  expect_stored_right(false);
}

TEST_F(ByHandBench, StoppedAtThePlanLeavesItAsItWas) {
  start_console();
  const auto bench = start_bench({"--props", "in"});
  MachineDriver driver(*bench);
  driver.eyes = [this] { return turned(); };
  driver.answers["plan"] = {{"answer", "no"}};
  driver.run();
  EXPECT_EQ(bench->ended(), 5) << driver.all();
  turned();
  EXPECT_TRUE(stored.is_null());
}

TEST_F(ByHandBench, ThatStoresNothingIsFoundOutAfterTheRestart) {
  start_console({"--store-nothing"});
  const auto bench = start_bench({"--props", "in"});
  MachineDriver driver(*bench);
  driver.eyes = [this] { return turned(); };
  driver.run();
  EXPECT_EQ(bench->ended(), 4) << driver.all();
  EXPECT_TRUE(driver.said("not-held")) << driver.all();
  EXPECT_FALSE(fs::exists(workshop.file("record.json")));
}

}  // namespace
}  // namespace armwise::test::byhand_bench_test
