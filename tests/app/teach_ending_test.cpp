// How `armwise teach` ends where it is stopped: what it says of the motors and of the settings is what is
// known. Another process is the craft.
#include <gtest/gtest.h>

#include "app/workshop.hpp"

namespace armwise::test::teach_ending_test {
namespace {

using nlohmann::json;

class TeachEnding : public ::testing::Test {
 protected:
  // Taught but for the spin and what comes after it.
  TeachEnding() {
    json half = json::parse(contents(std::string(ARMWISE_FIXTURES) + "/profiles/tarn.json"));
    for (const char* ability : {"spin", "keep", "leave"}) half.erase(ability);
    std::ofstream(workshop_.file("half.json")) << half.dump(1);
  }
  std::unique_ptr<Program> teach(const json& answers) const {
    std::ofstream(workshop_.file("answers.json")) << answers;
    return workshop_.start({"teach", "--practice", "--baud", "0", "--frame", "quad-x", "--from",
                            workshop_.file("half.json"), "--answers", workshop_.file("answers.json")});
  }

  Workshop workshop_;
};

// A defect found: whoever stops since a motor turns on was told that none does.
TEST_F(TeachEnding, BeforeTheStopWasSeenItIsNotSaidThatNoMotorTurns) {
  const auto program = teach({{"stop-command", "halt every motor"},
                              {"props-off", "props off"},
                              {"strength-limits", "4 12 100"},
                              {"right", "yes"},
                              {"battery", "yes"},
                              {"spin-command", "spin motor 3 at 4 for 2500"},
                              {"go", "spin"},
                              {"spin-seen", "stop"}});
  EXPECT_EQ(program->ended(), 5) << program->output() << program->errors();
  const std::string all = program->output() + program->errors();
  EXPECT_NE(all.find("Next, motor 3 spins"), std::string::npos) << all;
  EXPECT_NE(all.find("If one turns, keep clear and pull the battery plug now."), std::string::npos) << all;
  EXPECT_NE(all.find("Stopped: what was tried has been put back."), std::string::npos) << all;
  EXPECT_EQ(all.find("no motor turns"), std::string::npos) << all;
  EXPECT_EQ(all.find("as it was before"), std::string::npos) << all;
}

// A defect found: what was taught in practice landed among the real profiles.
TEST_F(TeachEnding, PracticeTouchesNoRealProfile) {
  const std::filesystem::path real = workshop_.home() / ".local/share/armwise/profiles/mine.json";
  std::filesystem::create_directories(real.parent_path());
  std::ofstream(real) << "mine";
  std::ofstream(workshop_.file("answers.json")) << json{{"frame", "quad-x"}};
  const std::vector<std::string> lesson{
      "teach", "--name", "mine", "--answers", workshop_.file("answers.json"), "--wait", "0"};
  const auto refused = workshop_.start(lesson);
  refused->ended();
  EXPECT_NE(refused->errors().find(real.string()), std::string::npos) << refused->errors();
  std::vector<std::string> practised = lesson;
  practised.insert(practised.end(), {"--practice", "--baud", "0"});
  const auto program = workshop_.start(practised);
  program->ended();
  EXPECT_EQ((program->output() + program->errors()).find(real.string()), std::string::npos)
      << program->errors();
  EXPECT_EQ(contents(real), "mine");
}

}  // namespace
}  // namespace armwise::test::teach_ending_test
