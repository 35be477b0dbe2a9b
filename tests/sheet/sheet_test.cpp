#include "armwise/sheet/sheet.hpp"

#include <gtest/gtest.h>

#include "armwise/record/files.hpp"
#include "sheet/sample_records.hpp"

namespace armwise::sheet::sheet_test {
namespace {

const RecordFile quad_file{"quad.armwise.json", std::string(64, 'c')};

bool holds(const std::string& page, const std::string& part) {
  return page.find(part) != std::string::npos;
}

int count(const std::string& page, const std::string& part) {
  int found = 0;
  for (std::size_t at = page.find(part); at != std::string::npos; at = page.find(part, at + 1)) ++found;
  return found;
}

// Self-contained: nothing is loaded and nothing runs (the attributes and functions that could, HTML Standard
// and CSS).
TEST(Sheet, LoadsAndRunsNothing) {
  for (const craft::Frame& frame : craft::frames()) {
    const std::string page = sheet(sample(frame.name, 3), quad_file);
    for (const char* loader : {"http", "src=", "href", "url(", "@import", "<script", "<link", "<iframe",
                               "<object", " onload", "javascript:"})
      EXPECT_FALSE(holds(page, loader)) << frame.name << ": " << loader;
  }
}

TEST(Sheet, IsTheSameForTheSameRecord) {
  EXPECT_EQ(sheet(sample("hex-x"), quad_file), sheet(sample("hex-x"), quad_file));
}

// Every text of a record, made hostile: none of it comes out as markup.
TEST(Sheet, AnyTextIsSafe) {
  const std::string bad = "<x y=\"1\">&'試験機";
  record::CraftRecord record = sample("quad-x", 1);
  record.craft_name = record.id = record.operator_name = record.place = record.port = record.profile_name =
      bad;
  record.tool_version = record.mount_in_words = record.mount_found = record.flight_sense = bad;
  record.identity = {bad, bad, bad, bad, bad};
  record.by_hand = record.warnings = {bad};
  record.made_at = bad;
  record.numbering[0] = bad;
  for (craft::Pin& pin : record.before.map.pins) pin.name += bad;
  for (craft::Pin& pin : record.after.map.pins) pin.name += bad;
  for (record::SpinEntry& spin : record.spins) {
    spin.pin += bad;
    spin.seen += bad;
  }
  record.wiring = {{"P1" + bad, "front-left cw"}};
  const std::string page = sheet(record, {bad, bad});
  EXPECT_FALSE(holds(page, "<x"));
  EXPECT_FALSE(holds(page, "y=\"1\""));
  EXPECT_TRUE(holds(page, "&lt;x y=&quot;1&quot;&gt;&amp;&#39;試験機"));
}

TEST(Sheet, SaysWhatATrustedPageSays) {
  const std::string page = sheet(sample("quad-x", 1), quad_file);
  for (const char* part : {"Kitchen table quad-x",
                           "Record kitchen-table-2026-11-25",
                           "page 1 of 1",
                           "R. Vale",
                           "the bench under the window",
                           "2026-11-25 07:20:00 UTC+01:00",
                           "slate, brook, 2.1",
                           "A7-0042",
                           "/dev/ttyACM0",
                           "armwise 0.1.0",
                           "at 6 % for 1 s",
                           "Relates only to the craft named above.",
                           "sha256sum quad.armwise.json",
                           "Read back",
                           "match",
                           "4 of 4 done",
                           "yaw 90°, pitch 0°, roll 180°",
                           "yaw 0°, pitch 0°, roll 0°",
                           "props out",
                           "turned 90 to the right, upside down",
                           "three poses",
                           "read from the controller",
                           "said by the person",
                           "computed",
                           "(undone)"})
    EXPECT_TRUE(holds(page, part)) << part;
  EXPECT_TRUE(holds(page, quad_file.checksum));
}

TEST(Sheet, SaysThatTheProofWasNotDone) {
  record::CraftRecord record = sample("quad-x");
  std::erase_if(record.spins, [](const record::SpinEntry& spin) { return spin.phase == "proof"; });
  record.proof_spins = 0;
  const std::string page = sheet(record, quad_file);
  EXPECT_TRUE(holds(page, "not proven"));
  EXPECT_EQ(count(page, "<strong>not done</strong>"), 4);
  EXPECT_TRUE(holds(page, "do not fly it on the strength of this page"));
  EXPECT_FALSE(holds(sheet(sample("quad-x"), quad_file), "not proven"));
}

TEST(Sheet, AReadBackThatDiffersIsNotPassedOver) {
  record::CraftRecord record = sample("quad-x");
  record.read_back_matches = false;
  const std::string page = sheet(record, quad_file);
  EXPECT_TRUE(holds(page, "not confirmed"));
  EXPECT_TRUE(holds(page, "not proven"));
}

TEST(Sheet, UndoneAnswersStayAndAreStruckThrough) {
  const std::string page = sheet(sample("quad-x", 1), quad_file);
  EXPECT_EQ(count(page, "<del>"), 4);
  EXPECT_TRUE(holds(page, "<del>front-right ccw</del> (undone)"));
  EXPECT_TRUE(holds(page, "Answers were undone"));
}

TEST(Sheet, SaysHowSureEachMotorIs) {
  record::CraftRecord record = sample("quad-x");
  EXPECT_EQ(sheet(record, quad_file).find("Chance that it is wrong"), std::string::npos) << "an older record";
  const std::string pin = record.spins.front().pin;
  record.doubt = {{pin, 1 / 41234.0}};
  record.spins.push_back({"proof", 1, pin, 1, "nose", false, 0, "edge"});
  const std::string page = sheet(record, quad_file);
  EXPECT_NE(page.find("Chance that it is wrong"), std::string::npos);
  EXPECT_NE(page.find("under 1 in 40,000 (asked in other words too)"), std::string::npos);
  EXPECT_EQ(page.find("nose</td>"), std::string::npos) << "among what was seen";
}

TEST(Sheet, OnlyTheChangedSettingsAreListed) {
  record::CraftRecord record = sample("quad-x");
  record.before = record.after;
  record.before.map.pins = {{"P2"}, {"P1"}, {"P3"}, {"P4"}};
  const std::string page = sheet(record, quad_file);
  EXPECT_TRUE(holds(page, "<th scope=\"row\">motor 1</th><td>pin P2</td><td class=\"new\">pin P1</td>"));
  EXPECT_FALSE(holds(page, "<th scope=\"row\">motor 3</th>"));
  EXPECT_FALSE(holds(page, "prop direction"));
  record.before = record.after;
  EXPECT_TRUE(holds(sheet(record, quad_file), "None: the controller was already set"));
}

TEST(Sheet, WhatIsCutShortSaysSo) {
  const std::string page = sheet(fullest("x8"), quad_file);
  EXPECT_TRUE(holds(page, "more, see the record"));
  EXPECT_TRUE(holds(page, "…"));
}

// A record of version 1 does not say where the numbering comes from, and the page does not make it up.
TEST(Sheet, AnOlderRecordMakesAPageToo) {
  const record::CraftRecord record = record::record_from_json(
      record::read_whole(std::string(ARMWISE_FIXTURES) + "/records/version-1.armwise.json"));
  const std::string page = sheet(record, quad_file);
  EXPECT_TRUE(holds(page, "rear-left</dd>"));
  EXPECT_TRUE(holds(page, "no seal"));
  EXPECT_TRUE(holds(page, "<strong>not done</strong>"));  // its proof spins are counted, but not listed
}

}  // namespace
}  // namespace armwise::sheet::sheet_test
