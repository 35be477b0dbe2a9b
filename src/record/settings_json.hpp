// Settings, identities and snapshots as JSON: shared by the record and the journal.
#pragma once

#include <nlohmann/json.hpp>
#include <string>

#include "armwise/base/json.hpp"
#include "armwise/console/identity.hpp"
#include "armwise/solve/plan.hpp"

namespace armwise::record {

nlohmann::json to_json_value(const console::Identity& identity);
nlohmann::json to_json_value(const solve::Snapshot& snapshot);

// For what this tool wrote itself: `what` names it.
JsonRules written_here(const std::string& what);

console::Identity identity_from(const JsonNode& node);
solve::Snapshot snapshot_from(const JsonNode& node);

}  // namespace armwise::record
