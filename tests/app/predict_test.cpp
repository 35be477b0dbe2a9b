// What `armwise predict` prints is sent to a controller as a person would: typed, line by line.
#include <gtest/gtest.h>

#include "app/workshop.hpp"
#include "armwise/console/conversation.hpp"
#include "armwise/practice/controller.hpp"

namespace armwise::test::predict_test {
namespace {

using nlohmann::json;

constexpr const char* to_fill_in = "<motor ";

class Predict : public ::testing::Test {
 protected:
  json predicted(std::vector<std::string> arguments) const {
    arguments.insert(arguments.begin(), "predict");
    arguments.emplace_back("--json");
    const auto program = workshop.start(arguments);
    EXPECT_EQ(program->ended(), 0) << program->output() << program->errors();
    return json::parse(program->output());
  }
  Workshop workshop;
};

std::string filled_in(std::string line, const std::vector<std::string>& pins) {
  for (std::size_t i = 0; i < pins.size(); ++i) {
    const std::string sought = to_fill_in + std::to_string(i + 1) + "'s pin>";
    for (std::size_t at = line.find(sought); at != std::string::npos; at = line.find(sought))
      line.replace(at, sought.size(), pins[i]);
  }
  return line;
}

// Types the lines into a practice console at rest; says which it refused.
std::vector<std::string> refused_of(const json& lines, practice::PracticeController& controller,
                                    const console::Profile& profile, const std::vector<std::string>& pins) {
  Instant now{0};
  for (const json& each : lines) {
    const std::string line = filled_in(each.get<std::string>(), pins);
    EXPECT_EQ(line.find(to_fill_in), std::string::npos) << line;
    controller.receive(line + std::string(console::line_end_of(profile)), now);
    now += Duration{500};
    controller.take(now);
  }
  std::vector<std::string> refused;
  for (const practice::Happened& happened : controller.history()) {
    if (happened.what == practice::Happened::What::refused) refused.push_back(happened.line);
  }
  return refused;
}

TEST_F(Predict, EveryLineForEachBundledConsoleIsTakenOnceThePinsAreFilledIn) {
  for (const char* dialect : {"tarn", "sedge", "brook", "fell", "moor"}) {
    for (const std::string frame : {"quad-x", "hex-plus", "y6"}) {
      for (const std::string yaw : {"90", "180"}) {
        SCOPED_TRACE(std::string(dialect) + " " + frame + " " + yaw);
        const json said = predicted({"--yaw", yaw, "--roll", "180", "--frame", frame, "--profile", dialect});
        const json& lines = said.at("console").at("lines");
        ASSERT_FALSE(lines.empty());
        const console::Profile profile =
            console::load_profile_file(std::string(ARMWISE_FIXTURES) + "/profiles/" + dialect + ".json");
        practice::Habits habits;
        habits.console_open = true;
        practice::PracticeController controller(
            profile, practice::seeded_craft(*craft::frame_named(frame), 3), {}, habits);
        const craft::MotorMap map = controller.running().map;
        std::vector<std::string> pins;
        for (const craft::Pin& pin : map.pins) pins.push_back(pin.name);
        EXPECT_EQ(refused_of(lines, controller, profile, pins), std::vector<std::string>{});
        controller.restart(Instant{100000});  // for what takes effect only then; nothing was kept
        // Somebody has to say what is to be filled in.
        if (lines.dump().find(to_fill_in) != std::string::npos) {
          EXPECT_NE(said.at("console").at("remarks").dump().find("Fill in before you send them"),
                    std::string::npos);
        }
      }
    }
  }
}

// With the pins named nothing is left to fill in, and the map comes out as was said.
TEST_F(Predict, WithThePinsNamedTheLinesAreReadyToSend) {
  const std::vector<std::string> pins{"P1", "P2", "P3", "P4"};
  const json said = predicted({"--yaw", "90", "--profile", "sedge", "--pins", "P1, P2,P3,P4"});
  const json& lines = said.at("console").at("lines");
  EXPECT_EQ(said.dump().find(to_fill_in), std::string::npos) << said.dump(2);
  const console::Profile profile =
      console::load_profile_file(std::string(ARMWISE_FIXTURES) + "/profiles/sedge.json");
  practice::Habits habits;
  habits.console_open = true;
  practice::PracticeController controller(profile, practice::seeded_craft(*craft::frame_named("quad-x"), 3),
                                          {}, habits);
  EXPECT_EQ(refused_of(lines, controller, profile, {}), std::vector<std::string>{});
  const craft::MotorMap map = controller.running().map;
  for (const json& motor : said.at("motors")) {
    const craft::Motor number{motor.at("motor").get<int>()};
    EXPECT_EQ(map.pin_of(number).name, motor.at("pin_after").get<std::string>());
  }
}

TEST_F(Predict, PinsThatDoNotFitTheFrameAreRefused) {
  for (const char* pins : {"P1,P2,P3", "P1,P2,P3,P3", "P1,P2,P3,P4,P5", "P1,,P3,P4"}) {
    const auto program = workshop.start({"predict", "--yaw", "90", "--pins", pins});
    EXPECT_EQ(program->ended(), 2) << pins;
    EXPECT_NE(program->errors().find("--pins"), std::string::npos) << program->errors();
  }
}

}  // namespace
}  // namespace armwise::test::predict_test
