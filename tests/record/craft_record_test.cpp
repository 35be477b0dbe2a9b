#include "armwise/record/craft_record.hpp"

#include <gtest/gtest.h>

#include <cstdio>
#include <nlohmann/json.hpp>

#include "armwise/base/fault.hpp"
#include "armwise/record/files.hpp"
#include "record/temporary_folder.hpp"

namespace armwise::record::craft_record_test {
namespace {

CraftRecord some_record() {
  CraftRecord record;
  record.id = "workbench-quad-2026-11-25";
  record.made_at = "2026-11-25T07:10:00+01:00";
  record.tool_version = "0.1.0";
  record.craft_name = "<b>&\"' 試験機";
  record.identity = {"slate", "fw", "2.1", "A7", "USB 1209:0001"};
  record.port = "/dev/ttyACM0";
  record.profile_name = "some dialect";
  record.frame = "quad-x";
  record.scheme = craft::PropScheme::out;
  record.numbering = {"front-left", "front-right", "rear-right", "rear-left"};
  record.wiring = {{"P1", "front-left cw"}, {"P2", "front-right ccw"}};
  record.before.map.pins = {{"P1"}, {"P2"}, {"P3"}, {"P4"}};
  record.after.map.pins = {{"P2"}, {"P1"}, {"P3"}, {"P4"}};
  record.strength_per_cent = 6;
  record.spin_milliseconds = 1000;
  record.spins = {{"check", 1, "P1", 2, "front-left cw", true}};
  record.changes = {{"motor 1: pin P2 instead of P1", {"put 1 P2"}}};
  record.kept = record.read_back_matches = true;
  record.proof_spins = 4;
  return record;
}

TEST(CraftRecord, SurvivesTheRoundTrip) {
  const CraftRecord record = some_record();
  const CraftRecord back = record_from_json(to_json(record));
  EXPECT_EQ(to_json(back), to_json(record));
  EXPECT_EQ(back.craft_name, record.craft_name);
  ASSERT_EQ(back.spins.size(), 1U);
  EXPECT_TRUE(back.spins[0].undone);
  EXPECT_EQ(back.after.map, record.after.map);
}

TEST(CraftRecord, KeepsHowSureItIsAndWhatWasAskedInOtherWords) {
  CraftRecord record = some_record();
  EXPECT_EQ(to_json(record).find("doubt"), std::string::npos) << "none was noted";
  EXPECT_TRUE(record_from_json(to_json(record)).doubt.empty());
  record.doubt = {{"P1", 2.5e-7}, {"P2", 0}};
  record.spins.push_back({"proof", 1, "P1", 1, "nose", false, 0, "edge"});
  const CraftRecord back = record_from_json(to_json(record));
  EXPECT_EQ(back.doubt, record.doubt);
  EXPECT_EQ(back.spins.at(1).question, "edge");
  EXPECT_EQ(back.spins.at(0).question, "");
  nlohmann::json bad = nlohmann::json::parse(to_json(record));
  bad["doubt"]["P1"] = 1.5;
  EXPECT_THROW(record_from_json(bad.dump()), Fault);
}

// Every value replaced in turn by one of another type, and every key taken away: each refused with its path,
// none crashing.
TEST(CraftRecord, WrongTypesAreRefusedWithTheirPath) {
  const nlohmann::json good = nlohmann::json::parse(to_json(some_record()));
  int refused = 0;
  for (const auto& item : good.items()) {
    nlohmann::json bad = good;
    bad[item.key()] = item.value().is_object() ? nlohmann::json("text") : nlohmann::json::object({{"x", 1}});
    try {
      record_from_json(bad.dump());
      FAIL() << item.key();
    } catch (const Fault& fault) {
      EXPECT_EQ(fault.kind(), FaultKind::bad_data);
      EXPECT_EQ(fault.sentence().find(item.key()), 0U) << item.key() << ": " << fault.sentence();
      ++refused;
    }
  }
  EXPECT_GT(refused, 20);
}

nlohmann::json sample(const std::string& name) {
  return nlohmann::json::parse(read_whole(std::string(ARMWISE_FIXTURES) + "/records/" + name));
}

TEST(CraftRecord, ANewerVersionIsRefusedInWords) {
  nlohmann::json newer = nlohmann::json::parse(to_json(some_record()));
  newer["armwise_record"] = CraftRecord::current_version + 1;
  newer["something_new"] = true;
  try {
    record_from_json(newer.dump());
    FAIL();
  } catch (const Fault& fault) {
    EXPECT_EQ(
        fault.sentence(),
        "This record was written by a newer armwise (record version 3). This one reads versions up to 2. "
        "Use the newer armwise, or make a new record with bench.");
  }
}

TEST(CraftRecord, AnOlderVersionIsRead) {
  const std::string text = sample("version-1.armwise.json").dump();
  const CraftRecord record = record_from_json(text);
  EXPECT_EQ(record.version, 1);
  EXPECT_EQ(record.craft_name, "kitchen-table quad");
  EXPECT_EQ(record.spins.size(), 4U);
  EXPECT_EQ(record.sources.at("frame"), Source::person);
  EXPECT_TRUE(record.proven_whole());
  // Written again, it is a sealed record of today.
  const CraftRecord again = record_from_json(to_json(record));
  EXPECT_EQ(again.version, CraftRecord::current_version);
  EXPECT_EQ(again.after.map, record.after.map);
}

// Every single character of the file, changed into another one: none of it goes unnoticed.
TEST(CraftRecord, AnyChangeBreaksTheSeal) {
  const std::string text = to_json(some_record());
  for (std::size_t i = 0; i < text.size(); ++i) {
    std::string changed = text;
    changed[i] = changed[i] == '1' ? '2' : '1';
    EXPECT_THROW(record_from_json(changed), Fault) << "at " << i;
  }
}

TEST(CraftRecord, AChangeThatReadsWellIsSaidToBeOne) {
  std::string text = to_json(some_record());
  const std::size_t at = text.find("\"proof_spins\": 4");
  ASSERT_NE(at, std::string::npos);
  text[at + 15] = '3';
  try {
    record_from_json(text);
    FAIL();
  } catch (const Fault& fault) {
    EXPECT_NE(fault.sentence().find("changed after it was written"), std::string::npos) << fault.sentence();
  }
}

// The check that craft_record.hpp describes, with the tools that it names.
TEST(CraftRecord, TheSealIsCheckedBySedAndSha256sum) {
  const TemporaryFolder folder;
  const std::string file = (folder.path() / "r.json").string();
  const std::string text = to_json(some_record());
  write_whole(file, text);
  const std::string command = "sed 's/^  \"sha256\": \"[0-9a-f]*\"/  \"sha256\": \"" + std::string(64, '0') +
                              "\"/' '" + file + "' | sha256sum";
  FILE* pipe = ::popen(command.c_str(), "r");
  ASSERT_NE(pipe, nullptr);
  std::string printed(64, ' ');
  EXPECT_EQ(std::fread(printed.data(), 1, 64, pipe), 64U);
  ::pclose(pipe);
  EXPECT_EQ(nlohmann::json::parse(text)["sha256"], printed);
}

TEST(CraftRecord, ProvenWholeMeansEveryPlaceKeptAndReadBack) {
  CraftRecord record = some_record();
  EXPECT_TRUE(record.proven_whole());
  record.proof_spins = 3;
  EXPECT_FALSE(record.proven_whole());
  record.proof_spins = 4;
  record.kept = false;
  EXPECT_FALSE(record.proven_whole());
  record.changes.clear();  // nothing had to be changed, so nothing had to be kept
  EXPECT_TRUE(record.proven_whole());
  record.read_back_matches = false;
  EXPECT_FALSE(record.proven_whole());
}

TEST(CraftRecord, HostileTextIsRefused) {
  for (const char* text : {"\x1b[2J", "a\nb", "\xff\xfe"}) {
    nlohmann::json bad = nlohmann::json::parse(to_json(some_record()));
    std::string dumped = bad.dump();
    bad["craft"] = text;
    EXPECT_THROW(record_from_json(bad.dump(-1, ' ', false, nlohmann::json::error_handler_t::ignore) == dumped
                                      ? std::string("{")
                                      : bad.dump(-1, ' ', true, nlohmann::json::error_handler_t::ignore)),
                 Fault)
        << text;
  }
  EXPECT_THROW(record_from_json(std::string(100000, '[')), Fault);
  EXPECT_THROW(record_from_json(""), Fault);
  EXPECT_THROW(record_from_json("[]"), Fault);
}

}  // namespace
}  // namespace armwise::record::craft_record_test
