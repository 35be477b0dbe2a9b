// The parts of the page, each a piece of HTML out of the record.
#pragma once

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

#include "armwise/record/craft_record.hpp"
#include "armwise/sheet/sheet.hpp"

namespace armwise::sheet {

// How much goes on the page. What is cut says so; the record has it all.
struct Room {
  std::string_view css;     // classes of the body
  double lines;             // of type that fit beside the pictures
  double letters;           // of a line across the whole page
  std::size_t fact;         // the longest, in characters
  std::size_t answers;      // in one cell, of at most 40 characters each
  std::size_t notes, note;  // how many, and the longest
};
// The roomiest one in which everything fits; the last one always does.
const Room& room_for(const record::CraftRecord& record);

std::string verdict(const record::CraftRecord& record);
std::string facts(const record::CraftRecord& record, const Room& room);
std::string settings(const record::CraftRecord& record);
std::string what_was_seen(const record::CraftRecord& record, const Room& room);
// What the person wrote down, and what follows from the rest of the record.
std::string notes(const record::CraftRecord& record, const Room& room);
std::string footer(const RecordFile& file);

// How many lines each part takes.
double lines_of_facts(const record::CraftRecord& record, const Room& room);
double lines_of_settings(const record::CraftRecord& record, const Room& room);
double lines_seen(const record::CraftRecord& record, const Room& room);

// The small letter that says where a fact comes from; empty where the record does not say.
std::string mark(const record::CraftRecord& record, const std::string& fact);
std::string mark(record::Source source);

// Deviations: what a reader of the page must know, in sentences. Never empty where something is not as it
// should.
std::vector<std::string> deviations(const record::CraftRecord& record);

}  // namespace armwise::sheet
