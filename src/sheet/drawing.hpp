// Where the parts of a picture go. Units of the picture: an arm is 100 long; x to the right, y down the page.
#pragma once

#include <string>
#include <vector>

#include "armwise/craft/frame.hpp"

namespace armwise::sheet {

struct Point {
  double x = 0, y = 0;
};

enum class Anchor { start, middle, end };

// Where one place's disc and its words go.
struct Spot {
  Point disc;
  Point words;  // the first line's base line
  Anchor anchor = Anchor::middle;
  bool beside = false;  // the words stand at the disc's side, not above or below it
};

struct Drawing {
  double radius = 0;        // of a disc
  std::vector<Spot> spots;  // one for each place
  double half_width = 0;    // around the hub, words included
  double top = 0, bottom = 0;
};

// `letters`: the width of each place's words, in average letters. `lines`: how many lines of words a disc
// has.
Drawing drawing_of(const craft::Frame& frame, const std::vector<double>& letters, int lines);

inline constexpr double letter_size = 11.5, line_height = 13.5, letter_width = 5.8;

}  // namespace armwise::sheet
