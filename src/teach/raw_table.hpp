// Tables as they stand in a reply, before anyone says what their columns mean.
#pragma once

#include <cstddef>
#include <string>
#include <vector>

#include "armwise/teach/reply_table.hpp"
#include "words.hpp"

namespace armwise::teach {

struct RawTable {
  Tokens like;                       // of the first row; the tokens that vary are columns
  std::vector<std::size_t> columns;  // where in `like`, from left to right
  std::vector<Tokens> rows;
  std::vector<std::size_t> lines;  // of the reply; of items all the same one
  // Pieces of one line: what stands before, between and after them.
  bool items = false;
  std::string before, between, after;

  std::vector<std::string> column(std::size_t token) const;
};

// Rows of at least `fewest` lines or items; at most four columns vary.
std::vector<RawTable> raw_tables(const Lines& reply, std::size_t fewest);

}  // namespace armwise::teach
