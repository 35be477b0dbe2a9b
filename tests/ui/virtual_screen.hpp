// A terminal's screen, as far as armwise writes on one: what a person would see of the bytes.
#pragma once

#include <algorithm>
#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

namespace armwise::ui::testing {

class VirtualScreen {
 public:
  VirtualScreen(int rows, int columns) : rows_(rows), columns_(columns) { clear(); }

  void feed(std::string_view bytes) {
    for (std::size_t at = 0; at < bytes.size();) at += take(bytes.substr(at));
  }
  bool other() const { return other_; }  // the other screen is shown
  bool cursor() const { return cursor_; }
  int bells() const { return bells_; }
  const std::vector<std::string>& lines() const { return cells_; }
  std::string text() const {
    std::string all;
    for (const std::string& line : cells_) all += line + "\n";
    return all;
  }
  bool shows(std::string_view words) const { return text().find(words) != std::string::npos; }

 private:
  void clear() { cells_.assign(static_cast<std::size_t>(rows_), ""); }

  // Seven-bit glyphs only: each byte is a cell.
  std::size_t take(std::string_view bytes) {
    if (bytes[0] == '\x1B' && bytes.size() > 1 && bytes[1] == '[') {
      const std::size_t end = bytes.find_first_not_of("0123456789;?", 2);
      if (end == std::string_view::npos) return bytes.size();
      control(std::string(bytes.substr(2, end - 2)), bytes[end]);
      return end + 1;
    }
    if (bytes[0] == '\a') ++bells_;
    if (bytes[0] == '\r') column_ = 0;
    if (bytes[0] == '\n') next_line();
    if (bytes[0] >= ' ') put(bytes[0]);
    return 1;
  }
  void control(const std::string& numbers, char what) {
    if (what == 'H') {
      row_ = std::stoi(numbers) - 1;
      column_ = std::stoi(numbers.substr(numbers.find(';') + 1)) - 1;
    }
    if (what == 'J') clear();
    // Behind a full line the cursor still stands on its last column.
    const auto at = static_cast<std::size_t>(std::min(column_, columns_ - 1));
    if (what == 'K') line().resize(std::min<std::size_t>(line().size(), at));
    if (what != 'h' && what != 'l') return;
    if (numbers == "?25") cursor_ = what == 'h';
    if (numbers != "?1049") return;
    other_ = what == 'h';
    clear();
    row_ = column_ = 0;
  }
  std::string& line() { return cells_.at(static_cast<std::size_t>(row_)); }
  void next_line() {
    if (++row_ < rows_) return;
    row_ = rows_ - 1;
    cells_.erase(cells_.begin());
    cells_.emplace_back();
  }
  void put(char cell) {
    const auto at = static_cast<std::size_t>(column_++);
    if (column_ > 4 * columns_) return;  // beyond the edge; a character takes up to four bytes
    if (line().size() <= at) line().resize(at + 1, ' ');
    line()[at] = cell;
  }

  int rows_, columns_, row_ = 0, column_ = 0, bells_ = 0;
  bool other_ = false, cursor_ = true;
  std::vector<std::string> cells_;
};

}  // namespace armwise::ui::testing
