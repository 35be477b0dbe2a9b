// What is kept of a session for whoever looks for what went wrong, and that it can be played again.
#include <gtest/gtest.h>
#include <sys/stat.h>

#include <algorithm>
#include <fstream>
#include <string>
#include <vector>

#include "app/workshop.hpp"
#include "support/capture_entries.hpp"

namespace armwise::test::log_test {
namespace {

using LogLines = std::vector<nlohmann::json>;

const std::vector<std::string> a_bench{"bench",   "--frame", "quad-x",        "--props", "in",
                                       "--craft", "x",       "--leave-mount", "--baud",  "0"};
const std::vector<std::string> a_played_bench{"--practice", "--play", "--seed", "3", "--spin-time", "200"};

std::vector<std::string> joined_with(std::vector<std::string> all, const std::vector<std::string>& more) {
  all.insert(all.end(), more.begin(), more.end());
  return all;
}

const std::vector<std::string> a_dry_run = joined_with(joined_with(a_bench, a_played_bench), {"--dry-run"});

LogLines lines_of(const std::filesystem::path& log) {
  LogLines lines;
  std::ifstream in(log);
  for (std::string line; std::getline(in, line);) lines.push_back(nlohmann::json::parse(line));
  return lines;
}

bool has_event(const LogLines& lines, const std::string& beginning, const std::string& key) {
  return std::any_of(lines.begin(), lines.end(), [&](const nlohmann::json& line) {
    return line.value("event", "").starts_with(beginning) && line.contains(key);
  });
}

class Log : public testing::Test {
 protected:
  std::filesystem::path folder() const { return workshop.home() / ".local/state/armwise/logs"; }
  std::vector<std::filesystem::path> kept() const {
    std::vector<std::filesystem::path> files;
    for (const auto& entry : std::filesystem::directory_iterator(folder())) files.push_back(entry.path());
    std::sort(files.begin(), files.end());
    return files;
  }
  Workshop workshop;
};

TEST_F(Log, ASessionIsKeptInTheStateFolderAndSaysNothingAboutIt) {
  const auto program = workshop.start(joined_with(a_bench, a_played_bench));
  EXPECT_EQ(program->ended(), 0) << program->output() << program->errors();
  EXPECT_EQ(program->errors(), "");
  ASSERT_EQ(kept().size(), 1U);
  struct stat about {};
  ASSERT_EQ(stat(kept().front().c_str(), &about), 0);
  EXPECT_EQ(about.st_mode & 0777U, 0600U);
  const LogLines lines = lines_of(kept().front());
  EXPECT_NE(lines.front().value("about", "").find("bench --frame quad-x"), std::string::npos);
  EXPECT_TRUE(has_event(lines, "asked", "props-off"));
  EXPECT_TRUE(has_event(lines, "answered", "props-off"));
  EXPECT_TRUE(has_event(lines, "said", "text"));
  EXPECT_TRUE(has_event(lines, "waited ", "why"));
  EXPECT_TRUE(has_event(lines, "watched motor 1", "ended by"));
  EXPECT_TRUE(has_event(lines, "profile", "text"));
  EXPECT_TRUE(has_event(lines, "ended", "at"));
}

TEST_F(Log, IsACaptureToo) {
  const std::string log = workshop.file("session.log");
  const auto program =
      workshop.start(joined_with(a_dry_run, {"--log-file", log, "--capture", workshop.file("capture")}));
  EXPECT_EQ(program->ended(), 0) << program->output() << program->errors();
  EXPECT_FALSE(std::filesystem::exists(folder()));
  std::string bytes[2][2];
  for (const auto& [which, file] : {std::pair<int, std::string>{0, log}, {1, workshop.file("capture")}}) {
    for (const CaptureEntry& entry : load_capture(file)) {
      if (entry.kind == CaptureEntry::Kind::sent) bytes[which][0] += entry.bytes;
      if (entry.kind == CaptureEntry::Kind::came) bytes[which][1] += entry.bytes;
    }
  }
  EXPECT_EQ(bytes[0][0], bytes[1][0]);
  EXPECT_EQ(bytes[0][1], bytes[1][1]);
  EXPECT_NE(bytes[0][1].find("tarn> "), std::string::npos);
}

TEST_F(Log, VerboseTellsItOnTheErrorStreamWithTimes) {
  const auto program = workshop.start(joined_with(a_dry_run, {"-v"}));
  EXPECT_EQ(program->ended(), 0) << program->output() << program->errors();
  const std::string all = program->errors();
  EXPECT_NE(all.find(" > who are you"), std::string::npos) << all;
  EXPECT_NE(all.find(" < board "), std::string::npos) << all;
  EXPECT_NE(all.find("for the reply to \"who are you\": "), std::string::npos) << all;
  EXPECT_TRUE(std::isdigit(static_cast<unsigned char>(all.front())) != 0 && all.find(':') == 2) << all;
  EXPECT_EQ(program->output().find("who are you"), std::string::npos);
}

TEST_F(Log, OnlyTheLastTwentyAreKept) {
  std::filesystem::create_directories(folder());
  for (int day = 10; day < 35; ++day)
    std::ofstream(folder() / ("2020-01-" + std::to_string(day) + ".log")) << "{}\n";
  const auto program = workshop.start(a_dry_run);
  EXPECT_EQ(program->ended(), 0) << program->output() << program->errors();
  ASSERT_EQ(kept().size(), 20U);
  EXPECT_EQ(kept().front().filename(), "2020-01-16.log");
  EXPECT_GT(lines_of(kept().back()).size(), 10U);
}

TEST_F(Log, WhatCannotBeWrittenIsSaidWhereItWasNamedAndHindersNothingElsewhere) {
  const auto refused = workshop.start(joined_with(a_dry_run, {"--log-file", workshop.file("no/such/file")}));
  EXPECT_EQ(refused->ended(), 1) << refused->output() << refused->errors();
  EXPECT_NE(refused->errors().find("Name another with --log-file"), std::string::npos) << refused->errors();
  const auto full = workshop.start(joined_with(a_dry_run, {"--log-file", "/dev/full"}));
  EXPECT_EQ(full->ended(), 0) << full->output() << full->errors();
  EXPECT_EQ(full->errors(), "");
}

TEST_F(Log, ASessionIsPlayedAgainFromItsLog) {
  const std::string log = workshop.file("session.log");
  const auto program = workshop.start(joined_with(joined_with(a_bench, a_played_bench), {"--log-file", log}));
  ASSERT_EQ(program->ended(), 0) << program->output() << program->errors();
  const std::filesystem::path root = std::filesystem::path(ARMWISE_FIXTURES).parent_path();
  Program again(joined_with({"/usr/bin/python3", (root / "scripts/replay").string(), log, ARMWISE_PROGRAM},
                            {"bench", "--frame", "quad-x", "--props", "in", "--craft", "x", "--leave-mount",
                             "--spin-time", "200", "--log-file", workshop.file("again.log")}),
                workshop.home());
  EXPECT_EQ(again.ended(), 0) << again.output() << again.errors();
  EXPECT_EQ(again.errors(), "");
  EXPECT_NE(again.output().find("Done and proven"), std::string::npos) << again.output();
}

}  // namespace
}  // namespace armwise::test::log_test
