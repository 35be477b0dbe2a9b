// `armwise reapply` and `armwise compare --controller` as a person runs them after a new firmware: another
// process is the craft, behind a pseudo-terminal as slow as a serial line.
#include <gtest/gtest.h>

#include <algorithm>

#include "app/workshop.hpp"
#include "armwise/record/craft_record.hpp"
#include "armwise/record/shelf.hpp"

namespace armwise::test::reapply_process_test {
namespace {

class ReapplyProcess : public ::testing::Test {
 protected:
  ReapplyProcess() : truth(workshop.make_craft("craft.json", *craft::frame_named("quad-x"), 4242)) {}

  std::vector<std::string> practice(std::vector<std::string> arguments, const std::string& profile) const {
    for (const char* each : {"--practice", "--play", "--leave-mount"}) arguments.emplace_back(each);
    arguments.insert(arguments.end(),
                     {"--profile", profile, "--practice-craft", workshop.file("craft.json")});
    return arguments;
  }
  void first_day(const std::string& name) {
    const auto bench = workshop.start(practice(
        {"bench", "--frame", "quad-x", "--props", "in", "--craft", name, "--spin-time", "200", "--baud", "0"},
        "tarn"));
    ASSERT_EQ(bench->ended(), 0) << bench->output() << bench->errors();
  }
  std::filesystem::path shelf() const {
    return workshop.home() / ".local" / "share" / "armwise" / "practice" / "crafts";
  }

