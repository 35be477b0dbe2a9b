// The craft from above, as text. Pure: what is to be shown in, lines out.
//
// The nose is up, or, where it points toward the person, down; the picture is then turned by half a turn,
// never mirrored, so that clockwise stays clockwise. Each picture also stands as sentences.
#pragma once

#include <map>
#include <optional>
#include <span>
#include <string>
#include <string_view>
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

// What a person has said of a place, and which pin was spun for it.
struct Noted {
  std::string pin;
  std::optional<craft::Turn> turn;
};
using NotedAt = std::map<craft::PlaceIndex, Noted>;

// A round of spins, as far as it has come.
struct Spinning {
  NotedAt noted;
  std::vector<Moving> moving;  // in practice: what one would see at the bench
  int step = 0;                // how far the moving arcs have run
};

// arms: of a pair either key says the arm, and no direction. none: the same craft, with nothing in its rings.
enum class Caps { shown, arms, none };
// Each arm's keys, or what was said of it; nothing that could give an answer away but what moves.
Picture asking_picture(const craft::Frame& frame, const ArmKeys& keys, const Style& style,
                       const Spinning& spinning = {}, Caps caps = Caps::shown);
// Motor numbers, directions and pins. A direction that is not the one wanted is marked.
Picture craft_picture(const session::CraftView& view, const Style& style);
// As it is and as it will be, side by side where the width allows, else one under the other; what is to
// change is marked in the first as wrong, and with a "*" in the second.
Picture craft_pictures(std::span<const session::CraftView> views, const Style& style);
// What the marks of two pictures mean.
std::string legend(const Style& style);
// The two directions beside each other, each with its arrow key.
Picture turn_picture(const Style& style, int step = 0);
// The craft from the side as it is to be held for a pose of that name: "nose-down"; empty for any other.
Picture pose_picture(std::string_view pose, const Style& style);

// One sentence for each place, led by the title.
std::vector<std::string> in_sentences(const session::CraftView& view);
std::vector<std::string> in_sentences(const craft::Frame& frame, const ArmKeys& keys);
std::vector<std::string> in_sentences(const craft::Frame& frame, std::span<const Moving> moving);

}  // namespace armwise::ui
