#include "armwise/console/reply_rows.hpp"

#include <algorithm>
#include <map>
#include <sstream>

#include "armwise/base/text.hpp"

namespace armwise::console {
namespace {

std::vector<std::string> words_apart(const std::string& line) {
  std::istringstream in(squeezed(line));
  std::vector<std::string> words;
  for (std::string word; in >> word;) words.push_back(word);
  return words;
}

std::vector<std::string> columns_of(const std::vector<std::string>& lines) {
  std::vector<std::vector<std::string>> table;
  std::map<std::size_t, int> lengths;
  for (const std::string& line : lines) {
    table.push_back(words_apart(line));
    ++lengths[table.back().size()];
  }
  std::size_t width = 0;
  int most = 0;
  for (const auto& [length, times] : lengths) {
    if (times < most) continue;
    most = times;
    width = length;
  }
  std::vector<std::string> columns(width);
  bool corner_may_lack = width > 1;
  for (const std::vector<std::string>& words : table) {
    const bool lacks = corner_may_lack && words.size() + 1 == width;
    if (words.size() == width || lacks) corner_may_lack = false;
    if (words.size() != width && !lacks) continue;
    for (std::size_t i = 0; i < words.size(); ++i) {
      std::string& column = columns[lacks ? i + 1 : i];
      column += (column.empty() ? "" : " ") + words[i];
    }
  }
  return columns;
}

}  // namespace

std::vector<std::string> rows_of(bool columns, const std::vector<std::string>& lines) {
  return columns ? columns_of(lines) : lines;
}

}  // namespace armwise::console
