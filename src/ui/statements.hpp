// Statements and questions as lines of text: what the terminal and the plain front end have in common.
#pragma once

#include <string>
#include <vector>

#include "armwise/session/person.hpp"
#include "armwise/ui/style.hpp"

namespace armwise::ui {

enum class Shown { with_pictures, in_sentences };

// Printable, and, with pictures, wrapped to the style's columns.
std::vector<std::string> lines_of(const session::Statement& statement, Shown shown, const Style& style);

std::string prefix_of(session::Level level);                      // "DANGER: ", "Problem: ", ""
std::string seconds_in_words(Duration duration);                  // "0.9 s"
std::string joined_lines(const std::vector<std::string>& lines);  // each with its line end

}  // namespace armwise::ui