  Workshop workshop;
  Truth truth;
};

// At 115200 baud a byte takes ten bits' time each way; the capture says how many there were.
double seconds_of_line_time(const std::string& capture) {
  std::istringstream lines(contents(capture));
  double bytes = 0;
  for (std::string line; std::getline(lines, line);) {
    const auto entry = nlohmann::json::parse(line);
    for (const char* way : {"sent", "came"}) {
      if (entry.contains(way)) bytes += static_cast<double>(entry[way].get<std::string>().size());
    }
  }
  return bytes * 10 / 115200;
}

TEST_F(ReapplyProcess, AnotherFirmwareIsSetAndProvenInFourSpins) {
  first_day("my quad");
  const std::string capture = workshop.file("capture");
  const auto again =
      workshop.start(practice({"reapply", "my quad", "--capture", capture, "--baud", "115200"}, "brook"));
  ASSERT_EQ(again->ended(), 0) << again->output() << again->errors();
  const record::Shelved found = record::shelved(shelf() / "my-quad.armwise.json");
  ASSERT_TRUE(found.record) << found.damage;
  EXPECT_EQ(found.record->profile_name, "brook");
  EXPECT_TRUE(found.record->proven_whole());
  const auto& spins = found.record->spins;
  EXPECT_EQ(
      std::count_if(spins.begin(), spins.end(), [](const auto& spin) { return spin.strength_per_cent > 0; }),
      4)
      << "one spin an arm; what is asked besides spins nothing";
  for (const auto& [pin, wire] : truth.wiring) {
    const std::string recorded = found.record->wiring.at(pin);
    EXPECT_EQ(recorded.substr(0, recorded.find(' ')), wire.place) << pin;
  }
  EXPECT_GT(seconds_of_line_time(capture), 0);
  EXPECT_LT(seconds_of_line_time(capture) + 4 * 1.0, 60);
  // The older record is kept.
  EXPECT_FALSE(record::files_with(shelf() / "older", ".json").empty());
}

TEST_F(ReapplyProcess, ANameFullOfMarkupAndOneInJapaneseComeThrough) {
  for (const std::string name : {"<b>&\"'", "四発機"}) {
    first_day(name);
    const auto again =
        workshop.start(practice({"reapply", name, "--spin-time", "200", "--baud", "0"}, "tarn"));
    ASSERT_EQ(again->ended(), 0) << again->output() << again->errors();
    EXPECT_NE(again->output().find("The record is of " + name), std::string::npos) << again->output();
    const auto shelf = workshop.start({"crafts"});
    EXPECT_EQ(shelf->ended(), 0);
    EXPECT_NE(shelf->output().find(name), std::string::npos) << shelf->output();
  }
}

TEST_F(ReapplyProcess, CompareSaysWhatTheNewFirmwareForgotAndWritesNothing) {
  first_day("my quad");
  const std::string frame = "quad-x";
  const auto practice_craft =
      workshop.start({"practice", "--profile", "tarn", "--craft", workshop.file("craft.json"), "--directory",
                      workshop.file("devices"), "--baud", "0"});
  while (const auto line = practice_craft->line()) {
    if (*line == "ready") break;
  }
  const std::map<std::string, std::string> devices{{"ARMWISE_DEVICES", workshop.file("devices")}};
  const auto compare = workshop.start({"compare", "my quad", "--controller", "--plain"}, devices);
  EXPECT_EQ(compare->ended(), 0) << compare->errors();
  const record::Shelved found = record::shelved(shelf() / "my-quad.armwise.json");
  ASSERT_TRUE(found.record);
  const bool differs = !(found.record->before.map == found.record->after.map);
  EXPECT_EQ(compare->output().find("Nothing that matters differs") == std::string::npos, differs)
      << compare->output();
}

TEST_F(ReapplyProcess, AWrongProfileIsFoundNotToFitBeforeAnythingIsWritten) {
  first_day("my quad");
  const auto practice_craft =
      workshop.start({"practice", "--profile", "tarn", "--craft", workshop.file("craft.json"), "--directory",
                      workshop.file("devices"), "--baud", "0"});
  while (const auto line = practice_craft->line()) {
    if (*line == "ready") break;
  }
  std::ofstream(workshop.file("answers.json")) << R"({"profile": "tarn", "other-board": "yes"})";
  const auto again = workshop.start(
      {"reapply", "my quad", "--profile", "sedge", "--dry-run", "--answers", workshop.file("answers.json")},
      {{"ARMWISE_DEVICES", workshop.file("devices")}});
  again->ended();
  EXPECT_NE(again->output().find("doesn't fit the profile sedge"), std::string::npos)
      << again->output() << again->errors();
  EXPECT_NE(again->output().find("The record is of my quad"), std::string::npos) << again->output();
}

// A defect found: where no profile fits, it was asked for one after the other for ever.
TEST_F(ReapplyProcess, ARecordOfMoreMotorsThanTheControllerHasEndsInWords) {
  const auto bench = workshop.start({"bench", "--practice", "--play", "--practice-frame", "hex-x", "--frame",
                                     "hex-x", "--props", "in", "--craft", "my hex", "--spin-time", "200",
                                     "--baud", "0", "--leave-mount"});
  ASSERT_EQ(bench->ended(), 0) << bench->output() << bench->errors();
  const auto again = workshop.start(
      {"reapply", "my hex", "--practice", "--practice-frame", "quad-x", "--play", "--baud", "0"});
  EXPECT_EQ(again->ended(), 1) << again->output() << again->errors();
  EXPECT_NE((again->output() + again->errors()).find("No profile at hand fits"), std::string::npos)
      << again->output() << again->errors();
}

TEST_F(ReapplyProcess, AMissingRecordAndADamagedConfigurationAreSaid) {
  const auto missing = workshop.start({"reapply", "no such craft"});
  EXPECT_EQ(missing->ended(), 2);
  EXPECT_NE(missing->errors().find("There is no record no such craft"), std::string::npos);
  first_day("my quad");
  for (const auto& file : record::files_with(shelf(), ".after.txt"))
    std::ofstream(file, std::ios::app) << "x = 1\n";
  const auto damaged = workshop.start(practice({"reapply", "my quad", "--whole"}, "tarn"));
  EXPECT_EQ(damaged->ended(), 1);
  EXPECT_NE(damaged->errors().find("is not what was saved"), std::string::npos) << damaged->errors();
}

}  // namespace
}  // namespace armwise::test::reapply_process_test
