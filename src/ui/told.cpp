#include "told.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <set>

#include "armwise/base/text.hpp"

namespace armwise::ui {
namespace {

// By its arm, as in the picture.
std::string place_in_words(int motor, const session::CraftView* view) {
  if (view != nullptr && view->frame != nullptr) {
    for (const auto& [place, at] : view->at) {
      if (at.motor.number == motor) return view->frame->places.at(place).name;
    }
  }
  return "motor " + std::to_string(motor);
}

std::string places_in_words(const std::vector<int>& motors, const session::CraftView* view) {
  std::string words;
  for (std::size_t i = 0; i < motors.size(); ++i) {
    if (i > 0) words += i + 1 == motors.size() ? " and " : ", ";
    words += place_in_words(motors[i], view);
  }
  return words;
}

std::string degrees(double angle) {
  const auto tenths = std::lround(angle * 10);
  std::string text = std::to_string(tenths / 10);
  if (tenths % 10 != 0) text += "." + std::to_string(std::abs(tenths % 10));
  return (tenths < 0 && tenths > -10 ? "-" : "") + text;
}

struct InTradeWords {
  std::map<int, std::pair<std::string, std::string>> pins;  // motor -> before, after
  std::vector<int> reversed;
  std::string props, board;

  std::string arrow;  // "->"

