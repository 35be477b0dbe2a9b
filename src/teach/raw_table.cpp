#include "raw_table.hpp"

#include <algorithm>
#include <map>
#include <set>

#include "armwise/base/text.hpp"

namespace armwise::teach {
namespace {

constexpr std::size_t most_columns = 4;
// Rows of one table stand near each other; this bounds the work on listings of thousands of lines.
constexpr std::size_t near_lines = 12;
constexpr std::size_t longest_item = 28;

bool same_word(const Token& a, const Token& b) {
  return lower_case(a.text) == lower_case(b.text);
}

std::vector<std::size_t> columns_that_vary(const Tokens& a, const Tokens& b) {
  std::vector<std::size_t> columns;
  for (std::size_t i = 0; i < a.size(); ++i) {
    if (!same_word(a[i], b[i])) columns.push_back(i);
  }
  return columns;
}

std::string literals_key(const Tokens& tokens, const std::vector<std::size_t>& columns) {
  std::string key;
  for (std::size_t i = 0; i < tokens.size(); ++i) {
    const bool varies = std::find(columns.begin(), columns.end(), i) != columns.end();
    key += varies ? std::string("\x01") : lower_case(tokens[i].text);
    key += '\x02';
  }
  return key;
}

bool fits(const Tokens& row, const RawTable& table) {
  for (std::size_t i = 0; i < row.size(); ++i) {
    const bool varies = std::find(table.columns.begin(), table.columns.end(), i) != table.columns.end();
    if (!varies && !same_word(row[i], table.like[i])) return false;
  }
  return true;
}

struct Parsed {
  Tokens tokens;
  std::size_t line = 0;
};

void add_tables_of_one_shape(const std::vector<Parsed>& group, std::size_t fewest,
                             std::vector<RawTable>& tables) {
  std::set<std::string> seen;
  for (std::size_t i = 0; i < group.size(); ++i) {
    for (std::size_t j = i + 1; j < std::min(group.size(), i + 1 + near_lines); ++j) {
      RawTable table;
      table.columns = columns_that_vary(group[i].tokens, group[j].tokens);
      if (table.columns.empty() || table.columns.size() > most_columns) continue;
      if (!seen.insert(literals_key(group[i].tokens, table.columns)).second) continue;
      table.like = group[i].tokens;
      for (const Parsed& each : group) {
        if (!fits(each.tokens, table)) continue;
        table.rows.push_back(each.tokens);
        table.lines.push_back(each.line);
      }
      if (table.rows.size() >= fewest) tables.push_back(std::move(table));
    }
  }
}

std::string text_of(const Tokens& tokens, std::size_t from, std::size_t to) {
  std::string text;
  for (std::size_t i = from; i < to; ++i) text += tokens[i].text;
  return text;
}

bool only_signs(const Tokens& tokens, std::size_t from, std::size_t to) {
  return std::none_of(tokens.begin() + static_cast<std::ptrdiff_t>(from),
                      tokens.begin() + static_cast<std::ptrdiff_t>(to),
                      [](const Token& token) { return token.word; });
}

// Items of `core` tokens, `gap` tokens of signs between two, from token `start` on.
RawTable items_at(const Tokens& line, std::size_t start, std::size_t core, std::size_t gap) {
  RawTable table;
  table.items = true;
  const auto piece = [&](std::size_t from, std::size_t length) {
    return Tokens(line.begin() + static_cast<std::ptrdiff_t>(from),
                  line.begin() + static_cast<std::ptrdiff_t>(from + length));
  };
  table.like = piece(start, core);
  const std::string shape = shape_of(table.like);
  const Tokens between = piece(start + core, gap);
  std::size_t at = start;
  while (at + core <= line.size() && shape_of(piece(at, core)) == shape) {
    table.rows.push_back(piece(at, core));
    at += core;
    if (at + gap > line.size() || piece(at, gap) != between) break;
    at += gap;
    if (at + core > line.size() || shape_of(piece(at, core)) != shape) {
      at -= gap;
      break;
    }
  }
  for (const Tokens& row : table.rows) {
    for (const std::size_t column : columns_that_vary(table.like, row)) table.columns.push_back(column);
  }
  std::sort(table.columns.begin(), table.columns.end());
  table.columns.erase(std::unique(table.columns.begin(), table.columns.end()), table.columns.end());
  table.before = text_of(line, 0, start);
  table.between = text_of(line, start + core, start + core + gap);
  table.after = text_of(line, at, line.size());
  return table;
}

void add_items_of_one_line(const Tokens& line, std::size_t number, std::size_t fewest,
                           std::vector<RawTable>& tables) {
  // The longest item first: brackets and quotation marks belong to it.
  for (std::size_t core = longest_item; core > 0; --core) {
    for (std::size_t gap = 1; gap <= 3; ++gap) {
      for (std::size_t start = 0; start + fewest * core + (fewest - 1) * gap <= line.size(); ++start) {
        if (!line[start].word && line[start].text != "{" && line[start].text != "[" &&
            line[start].text != "(" && line[start].text != "\"" && line[start].text != "<")
          continue;
        if (!only_signs(line, start + core, start + core + gap)) continue;
        RawTable table = items_at(line, start, core, gap);
        const bool regular =
            table.rows.size() >= fewest && !table.columns.empty() && table.columns.size() <= most_columns;
        if (!regular) continue;
        table.lines.assign(table.rows.size(), number);
        tables.push_back(std::move(table));
      }
    }
  }
}

}  // namespace

std::vector<std::string> RawTable::column(std::size_t token) const {
  std::vector<std::string> values;
  for (const Tokens& row : rows) values.push_back(row[token].text);
  return values;
}

std::vector<RawTable> raw_tables(const Lines& reply, std::size_t fewest) {
  std::map<std::string, std::vector<Parsed>> by_shape;
  std::vector<RawTable> tables;
  for (std::size_t i = 0; i < reply.size(); ++i) {
    Tokens tokens = tokens_of(reply[i]);
    if (reply.size() <= 60 && tokens.size() <= 400) add_items_of_one_line(tokens, i, fewest, tables);
    std::vector<Parsed>& alike = by_shape[shape_of(tokens)];
    alike.push_back({std::move(tokens), i});
  }
  for (const auto& [shape, group] : by_shape) add_tables_of_one_shape(group, fewest, tables);
  return tables;
}

}  // namespace armwise::teach
