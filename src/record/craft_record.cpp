#include "armwise/record/craft_record.hpp"

#include <nlohmann/json.hpp>
#include <utility>

#include "armwise/base/fault.hpp"
#include "armwise/record/sha256.hpp"
#include "json_fields.hpp"

namespace armwise::record {
namespace {

using nlohmann::json;

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

void check(const CraftRecord& record, const JsonNode& node) {
  if (!is_date_and_time(record.made_at)) node.at("made_at").refuse("is no date and time with an offset");
  if (craft::frame_named(record.frame) == nullptr)
    node.at("frame").refuse("is no frame that this armwise knows");
}

}  // namespace

template <>
const Names<Source>& names_of() {
  static const Names<Source> names{{Source::controller, "controller"},
                                   {Source::person, "person"},
                                   {Source::computed, "computed"},
                                   {Source::profile, "profile"}};
  return names;
}

template <class Way>
void fields(Way& way, typename Way::template Of<SpinEntry>& spin) {
  way.member(Member::always, "phase", spin.phase);
  way.member(Member::always, "motor", spin.motor, {0, 64});
  way.member(Member::always, "pin", spin.pin);
  way.member(Member::always, "attempt", spin.attempt, {1, 10000});
  way.member(Member::always, "seen", spin.seen);
  way.member(Member::always, "undone", spin.undone);
  way.member(Member::optional, "strength_per_cent", spin.strength_per_cent, {0, 100});
  way.member(Member::sparse, "question", spin.question);
}

template <class Way>
void fields(Way& way, typename Way::template Of<ChangeEntry>& change) {
  way.member(Member::always, "reason", change.reason);
  way.member(Member::always, "lines", change.lines);
}

template <class Way>
void fields(Way& way, typename Way::template Of<CraftRecord>& record) {
  // When, by whom, on which controller.
  way.member(Member::always, "id", record.id);
  way.member(Member::always, "made_at", record.made_at);
  way.member(Member::always, "tool_version", record.tool_version);
  way.member(Member::always, "craft", record.craft_name);
  way.member(Member::optional, "operator", record.operator_name);
  way.member(Member::optional, "place", record.place);
  way.member(Member::always, "controller", record.identity);
  way.member(Member::always, "port", record.port);
  way.member(Member::always, "profile", record.profile_name);
  // How the craft is wired and mounted, and how it was and is set.
  way.member(Member::always, "frame", record.frame);
  way.member(Member::always, "props", record.scheme);
  way.member(Member::always, "numbering", record.numbering);
  way.member(Member::always, "wiring", record.wiring);
  way.member(Member::always, "before", record.before);
  way.member(Member::always, "after", record.after);
  way.member(Member::optional, "mount", record.mount_in_words);
  way.member(Member::optional, "mount_found", record.mount_found);
  way.member(Member::optional, "flight_sense", record.flight_sense);
  // What was spun, changed and kept.
  way.member(Member::always, "strength_per_cent", record.strength_per_cent, {0, 100});
  way.member(Member::always, "spin_milliseconds", record.spin_milliseconds, {0, 60000});
  way.member(Member::always, "spins", record.spins);
  way.member(Member::sparse, "doubt", record.doubt, {0, 1});
  way.member(Member::always, "changes", record.changes);
  way.member(Member::always, "by_hand", record.by_hand);
  way.member(Member::always, "warnings", record.warnings);
  way.member(Member::always, "kept", record.kept);
  way.member(Member::always, "read_back_matches", record.read_back_matches);
  way.member(Member::always, "proof_spins", record.proof_spins, {0, 64});
  way.member(Member::optional, "configuration_before", record.configuration_before);
  way.member(Member::optional, "configuration_after", record.configuration_after);
  way.member(Member::optional, "configuration_before_sha256", record.configuration_before_sha256);
  way.member(Member::optional, "configuration_after_sha256", record.configuration_after_sha256);
  if (record.version >= 2) way.member(Member::always, "sources", record.sources);
}

std::string_view name(Source source) {
  return names_of<Source>().at(static_cast<std::size_t>(source)).second;
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
  CraftRecord current = record;
  current.version = CraftRecord::current_version;
  json out = ToJson::of(current);
  out["armwise_record"] = CraftRecord::current_version;
  out["sha256"] = std::string(seal_length, '0');
  return sealed(out.dump(2, ' ', false, json::error_handler_t::replace) + "\n");
}

CraftRecord record_from_json(std::string_view text) {
  const JsonRules rules = written_here("the record");
  const json document = parse_strictly(text, rules);
  const JsonNode node(document, rules);
  CraftRecord record;
  record.version = checked_version(node);
  FromJson way(node);
  fields(way, record);
  check(record, node);
  // Also of one that claims to be of the version that had no seal.
  if (record.version >= 2 || node.has("sha256")) check_seal(node.at("sha256").text(), text);
  return record;
}

}  // namespace armwise::record
