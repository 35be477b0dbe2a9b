// Options that would be passed over are refused, at once and in our own words; what they name is looked for
// before anything is waited for.
#include <gtest/gtest.h>
#include <sys/stat.h>

#include "app/workshop.hpp"

namespace armwise::test::options_test {
namespace {

class Options : public ::testing::Test {
 protected:
  Ran run(const std::vector<std::string>& arguments,
          const std::map<std::string, std::string>& more = {}) const {
    return workshop.run(arguments, more);
  }
  // Refused with status 2 and these words, and nothing was begun.
  void expect_refused(const std::vector<std::string>& arguments, const std::string& words) const {
    // Where no controller is plugged in, whoever waits for one says so.
    std::filesystem::create_directories(workshop.home() / "no-devices");
    const Ran ran = run(arguments, {{"ARMWISE_DEVICES", workshop.file("no-devices")}});
    std::string line;
    for (const std::string& word : arguments) line += word + " ";
    EXPECT_EQ(ran.status, 2) << line << ran.all();
    EXPECT_NE(ran.all().find(words), std::string::npos) << line << ran.all();
    EXPECT_EQ(ran.all().find("No controller is plugged in"), std::string::npos) << line << ran.all();
    for (const char* foreign : {"required", "excludes", "requires", "not in", "ould not convert",
                                "subcommand", "argument", "Value "})
      EXPECT_EQ(ran.errors.find(foreign), std::string::npos) << line << ran.errors;
  }
  Workshop workshop;
};

TEST_F(Options, ForThePracticeCraftAreRefusedWithoutIt) {
  for (const std::vector<std::string>& option :
       std::vector<std::vector<std::string>>{{"--seed", "4"},
                                             {"--play"},
                                             {"--mischief", "3"},
                                             {"--practice-frame", "hex-x"},
                                             {"--baud", "0"},
                                             {"--practice-console", "tarn"}}) {
    std::vector<std::string> arguments{"bench", "--frame", "quad-x"};
    arguments.insert(arguments.end(), option.begin(), option.end());
    expect_refused(arguments, option[0] + " goes only with --practice");
  }
  expect_refused({"teach", "--profile", "tarn"}, "--profile goes only with --practice");
}

TEST_F(Options, ThatContradictEachOtherAreRefused) {
  std::ofstream(workshop.file("answers.json")) << "{}";
  const std::string answers = workshop.file("answers.json");
  expect_refused({"bench", "--machine", "--plain"}, "do not go together");
  expect_refused({"bench", "--exact", "--leave-mount"}, "do not go together");
  expect_refused({"bench", "--machine", "--color", "always"}, "do not go together");
  expect_refused({"bench", "--practice", "--play", "--answers", answers}, "do not go together");
  expect_refused({"compare", "one", "other", "--controller"}, "do not go together");
  for (const char* option : {"--machine", "--plain", "--yes"})
    expect_refused({"compare", "one", "other", option}, std::string(option) + " goes only with --controller");
  expect_refused({"compare", "one", "--port", "ttyACM0"}, "--port goes only with --controller");
  expect_refused({"backup", "--force"}, "--force goes only with --output");
}

TEST_F(Options, AreToldWhatTheyTake) {
  expect_refused({"bench", "--frame", "quadx"}, "--frame cannot be \"quadx\"");
  expect_refused({"bench", "--frame", "quadx"}, "Did you mean quad-x?");
  expect_refused({"teach", "--frame", "quadx"}, "Did you mean quad-x?");
  expect_refused({"predict", "--frame", "quadx"}, "Did you mean quad-x?");
  expect_refused({"bench", "--practice", "--practice-frame", "quadx"}, "Did you mean quad-x?");
  expect_refused({"predict", "--yaw", "500"}, "--yaw cannot be \"500\": it takes a number from -360 to 360");
  expect_refused({"predict", "--yaw", "abc"}, "--yaw cannot be \"abc\"");
  expect_refused({"bench", "--props", "sideways"}, "--props cannot be \"sideways\": it takes in, out");
  expect_refused({"bench", "--spin-time", "10"}, "it takes a whole number from 200 to 3000");
  expect_refused({"bench", "--practice", "--seed", "x"}, "--seed cannot be \"x\"");
  expect_refused({"bench", "--frame"}, "--frame needs a value behind it");
  expect_refused({"bench", "--dry-rum"}, "bench does not take this: --dry-rum");
  expect_refused({"benhc"}, "has no command \"benhc\"");
  expect_refused({"sheet"}, "RECORD is missing: a record's file, or a craft's name on the shelf");
  expect_refused({"profile"}, "Say what to do, one of: check, show, try, list");
  expect_refused({}, "Say what to do, one of: ports, bench");
}

TEST_F(Options, NameFilesThatAreThere) {
  std::ofstream(workshop.file("bad.json")) << "{ nope";
  std::ofstream(workshop.file("list.json")) << "[]";
  expect_refused({"bench", "--answers", "nowhere.json"}, "there is no such file");
  expect_refused({"bench", "--answers", workshop.file("bad.json")}, "That is no JSON");
  expect_refused({"bench", "--answers", workshop.file("list.json")}, "is not a JSON object");
  expect_refused({"teach", "--from", "nowhere.json"}, "there is no such file");
  expect_refused({"teach", "--from-log", "nowhere.log"}, "there is no such file");
  expect_refused({"bench", "--practice", "--practice-craft", "nowhere.json"}, "there is no such file");
  expect_refused({"profile", "check", "nowhere.json"}, "There is no profile nowhere.json");
  expect_refused({"bench", "--profile", "nowhere.json"}, "There is no profile nowhere.json");
  for (const char* command : {"sheet", "reapply", "compare"})
    expect_refused({command, "nobody's quad"}, "There is no record nobody's quad");
  const Ran capture = run({"bench", "--capture", "/nowhere/at/all", "--wait", "0"});
  EXPECT_NE(capture.all().find("/nowhere/at/all"), std::string::npos) << capture.all();
}

TEST_F(Options, HelpIsNamedByTheWholeCommand) {
  expect_refused({"profile", "check"}, "See armwise profile check --help.");
  const Ran help = run({"profile", "--help"});
  EXPECT_NE(help.output.find("armwise profile check my-console.json"), std::string::npos) << help.output;
  EXPECT_EQ(help.output.find("armwise bench"), std::string::npos) << help.output;
  const Ran check = run({"profile", "check", "sedge"});
  EXPECT_EQ(check.status, 0) << check.errors;
  EXPECT_NE(check.output.find("The profile \"sedge\" is sound."), std::string::npos) << check.output;
}

TEST_F(Options, ColourGoesIntoAPipeWhereItIsAskedFor) {
  const std::map<std::string, std::string> terminal{{"TERM", "xterm-256color"}};
  for (const std::vector<std::string>& arguments :
       std::vector<std::vector<std::string>>{{"--color", "always", "predict", "--yaw", "90"},
                                             {"predict", "--yaw", "90", "--color", "always"}}) {
    EXPECT_NE(run(arguments, terminal).output.find("\x1b["), std::string::npos) << arguments[0];
  }
  for (const char* otherwise : {"auto", "never"}) {
    const Ran ran = run({"predict", "--yaw", "90", "--color", otherwise}, terminal);
    EXPECT_EQ(ran.output.find('\x1b'), std::string::npos) << otherwise;
  }
  const std::vector<std::string> bench{"bench",   "--practice",    "--play",    "--baud",      "0",
                                       "--frame", "quad-x",        "--props",   "in",          "--seed",
                                       "7",       "--leave-mount", "--dry-run", "--spin-time", "200",
                                       "--color", "always"};
  const Ran lines = run(bench, terminal);
  EXPECT_EQ(lines.status, 0) << lines.all();
  EXPECT_NE(lines.output.find("\x1b["), std::string::npos) << lines.output;
}

// A practice craft behind a pseudo-terminal, for what only reads.
class WithACraft : public Options {
 protected:
  void plug_in(const std::string& profile) {
    workshop.make_craft("craft.json", *craft::frame_named("quad-x"), 4242);
    craft_ = workshop.start({"practice", "--profile", profile, "--craft", workshop.file("craft.json"),
                             "--directory", workshop.file("devices"), "--baud", "0"});
    while (const auto line = craft_->line()) {
      if (*line == "ready") break;
    }
  }
  Ran with_it(const std::vector<std::string>& arguments) const {
    return run(arguments, {{"ARMWISE_DEVICES", workshop.file("devices")}});
  }
  std::unique_ptr<Program> craft_;
};

TEST_F(WithACraft, ABackupWritesNothingOverUnasked) {
  const std::string file = workshop.file("before.txt");
  std::ofstream(file) << "precious";
  expect_refused({"backup", "--profile", "tarn", "-o", file}, "--force");
  EXPECT_EQ(contents(file), "precious");
  plug_in("tarn");
  EXPECT_EQ(with_it({"backup", "--profile", "tarn", "-o", file, "--force"}).status, 0);
  EXPECT_NE(contents(file), "precious");
}

TEST_F(WithACraft, ABackupHoldsTheBytesAsTheyCameAndIsNobodyElses) {
  for (const char* profile : {"tarn", "sedge", "brook", "fell", "moor"}) {
    plug_in(profile);
    const std::string file = workshop.file(std::string(profile) + ".txt");
    const std::string capture = workshop.file(std::string(profile) + ".capture");
    const Ran ran = with_it({"backup", "--profile", profile, "-o", file, "--capture", capture});
    ASSERT_EQ(ran.status, 0) << ran.all();
    std::string came;
    std::istringstream lines(contents(capture));
    for (std::string line; std::getline(lines, line);) {
      const auto entry = nlohmann::json::parse(line);
      if (entry.contains("came")) came += entry["came"].get<std::string>();
    }
    EXPECT_GT(contents(file).size(), 1000U) << profile;
    EXPECT_NE(came.find(contents(file)), std::string::npos) << profile;
    struct stat status {};
    ASSERT_EQ(::stat(file.c_str(), &status), 0);
    EXPECT_EQ(status.st_mode & 0777U, 0600U);
    craft_.reset();
    std::filesystem::remove_all(workshop.file("devices"));
  }
}

TEST_F(WithACraft, AConsoleThatWasChosenWronglyIsAskedForAgain) {
  std::ofstream(workshop.file("answers.json")) << R"({"frame": "quad-x", "profile": ["brook", "tarn"]})";
  const Ran ran = run({"bench", "--practice", "--practice-console", "tarn", "--baud", "0", "--answers",
                       workshop.file("answers.json")});
  EXPECT_EQ(ran.status, 2) << ran.all();
  EXPECT_NE(ran.output.find("doesn't speak brook"), std::string::npos) << ran.all();
  EXPECT_NE(ran.all().find("No answer is given to the question \"props-off\""), std::string::npos)
      << ran.all();
}

}  // namespace
}  // namespace armwise::test::options_test
