// Where three more numbers stand in the accelerometer's reply.
#include <algorithm>
#include <string>
#include <utility>

#include "armwise/teach/gyro.hpp"
#include "number_line.hpp"
#include "sites.hpp"

namespace armwise::teach {
namespace {

using console::Query;
using console::Template;

// In lines, and in words and signs; what is longer is a whole configuration, or a console that floods.
constexpr std::size_t longest_reply = 100;

// A line with numbers, and which of them are the accelerometer's.
struct NumberLine {
  Tokens tokens;
  BlankPlaces taken;              // by {x}, {y} or {z}
  std::vector<std::size_t> free;  // tokens that are other numbers
  std::size_t of = 0;             // the accelerometer's template that reads it; or there is none:
  bool is_its = false;
};

struct Place {
  std::size_t line = 0, token = 0;
};
using Places = std::array<Place, 3>;

std::vector<std::string> blanks_of(const Template& like) {
  std::vector<std::string> names;
  for (const console::Piece& piece : like.pieces()) {
    if (piece.blank) names.push_back(piece.text);
  }
  return names;
}

// Each number of an accelerometer's line is a blank of its template, in the same order.
void mark_taken(NumberLine& line, const Template& like) {
  const std::vector<std::string> names = blanks_of(like);
  std::vector<std::size_t> all;
  std::swap(all, line.free);
  if (names.size() != all.size()) return;
  for (std::size_t i = 0; i < all.size(); ++i) {
    if (names[i] == "skip") {
      line.free.push_back(all[i]);
    } else {
      line.taken[all[i]] = names[i];
    }
  }
}

std::vector<NumberLine> number_lines(const Lines& reply, const Query& accelerometer) {
  std::vector<NumberLine> lines;
  for (const std::string& text : reply) {
    NumberLine line;
    line.tokens = tokens_of(text);
    if (line.tokens.size() > longest_line) continue;
    for (std::size_t i = 0; i < line.tokens.size(); ++i) {
      if (line.tokens[i].word && is_number(line.tokens[i].text)) line.free.push_back(i);
    }
    for (line.of = 0; line.of < accelerometer.lines.size() && !line.is_its; ++line.of)
      line.is_its = accelerometer.lines[line.of].match(text).has_value();
    if (line.is_its) mark_taken(line, accelerometer.lines[--line.of]);
    lines.push_back(std::move(line));
  }
  return lines;
}

std::vector<Places> places_in(const std::vector<NumberLine>& lines) {
  std::vector<Places> all;
  for (std::size_t i = 0; i < lines.size(); ++i) {
    const std::vector<std::size_t>& free = lines[i].free;
    for (std::size_t k = 0; k + 3 <= free.size(); ++k)
      all.push_back({{{i, free[k]}, {i, free[k + 1]}, {i, free[k + 2]}}});
    if (i + 3 > lines.size()) continue;
    const bool one_each =
        std::all_of(lines.begin() + static_cast<std::ptrdiff_t>(i),
                    lines.begin() + static_cast<std::ptrdiff_t>(i) + 3, [&](const NumberLine& line) {
                      return line.free.size() == 1 && line.taken.empty() &&
                             shape_of(line.tokens) == shape_of(lines[i].tokens);
                    });
    if (one_each)
      all.push_back({{{i, lines[i].free[0]}, {i + 1, lines[i + 1].free[0]}, {i + 2, lines[i + 2].free[0]}}});
  }
  return all;
}

// Absent where a line cannot be said, or would be read by a template that stands before it.
std::optional<Query> with(const Query& accelerometer, const std::vector<NumberLine>& lines,
                          const Places& places, const Lines& reply) {
  Query query = accelerometer;
  std::map<std::size_t, BlankPlaces> blanks;
  for (std::size_t k = 0; k < places.size(); ++k)
    blanks[places.at(k).line][places.at(k).token] = gyro_names.at(k);
  for (auto& [at, its] : blanks) {
    const NumberLine& line = lines[at];
    its.insert(line.taken.begin(), line.taken.end());
    const auto like = line_with(line.tokens, passing_over_numbers(line.tokens, its));
    if (!like) return std::nullopt;
    if (line.is_its) {
      query.lines[line.of] = *like;
    } else {
      query.lines.push_back(*like);
    }
  }
  console::Values wanted = values_read(accelerometer, reply);
  for (std::size_t k = 0; k < places.size(); ++k)
    wanted[gyro_names.at(k)] = lines[places.at(k).line].tokens[places.at(k).token].text;
  if (values_read(query, reply) != wanted) return std::nullopt;
  return query;
}

Template renamed(const Template& like, const std::map<std::string, std::string>& names) {
  std::string source;
  for (const console::Piece& piece : like.pieces()) {
    const auto name = names.find(piece.text);
    source +=
        !piece.blank ? as_literal(piece.text) : "{" + (name == names.end() ? piece.text : name->second) + "}";
  }
  return Template::parse(source);
}

std::string opposite_axis(const std::string& axis) {
  return axis.starts_with('-') ? axis.substr(1) : "-" + axis;
}

}  // namespace

std::vector<Query> with_three_more(const Lines& reply, const Query& accelerometer, std::size_t most) {
  std::vector<Query> found;
  if (reply.size() > longest_reply) return found;
  const std::vector<NumberLine> lines = number_lines(reply, accelerometer);
  for (const Places& places : places_in(lines)) {
    if (found.size() == most) break;
    if (auto query = with(accelerometer, lines, places, reply)) found.push_back(std::move(*query));
  }
  return found;
}

void take_gyro(console::SenseAbility& sense, const Query& read, const GyroFound& found) {
  std::map<std::string, std::string> names;
  for (std::size_t k = 0; k < gyro_names.size(); ++k)
    names[gyro_names.at(found.stands.at(k))] = gyro_names.at(k);
  sense.read.lines.clear();
  for (const Template& like : read.lines) sense.read.lines.push_back(renamed(like, names));
  sense.per_dps = found.per_dps;
  if (!found.mirrored) return;
  for (std::string& axis : sense.axes) axis = opposite_axis(axis);
  sense.specific_force = !sense.specific_force;
}

}  // namespace armwise::teach
