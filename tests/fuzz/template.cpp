// Templates out of strangers' profiles, and lines that are read with them.
//
// Input: a byte whose lowest bit asks for case, then the template, the line, and the values that are put into
// the blanks, with a zero byte between each two.
#include "armwise/console/template.hpp"

#include <algorithm>
#include <cstdint>
#include <string>
#include <vector>

#include "fuzz/must.hpp"

namespace armwise::fuzz {
namespace {

using console::BlankType;
using console::Piece;
using console::Template;
using console::Values;

std::vector<std::string> split(std::string_view bytes) {
  std::vector<std::string> parts(1);
  for (const char c : bytes) {
    if (c == '\0') {
      parts.emplace_back();
    } else {
      parts.back() += c;
    }
  }
  return parts;
}

// What is written is another text than the value: "M3" by its number, "007" in base 16.
bool is_notation(BlankType type) {
  return type == BlankType::comma || type == BlankType::hex || type == BlankType::number;
}

bool is_number(BlankType type) {
  return type == BlankType::whole || type == BlankType::decimal;
}

bool holds_any_of(const std::string& text, const std::string& characters) {
  return lower_case(text).find_first_of(lower_case(characters)) != std::string::npos;
}

bool is_loose(const std::string& value) {
  return value != trimmed(value) || value.find("  ") != std::string::npos;
}

// True where a reader can tell where each value ends: no value holds what a literal is made of, and no number
// is followed by what could be more of it.
bool is_unambiguous(const Template& made, const Values& values) {
  std::string literals;
  for (const Piece& piece : made.pieces()) {
    if (!piece.blank) literals += piece.text;
  }
  const std::vector<Piece>& pieces = made.pieces();
  for (std::size_t i = 0; i < pieces.size(); ++i) {
    if (!pieces[i].blank) continue;
    // Two blanks side by side: each ends by its kind, unless the second goes on like the first.
    if (is_notation(pieces[i].type) || (i > 0 && pieces[i - 1].blank)) return false;
    const std::string& value = values.at(pieces[i].text);
    if (value.empty() || is_loose(value)) return false;
    // The sign outside ASCII is read as the one that consoles write.
    if (is_number(pieces[i].type) && value.find("\u2212") != std::string::npos) return false;
    if (!is_number(pieces[i].type) && holds_any_of(value, literals)) return false;
    if (is_number(pieces[i].type) && i + 1 < pieces.size() &&
        holds_any_of(pieces[i + 1].text.substr(0, 1), "0123456789.eE+-"))
      return false;
  }
  return true;
}

void check_writing(const Template& made, const std::vector<std::string>& parts, bool case_sensitive) {
  Values values;
  std::size_t next = 2;
  for (const Piece& piece : made.pieces()) {
    if (!piece.blank || values.contains(piece.text)) continue;
    values[piece.text] = next < parts.size() ? parts[next] : "7";
    ++next;
  }
  std::string line;
  try {
    line = made.format(values);
  } catch (const Fault& fault) {
    must(fault.kind() == FaultKind::bad_data, "a value that does not fit is bad data", fault.what());
    must_be_sayable(fault.sentence());
    return;
  }
  must_be_sayable(line);
  if (!is_unambiguous(made, values)) return;
  const auto read = made.match(line, case_sensitive);
  must(read == values, "what is written reads back", line);
  must(made.match(" \t" + line + "  ", case_sensitive) == values, "blanks around a line do not count", line);
}

void check_reading(const Template& made, const std::string& line, bool case_sensitive) {
  const auto read = made.match(line, case_sensitive);
  if (read) {
    must(made.match(line, false).has_value(), "what matches with case matches without", line);
    for (const Piece& piece : made.pieces()) {
      if (!piece.blank) continue;
      must(read->contains(piece.text), "each blank has a value", piece.text);
      const bool may_be_empty = piece.type == BlankType::rest || piece.type == BlankType::text;
      must(may_be_empty || !read->at(piece.text).empty(), "a word or a number is not empty", line);
    }
  }
  const std::vector<Values> all = made.match_all(line, case_sensitive);
  must(all.size() <= line.size(), "matches do not overlap", line);
  for (const Values& values : all) {
    for (const auto& [blank, value] : values)
      must(value.size() <= 256, "a value inside a text has at most 256 characters", value);
  }
}

void check(std::string_view bytes) {
  if (bytes.empty()) return;
  const bool case_sensitive = (static_cast<unsigned char>(bytes.front()) & 1U) != 0;
  std::vector<std::string> parts = split(bytes.substr(1));
  if (parts.size() < 2) parts.emplace_back();
  Template made;
  try {
    made = Template::parse(parts[0]);
  } catch (const Fault& fault) {
    must(fault.kind() == FaultKind::bad_profile, "a template that cannot be read is a bad profile",
         fault.what());
    must_be_a_fair_refusal(fault);
    return;
  }
  must(Template::parse(made.source()).pieces() == made.pieces(), "a template's source is the template");
  check_reading(made, parts[1], case_sensitive);
  check_writing(made, parts, case_sensitive);
}

}  // namespace
}  // namespace armwise::fuzz

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  armwise::fuzz::check({reinterpret_cast<const char*>(data), size});
  return 0;
}
