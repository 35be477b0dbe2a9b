// Which way a motor turns, and which prop scheme a craft flies.
#pragma once

#include <optional>
#include <string_view>

namespace armwise::craft {

// As seen from above the craft, always, also where the motor hangs upside down under an arm.
enum class Turn { cw, ccw };

// in: the blades at the front sweep in over the nose (front-left cw); out: away from it.
// Common practice, no source. For frames with an arm on the nose see frame.hpp.
enum class PropScheme { in, out };

constexpr Turn opposite(Turn turn) {
  return turn == Turn::cw ? Turn::ccw : Turn::cw;
}
constexpr PropScheme other(PropScheme scheme) {
  return scheme == PropScheme::in ? PropScheme::out : PropScheme::in;
}

std::string_view name(Turn turn);              // "cw", "ccw"
std::string_view in_words(Turn turn);          // "clockwise", "counter-clockwise"
std::string_view name(PropScheme scheme);      // "in", "out"
std::string_view in_words(PropScheme scheme);  // "props in", "props out"
std::optional<Turn> turn_named(std::string_view text);
std::optional<PropScheme> scheme_named(std::string_view text);

}  // namespace armwise::craft
