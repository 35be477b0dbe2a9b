// The record of a craft: what was seen, what was set, what was proven, and where each fact comes from. The
// file that `reapply` and `sheet` read; data from strangers when read. Described by
// fixtures/schema/record.schema.json.
//
// Its seal, the member "sha256", is the SHA-256 of the whole file as written with 64 zeros in the seal's
// place:
//   sed 's/^  "sha256": "[0-9a-f]*"/  "sha256": "0...0"/' FILE | sha256sum
#pragma once

#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "armwise/console/identity.hpp"
#include "armwise/craft/frame.hpp"
#include "armwise/solve/identify.hpp"
#include "armwise/solve/plan.hpp"

namespace armwise::record {

// Where a fact comes from.
enum class Source { controller, person, computed, profile };
std::string_view name(Source source);      // "controller", "person", "computed", "profile"
std::string_view in_words(Source source);  // "read from the controller", "said by the person", ...

// One spin, or one more question about it, and what was said; undone answers included.
struct SpinEntry {
  std::string phase;  // "check", "proof", "proof-after-restart"
  int motor = 0;
  std::string pin;
  int attempt = 1;
  std::string seen;  // "front-left cw", "none", "several", "again"
  bool undone = false;
  double strength_per_cent = 0;  // 0: not noted
  std::string question{};        // asked in another way: "edge", "lid"; empty: which arm, which way
};

struct ChangeEntry {
  std::string reason;
  std::vector<std::string> lines;
};

struct CraftRecord {
  static constexpr int current_version = 2;  // 1 had neither sources nor a seal

  int version = current_version;  // of the file that it was read from; always written as the current one
  std::string id;
  std::string made_at;  // ISO 8601 with offset
  std::string tool_version;
  std::string craft_name;
  std::string operator_name, place;  // as given; empty: not given

  console::Identity identity;
  std::string port;
  std::string profile_name;

  std::string frame;
  craft::PropScheme scheme = craft::PropScheme::in;
  std::vector<std::string> numbering;         // place names, motor 1 first
  std::map<std::string, std::string> wiring;  // pin -> "front-left cw"
  solve::Snapshot before, after;
  std::string mount_in_words;  // the true mount; empty: not found out
  std::string mount_found;     // how, and how well: the poses' residuals; empty: not found out
  std::string flight_sense;    // the verdict on how the controller senses the craft; empty: not tried

  double strength_per_cent = 0;
  int spin_milliseconds = 0;
  std::vector<SpinEntry> spins;
  // Pin -> the chance that its arm or direction is wrong, by all answers; empty: not noted.
  std::map<std::string, double> doubt;
  std::vector<ChangeEntry> changes;
  std::vector<std::string> by_hand;
  std::vector<std::string> warnings;  // deviations and what a reader must know

  bool kept = false;
  bool read_back_matches = false;  // after the restart
  int proof_spins = 0;             // places proven
  // Files: a name alone stands for a file beside the record. With the SHA-256 of what they hold.
  std::string configuration_before, configuration_after;
  std::string configuration_before_sha256, configuration_after_sha256;

  // Name of a fact (a member of the JSON document) -> where it comes from.
  std::map<std::string, Source> sources = usual_sources();
  // What holds wherever nothing else was noted; "numbering" and "mount" are known to the session only.
  static std::map<std::string, Source> usual_sources();

  // Proven, kept where anything was to be kept, and read back as written.
  bool proven_whole() const;
};

// Sealed.
std::string to_json(const CraftRecord& record);
// Throws Fault(bad_data) with the JSON path of what is wrong. A newer version is refused in words, and so is
// a record whose seal does not fit: it was changed after it was written.
CraftRecord record_from_json(std::string_view text);

}  // namespace armwise::record
