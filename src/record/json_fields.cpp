#include "json_fields.hpp"

namespace armwise::record {

JsonRules written_here(const std::string& what) {
  JsonRules rules{FaultKind::bad_data, what, "it is damaged, or was not written by this tool",
                  "Use another copy of it"};
  rules.longest_file = std::size_t{16} << 20U;
  rules.longest_text = 4096;
  rules.deepest = 32;
  return rules;
}

}  // namespace armwise::record
