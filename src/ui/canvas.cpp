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

struct EdgeCell {
  At at;
  std::string_view line, head;
};

// Clockwise from the top left; `head`: the arrow head of something that runs along there in that direction.
std::vector<EdgeCell> edge_of(int height, int width, bool clockwise, const Glyphs& g) {
  std::vector<EdgeCell> edge;
  const int last_row = height - 1, last = width - 1;
  const auto forth = [&](std::string_view a, std::string_view b) { return clockwise ? a : b; };
  edge.push_back({{0, 0}, g.top_left, forth(g.right, g.down)});
  for (int i = 1; i < last; ++i) edge.push_back({{0, i}, g.flat, forth(g.right, g.left)});
  edge.push_back({{0, last}, g.top_right, forth(g.down, g.left)});
  for (int i = 1; i < last_row; ++i) edge.push_back({{i, last}, g.upright, forth(g.down, g.up)});
  edge.push_back({{last_row, last}, g.bottom_right, forth(g.left, g.up)});
  for (int i = last - 1; i > 0; --i) edge.push_back({{last_row, i}, g.flat, forth(g.left, g.right)});
  edge.push_back({{last_row, 0}, g.bottom_left, forth(g.up, g.right)});
  for (int i = last_row - 1; i > 0; --i) edge.push_back({{i, 0}, g.upright, forth(g.up, g.down)});
  return edge;
}

}  // namespace

std::vector<std::vector<Span>> ringed(const std::vector<std::vector<Span>>& inside, int width, const Arc& arc,
                                      const Glyphs& glyphs) {
  const int height = static_cast<int>(inside.size()) + 2;
  const bool clockwise = arc.turn != craft::Turn::ccw;
  const std::vector<EdgeCell> edge = edge_of(height, width, clockwise, glyphs);
  const int cells = static_cast<int>(edge.size());
  Canvas canvas(height, width);
  for (std::size_t row = 0; row < inside.size(); ++row) {
    int column = 1;
    for (const Span& span : inside[row]) {
      canvas.put({static_cast<int>(row) + 1, column}, span.text, span.ink);
      column += columns_of(span.text);
    }
  }
  // A third of the way round, behind the head, is its trail; at rest the head stands near the end of the
  // upper edge.
  const int trail = arc.turn ? cells / 3 : 0;
  const int rest = clockwise ? width - 2 : 1;
  const int head = clockwise ? rest + arc.step : rest - arc.step;
  for (int back = 0; back < cells; ++back) {
    const int at = clockwise ? head - back : head + back;
    const EdgeCell& cell = edge[static_cast<std::size_t>(((at % cells) + cells) % cells)];
    const std::string_view line = arc.turn && back <= trail ? glyphs.dot : cell.line;
    canvas.put(cell.at, arc.turn && back == 0 ? cell.head : line, arc.ink);
  }
  return canvas.rows();
}

const Glyphs& glyphs_of(const Style& style) {
  static const Glyphs unicode{"╭", "╮", "╰", "╯", "─", "│", "├", "┤", "▶", "◀",
                              "▲", "▼", "╱", "╲", "·", "↻", "↺", "✓", "✗"};
  static const Glyphs ascii{".", ".", "'", "'",  "-", "|",  "+",   "+",  ">", "<",
                            "^", "v", "/", "\\", ".", "cw", "ccw", "ok", "!"};
  return style.unicode ? unicode : ascii;
}

std::string_view sign_of(craft::Turn turn, const Glyphs& glyphs) {
  return turn == craft::Turn::cw ? glyphs.clockwise : glyphs.counter_clockwise;
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

std::vector<std::vector<Span>> Canvas::rows() const {
  std::vector<std::vector<Span>> lines;
  for (const auto& row : cells_) {
    std::vector<Span> line;
    for (const Cell& cell : row) {
      if (line.empty() || line.back().ink != cell.ink) line.push_back({{}, cell.ink});
      line.back().text += cell.glyph;
    }
    lines.push_back(std::move(line));
  }
  return lines;
}

Picture Canvas::picture() const {
  Picture picture{rows()};
  for (auto& line : picture.lines) cut_blanks_at_the_right(line);
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
