#include "armwise/console/query_values.hpp"

#include <optional>
#include <utility>

namespace armwise::console {

std::vector<Values> rows_read(const Query& query, const std::vector<std::string>& lines,
                              bool case_sensitive) {
  std::vector<Values> rows;
  for (const std::string& line : rows_of(query.rows, lines)) {
    for (const Template& like : query.lines) {
      auto values = like.match(line, case_sensitive);
      if (!values) continue;
      if (query.item && values->contains("items")) {
        for (Values& item : query.item->match_all(values->at("items"), case_sensitive))
          rows.push_back(std::move(item));
      } else {
        rows.push_back(std::move(*values));
      }
      break;
    }
  }
  for (Values& row : rows) {
    row.erase("skip");
    row.erase("rest");
  }
  return rows;
}

OneRow one_row_read(const Query& query, const std::vector<std::string>& lines, bool case_sensitive) {
  OneRow all;
  std::vector<bool> used(query.lines.size());
  for (const std::string& line : rows_of(query.rows, lines)) {
    std::optional<Values> again;
    bool taken = false;
    for (std::size_t i = 0; i < query.lines.size() && !taken; ++i) {
      auto values = query.lines[i].match(line, case_sensitive);
      if (!values) continue;
      values->erase("skip");
      values->erase("rest");
      if (used[i]) {
        again = std::move(values);
        continue;
      }
      used[i] = taken = true;
      all.values.merge(*values);
    }
    if (taken || !again) continue;
    for (const auto& [blank, value] : *again) {
      if (all.values[blank] == value) continue;
      all.twice = blank;
      all.besides = value;
      return all;
    }
  }
  return all;
}

}  // namespace armwise::console
