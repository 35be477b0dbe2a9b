// The command line as a person meets it: help, slips of the fingers, and the plain output of a pipe.
#include <gtest/gtest.h>

#include <sstream>

#include "app/workshop.hpp"

namespace armwise::test::command_line_test {
namespace {

class CommandLine : public ::testing::Test {
 protected:
  Ran run(const std::vector<std::string>& arguments,
          const std::map<std::string, std::string>& more = {}) const {
    return workshop.run(arguments, more);
  }
  Workshop workshop;
};

// Code points, which in the help are one column each.
std::size_t columns(const std::string& line) {
  return static_cast<std::size_t>(std::count_if(
      line.begin(), line.end(), [](char c) { return (static_cast<unsigned char>(c) & 0xC0U) != 0x80U; }));
}

// Every command that the program names in its own help, found by asking it.
std::vector<std::string> named_in(const std::string& help) {
  std::vector<std::string> names;
  std::istringstream lines(help);
  std::string line;
  bool in_commands = false;
  while (std::getline(lines, line)) {
    if (line.rfind("Commands", 0) == 0 || line.rfind("Subcommands", 0) == 0) {
      in_commands = true;
    } else if (in_commands && line.rfind("  ", 0) == 0 && line.size() > 2 && line[2] != ' ') {
      names.push_back(line.substr(2, line.find(' ', 2) - 2));
    } else if (!line.empty() && line[0] != ' ') {
      in_commands = false;
    }
  }
  return names;
}

// Prepared from a log, and never proven: nothing is sent with it, not even its stop.
TEST_F(CommandLine, AProfileThatWasOnlyPreparedIsNotSpokenWith) {
  auto profile = nlohmann::json::parse(contents(std::string(ARMWISE_FIXTURES) + "/profiles/tarn.json"));
  profile["notes"] = {"Prepared from a saved console session; not proven on a console."};
  std::ofstream(workshop.file("prepared.json")) << profile;
  const Ran ran = run({"bench", "--practice", "--profile", workshop.file("prepared.json"), "--plain"});
  const std::string said = ran.output + ran.errors;
  EXPECT_EQ(ran.status, 1) << said;
  EXPECT_NE(said.find("was only prepared from a saved console session"), std::string::npos) << said;
  EXPECT_NE(said.find("teach --from"), std::string::npos) << said;
}

TEST_F(CommandLine, HelpFitsEightyColumnsForEveryCommandAndShowsAnExample) {
  const Ran all = run({"--help"});
  ASSERT_EQ(all.status, 0);
  std::vector<std::vector<std::string>> commands{{}};
  for (const std::string& name : named_in(all.output)) commands.push_back({name});
  EXPECT_GE(commands.size(), 1U + 7U) << all.output;
  for (const std::string& name : named_in(run({"profile", "--help"}).output))
    commands.push_back({"profile", name});
  for (std::vector<std::string> command : commands) {
    command.emplace_back("--help");
    const Ran ran = run(command);
    EXPECT_EQ(ran.status, 0) << command[0];
    EXPECT_EQ(ran.errors, "");
    const bool group = command.size() == 2 && command[0] == "profile";
    if (!group) {
      EXPECT_NE(ran.output.find("Example"), std::string::npos) << ran.output;
    }
    std::istringstream lines(ran.output);
    std::string line;
    while (std::getline(lines, line)) EXPECT_LE(columns(line), 80U) << line;
  }
}

TEST_F(CommandLine, AMistypedOptionSuggestsTheNearest) {
  const Ran ran = run({"bench", "--dry-rum"});
  EXPECT_EQ(ran.status, 2);
  EXPECT_NE(ran.errors.find("Did you mean --dry-run?"), std::string::npos) << ran.errors;
  EXPECT_NE(ran.errors.find("armwise bench --help"), std::string::npos) << ran.errors;
  EXPECT_EQ(ran.output, "");
}

TEST_F(CommandLine, AMistypedCommandSuggestsTheNearest) {
  const Ran ran = run({"benhc"});
  EXPECT_EQ(ran.status, 2);
  EXPECT_NE(ran.errors.find("Did you mean bench?"), std::string::npos) << ran.errors;
  EXPECT_EQ(ran.output, "");
}

TEST_F(CommandLine, WrongUsageIsTwoWhateverIsWrong) {
  for (const std::vector<std::string>& wrong :
       std::vector<std::vector<std::string>>{{},
                                             {"bench", "--frame"},
                                             {"bench", "--props", "sideways"},
                                             {"bench", "--practice", "--play", "--frame", "quad-y"},
                                             {"bench", "--practice", "--mischief", "no-such-thing"},
                                             {"bench", "--practice", "--profile", "tarm"},
                                             {"bench", "--spin-time", "10"},
                                             {"bench", "--throttle", "nan"},
                                             {"bench", "--throttle", "inf"},
                                             {"reapply", "x", "--throttle", "-nan"},
                                             {"predict", "--yaw", "nan"},
                                             {"bench", "--exact", "--leave-mount"},
                                             {"predict", "--up", "down"},
                                             {"predict", "--socket-edge", "left"},
                                             {"predict", "--usb", "left", "--radio"},
                                             {"profile", "check"}}) {
    const Ran ran = run(wrong);
    EXPECT_EQ(ran.status, 2) << (wrong.empty() ? "nothing" : wrong.back()) << ran.output << ran.errors;
  }
}

TEST_F(CommandLine, AMistypedProfileSuggestsTheNearest) {
  const Ran ran = run({"bench", "--practice", "--play", "--profile", "tarm"});
  EXPECT_NE((ran.output + ran.errors).find("The nearest name is tarn"), std::string::npos)
      << ran.output << ran.errors;
}

TEST_F(CommandLine, InAPipeASessionIsLinesOfTextAndItsFilesLieWhereTheEnvironmentSays) {
  const Ran ran = run({"bench", "--practice", "--play", "--baud", "0", "--frame", "quad-x", "--props", "in",
                       "--seed", "6", "--craft", "Moved House", "--spin-time", "200", "--leave-mount"},
                      {{"TERM", "xterm-256color"},
                       {"COLORTERM", "truecolor"},
                       {"XDG_DATA_HOME", workshop.file("data")},
                       {"XDG_STATE_HOME", workshop.file("state")},
                       {"XDG_CONFIG_HOME", "relative/is/ignored"}});
  EXPECT_EQ(ran.status, 0) << ran.output << ran.errors;
  EXPECT_NE(ran.output.find("Done and proven."), std::string::npos) << ran.output;
  EXPECT_EQ((ran.output + ran.errors).find('\x1b'), std::string::npos) << "an escape code";
  EXPECT_EQ((ran.output + ran.errors).find('\r'), std::string::npos);
  EXPECT_TRUE(
      std::filesystem::exists(workshop.home() / "data/armwise/practice/crafts/Moved-House.armwise.json"));
  const Ran sheet =
      run({"sheet", "Moved House", "-o", workshop.file("sheet.html")},
          {{"XDG_DATA_HOME", workshop.file("data")}, {"XDG_STATE_HOME", workshop.file("state")}});
  EXPECT_EQ(sheet.status, 0) << sheet.output << sheet.errors;
  EXPECT_TRUE(std::filesystem::exists(workshop.home() / "state/armwise/sheets.json"));
  EXPECT_FALSE(std::filesystem::exists(workshop.home() / "state/armwise/configurations"))
      << "what was saved of a practice craft is of no use once it is gone";
  EXPECT_FALSE(std::filesystem::exists(workshop.home() / ".local"));
  EXPECT_FALSE(std::filesystem::exists("relative/is/ignored"));
}

}  // namespace
}  // namespace armwise::test::command_line_test
