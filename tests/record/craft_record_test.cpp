#include "armwise/record/craft_record.hpp"

#include <gtest/gtest.h>

#include <nlohmann/json.hpp>

#include "armwise/base/fault.hpp"

namespace armwise::record {
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
      // An empty object is a wiring of nothing, and a text or object in an optional place is refused too.
      EXPECT_TRUE(item.key() == "wiring") << item.key();
    } catch (const Fault& fault) {
      EXPECT_EQ(fault.kind(), FaultKind::bad_data);
      EXPECT_NE(fault.sentence().find("$." + item.key()), std::string::npos) << fault.sentence();
      ++refused;
    }
  }
  EXPECT_GT(refused, 20);
}

TEST(CraftRecord, ANewerVersionIsRefusedInWords) {
  CraftRecord record = some_record();
  record.version = CraftRecord::current_version + 1;
  try {
    record_from_json(to_json(record));
    FAIL();
  } catch (const Fault& fault) {
    EXPECT_NE(fault.sentence().find("newer armwise"), std::string::npos);
  }
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
}  // namespace armwise::record
