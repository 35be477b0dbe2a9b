// profile show and profile try, as a person runs them.
#include <gtest/gtest.h>

#include <nlohmann/json.hpp>
#include <regex>

#include "app/workshop.hpp"

namespace armwise::test::profile_commands_test {
namespace {

using json = nlohmann::json;

std::string profile_file(const std::string& name) {
  return std::string(ARMWISE_FIXTURES) + "/profiles/" + name + ".json";
}

TEST(ProfileCommands, ShowTellsEachAbilityInTenLines) {
  const Workshop workshop;
  for (const char* name : {"tarn", "sedge", "fell", "brook", "moor"}) {
    const auto program = workshop.start({"profile", "show", profile_file(name)});
    EXPECT_EQ(program->ended(), 0) << program->errors();
    EXPECT_EQ(std::ranges::count(program->output(), '\n'), 10) << program->output();
    EXPECT_NE(program->output().find("spin and stop"), std::string::npos);
  }
}

// What the console is seen to say, and nothing else, is what was read: the craft's file has the truth.
TEST(ProfileCommands, TryReadsWhatTheConsoleHoldsAndWritesNothing) {
  for (const char* name : {"tarn", "sedge", "fell", "brook", "moor"}) {
    const Workshop workshop;
    workshop.make_craft("craft.json", *craft::frame_named("quad-x"), 7);
    const auto program = workshop.start({"profile", "try", "--practice", "--practice-craft",
                                         workshop.file("craft.json"), "--plain", "--baud", "0", "--profile",
                                         profile_file(name), "--capture", workshop.file("line.capture")});
    EXPECT_EQ(program->ended(), 0) << name << program->output() << program->errors();
    const std::string said = program->output();
    EXPECT_TRUE(std::regex_search(said, std::regex("read: motor 1 on pin \\S+"))) << name << said;
    EXPECT_NE(said.find("Nothing that writes"), std::string::npos) << said;
    // Every line that was sent is among those shown.
    std::istringstream capture(contents(workshop.file("line.capture")));
    for (std::string line; std::getline(capture, line);) {
      const json entry = json::parse(line);
      if (!entry.contains("sent")) continue;
      std::string sent = entry["sent"];
      while (!sent.empty() && (sent.back() == '\r' || sent.back() == '\n')) sent.pop_back();
      if (sent.empty() || sent.find_first_of("\r\n") != std::string::npos) continue;
      EXPECT_NE(said.find("> " + sent), std::string::npos) << name << ": " << sent << "\n" << said;
    }
  }
}

TEST(ProfileCommands, TrySaysWhichAbilityIsNotAsTheProfileSays) {
  const Workshop workshop;
  json profile = json::parse(contents(profile_file("tarn")));
  profile["map"]["list"]["lines"] = {"output {motor} goes to {pin}"};
  profile["name"] = "wrong";
  std::ofstream(workshop.file("wrong.json")) << profile;
  const auto program =
      workshop.start({"profile", "try", "--practice", "--practice-console", profile_file("tarn"), "--plain",
                      "--baud", "0", "--profile", workshop.file("wrong.json")});
  EXPECT_EQ(program->ended(), 1) << program->output();
  EXPECT_NE((program->output() + program->errors()).find("Mend the profile"), std::string::npos);
  EXPECT_NE(program->output().find("read:"), std::string::npos) << "what does work is shown";
}

}  // namespace
}  // namespace armwise::test::profile_commands_test
