// The record against its JSON Schema, judged by a standard validator (valijson), not by our own reader.
#include <gtest/gtest.h>

#include <nlohmann/json.hpp>
#include <valijson/adapters/nlohmann_json_adapter.hpp>
#include <valijson/schema.hpp>
#include <valijson/schema_parser.hpp>
#include <valijson/validation_results.hpp>
#include <valijson/validator.hpp>

#include "armwise/base/fault.hpp"
#include "armwise/record/craft_record.hpp"
#include "armwise/record/files.hpp"

namespace armwise::record::record_schema_test {
namespace {

using nlohmann::json;

class RecordSchema : public ::testing::Test {
 protected:
  RecordSchema() {
    const json document =
        json::parse(read_whole(std::string(ARMWISE_FIXTURES) + "/schema/record.schema.json"));
    valijson::SchemaParser(valijson::SchemaParser::kDraft7)
        .populateSchema(valijson::adapters::NlohmannJsonAdapter(document), schema_);
  }

  // Empty: valid. Otherwise what the validator says.
  std::string objections(const json& document) {
    valijson::Validator validator;
    valijson::ValidationResults results;
    if (validator.validate(schema_, valijson::adapters::NlohmannJsonAdapter(document), &results)) return {};
    std::string all;
    valijson::ValidationResults::Error error;
    while (results.popError(error)) {
      for (const std::string& part : error.context) all += part;
      all += ": " + error.description + "\n";
    }
    return all.empty() ? "invalid" : all;
  }

  valijson::Schema schema_;
};

CraftRecord full_record() {
  CraftRecord record =
      record_from_json(read_whole(std::string(ARMWISE_FIXTURES) + "/records/version-1.armwise.json"));
  record.mount_in_words = "turned 90 to the right";
  record.mount_found = "three poses, at most 3 degrees off";
  record.flight_sense = "right in all three";
  record.by_hand = {"swap two wires"};
  record.warnings = {"a warning"};
  record.sources["numbering"] = Source::profile;
  record.configuration_before_sha256 = std::string(64, 'a');
  return record;
}

TEST_F(RecordSchema, AcceptsWhatIsWritten) {
  EXPECT_EQ(objections(json::parse(to_json(full_record()))), "");
  CraftRecord bare;
  bare.made_at = "2026-11-25T07:10:00+01:00";
  bare.frame = "x8";
  EXPECT_EQ(objections(json::parse(to_json(bare))), "");
}

// What the schema requires, the reader requires, and the other way round.
TEST_F(RecordSchema, AgreesWithTheReaderAboutWhatMayBeAbsent) {
  const json good = json::parse(to_json(full_record()));
  for (const auto& item : good.items()) {
    json without = good;
    without.erase(item.key());
    bool missed = false;
    try {
      record_from_json(without.dump());
    } catch (const Fault& fault) {
      // Without its shape as written the seal does not fit, which says nothing about the member.
      missed = fault.sentence().find("changed after it was written") == std::string::npos;
    }
    EXPECT_EQ(!objections(without).empty(), missed) << item.key();
  }
}

TEST_F(RecordSchema, RefusesWrongValues) {
  const json good = json::parse(to_json(full_record()));
  const std::vector<std::pair<std::string, json>> wrong{
      {"/armwise_record", 3},
      {"/sha256", "abc"},
      {"/sources/frame", "the neighbour"},
      {"/made_at", "yesterday"},
      {"/frame", "quad-z"},
      {"/props", "sideways"},
      {"/before/turns/0", "left"},
      {"/before/turn_key", "letter"},
      {"/after/mount/yaw", 1000},
      {"/spins/0/attempt", 0},
      {"/spins/0/motor", 1.5},
      {"/strength_per_cent", 101},
      {"/changes/0/lines", "text"},
      {"/kept", "yes"},
      {"/proof_spins", -1},
      {"/controller/board", 7},
      {"/configuration_before_sha256", "xyz"},
  };
  for (const auto& [path, value] : wrong) {
    json bad = good;
    bad[json::json_pointer(path)] = value;
    EXPECT_NE(objections(bad), "") << path;
  }
  json extra = good;
  extra["surprise"] = 1;
  EXPECT_NE(objections(extra), "");
}

}  // namespace
}  // namespace armwise::record::record_schema_test
