// sheet, crafts, compare and completion, as a person runs them.
#include <gtest/gtest.h>
#include <sys/wait.h>

#include <array>
#include <cstdio>
#include <filesystem>
#include <fstream>
#include <nlohmann/json.hpp>
#include <sstream>
#include <string>

#include "record/temporary_folder.hpp"

namespace armwise::shelf_commands_test {
namespace {

namespace fs = std::filesystem;

struct Ran {
  int status = -1;
  std::string output;  // both streams
};

std::string contents(const fs::path& file) {
  std::ifstream in(file, std::ios::binary);
  std::ostringstream out;
  out << in.rdbuf();
  return out.str();
}

class ShelfCommands : public ::testing::Test {
 protected:
  ShelfCommands() {
    fs::create_directories(shelf());
    for (const auto& entry : fs::directory_iterator(std::string(ARMWISE_FIXTURES) + "/records")) {
      if (entry.path().string().ends_with(".armwise.json")) fs::copy(entry.path(), shelf());
    }
  }

  fs::path shelf() const { return folder_.path() / ".local" / "share" / "armwise" / "crafts"; }
  std::string file(const std::string& name) const { return (folder_.path() / name).string(); }

  // `arguments` as a shell reads them.
  Ran run(const std::string& arguments) const {
    const std::string command = "cd '" + folder_.path().string() +
                                "' && env -u XDG_DATA_HOME -u XDG_STATE_HOME -u " + "XDG_CONFIG_HOME HOME='" +
                                folder_.path().string() + "' " ARMWISE_PROGRAM " " + arguments + " 2>&1";
    Ran ran;
    FILE* pipe = ::popen(command.c_str(), "r");
    if (pipe == nullptr) return ran;
    std::array<char, 4096> part{};
    while (const std::size_t length = std::fread(part.data(), 1, part.size(), pipe))
      ran.output.append(part.data(), length);
    ran.status = WEXITSTATUS(::pclose(pipe));
    return ran;
  }

