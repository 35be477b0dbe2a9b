// A sheet of character cells on which a picture is put together.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "armwise/ui/picture.hpp"

namespace armwise::ui {

// The few shapes that a picture is made of.
struct Glyphs {
  std::string_view top_left, top_right, bottom_left, bottom_right, flat, upright, tee_left, tee_right;
  std::string_view right, left, up, down;         // arrow heads
  std::string_view rising, falling, dot;          // pieces of an arm
  std::string_view clockwise, counter_clockwise;  // a direction in one sign
  std::string_view good, bad;
};
std::string_view sign_of(craft::Turn turn, const Glyphs& glyphs);
const Glyphs& glyphs_of(const Style& style);

struct At {
  int row = 0, column = 0;
};

class Canvas {
 public:
  Canvas(int rows, int columns);
  // Each code point takes one cell; what lies outside is left away.
  void put(At at, std::string_view text, Ink ink = Ink::plain);
  std::vector<std::vector<Span>> rows() const;
  // Without empty lines above and below and without blanks at the right; the left margin is kept.
  Picture picture() const;

 private:
  struct Cell {
    std::string glyph = " ";
    Ink ink = Ink::plain;
  };
  std::vector<std::vector<Cell>> cells_;
};

// The edge of a box around `inside`, rows of equal width; where something turns, an arc with its head, which
// has run on by `step` cells and leaves a dotted trail behind.
struct Arc {
  std::optional<craft::Turn> turn;
  int step = 0;
  Ink ink = Ink::plain;
};
std::vector<std::vector<Span>> ringed(const std::vector<std::vector<Span>>& inside, int width, const Arc& arc,
                                      const Glyphs& glyphs);

// One arm's end: a box of text lines, all `width` wide, around a point of the craft.
struct ArmBox {
  double x = 0, y = 0;  // toward the top and to the right of the picture, in arm lengths
  std::vector<std::vector<Span>> rows;
  int width = 0;
  std::string caption;  // under the box
};

// Whether the picture says where the person stands.
enum class Standing { unknown, at_the_bottom };

// Boxes around a hub with the nose marked; empty where they do not fit into the style's columns.
Picture laid_out(const std::vector<ArmBox>& boxes, NoseSide nose, Standing standing, const Style& style);

Picture side_by_side(const Picture& left, const Picture& right, int gap);
Picture one_under_the_other(const Picture& above, const Picture& below);

}  // namespace armwise::ui
