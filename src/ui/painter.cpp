#include "painter.hpp"

#include "terminal_modes.hpp"

namespace armwise::ui {
namespace {

// xterm's control sequences: to a row and column counted from 1, erase to the end of the line, cursor.
std::string to(int row, int column) {
  return "\x1B[" + std::to_string(row + 1) + ";" + std::to_string(column + 1) + "H";
}
constexpr std::string_view erase_rest = "\x1B[K", show_cursor = "\x1B[?25h", hide_cursor = "\x1B[?25l";

}  // namespace

std::vector<std::string> rendered_lines(const std::vector<Line>& lines, const Style& style) {
  return rendered(Picture{lines}, style);
}

Painter::Painter(Terminal& terminal)
    : terminal_(terminal), live_(terminal.style().colour != ColourDepth::none) {}

Painter::~Painter() {
  leave();
}

void Painter::leave() {
  if (taken_) terminal_.write(give_screen_back());
  taken_ = false;
  live_ = false;
}

void Painter::show(const Screen& screen, bool anew) {
  const Style style = terminal_.style();
  if (!taken_) {
    terminal_.write(take_screen());
    taken_ = anew = true;
  }
  if (style.rows != rows_ || style.columns != columns_) anew = true;
  rows_ = style.rows;
  columns_ = style.columns;
  const Laid laid = laid_out(screen, style);
  const bool changed = show_lines(rendered_lines(laid.lines, style), anew);
  const std::string cursor =
      laid.cursor ? to(laid.cursor->row, laid.cursor->column) + std::string(show_cursor) : std::string();
  if (!cursor.empty() && (changed || cursor != cursor_)) terminal_.write(cursor);
  cursor_ = cursor;
}

bool Painter::show_lines(const std::vector<std::string>& lines, bool anew) {
  std::string out;
  shown_.resize(static_cast<std::size_t>(rows_));
  for (std::size_t row = 0; row < shown_.size(); ++row) {
    const std::string line = row < lines.size() ? lines[row] : std::string();
    if (!anew && line == shown_[row]) continue;
    // First, as behind a line that fills its row it would erase the last column.
    out += to(static_cast<int>(row), 0) + std::string(erase_rest) + line;
    shown_[row] = line;
  }
  if (!out.empty()) terminal_.write(std::string(hide_cursor) + out);
  return !out.empty();
}

}  // namespace armwise::ui
