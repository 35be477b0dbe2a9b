// A stick plan in sentences. Private to this layer.
#pragma once

#include "armwise/solve/sticks.hpp"

namespace armwise::solve {

struct BoardLies {
  craft::Degrees yaw;
  bool flat = true;
  bool upside_down = false;
};

// Fills in settings, in_words, costs, gains and words.
void describe(StickPlan& plan, const BoardLies& board, const craft::Frame& frame, craft::PropScheme scheme);

}  // namespace armwise::solve
