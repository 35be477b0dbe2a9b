// The craft from above, as text. Pure: what is to be shown in, lines out.
//
// The nose is up, or, where it points toward the person, down; the picture is then turned by half a turn,
// never mirrored, so that clockwise stays clockwise. Each picture also stands as sentences.
#pragma once

#include <span>
#include <string>
#include <vector>

#include "armwise/craft/frame.hpp"
#include "armwise/craft/placed_turn.hpp"
#include "armwise/craft/turn.hpp"
#include "armwise/session/person.hpp"
#include "armwise/ui/keys.hpp"
#include "armwise/ui/style.hpp"

namespace armwise::ui {

struct Span {
  std::string text;
  Ink ink = Ink::plain;
};

struct Picture {
  std::vector<std::vector<Span>> lines;  // without colour codes; widths as columns_of() counts
  bool empty() const { return lines.empty(); }
  int columns() const;
};

std::vector<std::string> rendered(const Picture& picture, const Style& style);

// What turns where, as the practice craft tells it.
using Moving = craft::PlacedTurn;

// All of these are at most `style.columns` wide, and empty where the craft cannot be drawn so narrowly: then
// the sentences stand alone.

// The keycap beside each arm, and nothing that could give the answer away.
Picture asking_picture(const craft::Frame& frame, const ArmKeys& keys, const Style& style);
// Motor numbers and turns. A turn that is not the one wanted is marked with "!".
Picture craft_picture(const session::CraftView& view, const Style& style);
// Side by side where the width allows, else one under the other.
Picture craft_pictures(std::span<const session::CraftView> views, const Style& style);
// What one would see at the bench.
Picture moving_picture(const craft::Frame& frame, std::span<const Moving> moving, NoseSide nose,
                       const Style& style);

// The two turns beside each other, each with its arrow key.
Picture turn_picture(const Style& style);

// One sentence for each place, led by the title.
std::vector<std::string> in_sentences(const session::CraftView& view);
std::vector<std::string> in_sentences(const craft::Frame& frame, const ArmKeys& keys);
std::vector<std::string> in_sentences(const craft::Frame& frame, std::span<const Moving> moving);

}  // namespace armwise::ui
