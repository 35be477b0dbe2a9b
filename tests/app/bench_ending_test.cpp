// How `armwise bench` ends: each exit status, what is said then, and what the last byte on the wire is.
#include <gtest/gtest.h>

#include <algorithm>

#include "app/machine_driver.hpp"
#include "app/workshop.hpp"
#include "armwise/practice/mischief.hpp"
#include "support/capture_entries.hpp"

namespace armwise::test::bench_ending_test {
namespace {

using Json = nlohmann::json;

class BenchEnding : public ::testing::Test {
 protected:
  BenchEnding() { workshop.make_craft("craft.json", *craft::frame_named("quad-x"), 7); }

  // On the practice craft of this workshop, everything said that an option can say.
  std::vector<std::string> bench(const std::vector<std::string>& more = {},
                                 const std::string& craft = "craft.json") const {
    std::vector<std::string> all{"bench",       "--practice", "--practice-craft", workshop.file(craft),
                                 "--baud",      "0",          "--frame",          "quad-x",
                                 "--props",     "in",         "--craft",          "bench craft",
                                 "--spin-time", "200",        "--leave-mount"};
    all.insert(all.end(), more.begin(), more.end());
    return all;
  }
  // The mischief of that name with the first seed that lets it happen at the `at`th of its things.
  static std::vector<std::string> mischief(const std::string& name, std::uint64_t at) {
    std::uint64_t seed = 1;
    while (practice::mischief_named(name, seed).at != at) ++seed;
    return {"--mischief", name, "--seed", std::to_string(seed)};
  }
  std::vector<std::string> journals() const {
    std::vector<std::string> found;
    const auto folder = workshop.home() / ".local/state/armwise";
    if (!std::filesystem::exists(folder)) return found;
    for (const auto& entry : std::filesystem::recursive_directory_iterator(folder)) {
      if (entry.path().string().find("journal") != std::string::npos && entry.is_regular_file())
        found.push_back(entry.path());
    }
    return found;
  }

