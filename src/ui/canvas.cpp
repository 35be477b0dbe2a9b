#include "canvas.hpp"

#include <algorithm>
#include <numeric>

namespace armwise::ui {
namespace {

bool is_blank(const std::vector<Span>& line) {
  return std::all_of(line.begin(), line.end(), [](const Span& span) {
    return span.text.find_first_not_of(' ') == std::string::npos && span.ink != Ink::keycap;
  });
}

int line_columns(const std::vector<Span>& line) {
  return std::accumulate(line.begin(), line.end(), 0,
                         [](int sum, const Span& span) { return sum + ui::columns_of(span.text); });
}

void cut_blanks_at_the_right(std::vector<Span>& line) {
  while (!line.empty() && line.back().ink != Ink::keycap) {
    std::string& text = line.back().text;
    text.erase(text.find_last_not_of(' ') + 1);
    if (!text.empty()) return;
    line.pop_back();
  }
}

}  // namespace

const Glyphs& glyphs_of(const Style& style) {
  static const Glyphs unicode{"╭", "╮", "╰", "╯", "─", "│", "├", "┤", "▶", "◀", "▲", "▼", "╱", "╲", "·"};
  static const Glyphs ascii{".", ".", "'", "'", "-", "|", "+", "+", ">", "<", "^", "v", "/", "\\", "."};
  return style.unicode ? unicode : ascii;
}

Canvas::Canvas(int rows, int columns)
    : cells_(static_cast<std::size_t>(rows), std::vector<Cell>(static_cast<std::size_t>(columns))) {}

void Canvas::put(At at, std::string_view text, Ink ink) {
  if (at.row < 0 || at.row >= static_cast<int>(cells_.size())) return;
  auto& row = cells_[static_cast<std::size_t>(at.row)];
  int column = at.column;
  for (std::size_t i = 0; i < text.size(); ++column) {
    std::size_t end = i + 1;
    while (end < text.size() && (static_cast<unsigned char>(text[end]) & 0xC0U) == 0x80U) ++end;
    if (column >= 0 && column < static_cast<int>(row.size())) {
      row[static_cast<std::size_t>(column)] = {std::string(text.substr(i, end - i)), ink};
    }
    i = end;
  }
}

Picture Canvas::picture() const {
  Picture picture;
  for (const auto& row : cells_) {
    std::vector<Span> line;
    for (const Cell& cell : row) {
      if (line.empty() || line.back().ink != cell.ink) line.push_back({{}, cell.ink});
      line.back().text += cell.glyph;
    }
    cut_blanks_at_the_right(line);
    picture.lines.push_back(std::move(line));
  }
  auto& lines = picture.lines;
  while (!lines.empty() && is_blank(lines.back())) lines.pop_back();
  const auto first = std::find_if_not(lines.begin(), lines.end(), is_blank);
  lines.erase(lines.begin(), first);
  return picture;
}

int Picture::columns() const {
  int widest = 0;
  for (const auto& line : lines) widest = std::max(widest, line_columns(line));
  return widest;
}

std::vector<std::string> rendered(const Picture& picture, const Style& style) {
  std::vector<std::string> lines;
  for (const auto& spans : picture.lines) {
    std::string line;
    for (const Span& span : spans) line += painted(span.text, span.ink, style);
    lines.push_back(std::move(line));
  }
  return lines;
}

Picture side_by_side(const Picture& left, const Picture& right, int gap) {
  Picture both;
  const int width = left.columns() + gap;
  const std::size_t height = std::max(left.lines.size(), right.lines.size());
  for (std::size_t i = 0; i < height; ++i) {
    std::vector<Span> line;
    if (i < left.lines.size()) line = left.lines[i];
    if (i < right.lines.size() && !right.lines[i].empty()) {
      const int missing = width - line_columns(line);
      line.push_back({std::string(static_cast<std::size_t>(missing), ' '), Ink::plain});
      line.insert(line.end(), right.lines[i].begin(), right.lines[i].end());
    }
    both.lines.push_back(std::move(line));
  }
  return both;
}

Picture one_under_the_other(const Picture& above, const Picture& below) {
  Picture both = above;
  if (!above.empty() && !below.empty()) both.lines.emplace_back();
  both.lines.insert(both.lines.end(), below.lines.begin(), below.lines.end());
  return both;
}

}  // namespace armwise::ui
