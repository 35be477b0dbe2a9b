#include "armwise/record/craft_record.hpp"

#include <nlohmann/json.hpp>

#include "armwise/base/fault.hpp"
#include "settings_json.hpp"

namespace armwise::record {
namespace {

using nlohmann::json;

json spins_to_json(const std::vector<SpinEntry>& spins) {
  json out = json::array();
  for (const SpinEntry& spin : spins) {
    out.push_back({{"phase", spin.phase},
                   {"motor", spin.motor},
                   {"pin", spin.pin},
                   {"attempt", spin.attempt},
                   {"seen", spin.seen},
                   {"undone", spin.undone}});
  }
  return out;
}

std::vector<SpinEntry> spins_from(const Reader& reader) {
  std::vector<SpinEntry> spins;
  for (std::size_t i = 0; i < reader.size(); ++i) {
    const Reader entry = reader.at(i);
    spins.push_back({entry.at("phase").text(), entry.at("motor").whole(0, 64), entry.at("pin").text(),
                     entry.at("attempt").whole(1, 10000), entry.at("seen").text(),
                     entry.at("undone").flag()});
  }
  return spins;
}

json changes_to_json(const std::vector<ChangeEntry>& changes) {
  json out = json::array();
  for (const ChangeEntry& change : changes)
    out.push_back({{"reason", change.reason}, {"lines", change.lines}});
  return out;
}

std::vector<ChangeEntry> changes_from(const Reader& reader) {
  std::vector<ChangeEntry> changes;
  for (std::size_t i = 0; i < reader.size(); ++i) {
    changes.push_back({reader.at(i).at("reason").text(), reader.at(i).at("lines").texts()});
  }
  return changes;
}

int checked_version(const Reader& reader) {
  const int version = reader.at("armwise_record").whole(1, 1000000);
  if (version > CraftRecord::current_version) {
    throw Fault(FaultKind::bad_data,
                "This record was written by a newer armwise (record version " + std::to_string(version) + ")",
                "this one reads versions up to " + std::to_string(CraftRecord::current_version),
                "Use the newer armwise, or make a new record with bench");
  }
  return version;
}

}  // namespace

std::string to_json(const CraftRecord& record) {
  const json out = {{"armwise_record", record.version},
                    {"id", record.id},
                    {"made_at", record.made_at},
                    {"tool_version", record.tool_version},
                    {"craft", record.craft_name},
                    {"operator", record.operator_name},
                    {"place", record.place},
                    {"controller", to_json_value(record.identity)},
                    {"port", record.port},
                    {"profile", record.profile_name},
                    {"frame", record.frame},
                    {"props", std::string(name(record.scheme))},
                    {"numbering", record.numbering},
                    {"wiring", record.wiring},
                    {"before", to_json_value(record.before)},
                    {"after", to_json_value(record.after)},
                    {"mount", record.mount_in_words},
                    {"strength_per_cent", record.strength_per_cent},
                    {"spin_milliseconds", record.spin_milliseconds},
                    {"spins", spins_to_json(record.spins)},
                    {"changes", changes_to_json(record.changes)},
                    {"by_hand", record.by_hand},
                    {"warnings", record.warnings},
                    {"kept", record.kept},
                    {"read_back_matches", record.read_back_matches},
                    {"proof_spins", record.proof_spins},
                    {"configuration_before", record.configuration_before},
                    {"configuration_after", record.configuration_after}};
  return out.dump(2, ' ', false, json::error_handler_t::replace) + "\n";
}

CraftRecord record_from_json(std::string_view text) {
  const json document = parse_limited(text, "The record");
  const Reader reader(document);
  CraftRecord record;
  record.version = checked_version(reader);
  record.id = reader.at("id").text();
  record.made_at = reader.at("made_at").text();
  record.tool_version = reader.at("tool_version").text();
  record.craft_name = reader.at("craft").text();
  record.operator_name = reader.text_or_empty("operator");
  record.place = reader.text_or_empty("place");
  record.identity = identity_from(reader.at("controller"));
  record.port = reader.at("port").text();
  record.profile_name = reader.at("profile").text();
  record.frame = reader.at("frame").text();
  if (craft::frame_named(record.frame) == nullptr)
    reader.at("frame").fail("is no frame that this armwise knows");
  const auto scheme = craft::scheme_named(reader.at("props").text());
  if (!scheme) reader.at("props").fail("is neither in nor out");
  record.scheme = *scheme;
  record.numbering = reader.at("numbering").texts();
  const Reader wiring = reader.at("wiring");
  for (const std::string& pin : wiring.keys()) record.wiring[pin] = wiring.at(pin.c_str()).text();
  record.before = snapshot_from(reader.at("before"));
  record.after = snapshot_from(reader.at("after"));
  record.mount_in_words = reader.text_or_empty("mount");
  record.strength_per_cent = reader.at("strength_per_cent").number(0, 100);
  record.spin_milliseconds = reader.at("spin_milliseconds").whole(0, 60000);
  record.spins = spins_from(reader.at("spins"));
  record.changes = changes_from(reader.at("changes"));
  record.by_hand = reader.at("by_hand").texts();
  record.warnings = reader.at("warnings").texts();
  record.kept = reader.at("kept").flag();
  record.read_back_matches = reader.at("read_back_matches").flag();
  record.proof_spins = reader.at("proof_spins").whole(0, 64);
  record.configuration_before = reader.text_or_empty("configuration_before");
  record.configuration_after = reader.text_or_empty("configuration_after");
  return record;
}

}  // namespace armwise::record
