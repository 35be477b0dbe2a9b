// Pointing at a part of what a console said: its lines, and which of the places in them is meant. Pure.
#pragma once

#include <vector>

#include "armwise/ui/keys.hpp"
#include "screen.hpp"

namespace armwise::ui {

// Whether each of its choices but the last ("none of these") stands somewhere in what is shown.
bool is_pointed_at(const session::Question& question);

class Pointer {
 public:
  // Of a question that is pointed at; it outlives this. Begins at the first place, or at the marked one.
  explicit Pointer(const session::Question& question);

  // Left and right: the place before, the one behind. Up and down: the same in another line; where places
  // lie within each other, the one around this, and the first one inside it. False: nothing lies there.
  bool move(Key::Kind arrow);

  const session::Choice& choice() const { return *places_[at_]; }

  // The lines around that place, at most `style.rows` rows, and always as wide.
  Picture drawn(const Style& style) const;

 private:
  const session::PlaceInText& where(std::size_t i) const { return *places_[i]->where; }

  const session::Question& question_;
  std::vector<const session::Choice*> places_;  // in the order of the text, the wider one first
  std::size_t at_ = 0;
};

}  // namespace armwise::ui