  void operator()(const solve::SetMap& map) {
    pins.try_emplace(map.write.motor.number, printable(map.before.name), std::string());
  }
  void operator()(const solve::SetProps& change) {
    props = std::string(craft::in_words(change.from)) + " " + arrow + " " +
            std::string(craft::in_words(change.to));
  }
  void operator()(const solve::SetTurn& turn) { reversed.push_back(turn.motor.number); }
  void operator()(const solve::SetMount& mount) {
    const auto one = [&](const char* name, double from, double to) {
      if (std::abs(from - to) < 0.05) return;
      board += (board.empty() ? "" : ", ") + std::string(name) + " " + degrees(from) + " " + arrow + " " +
               degrees(to);
    };
    one("yaw", mount.from.yaw, mount.to.yaw);
    one("pitch", mount.from.pitch, mount.to.pitch);
    one("roll", mount.from.roll, mount.to.roll);
    board += " degrees";
  }
};

std::string pins_in_words(const InTradeWords& words) {
  if (words.pins.size() == 2) {
    const auto& [first, a] = *words.pins.begin();
    const auto& [second, b] = *words.pins.rbegin();
    if (a.first == b.second && b.first == a.second)
      return "motors " + std::to_string(first) + " and " + std::to_string(second) + " swap pins " + a.first +
             " and " + b.first;
  }
  std::string text;
  for (const auto& [motor, pin] : words.pins) {
    text += (text.empty() ? "motor " : ", motor ") + std::to_string(motor) + ": " + pin.first + " " +
            words.arrow + " " + pin.second;
  }
  return text;
}

void add_line(std::vector<Line>& lines, const std::string& what, const std::string& words,
              const Style& style) {
  const std::string mark = padded(" " + what, 12);
  std::vector<std::string> wrapped_words = wrapped(words, style.columns, std::string(12, ' '));
  wrapped_words.front().replace(0, 12, mark);
  for (const std::string& line : wrapped_words) lines.push_back({{line, Ink::plain}});
}

void add_verdict(std::vector<Line>& lines, const std::string& when, const session::CraftView& view,
                 const Style& style) {
  if (view.verdict.empty()) return;
  const Glyphs& glyphs = glyphs_of(style);
  const std::vector<std::string> words = wrapped(printable(view.verdict), style.columns - 14);
  lines.push_back(
      {{padded(" " + when, 12), Ink::faint},
       {std::string(view.flies ? glyphs.good : glyphs.bad), view.flies ? Ink::proven : Ink::wrong},
       {" " + words.front(), Ink::strong}});
  for (std::size_t i = 1; i < words.size(); ++i)
    lines.push_back({{std::string(14, ' ') + words[i], Ink::strong}});
}

void add_box_row(Picture& box, const Line& inside, int width, const Glyphs& glyphs) {
  Line row{{" " + std::string(glyphs.upright) + " ", Ink::faint}};
  int used = 0;
  for (const Span& span : inside) used += columns_of(span.text);
  row.insert(row.end(), inside.begin(), inside.end());
  row.push_back({std::string(static_cast<std::size_t>(std::max(0, width - used)), ' '), Ink::plain});
  row.push_back({" " + std::string(glyphs.upright), Ink::faint});
  box.lines.push_back(std::move(row));
}

Line edge(std::string_view left, std::string_view right, int width, const std::string& title,
          const Glyphs& glyphs) {
  std::string line = " " + std::string(left);
  std::string middle = title.empty() ? std::string() : std::string(glyphs.flat) + " " + title + " ";
  while (columns_of(middle) < width + 2) middle += glyphs.flat;
  return {{line + middle + std::string(right), Ink::faint}};
}

}  // namespace

std::vector<Line> plan_lines(const session::Statement& statement, const Style& style) {
  Style narrow = style;
  narrow.columns = std::min(style.columns, widest_text);
  std::vector<Line> lines;
  InTradeWords words;
  words.arrow = style.unicode ? "→" : "->";
  const solve::Plan& plan = *statement.plan;
  for (const solve::Change& change : plan.changes) std::visit(words, change.what);
  for (auto& [motor, pin] : words.pins)
    pin.second = printable(plan.map_after.pin_of(craft::Motor{motor}).name);
  if (!words.pins.empty()) add_line(lines, "pins", pins_in_words(words), narrow);
  if (!words.props.empty()) add_line(lines, "props", words.props, narrow);
  if (!words.reversed.empty()) {
    std::sort(words.reversed.begin(), words.reversed.end());
    const session::CraftView* after = statement.views.empty() ? nullptr : &statement.views.back();
    add_line(lines, "direction", places_in_words(words.reversed, after) + " reversed", narrow);
  }
  if (!words.board.empty()) add_line(lines, "board", words.board, narrow);
  for (const solve::HandWork& work : plan.by_hand)
    add_line(lines, "by hand", printable(work.instruction), narrow);
  if (lines.empty()) lines.push_back({{" Nothing needs to change.", Ink::strong}});
  lines.emplace_back();
  if (!statement.views.empty()) add_verdict(lines, "as it is", statement.views.front(), narrow);
  if (statement.views.size() > 1 && !plan.empty()) {
    add_verdict(lines, "after this", statement.views.back(), narrow);
    lines.push_back({{" " + legend(style), Ink::faint}});
  }
  return lines;
}

Picture end_box(const session::Statement& statement, const Style& style) {
  const Glyphs& glyphs = glyphs_of(style);
  Picture left;
  Style half = style;
  half.rows = 0;
  half.columns = 32;
  if (!statement.views.empty()) left = craft_picture(statement.views.back(), half);
  const int width = std::min(style.columns, widest_text) - 6;
  const int room = width - (left.empty() ? 0 : left.columns() + 3);
  Picture right;
  for (const session::Mark& mark : statement.marks) {
    std::vector<std::string> words = wrapped(printable(mark.words), std::max(narrowest, room - 2));
    for (std::size_t i = 0; i < words.size(); ++i) {
      const std::string sign = i > 0 ? " " : mark.good ? std::string(glyphs.good) : "!";
      right.lines.push_back(
          {{sign, mark.good && i == 0 ? Ink::proven : Ink::strong}, {" " + words[i], Ink::plain}});
    }
  }
  const int above =
      std::max(0, (static_cast<int>(left.lines.size()) - static_cast<int>(right.lines.size())) / 2);
  right.lines.insert(right.lines.begin(), static_cast<std::size_t>(above), Line{});
  const Picture inside = left.empty() ? right : side_by_side(left, right, 3);
  Picture box;
  const auto name = statement.facts.find("craft");
  box.lines.push_back(edge(glyphs.top_left, glyphs.top_right, width,
                           name == statement.facts.end() ? std::string() : printable(name->second), glyphs));
  for (const Line& line : inside.lines) add_box_row(box, line, width, glyphs);
  box.lines.push_back(edge(glyphs.bottom_left, glyphs.bottom_right, width, {}, glyphs));
  return box;
}

}  // namespace armwise::ui
