#include "armwise/record/craft_record.hpp"

#include <algorithm>
#include <array>
#include <nlohmann/json.hpp>
#include <utility>

#include "armwise/base/fault.hpp"
#include "armwise/record/sha256.hpp"
#include "settings_json.hpp"

namespace armwise::record {
namespace {

using nlohmann::json;

constexpr std::array<std::pair<Source, std::string_view>, 4> source_names{{{Source::controller, "controller"},
                                                                           {Source::person, "person"},
                                                                           {Source::computed, "computed"},
                                                                           {Source::profile, "profile"}}};

// The seal as it stands in the text. A line of its own at the top level: no text inside JSON holds a line
// end.
constexpr std::string_view seal_start = "\n  \"sha256\": \"";
constexpr std::size_t seal_length = 64;

std::string without_seal(std::string text) {
  const std::size_t at = text.find(seal_start);
  if (at == std::string::npos || at + seal_start.size() + seal_length > text.size()) return {};
  text.replace(at + seal_start.size(), seal_length, seal_length, '0');
  return text;
}

std::string sealed(std::string text) {
  const std::string seal = sha256(text);
  text.replace(text.find(seal_start) + seal_start.size(), seal_length, seal);
  return text;
}

void check_seal(const std::string& seal, std::string_view text) {
  if (sha256(without_seal(std::string(text))) == seal) return;
  throw Fault(FaultKind::bad_data, "This record was changed after it was written",
              "its seal (SHA-256) does not fit what it holds",
              "Use another copy of it, or make a new one with bench");
}

// "2026-11-25T07:10:00+01:00" (ISO 8601, extended form, with offset).
bool is_date_and_time(std::string_view text) {
  constexpr std::string_view shape = "dddd-dd-ddTdd:dd:ddsdd:dd";
  if (text.size() != shape.size()) return false;
  for (std::size_t i = 0; i < shape.size(); ++i) {
    const bool digit = text[i] >= '0' && text[i] <= '9';
    const bool sign = text[i] == '+' || text[i] == '-';
    if (shape[i] == 'd' ? !digit : shape[i] == 's' ? !sign : text[i] != shape[i]) return false;
  }
  return true;
}

json sources_to_json(const std::map<std::string, Source>& sources) {
  json out = json::object();
  for (const auto& [fact, source] : sources) out[fact] = std::string(name(source));
  return out;
}

std::map<std::string, Source> sources_from(const JsonNode& node) {
  std::map<std::string, Source> sources;
  for (const auto& [fact, value] : node.entries()) {
    const std::string text = value.text();
    const auto* const found = std::find_if(source_names.begin(), source_names.end(),
                                           [&](const auto& known) { return known.second == text; });
    if (found == source_names.end()) value.refuse("is none of controller, person, computed, profile");
    sources[fact] = found->first;
  }
  return sources;
}

json spins_to_json(const std::vector<SpinEntry>& spins) {
  json out = json::array();
  for (const SpinEntry& spin : spins) {
    json one{{"phase", spin.phase},
             {"motor", spin.motor},
             {"pin", spin.pin},
             {"attempt", spin.attempt},
             {"seen", spin.seen},
             {"undone", spin.undone},
             {"strength_per_cent", spin.strength_per_cent}};
    if (!spin.question.empty()) one["question"] = spin.question;
    out.push_back(std::move(one));
  }
  return out;
}

std::vector<SpinEntry> spins_from(const JsonNode& node) {
  std::vector<SpinEntry> spins;
  for (const JsonNode& entry : node.list()) {
    spins.push_back({entry.at("phase").text(), entry.at("motor").whole(0, 64), entry.at("pin").text(),
                     entry.at("attempt").whole(1, 10000), entry.at("seen").text(), entry.at("undone").truth(),
                     entry.has("strength_per_cent") ? entry.at("strength_per_cent").number(0, 100) : 0,
                     entry.text_or_empty("question")});
  }
  return spins;
}

json changes_to_json(const std::vector<ChangeEntry>& changes) {
  json out = json::array();
  for (const ChangeEntry& change : changes)
    out.push_back({{"reason", change.reason}, {"lines", change.lines}});
  return out;
}

std::vector<ChangeEntry> changes_from(const JsonNode& node) {
  std::vector<ChangeEntry> changes;
  for (const JsonNode& entry : node.list())
    changes.push_back({entry.at("reason").text(), entry.at("lines").texts()});
  return changes;
}

int checked_version(const JsonNode& node) {
  const int version = node.at("armwise_record").whole(1, 1000000);
  if (version > CraftRecord::current_version) {
    throw Fault(FaultKind::bad_data,
                "This record was written by a newer armwise (record version " + std::to_string(version) + ")",
                "this one reads versions up to " + std::to_string(CraftRecord::current_version),
                "Use the newer armwise, or make a new record with bench");
  }
  return version;
}

// When, by whom, on which controller.
void read_occasion(const JsonNode& node, CraftRecord& record) {
  record.id = node.at("id").text();
  record.made_at = node.at("made_at").text();
  if (!is_date_and_time(record.made_at)) node.at("made_at").refuse("is no date and time with an offset");
  record.tool_version = node.at("tool_version").text();
  record.craft_name = node.at("craft").text();
  record.operator_name = node.text_or_empty("operator");
  record.place = node.text_or_empty("place");
  record.identity = identity_from(node.at("controller"));
  record.port = node.at("port").text();
  record.profile_name = node.at("profile").text();
}

// How the craft is wired and mounted, and how it was and is set.
void read_craft(const JsonNode& node, CraftRecord& record) {
  record.frame = node.at("frame").text();
  if (craft::frame_named(record.frame) == nullptr)
    node.at("frame").refuse("is no frame that this armwise knows");
  const auto scheme = craft::scheme_named(node.at("props").text());
  if (!scheme) node.at("props").refuse("is neither in nor out");
  record.scheme = *scheme;
  record.numbering = node.at("numbering").texts();
  for (const auto& [pin, place] : node.at("wiring").entries()) record.wiring[pin] = place.text();
  record.before = snapshot_from(node.at("before"));
  record.after = snapshot_from(node.at("after"));
  record.mount_in_words = node.text_or_empty("mount");
  record.mount_found = node.text_or_empty("mount_found");
  record.flight_sense = node.text_or_empty("flight_sense");
}

// What was spun, changed and kept.
void read_session(const JsonNode& node, CraftRecord& record) {
  record.strength_per_cent = node.at("strength_per_cent").number(0, 100);
  record.spin_milliseconds = node.at("spin_milliseconds").whole(0, 60000);
  record.spins = spins_from(node.at("spins"));
  if (node.has("doubt")) {
    for (const auto& [pin, chance] : node.at("doubt").entries()) record.doubt[pin] = chance.number(0, 1);
  }
  record.changes = changes_from(node.at("changes"));
  record.by_hand = node.at("by_hand").texts();
  record.warnings = node.at("warnings").texts();
  record.kept = node.at("kept").truth();
  record.read_back_matches = node.at("read_back_matches").truth();
  record.proof_spins = node.at("proof_spins").whole(0, 64);
  record.configuration_before = node.text_or_empty("configuration_before");
  record.configuration_after = node.text_or_empty("configuration_after");
  record.configuration_before_sha256 = node.text_or_empty("configuration_before_sha256");
  record.configuration_after_sha256 = node.text_or_empty("configuration_after_sha256");
}

}  // namespace

std::string_view name(Source source) {
  return source_names.at(static_cast<std::size_t>(source)).second;
}

std::string_view in_words(Source source) {
  switch (source) {
    case Source::controller:
      return "read from the controller";
    case Source::person:
      return "said by the person";
    case Source::computed:
      return "computed";
    case Source::profile:
      break;
  }
  return "written in the console profile";
}

std::map<std::string, Source> CraftRecord::usual_sources() {
  return {
      {"after", Source::controller},      {"before", Source::controller}, {"changes", Source::computed},
      {"controller", Source::controller}, {"craft", Source::person},      {"flight_sense", Source::computed},
      {"frame", Source::person},          {"operator", Source::person},   {"place", Source::person},
      {"props", Source::person},          {"spins", Source::person},      {"wiring", Source::computed}};
}

bool CraftRecord::proven_whole() const {
  const craft::Frame* known = craft::frame_named(frame);
  return known != nullptr && proof_spins >= known->size() && read_back_matches && (kept || changes.empty());
}

std::string to_json(const CraftRecord& record) {
  json out = {{"armwise_record", CraftRecord::current_version},
              {"sha256", std::string(seal_length, '0')},
              {"sources", sources_to_json(record.sources)},
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
              {"mount_found", record.mount_found},
              {"flight_sense", record.flight_sense},
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
              {"configuration_after", record.configuration_after},
              {"configuration_before_sha256", record.configuration_before_sha256},
              {"configuration_after_sha256", record.configuration_after_sha256}};
  if (!record.doubt.empty()) out["doubt"] = record.doubt;
  return sealed(out.dump(2, ' ', false, json::error_handler_t::replace) + "\n");
}

CraftRecord record_from_json(std::string_view text) {
  const JsonRules rules = written_here("the record");
  const json document = parse_strictly(text, rules);
  const JsonNode node(document, rules);
  CraftRecord record;
  record.version = checked_version(node);
  read_occasion(node, record);
  read_craft(node, record);
  read_session(node, record);
  if (record.version >= 2) record.sources = sources_from(node.at("sources"));
  // Also of one that claims to be of the version that had no seal.
  if (record.version >= 2 || node.has("sha256")) check_seal(node.at("sha256").text(), text);
  return record;
}

}  // namespace armwise::record