  TemporaryFolder folder_;
};

TEST_F(ShelfCommands, ASheetIsMadeOfACraftByItsName) {
  const Ran ran = run("sheet 'Kitchen table quad-x' -o page.html");
  EXPECT_EQ(ran.status, 0) << ran.output;
  EXPECT_NE(contents(file("page.html")).find("<h1>Kitchen table quad-x</h1>"), std::string::npos);
  EXPECT_NE(ran.output.find("page.html"), std::string::npos);
}

TEST_F(ShelfCommands, ASheetLiesBesideItsRecordOtherwise) {
  EXPECT_EQ(run("sheet 'Kitchen table quad-x'").status, 0);
  EXPECT_TRUE(fs::exists(shelf() / "kitchen-table-quad-x.html"));
  EXPECT_EQ(run("sheet --svg 'Kitchen table quad-x'").status, 0);
  EXPECT_TRUE(contents(shelf() / "kitchen-table-quad-x.svg").starts_with("<svg"));
}

TEST_F(ShelfCommands, HostileNamesSurvive) {
  const Ran ran = run("sheet \"<b>&\\\"' 試験機\" -o page.html");
  EXPECT_EQ(ran.status, 0) << ran.output;
  EXPECT_NE(ran.output.find("not proven"), std::string::npos);
  EXPECT_NE(contents(file("page.html")).find("<h1>&lt;b&gt;&amp;&quot;&#39; 試験機</h1>"), std::string::npos);
  EXPECT_NE(run("crafts").output.find("<b>&\"' 試験機"), std::string::npos);
}

TEST_F(ShelfCommands, AMissingRecordIsAFaultInWords) {
  const Ran ran = run("sheet 'Kitchen table quad-y'");
  EXPECT_EQ(ran.status, 2);
  EXPECT_NE(ran.output.find("the nearest craft is Kitchen table quad-x"), std::string::npos) << ran.output;
}

// As the shelf lists it, as its file is called, in whatever letters; the very name goes before what is alike.
TEST_F(ShelfCommands, ACraftIsFoundByItsFilesNameAndInAnyLetters) {
  for (const char* name :
       {"kitchen-table-quad-x", "Kitchen-Table-quad-x.armwise.json", "'kitchen TABLE quad-x'"}) {
    const Ran ran = run(std::string("sheet ") + name + " -o -");
    EXPECT_EQ(ran.status, 0) << ran.output;
    EXPECT_NE(ran.output.find("<h1>Kitchen table quad-x</h1>"), std::string::npos) << name;
  }
  std::string other = contents(shelf() / "kitchen-table-quad-x.armwise.json");
  fs::create_directories(shelf());
  std::ofstream(shelf() / "another.armwise.json", std::ios::binary) << other;
  EXPECT_EQ(run("sheet 'Kitchen table quad-x' -o -").status, 0);
  const Ran two = run("sheet 'KITCHEN table quad-x' -o -");
  EXPECT_EQ(two.status, 2);
  EXPECT_NE(two.output.find("More than one craft"), std::string::npos) << two.output;
}

TEST_F(ShelfCommands, WhereAFileStopsBeingJsonIsSaidInOurWords) {
  std::ofstream(file("half.json")) << "{\n  \"armwise_record\": nope\n}\n";
  const Ran ran = run("sheet half.json -o -");
  EXPECT_EQ(ran.status, 1);
  EXPECT_NE(ran.output.find("not JSON from line 2, column"), std::string::npos) << ran.output;
  EXPECT_EQ(ran.output.find("exception"), std::string::npos) << ran.output;
  EXPECT_EQ(ran.output.find("syntax error"), std::string::npos) << ran.output;
}

TEST_F(ShelfCommands, AChangedRecordMakesNoSheet) {
  std::string text = contents(shelf() / "kitchen-table-quad-x.armwise.json");
  text.replace(text.find("R. Vale"), 7, "R. Hill");
  std::ofstream(file("changed.json"), std::ios::binary) << text;
  const Ran ran = run("sheet changed.json -o page.html");
  EXPECT_EQ(ran.status, 1);
  EXPECT_NE(ran.output.find("changed after it was written"), std::string::npos) << ran.output;
  EXPECT_FALSE(fs::exists(file("page.html")));
}

TEST_F(ShelfCommands, TheShelfTellsWhetherASheetIsOutOfDate) {
  const auto sheet_of = [&](const std::string& craft) {
    for (const auto& item : nlohmann::json::parse(run("crafts --json").output)) {
      if (item.value("craft", "") == craft) return item.at("sheet").get<std::string>();
    }
    return std::string("not on the shelf");
  };
  EXPECT_EQ(sheet_of("Kitchen table quad-x"), "none");
  run("sheet 'Kitchen table quad-x' -o page.html");
  EXPECT_EQ(sheet_of("Kitchen table quad-x"), "up to date");
  std::ofstream(file("page.html")) << "another page";
  EXPECT_EQ(sheet_of("Kitchen table quad-x"), "out of date");
  fs::remove(file("page.html"));
  EXPECT_EQ(sheet_of("Kitchen table quad-x"), "moved or deleted");
}

TEST_F(ShelfCommands, CraftsAreListedInWords) {
  std::ofstream(shelf() / "torn.armwise.json") << "{";
  const Ran ran = run("crafts");
  EXPECT_EQ(ran.status, 0);
  for (const char* part : {"CRAFT", "Kitchen table quad-x  quad-x, props in  ",
                           "  turned 90 to the right, upside down\n", "torn.armwise.json  damaged: "})
    EXPECT_NE(ran.output.find(part), std::string::npos) << part << "\nin\n" << ran.output;
}

TEST_F(ShelfCommands, TwoRecordsAreCompared) {
  const Ran same = run("compare 'Kitchen table quad-x' 'Kitchen table quad-x'");
  EXPECT_EQ(same.status, 0);
  EXPECT_NE(same.output.find("Nothing that matters differs."), std::string::npos) << same.output;
  const Ran other = run("compare 'kitchen-table quad' 'Kitchen table quad-x'");
  EXPECT_NE(other.output.find("numbering: motor 1 is front-right; it was front-left."), std::string::npos)
      << other.output;
}

TEST_F(ShelfCommands, BashCompletesCommandsOptionsAndChoices) {
  ASSERT_EQ(run("completion bash > completion.bash").status, 0);
  const auto completed = [&](const std::string& words, int at) {
    const std::string command = "bash -c 'source completion.bash; compopt() { :; }; COMP_WORDS=(" + words +
                                "); COMP_CWORD=" + std::to_string(at) +
                                "; _armwise; echo \"${COMPREPLY[*]}\"'";
    std::string out;
    FILE* pipe = ::popen(("cd '" + folder_.path().string() + "' && " + command).c_str(), "r");
    std::array<char, 4096> part{};
    while (const std::size_t length = std::fread(part.data(), 1, part.size(), pipe))
      out.append(part.data(), length);
    ::pclose(pipe);
    return out;
  };
  EXPECT_EQ(completed("armwise sh", 1), "sheet\n");
  EXPECT_EQ(completed("armwise sheet --sv", 2), "--svg\n");
  EXPECT_EQ(completed("armwise profile ch", 2), "check\n");
  EXPECT_EQ(completed("armwise sheet --color a", 3), "auto always\n");
  EXPECT_EQ(completed("armwise sheet completion.b", 2), "completion.bash\n");
  // The hidden command is offered nowhere.
  EXPECT_EQ(completed("armwise compl", 1), "\n");
  EXPECT_EQ(run("completion tcsh").status, 2);
}

}  // namespace
}  // namespace armwise::shelf_commands_test