  Workshop workshop;
};

std::vector<std::string> with(std::vector<std::string> all, const std::vector<std::string>& more) {
  all.insert(all.end(), more.begin(), more.end());
  return all;
}

TEST_F(BenchEnding, OneIsAFaultInWordsWithTheControllerAsBefore) {
  const auto program = workshop.start(with(bench({"--play"}), mischief("refuse-write", 2)));
  EXPECT_EQ(program->ended(), 1) << program->output() << program->errors();
  const std::string all = program->output() + program->errors();
  EXPECT_NE(all.find("A change could not be written"), std::string::npos) << all;
  EXPECT_NE(all.find("the controller is as it was before"), std::string::npos) << all;
}

// Whoever practises with a mischief is told at the end what it was, or that it did not come up.
TEST_F(BenchEnding, TellsWhatTheMischiefWas) {
  const auto told = [&](const std::string& id, const std::vector<std::string>& more) {
    const auto program = workshop.start(with(bench({"--play", "--machine"}), more));
    program->ended();
    const std::string all = program->output();
    return all.find("\"id\":\"" + id + "\"") != std::string::npos ? std::string() : all + program->errors();
  };
  EXPECT_EQ(told("mischief", mischief("refuse-write", 2)), "");
  EXPECT_EQ(told("mischief-missed", with(mischief("never-back", 1), {"--dry-run"})), "");
}

TEST_F(BenchEnding, TwoIsAQuestionThatNothingAnswersAndItsIdIsNamed) {
  const auto program = workshop.start(bench());
  EXPECT_EQ(program->ended(), 2) << program->output();
  const std::string all = program->output() + program->errors();
  EXPECT_NE(all.find("props-off"), std::string::npos) << all;
}

TEST_F(BenchEnding, TwoIsAlsoAQuestionThatTheAnswersFileLeavesOut) {
  std::ofstream(workshop.file("answers.json"))
      << R"({"props-off": "props off", "arrow": "nose", "side-up": "up", "battery": "yes", "go": "spin"})";
  const auto program = workshop.start(bench({"--answers", workshop.file("answers.json")}));
  EXPECT_EQ(program->ended(), 2) << program->output();
  const std::string all = program->output() + program->errors();
  EXPECT_NE(all.find("No answer is given to the question \"spin\""), std::string::npos) << all;
}

TEST_F(BenchEnding, ThreeIsNoPortOrOneThatIsMissing) {
  const auto missing = workshop.start({"bench", "/dev/ttyNOTHERE0", "--profile", "tarn", "--wait", "0"},
                                      {{"ARMWISE_DEVICES", workshop.file("nothing")}});
  EXPECT_EQ(missing->ended(), 3) << missing->output() << missing->errors();
  EXPECT_NE((missing->output() + missing->errors()).find("ttyNOTHERE0"), std::string::npos);
  const auto none = workshop.start({"bench", "--profile", "tarn", "--wait", "0"},
                                   {{"ARMWISE_DEVICES", workshop.file("nothing")}});
  EXPECT_EQ(none->ended(), 3) << none->output() << none->errors();
}

TEST_F(BenchEnding, FourIsAControllerThatDidNotComeBack) {
  // Fifteen seconds is what a controller is given; here, two.
  Json profile = Json::parse(contents(std::string(ARMWISE_FIXTURES) + "/profiles/tarn.json"));
  profile["timing"]["restart_ms"] = 2000;
  std::ofstream(workshop.file("hasty.json")) << profile;
  const auto program = workshop.start(
      with(bench({"--play", "--profile", workshop.file("hasty.json")}), mischief("never-back", 1)));
  EXPECT_EQ(program->ended(), 4) << program->output() << program->errors();
  const std::string all = program->output() + program->errors();
  EXPECT_NE(all.find("armwise recover"), std::string::npos) << all;
  EXPECT_EQ(all.find("Done and proven"), std::string::npos);
}

TEST_F(BenchEnding, FiveIsStoppedByThePerson) {
  for (const char* answers : {R"({"props-off": "props off", "arrow": "unknown", "battery": "stop"})",
                              R"({"props-off": "props off", "arrow": "unknown", "battery": "no"})"}) {
    std::ofstream(workshop.file("answers.json")) << answers;
    const auto program = workshop.start(bench({"--answers", workshop.file("answers.json")}));
    EXPECT_EQ(program->ended(), 5) << program->output() << program->errors();
    EXPECT_NE((program->output() + program->errors()).find("the controller is as it was before"),
              std::string::npos);
  }
}

TEST_F(BenchEnding, TheEndOfTheInputIsStopNotAnAnswer) {
  const auto program = workshop.start(bench({"--machine"}));
  EXPECT_EQ(program->ended(), 5) << program->output() << program->errors();
}

TEST_F(BenchEnding, AnAnswersFileRunsTheWholeSession) {
  workshop.make_craft("known.json", *craft::frame_named("quad-x"), 8);
  // Given the same answers the same is asked, in the order that answers of a file always meet.
  const auto seen = workshop.start(
      bench({"--machine", "--order", "1", "--output", workshop.file("seen.json")}, "known.json"), {}, true);
  MachineDriver driver(*seen);
  driver.run();
  ASSERT_EQ(seen->ended(), 0) << driver.all();
  std::ofstream(workshop.file("answers.json")) << driver.given;
  const auto program = workshop.start(bench(
      {"--answers", workshop.file("answers.json"), "--output", workshop.file("record.json")}, "known.json"));
  EXPECT_EQ(program->ended(), 0) << program->output() << program->errors();
  EXPECT_TRUE(std::filesystem::exists(workshop.file("record.json")));
}

class Machine : public BenchEnding {};

TEST_F(Machine, SpeaksOneObjectALineAndIsAnsweredSo) {
  const auto program =
      workshop.start(bench({"--machine", "--output", workshop.file("record.json")}), {}, true);
  MachineDriver driver(*program);
  const Json last = driver.run();
  EXPECT_EQ(program->ended(), 0) << driver.all() << program->errors();
  EXPECT_EQ(program->errors(), "");
  EXPECT_EQ(last.value("type", ""), "done") << last;
  EXPECT_EQ(last.value("ok", false), true) << last;
  EXPECT_EQ(last.value("record", ""), workshop.file("record.json"));
  EXPECT_EQ(driver.asked("props-off"), 1);
  EXPECT_EQ(driver.asked("go"), 8);
  EXPECT_EQ(driver.asked("spin"), 4);
  EXPECT_EQ(driver.asked("prove"), 4);
  EXPECT_EQ(driver.asked("plan"), 1);
  EXPECT_EQ(driver.asked("keep"), 1);
  std::map<std::string, int> types;
  std::vector<std::string> planned, wrote;
  for (const Json& line : driver.lines) {
    const std::string type = line.at("type");
    ++types[type];
    if (type == "plan") planned = line.at("lines").get<std::vector<std::string>>();
    if (type == "wrote") {
      for (const Json& one : line.at("lines")) wrote.push_back(one);
    }
    if (type == "ask" && line.at("kind") == "spin") {
      EXPECT_EQ(line.at("blind"), line.at("id") == "prove");
      EXPECT_EQ(line.at("attempt"), 1);
      // In the check nothing says which motor it is.
      EXPECT_EQ(line.contains("motor"), line.at("id") == "spin");
      EXPECT_EQ(line.contains("pin"), line.at("id") == "spin");
      EXPECT_EQ(line.at("choices").at("arm").size(), 4U);
    }
    if (type == "say") {
      const std::string level = line.at("level");
      EXPECT_TRUE(level == "info" || level == "warn" || level == "danger") << level;
    }
  }
  EXPECT_EQ(types.count("no JSON"), 0U);
  EXPECT_EQ(types["found"], 1);
  EXPECT_EQ(types["plan"], 1);
  EXPECT_EQ(types["done"], 1);
  EXPECT_EQ(wrote, planned) << "what the person saw is what was sent";
}

TEST_F(Machine, CanStopAndGoBack) {
  const auto program = workshop.start(bench({"--machine"}), {}, true);
  MachineDriver driver(*program);
  driver.answers["plan"] = {{"id", "stop"}};
  driver.run();
  EXPECT_EQ(program->ended(), 5) << driver.all();
  EXPECT_TRUE(driver.said("stopped", "the controller is as it was before"));

  const auto again = workshop.start(bench({"--machine"}), {}, true);
  MachineDriver wavering(*again);
  wavering.at_line = [&](const Json& line) {
    if (line.value("id", "") == "battery" && wavering.asked("battery") == 1)
      wavering.answers["battery"] = {{"id", "back"}};
    if (line.value("id", "") == "arrow") {
      wavering.answers["arrow"] = {{"answer", "nose"}};
      if (wavering.asked("arrow") == 2) wavering.answers["arrow"] = {{"id", "back"}};
    }
    if (line.value("id", "") == "side-up") {
      wavering.answers["side-up"] = {{"answer", "up"}};
      if (wavering.asked("side-up") == 2) wavering.answers["side-up"] = {{"id", "back"}};
    }
    if (line.value("id", "") == "battery" && wavering.asked("battery") == 2)
      wavering.answers["battery"] = {{"id", "stop"}};
  };
  wavering.run();
  EXPECT_EQ(again->ended(), 5) << wavering.all();
  EXPECT_EQ(wavering.asked("props-off"), 2);
}

// Ctrl-C and a termination in the middle of a spin: the motor is stopped, and the program ends by the signal.
class BySignal : public BenchEnding, public ::testing::WithParamInterface<int> {};

TEST_P(BySignal, InTheMiddleOfASpinTheLastThingOnTheWireIsTheStop) {
  std::vector<std::string> arguments = bench({"--machine", "--capture", workshop.file("capture")});
  std::replace(arguments.begin(), arguments.end(), std::string("200"), std::string("3000"));
  const std::filesystem::path temporary = workshop.file("temporary");
  std::filesystem::create_directory(temporary);
  const auto program = workshop.start(arguments, {{"TMPDIR", temporary}}, true);
  MachineDriver driver(*program);
  bool turned = false;
  driver.at_line = [&](const Json& line) {
    if (line.value("doing", "") != "practice" || turned) return;
    turned = true;
    EXPECT_EQ(line.at("moving").size(), 1U) << "a motor turns";
    program->signal(GetParam());
  };
  driver.run();
  EXPECT_TRUE(turned);
  EXPECT_EQ(program->ended(), 128 + GetParam()) << driver.all() << program->errors();
  EXPECT_EQ(program->errors(), "");  // its practice craft has this open: now that has ended, too
  EXPECT_TRUE(std::filesystem::is_empty(temporary)) << "the practice craft left its folder behind";
  EXPECT_TRUE(driver.said("still-turning")) << driver.all();
  EXPECT_TRUE(driver.said("stopped", "the console has acknowledged the stop")) << driver.all();
  std::string last;
  bool spun = false;
  for (const CaptureEntry& entry : load_capture(workshop.file("capture"))) {
    if (entry.kind != CaptureEntry::Kind::sent) continue;
    if (entry.bytes.rfind("spin motor", 0) == 0) spun = true;
    last = entry.bytes;
  }
  EXPECT_TRUE(spun);
  EXPECT_EQ(last, "halt every motor\r\n");
}

INSTANTIATE_TEST_SUITE_P(Signals, BySignal, ::testing::Values(SIGINT, SIGTERM, SIGHUP));

TEST_F(BenchEnding, StopInAnswerToASpinStopsTheSession) {
  const auto program = workshop.start(bench({"--machine"}), {}, true);
  MachineDriver driver(*program);
  driver.answers["spin"] = {{"seen", "stop"}};
  driver.run();
  EXPECT_EQ(program->ended(), 5) << driver.all();
  EXPECT_EQ(driver.asked("spin"), 1);
}

}  // namespace
}  // namespace armwise::test::bench_ending_test
