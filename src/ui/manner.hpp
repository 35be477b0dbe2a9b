// How a question is put on a terminal.
#pragma once

#include "armwise/session/person.hpp"

namespace armwise::ui {

enum class Manner {
  yes_or_no,
  list,
  pointed,  // a choice whose places stand in what the console said
  place,    // a choice whose keys are places of a frame: in the picture
  small,    // a second word about a spin: one line on that spin's screen
  typed,
  pose,
  go,
  spin,
};
Manner manner_of(const session::Question& question);
// One of those between "Space spins it" and the next of those: where one is in the round stays on the screen.
bool is_of_a_spin(const session::Question& question);

}  // namespace armwise::ui
