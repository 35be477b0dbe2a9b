// Where three more numbers stand in the accelerometer's reply.
#include <algorithm>
#include <string>
#include <utility>

#include "armwise/teach/gyro.hpp"
#include "armwise/teach/number_ways.hpp"
#include "sites.hpp"
#include "words.hpp"

namespace armwise::teach {
namespace {

using console::Query;
using console::Template;

// In lines, and in words and signs; what is longer is a whole configuration, or a console that floods.
constexpr std::size_t longest_reply = 100;

// A line of the reply, with the accelerometer's numbers pointed at, and its other numbers.
struct NumberLine {
  Pointed its;
  std::vector<NumberAt> free;
};
struct Place {
  std::size_t line = 0;
  NumberAt number;
};
using Places = std::array<Place, 3>;

// Each number of an accelerometer's line is a blank of its template, in the same order.
NumberLine number_line(const std::string& text, const Query& accelerometer) {
  NumberLine line{{text, {}}, {}};
  const auto like = std::find_if(accelerometer.lines.begin(), accelerometer.lines.end(),
                                 [&](const Template& each) { return each.match(text).has_value(); });
  std::vector<std::string> names;
  if (like != accelerometer.lines.end()) {
    for (const console::Piece& piece : like->pieces()) {
      if (piece.blank) names.push_back(piece.text);
    }
  }
  for (const std::vector<NumberAt>& way : number_ways(text)) {
    if (!names.empty() && names.size() != way.size()) continue;
    for (std::size_t i = 0; i < way.size(); ++i) {
      if (names.empty() || names[i] == "skip") {
        line.free.push_back(way[i]);
      } else {
        point_at(line.its, names[i], way[i]);
      }
    }
    break;
  }
  return line;
}

std::vector<Places> places_in(const std::vector<NumberLine>& lines) {
  std::vector<Places> all;
  for (std::size_t i = 0; i < lines.size(); ++i) {
    const std::vector<NumberAt>& free = lines[i].free;
    for (std::size_t k = 0; k + 3 <= free.size(); ++k)
      all.push_back({{{i, free[k]}, {i, free[k + 1]}, {i, free[k + 2]}}});
    if (i + 3 > lines.size()) continue;
    const bool one_each =
        std::all_of(lines.begin() + static_cast<std::ptrdiff_t>(i),
                    lines.begin() + static_cast<std::ptrdiff_t>(i) + 3, [&](const NumberLine& line) {
                      return line.free.size() == 1 && line.its.at.empty() &&
                             shape_of(tokens_of(line.its.line)) == shape_of(tokens_of(lines[i].its.line));
                    });
    if (one_each)
      all.push_back({{{i, lines[i].free[0]}, {i + 1, lines[i + 1].free[0]}, {i + 2, lines[i + 2].free[0]}}});
  }
  return all;
}

// Absent where a line cannot be said, or would be read by a template that stands before it.
std::optional<Query> with(const Query& accelerometer, std::vector<NumberLine> lines, const Places& places,
                          const Lines& rows) {
  console::Values wanted = values_read(console::Query::reading(accelerometer.lines), rows);
  for (std::size_t k = 0; k < places.size(); ++k) {
    point_at(lines[places.at(k).line].its, gyro_names.at(k), places.at(k).number);
    wanted[gyro_names.at(k)] = places.at(k).number.value;
  }
  std::vector<Pointed> examples;
  for (NumberLine& line : lines) {
    if (!line.its.at.empty()) examples.push_back(std::move(line.its));
  }
  const auto reading = numbers_like(examples, rows);
  if (!reading || reading->values != wanted) return std::nullopt;
  Query query = accelerometer;
  query.lines = reading->list.lines;
  if (query.rows == console::Rows()) query.rows = reading->list.rows;
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
  Lines rows = console::rows_of(accelerometer.rows, reply);
  if (accelerometer.rows.lines > 1 && !rows.empty()) rows.resize(1);
  std::vector<NumberLine> lines;
  for (const std::string& line : rows) lines.push_back(number_line(line, accelerometer));
  for (const Places& places : places_in(lines)) {
    if (found.size() == most) break;
    if (auto query = with(accelerometer, lines, places, rows)) found.push_back(std::move(*query));
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
