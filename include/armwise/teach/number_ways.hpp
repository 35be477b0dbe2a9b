// Numbers as consoles write them.
#pragma once

#include <string>
#include <vector>

#include "armwise/teach/pointing.hpp"

namespace armwise::teach {

struct NumberAt {
  Span at;
  std::string value;     // as armwise counts: "0.03" of "0,03", "26" of "1A"
  std::string notation;  // a template's type; empty: usual
};

// As a person would, who also says how it is written.
void point_at(Pointed& example, const std::string& blank, const NumberAt& number);

// Each way to read the numbers of a line, the likeliest first: as words of their own, with a decimal comma,
// in base 16, or touched by something else, a unit or a name ("90°", "y90").
std::vector<std::vector<NumberAt>> number_ways(const std::string& line);

}  // namespace armwise::teach
