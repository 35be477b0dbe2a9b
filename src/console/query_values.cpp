#include "armwise/console/query_values.hpp"

#include <optional>
#include <utility>

namespace armwise::console {

namespace {

void forget_fillers(Values& values) {
  values.erase("skip");
  values.erase("rest");
}

// A section in which something reads in two ways is no row.
std::vector<Values> sections_read(const Query& query, const std::vector<std::string>& lines,
                                  bool case_sensitive) {
  std::vector<Values> rows;
  Query below = query;
  below.headings.clear();
  std::optional<Values> heading;
  std::vector<std::string> section;
  const auto end_section = [&] {
    OneRow row = one_row_read(below, section, case_sensitive);
    section.clear();
    if (!heading || heading->empty() || row.values.empty() || !row.twice.empty()) return;
    row.values.merge(*heading);
    rows.push_back(std::move(row.values));
  };
  for (const std::string& line : lines) {
    std::optional<Values> begins;
    for (std::size_t i = 0; i < query.headings.size() && !begins; ++i)
      begins = query.headings[i].match(line, case_sensitive);
    if (begins) {
      end_section();
      forget_fillers(*begins);
      heading = std::move(begins);
    } else {
      section.push_back(line);
    }
  }
  end_section();
  return rows;
}

}  // namespace

std::vector<Values> rows_read(const Query& query, const std::vector<std::string>& lines,
                              bool case_sensitive) {
  if (!query.headings.empty()) return sections_read(query, lines, case_sensitive);
  std::vector<Values> rows;
  for (const std::string& line : rows_of(query.columns, lines)) {
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
  for (Values& row : rows) forget_fillers(row);
  // What is only passed over is no row.
  std::erase_if(rows, [](const Values& row) { return row.empty(); });
  return rows;
}

OneRow one_row_read(const Query& query, const std::vector<std::string>& lines, bool case_sensitive) {
  OneRow all;
  std::vector<bool> used(query.lines.size());
  for (const std::string& line : rows_of(query.columns, lines)) {
    std::optional<Values> again;
    bool taken = false;
    for (std::size_t i = 0; i < query.lines.size() && !taken; ++i) {
      auto values = query.lines[i].match(line, case_sensitive);
      if (!values) continue;
      forget_fillers(*values);
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
