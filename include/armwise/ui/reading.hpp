// What a person types as an answer, read as one. Pure.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include "armwise/session/person.hpp"

namespace armwise::ui {

struct StopWanted {};
// A spin: the arm is said, the turn not yet.
struct PlaceOnly {
  craft::PlaceIndex place = 0;
};
// No answer to this question: why, and what would be one.
struct Unread {
  std::string why;
};
using Reading = std::variant<session::Answer, StopWanted, PlaceOnly, Unread>;

// Words: "yes", "quad-x" (or its number in the list), "front-left cw", "fl nose", "none", "several", "again",
// "back", "stop", "ready", "spin". `place`: a spin's arm, where it was said before. An empty line is no
// answer.
Reading read_words(const session::Question& question, std::string_view line,
                   std::optional<craft::PlaceIndex> place = std::nullopt);

// A line of text taken as it stands, without the blanks around it; where it stands in double quotes, what
// stands between them, so that "stop" and "back" can be said too. The question's own word keeps its quotes:
// whoever asked tells it by them from the word that leaves it out.
Reading read_text_answer(const session::Question& question, std::string_view line);

// What could be typed, as one sentence.
std::string what_can_be_said(const session::Question& question,
                             std::optional<craft::PlaceIndex> place = std::nullopt);

// What a question of kind go spins: "P3"; "motor 2" where no pin is known.
std::string spun_by(const session::Question& question);

// An answer in words, for echoes: "front-left, clockwise".
std::string in_words(const session::Question& question, const session::Answer& answer);

std::vector<std::string> place_names(const craft::Frame& frame);

}  // namespace armwise::ui
