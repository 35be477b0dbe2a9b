#include "armwise/sheet/picture.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

#include "craft_view.hpp"
#include "drawing.hpp"
#include "markup.hpp"

namespace armwise::sheet {
namespace {

constexpr std::string_view ink = "#1a1a1a", quiet = "#595959", line = "#8c8c8c", arm_grey = "#d4d4d4",
                           accent = "#0072b2";  // the one colour; dark enough for white text on it
constexpr int rows_of_words = 3;
constexpr std::size_t longest_pin = 14;

std::string attribute(std::string_view key, std::string_view value) {
  return " " + std::string(key) + "=\"" + std::string(value) + "\"";
}

std::string attribute(std::string_view key, double value) {
  return attribute(key, number(value));
}

std::string text(Point at, std::string_view anchor, double size, std::string_view colour,
                 const std::string& words, const std::string& more = {}) {
  return "<text" + attribute("x", at.x) + attribute("y", at.y) + attribute("text-anchor", anchor) +
         attribute("font-size", size) + attribute("fill", colour) + more + ">" + escaped(words) + "</text>\n";
}

std::string_view svg_anchor(Anchor anchor) {
  switch (anchor) {
    case Anchor::start:
      return "start";
    case Anchor::end:
      return "end";
    case Anchor::middle:
      break;
  }
  return "middle";
}

// Degrees clockwise from the top.
Point on_circle(Point centre, double radius, double degrees) {
  const double angle = degrees * std::numbers::pi / 180;
  return {centre.x + radius * std::sin(angle), centre.y - radius * std::cos(angle)};
}

std::string pair(Point p) {
  return number(p.x) + " " + number(p.y);
}

// An arc over the top of the disc with its head at the end, the way the motor turns.
std::string turn_arc(Point centre, double radius, craft::Turn turn) {
  constexpr double start = -128, end = 92, head_angle = 20, head_width = 6.5;
  const double way = turn == craft::Turn::cw ? 1 : -1;
  const Point from = on_circle(centre, radius, way * start);
  const Point to = on_circle(centre, radius, way * end);
  const Point tip = on_circle(centre, radius, way * (end + head_angle));
  const Point outer = on_circle(centre, radius + head_width, way * (end - 2));
  const Point inner = on_circle(centre, radius - head_width, way * (end - 2));
  const std::string sweep = turn == craft::Turn::cw ? "1" : "0";
  return "<path" +
         attribute("d", "M" + pair(from) + "A" + number(radius) + " " + number(radius) + " 0 1 " + sweep +
                            " " + pair(to)) +
         attribute("fill", "none") + attribute("stroke", ink) + attribute("stroke-width", "3.2") +
         "/>\n<path" + attribute("d", "M" + pair(outer) + "L" + pair(tip) + "L" + pair(inner) + "Z") +
         attribute("fill", ink) + "/>\n";
}

std::string disc(const PlaceView& view, Point centre, double radius) {
  const bool right = view.right();
  std::string out = "<circle" + attribute("cx", centre.x) + attribute("cy", centre.y) +
                    attribute("r", radius) + attribute("fill", right ? "#ffffff" : accent) +
                    attribute("stroke", right ? line : ink) + attribute("stroke-width", right ? "1" : "1.4") +
                    (right ? std::string() : attribute("stroke-dasharray", "4 3")) + "/>\n";
  if (view.turn) out += turn_arc(centre, radius, *view.turn);
  const std::string_view colour = right ? ink : "#ffffff";
  const double size = 0.72 * radius;
  const std::string motor = view.motor == 0 ? "–" : std::to_string(view.motor);
  out += text({centre.x, centre.y + 0.12 * radius}, "middle", size, colour, motor,
              attribute("font-weight", "700"));
  const std::string turn = view.turn ? std::string(name(*view.turn)) : "?";
  return out +
         text({centre.x, centre.y + 0.52 * radius}, "middle", std::max(9.5, 0.34 * radius), colour, turn);
}

std::string words_beside(const craft::Frame& frame, const PlaceView& view, const Spot& spot) {
  const std::string_view anchor = svg_anchor(spot.anchor);
  const std::string should_be = view.should_be();
  const bool above = !spot.beside && spot.words.y < spot.disc.y;
  Point at = spot.words;
  if (should_be.empty() && (above || spot.beside)) at.y += above ? line_height : line_height / 2;
  std::string out =
      text(at, anchor, letter_size, ink, frame.places[view.place].name, attribute("font-weight", "600"));
  at.y += line_height;
  out += text(at, anchor, letter_size, quiet, view.pin.empty() ? "no pin" : shortened(view.pin, longest_pin));
  at.y += line_height;
  if (should_be.empty()) return out;
  return out + text(at, anchor, letter_size, accent, should_be, attribute("font-style", "italic"));
}

std::string hub(double top) {
  const Point head{0, top + 7};
  return "<rect x=\"-19\" y=\"-24\" width=\"38\" height=\"48\" rx=\"7\"" + attribute("fill", "#ffffff") +
         attribute("stroke", line) + attribute("stroke-width", "1.4") + "/>\n<path" +
         attribute("d", "M0 -17L8 -4H-8Z") + attribute("fill", ink) + "/>\n" +
         text({0, 13}, "middle", 9.5, quiet, "nose") + "<path" +
         attribute("d", "M" + number(head.x) + " " + number(head.y - 6) + "l6 9h-12Z") +
         attribute("fill", ink) + "/>\n";
}

std::string arms(const Drawing& drawing) {
  std::string out;
  for (const Spot& spot : drawing.spots) {
    out += "<line x1=\"0\" y1=\"0\"" + attribute("x2", spot.disc.x) + attribute("y2", spot.disc.y) +
           attribute("stroke", arm_grey) + attribute("stroke-width", "7") +
           attribute("stroke-linecap", "round") + "/>\n";
  }
  return out;
}

// Alike for both sides, so that the two pictures can be laid over each other.
Drawing drawing_of(const record::CraftRecord& record) {
  const craft::Frame& frame = frame_of(record);
  std::vector<double> letters(frame.places.size());
  for (const Side side : {Side::before, Side::after}) {
    for (const PlaceView& view : places(record, side)) {
      double& widest = letters.at(view.place);
      widest = std::max({widest, width_of(frame.places[view.place].name), width_of(view.should_be()),
                         width_of(shortened(view.pin, longest_pin))});
    }
  }
  return sheet::drawing_of(frame, letters, rows_of_words);
}

std::string craft_drawn(const record::CraftRecord& record, Side side, const Drawing& drawing) {
  const craft::Frame& frame = frame_of(record);
  std::string out = arms(drawing) + hub(drawing.top);
  for (const PlaceView& view : places(record, side)) {
    const Spot& spot = drawing.spots.at(view.place);
    out += disc(view, spot.disc, drawing.radius) + words_beside(frame, view, spot);
  }
  return out;
}

std::string described(const record::CraftRecord& record, Side side) {
  std::string out;
  for (const std::string& sentence : in_sentences(record, side)) out += (out.empty() ? "" : " ") + sentence;
  return out;
}

// Only a file of its own needs it; a page that loads nothing should not even look as if it did.
constexpr const char* svg_name_space = " xmlns=\"http://www.w3.org/2000/svg\"";

std::string opening(const std::string& name_space, const std::string& box, const std::string& id,
                    const std::string& title, const std::string& description) {
  return "<svg" + name_space + attribute("viewBox", box) + attribute("role", "img") +
         attribute("aria-labelledby", id + "-title " + id + "-words") +
         attribute("font-family", "Liberation Sans, Arimo, Helvetica, Arial, sans-serif") + ">\n<title" +
         attribute("id", id + "-title") + ">" + escaped(title) + "</title>\n<desc" +
         attribute("id", id + "-words") + ">" + escaped(description) + "</desc>\n";
}

std::string box_of(const Drawing& drawing, int pictures, double head) {
  return number(-drawing.half_width) + " " + number(drawing.top - head) + " " +
         number(2 * drawing.half_width * pictures) + " " + number(drawing.bottom - drawing.top + head);
}

}  // namespace

std::string_view title(Side side) {
  return side == Side::before ? "Before" : "After";
}

std::vector<std::string> in_sentences(const record::CraftRecord& record, Side side) {
  const craft::Frame& frame = frame_of(record);
  std::vector<std::string> out;
  for (const PlaceView& view : places(record, side)) {
    std::string sentence = frame.places[view.place].name + ": ";
    sentence += view.motor == 0 ? "no motor" : "motor " + std::to_string(view.motor);
    if (!view.pin.empty()) sentence += " on pin " + view.pin;
    sentence += view.turn ? ", " + std::string(craft::in_words(*view.turn)) : ", turn not known";
    if (!view.right()) sentence += "; " + view.should_be();
    out.push_back(sentence + ".");
  }
  return out;
}

std::string svg(const record::CraftRecord& record, Side side) {
  const Drawing drawing = drawing_of(record);
  const std::string id = side == Side::before ? "before" : "after";
  return opening({}, box_of(drawing, 1, 0), id, std::string(title(side)) + ", seen from above, nose up",
                 described(record, side)) +
         craft_drawn(record, side, drawing) + "</svg>\n";
}

std::string svg(const record::CraftRecord& record) {
  constexpr double head = 30;
  const Drawing drawing = drawing_of(record);
  std::string out =
      opening(svg_name_space, box_of(drawing, 2, head), "craft",
              record.craft_name + ", before and after, seen from above, nose up",
              "Before. " + described(record, Side::before) + " After. " + described(record, Side::after));
  out += "<rect" + attribute("x", -drawing.half_width) + attribute("y", drawing.top - head) +
         attribute("width", 4 * drawing.half_width) +
         attribute("height", drawing.bottom - drawing.top + head) + attribute("fill", "#ffffff") + "/>\n";
  for (const Side side : {Side::before, Side::after}) {
    const double shift = side == Side::before ? 0 : 2 * drawing.half_width;
    out += "<g" + attribute("transform", "translate(" + number(shift) + " 0)") + ">\n" +
           text({0, drawing.top - head + 18}, "middle", 16, ink, std::string(title(side)),
                attribute("font-weight", "700")) +
           craft_drawn(record, side, drawing) + "</g>\n";
  }
  return out + "</svg>\n";
}

}  // namespace armwise::sheet
