#include "armwise/record/craft_record.hpp"

#include <algorithm>
#include <nlohmann/json.hpp>

#include "armwise/base/fault.hpp"
#include "armwise/record/sha256.hpp"
#include "settings_members.hpp"

namespace armwise::record {
namespace {

using nlohmann::json;

const Words<Source>& source_words() {
  static const Words<Source> words{{Source::controller, "controller"},
                                   {Source::person, "person"},
                                   {Source::computed, "computed"},
                                   {Source::profile, "profile"}};
  return words;
}

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

}  // namespace

template <class Way>
void members(Way& way, typename Way::template Of<SpinEntry>& spin) {
  way.text("phase", spin.phase);
  way.number("motor", spin.motor, Whole{0, 64});
  way.text("pin", spin.pin);
  way.number("attempt", spin.attempt, Whole{1, 10000});
  way.text("seen", spin.seen);
  way.truth("undone", spin.undone);
  way.maybe_number("strength_per_cent", spin.strength_per_cent, Number{0, 100});
  way.maybe_text("question", spin.question);
}

template <class Way>
void members(Way& way, typename Way::template Of<ChangeEntry>& change) {
  way.text("reason", change.reason);
  way.texts("lines", change.lines);
}

// But for the version, the seal and the sources, which came with the second version.
template <class Way>
void members(Way& way, typename Way::template Of<CraftRecord>& record) {
  const auto is_known = [](const std::string& frame) { return craft::frame_named(frame) != nullptr; };
  way.text("id", record.id);
  way.text("made_at", record.made_at, is_date_and_time, "is no date and time with an offset");
  way.text("tool_version", record.tool_version);
  way.text("craft", record.craft_name);
  way.maybe_text("operator", record.operator_name);
  way.maybe_text("place", record.place);
  way.object("controller", record.identity);
  way.text("port", record.port);
  way.text("profile", record.profile_name);

  way.text("frame", record.frame, is_known, "is no frame that this armwise knows");
  way.word("props", record.scheme, scheme_words());
  way.texts("numbering", record.numbering);
  way.texts_by_name("wiring", record.wiring);
  way.object("before", record.before);
  way.object("after", record.after);
  way.maybe_text("mount", record.mount_in_words);
  way.maybe_text("mount_found", record.mount_found);
  way.maybe_text("flight_sense", record.flight_sense);

  way.number("strength_per_cent", record.strength_per_cent, Number{0, 100});
  way.number("spin_milliseconds", record.spin_milliseconds, Whole{0, 60000});
  way.objects("spins", record.spins);
  way.maybe_numbers_by_name("doubt", record.doubt, Number{0, 1});
  way.objects("changes", record.changes);
  way.texts("by_hand", record.by_hand);
  way.texts("warnings", record.warnings);
  way.truth("kept", record.kept);
  way.truth("read_back_matches", record.read_back_matches);
  way.number("proof_spins", record.proof_spins, Whole{0, 64});
  way.maybe_text("configuration_before", record.configuration_before);
  way.maybe_text("configuration_after", record.configuration_after);
  way.maybe_text("configuration_before_sha256", record.configuration_before_sha256);
  way.maybe_text("configuration_after_sha256", record.configuration_after_sha256);
}

std::string_view name(Source source) {
  return std::find_if(source_words().begin(), source_words().end(),
                      [&](const auto& known) { return known.first == source; })
      ->second;
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
  Writing way;
  way.text("armwise_record", CraftRecord::current_version);
  way.text("sha256", std::string(seal_length, '0'));
  way.words_by_name("sources", record.sources, source_words());
  members(way, record);
  return sealed(way.json.dump(2, ' ', false, json::error_handler_t::replace) + "\n");
}

CraftRecord record_from_json(std::string_view text) {
  const JsonRules rules = written_here("the record");
  const json document = parse_strictly(text, rules);
  const JsonNode node(document, rules);
  const int version = checked_version(node);
  CraftRecord record = Reading::read<CraftRecord>(node);
  record.version = version;
  if (version >= 2) Reading(node).words_by_name("sources", record.sources, source_words());
  // Also of one that claims to be of the version that had no seal.
  if (version >= 2 || node.has("sha256")) check_seal(node.at("sha256").text(), text);
  return record;
}

}  // namespace armwise::record
