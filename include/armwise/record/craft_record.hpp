// The record of a craft: what was seen, what was set, what was proven. The file that `reapply` and
// `sheet` read; data from strangers when read. Described by fixtures/schema/record.schema.json.
#pragma once

#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "armwise/console/console.hpp"
#include "armwise/craft/frame.hpp"
#include "armwise/solve/identify.hpp"
#include "armwise/solve/plan.hpp"

namespace armwise::record {

// One spin and what was said of it, undone answers included.
struct SpinEntry {
  std::string phase;  // "check", "proof", "proof-after-restart"
  int motor = 0;
  std::string pin;
  int attempt = 1;
  std::string seen;  // "front-left cw", "none", "several", "again"
  bool undone = false;
};

struct ChangeEntry {
  std::string reason;
  std::vector<std::string> lines;
};

struct CraftRecord {
  static constexpr int current_version = 1;

  int version = current_version;
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

  double strength_per_cent = 0;
  int spin_milliseconds = 0;
  std::vector<SpinEntry> spins;
  std::vector<ChangeEntry> changes;
  std::vector<std::string> by_hand;
  std::vector<std::string> warnings;  // deviations and what a reader must know

  bool kept = false;
  bool read_back_matches = false;                         // after the restart
  int proof_spins = 0;                                    // places proven
  std::string configuration_before, configuration_after;  // files
};

std::string to_json(const CraftRecord& record);
// Throws Fault(bad_data) with the JSON path of what is wrong; a newer version is refused in words.
CraftRecord record_from_json(std::string_view text);

}  // namespace armwise::record
