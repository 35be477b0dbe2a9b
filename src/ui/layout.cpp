// Where the boxes of a picture go: as near to the hub as they fit without touching each other.
#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <optional>

#include "canvas.hpp"

namespace armwise::ui {
namespace {

// A character cell is about twice as high as wide.
constexpr double columns_per_row = 2.1;
constexpr int nearest_ring = 6, farthest_ring = 32;  // half rows
constexpr int hub_width = 3, hub_height = 3;

struct Rectangle {
  int top = 0, left = 0, height = 0, width = 0;

  Rectangle grown(int rows, int columns) const {
    return {top - rows, left - columns, height + 2 * rows, width + 2 * columns};
  }
  bool touches(const Rectangle& other) const {
    return top < other.top + other.height && other.top < top + height && left < other.left + other.width &&
           other.left < left + width;
  }
};

struct Scale {
  double rows = 0, columns = 0;  // for one arm length
};

// The hub's middle is row 0, column 0.
At middle_of(const ArmBox& box, const Scale& scale) {
  // A sine of 30 degrees is not quite a half: mirror images would be a cell apart.
  const auto cell = [](double at) { return static_cast<int>(std::lround(at + std::copysign(1e-6, at))); };
  return {cell(-box.x * scale.rows), cell(box.y * scale.columns)};
}

Rectangle around(At middle, int height, int width) {
  return {middle.row - height / 2, middle.column - width / 2, height, width};
}

std::vector<Rectangle> parts_of(const ArmBox& box, const Scale& scale) {
  const At middle = middle_of(box, scale);
  const int height = static_cast<int>(box.rows.size());
  std::vector<Rectangle> parts{around(middle, height, box.width)};
  if (!box.caption.empty()) {
    const int width = columns_of(box.caption);
    parts.push_back({parts[0].top + height, middle.column - width / 2, 1, width});
  }
  return parts;
}

bool fits(const std::vector<ArmBox>& boxes, const Scale& scale, int columns) {
  const Rectangle hub = around({0, 0}, hub_height, hub_width).grown(1, 1);
  std::vector<Rectangle> earlier;
  for (const ArmBox& box : boxes) {
    const std::vector<Rectangle> parts = parts_of(box, scale);
    for (const Rectangle& part : parts) {
      const Rectangle with_margin = part.grown(0, 1);
      const bool crowded = std::any_of(earlier.begin(), earlier.end(),
                                       [&](const Rectangle& other) { return with_margin.touches(other); });
      const bool outside = std::max(-part.left, part.left + part.width) > (columns - 1) / 2;
      if (crowded || outside || with_margin.touches(hub)) return false;
    }
    earlier.insert(earlier.end(), parts.begin(), parts.end());
  }
  return true;
}

int rows_at(const std::vector<ArmBox>& boxes, const Scale& scale) {
  int top = -hub_height / 2, bottom = hub_height / 2;
  for (const ArmBox& box : boxes) {
    for (const Rectangle& part : parts_of(box, scale)) {
      top = std::min(top, part.top);
      bottom = std::max(bottom, part.top + part.height - 1);
    }
  }
  return bottom - top + 1;
}

// The smallest that fits, or, where the picture is given so many rows, the largest.
std::optional<Scale> best_scale(const std::vector<ArmBox>& boxes, int columns, int rows) {
  double widest = columns;
  for (const ArmBox& box : boxes) {
    const int half = std::max(box.width, columns_of(box.caption)) / 2 + 1;
    const int room = (columns - 1) / 2 - half;  // whole columns
    if (std::abs(box.y) > 0.1) widest = std::min(widest, room / std::abs(box.y));
  }
  std::optional<Scale> best;
  // A flat picture where a round one is too high.
  for (const double broad : {1.2, 1.5, 1.9, 2.4}) {
    for (int ring = nearest_ring; ring <= farthest_ring; ++ring) {
      const double half = ring / 2.0;
      const Scale scale{half, std::min(half * columns_per_row * broad, widest)};
      if (!fits(boxes, scale, columns) || (rows > 0 && rows_at(boxes, scale) > rows)) continue;
      best = scale;
      if (rows == 0) return best;
    }
    if (best) return best;
  }
  return best;
}

// From the hub to a box; both are drawn over its ends afterwards.
void draw_arm(Canvas& canvas, At hub, At end, const Glyphs& glyphs) {
  const int rows = end.row - hub.row;
  const int columns = end.column - hub.column;
  if (rows == 0 && columns == 0) return;
  const bool level = rows == 0;
  const bool flat = std::abs(columns) > 3 * std::abs(rows);
  const int steps = level ? std::abs(columns) : flat ? std::abs(columns) / 2 : std::abs(rows);
  std::string_view glyph = glyphs.upright;
  if (level) {
    glyph = glyphs.flat;
  } else if (flat) {
    glyph = glyphs.dot;
  } else if (std::abs(columns) * 2 > std::abs(rows)) {
    glyph = (rows > 0) == (columns > 0) ? glyphs.falling : glyphs.rising;
  }
  for (int i = 1; i <= steps; ++i) {
    const double part = static_cast<double>(i) / steps;
    const At at{hub.row + static_cast<int>(std::lround(part * rows)),
                hub.column + static_cast<int>(std::lround(part * columns))};
    canvas.put(at, glyph, Ink::faint);
  }
}

void draw_box(Canvas& canvas, const ArmBox& box, const Rectangle& where) {
  int row = where.top;
  for (const auto& spans : box.rows) {
    int column = where.left;
    for (const Span& span : spans) {
      canvas.put({row, column}, span.text, span.ink);
      column += columns_of(span.text);
    }
    ++row;
  }
}

// A body with a nose.
void draw_hub(Canvas& canvas, At hub, NoseSide nose, const Glyphs& g) {
  const std::string front(nose == NoseSide::away
                              ? std::string(g.rising) + std::string(g.up) + std::string(g.falling)
                              : std::string(g.falling) + std::string(g.down) + std::string(g.rising));
  const std::string middle = std::string(g.upright) + " " + std::string(g.upright);
  const std::string tail =
      nose == NoseSide::away ? std::string(g.bottom_left) + std::string(g.flat) + std::string(g.bottom_right)
                             : std::string(g.top_left) + std::string(g.flat) + std::string(g.top_right);
  const int left = hub.column - 1;
  canvas.put({hub.row - 1, left}, nose == NoseSide::away ? front : tail);
  canvas.put({hub.row, left}, middle);
  canvas.put({hub.row + 1, left}, nose == NoseSide::away ? tail : front);
}

void put_centred(Canvas& canvas, int row, int column, const std::string& text, Ink ink) {
  canvas.put({row, column - columns_of(text) / 2}, text, ink);
}

}  // namespace

Picture laid_out(const std::vector<ArmBox>& boxes, NoseSide nose, Standing standing, const Style& style) {
  const int words =
      standing == Standing::at_the_bottom ? 2 : 0;  // rows for "nose" and "you", where both need one
  const int columns = std::min(style.columns, widest_text);
  const std::optional<Scale> scale =
      best_scale(boxes, columns, style.rows > 0 ? std::max(1, style.rows - words) : 0);
  if (!scale) return {};
  int top = -hub_height / 2;
  int bottom = hub_height / 2;
  int side = hub_width;
  int under_middle = bottom;  // the lowest row that has something where the words at the bottom stand
  constexpr int word = 3;
  for (const ArmBox& box : boxes) {
    for (const Rectangle& part : parts_of(box, *scale)) {
      if (part.left <= word && part.left + part.width > -word)
        under_middle = std::max(under_middle, part.top + part.height - 1);
      top = std::min(top, part.top);
      bottom = std::max(bottom, part.top + part.height - 1);
      side = std::max({side, -part.left, part.left + part.width});
    }
  }
  const Glyphs& glyphs = glyphs_of(style);
  const int middle = side;
  const int above = -top + 1;  // one row for the word at the top
  Canvas canvas(bottom + above + 3, 2 * side + 1);
  const At hub{above, middle};
  for (const ArmBox& box : boxes) {
    const At end = middle_of(box, *scale);
    draw_arm(canvas, hub, {end.row + above, end.column + middle}, glyphs);
  }
  draw_hub(canvas, hub, nose, glyphs);
  for (const ArmBox& box : boxes) {
    const std::vector<Rectangle> parts = parts_of(box, *scale);
    draw_box(canvas, box, {parts[0].top + above, parts[0].left + middle, parts[0].height, parts[0].width});
    if (parts.size() > 1)
      canvas.put({parts[1].top + above, parts[1].left + middle - 1}, " " + box.caption + " ");
  }
  const bool nose_up = nose == NoseSide::away;
  if (standing == Standing::at_the_bottom) {
    const int last = above + (under_middle < bottom ? bottom : bottom + 1);
    put_centred(canvas, nose_up ? 0 : last, middle, "nose", Ink::strong);
    put_centred(canvas, nose_up ? last : last + 1, middle, "you", Ink::plain);
  }
  return canvas.picture();
}

}  // namespace armwise::ui
