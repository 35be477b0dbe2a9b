// The craft seen from above, nose up, as SVG: arms, motor numbers, and turns as arcs. Pure.
//
// Legible in grey: what is not as it should be is filled dark and dashed, and says in words what it should
// be. Each picture also stands as sentences in its <desc>.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "armwise/record/craft_record.hpp"

namespace armwise::sheet {

enum class Side { before, after };
std::string_view title(Side side);  // "Before", "After"

// One picture, for inside a page.
std::string svg(const record::CraftRecord& record, Side side);
// Both, side by side: a file of its own.
std::string svg(const record::CraftRecord& record);

// "front-left: motor 3 on pin P4, clockwise; should be motor 2."
std::vector<std::string> in_sentences(const record::CraftRecord& record, Side side);

}  // namespace armwise::sheet
