#include "armwise/craft/turn.hpp"

#include <algorithm>
#include <array>
#include <string>

#include "armwise/base/text.hpp"

namespace armwise::craft {
namespace {

// As a person types it or a file holds it: case and outer blanks do not matter.
std::string folded(std::string_view text) {
  return lower_case(trimmed(text));
}

template <std::size_t count>
bool one_of(const std::string& text, const std::array<std::string_view, count>& spellings) {
  return std::find(spellings.begin(), spellings.end(), text) != spellings.end();
}

constexpr std::array<std::string_view, 2> clockwise{"cw", "clockwise"};
constexpr std::array<std::string_view, 5> counter_clockwise{"ccw", "counter-clockwise", "counterclockwise",
                                                            "anti-clockwise", "anticlockwise"};
constexpr std::array<std::string_view, 3> inward{"in", "props in", "props-in"};
constexpr std::array<std::string_view, 3> outward{"out", "props out", "props-out"};

}  // namespace

std::string_view name(Turn turn) {
  return turn == Turn::cw ? "cw" : "ccw";
}

std::string_view in_words(Turn turn) {
  return turn == Turn::cw ? "clockwise" : "counter-clockwise";
}

std::string_view name(PropScheme scheme) {
  return scheme == PropScheme::in ? "in" : "out";
}

std::string_view in_words(PropScheme scheme) {
  return scheme == PropScheme::in ? "props in" : "props out";
}

std::optional<Turn> turn_named(std::string_view text) {
  const std::string typed = folded(text);
  if (one_of(typed, clockwise)) return Turn::cw;
  if (one_of(typed, counter_clockwise)) return Turn::ccw;
  return std::nullopt;
}

std::optional<PropScheme> scheme_named(std::string_view text) {
  const std::string typed = folded(text);
  if (one_of(typed, inward)) return PropScheme::in;
  if (one_of(typed, outward)) return PropScheme::out;
  return std::nullopt;
}

}  // namespace armwise::craft
