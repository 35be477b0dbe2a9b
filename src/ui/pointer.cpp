#include "pointer.hpp"

#include <algorithm>
#include <cstdlib>
#include <optional>
#include <string>

#include "armwise/base/text.hpp"

namespace armwise::ui {

using session::PlaceInText;

namespace {

bool is_inside(const PlaceInText& inner, const PlaceInText& outer) {
  return inner != outer && inner.line == outer.line && inner.begin >= outer.begin && inner.end <= outer.end;
}

std::size_t width(const PlaceInText& place) {
  return place.end - place.begin;
}

// How far apart two places begin.
std::size_t apart(const PlaceInText& one, const PlaceInText& other) {
  return std::max(one.begin, other.begin) - std::min(one.begin, other.begin);
}

}  // namespace

bool is_pointed_at(const session::Question& question) {
  return !question.shown.empty() && question.choices.size() > 1 &&
         std::all_of(question.choices.begin(), question.choices.end() - 1,
                     [&](const session::Choice& choice) {
                       return choice.where && choice.where->line < question.shown.size();
                     });
}

Pointer::Pointer(const session::Question& question) : question_(question) {
  for (const session::Choice& choice : question.choices) {
    if (choice.where) places_.push_back(&choice);
  }
  std::stable_sort(places_.begin(), places_.end(), [](const auto* one, const auto* other) {
    const PlaceInText &a = *one->where, &b = *other->where;
    if (a.line != b.line) return a.line < b.line;
    return a.begin != b.begin ? a.begin < b.begin : a.end > b.end;
  });
  const auto marked = std::find_if(places_.begin(), places_.end(),
                                   [&](const auto* each) { return each->key == question.marked; });
  if (marked != places_.end()) at_ = static_cast<std::size_t>(marked - places_.begin());
}

bool Pointer::move(Key::Kind arrow) {
  const PlaceInText& here = where(at_);
  std::optional<std::size_t> best;
  // Keeps the one that `is_better`, of those that `may_be`.
  const auto look_for = [&](auto may_be, auto is_better) {
    for (std::size_t i = 0; i < places_.size(); ++i) {
      if (i != at_ && may_be(where(i)) && (!best || is_better(where(i), where(*best)))) best = i;
    }
  };
  const auto in_order = [](const PlaceInText& a, const PlaceInText& b) {
    return a.line != b.line ? a.line < b.line : a.begin < b.begin;
  };
  const auto nearest = [&](const PlaceInText& a, const PlaceInText& b) {
    const auto lines_to = [&](const PlaceInText& place) {
      return std::max(place.line, here.line) - std::min(place.line, here.line);
    };
    if (lines_to(a) != lines_to(b)) return lines_to(a) < lines_to(b);
    return apart(a, here) < apart(b, here);
  };
  const auto last_before = [](const PlaceInText& a, const PlaceInText& b) {
    if (a.line != b.line) return a.line > b.line;
    return a.end != b.end ? a.end > b.end : width(a) > width(b);
  };
  const auto narrower = [](const PlaceInText& a, const PlaceInText& b) { return width(a) < width(b); };
  const auto is_behind = [&](const PlaceInText& place) {
    return place.line > here.line || (place.line == here.line && place.begin >= here.end);
  };
  const auto is_before = [&](const PlaceInText& place) {
    return place.line < here.line || (place.line == here.line && place.end <= here.begin);
  };
  const auto is_around = [&](const PlaceInText& place) { return is_inside(here, place); };
  const auto is_within = [&](const PlaceInText& place) { return is_inside(place, here); };
  // Where nothing lies in that direction, left and right go out of a word and into it, too.
  switch (arrow) {
    case Key::Kind::right:
      look_for(is_behind, in_order);
      if (!best) look_for(is_within, in_order);
      break;
    case Key::Kind::left:
      look_for(is_before, last_before);
      if (!best) look_for(is_around, narrower);
      break;
    case Key::Kind::up:
      look_for(is_around, narrower);
      if (!best) look_for([&](const PlaceInText& place) { return place.line < here.line; }, nearest);
      break;
    case Key::Kind::down:
      look_for(is_within, in_order);
      if (!best) look_for([&](const PlaceInText& place) { return place.line > here.line; }, nearest);
      break;
    default:
      break;
  }
  if (!best) return false;
  at_ = *best;
  return true;
}

Picture Pointer::drawn(const Style& style) const {
  const int rows = style.rows;
  const PlaceInText& here = where(at_);
  const int columns = std::min(style.columns, widest_text) - 2;
  // One line of the text on as many rows as it takes; what is pointed at stands out on each of them.
  const auto rows_of = [&](std::size_t number) {
    const std::string& line = question_.shown[number];
    const bool is_here = number == here.line;
    const std::size_t begin = is_here ? here.begin : line.size(), end = is_here ? here.end : line.size();
    std::vector<Line> drawn;
    int used = 0;
    const auto start_row = [&] {
      const bool first = drawn.empty();
      drawn.push_back({{is_here && first ? std::string(glyphs_of(style).right) + " " : "  ", Ink::strong}});
      used = 0;
    };
    start_row();
    const auto add = [&](const std::string& raw, Ink ink) {
      std::string rest = printable(raw);
      while (!rest.empty()) {
        const std::string piece = rest.substr(0, bytes_that_fit(rest, columns - used));
        if (used > 0 && used + columns_of(piece) > columns) {
          start_row();
          continue;
        }
        drawn.back().push_back({piece, ink});
        used += columns_of(piece);
        rest.erase(0, piece.size());
      }
    };
    add(line.substr(0, begin), Ink::plain);
    add(line.substr(begin, end - begin), Ink::keycap);
    add(line.substr(end), Ink::plain);
    return drawn;
  };
  // From that line on outwards, as long as there is room.
  std::vector<Line> all = rows_of(here.line);
  std::size_t first = here.line, last = here.line;
  for (bool more = true; more;) {
    more = false;
    for (const bool before : {true, false}) {
      if (before ? first == 0 : last + 1 == question_.shown.size()) continue;
      const std::vector<Line> next = rows_of(before ? first - 1 : last + 1);
      if (static_cast<int>(all.size() + next.size()) > rows) continue;
      all.insert(before ? all.begin() : all.end(), next.begin(), next.end());
      before ? --first : ++last;
      more = true;
    }
  }
  if (static_cast<int>(all.size()) > rows) {
    // One line longer than the room: the rows around what is pointed at.
    const auto stands_out = [](const Line& row) {
      return std::any_of(row.begin(), row.end(), [](const Span& span) { return span.ink == Ink::keycap; });
    };
    const auto at = std::find_if(all.begin(), all.end(), stands_out) - all.begin();
    const auto from =
        std::clamp<std::ptrdiff_t>(at - rows / 2, 0, static_cast<std::ptrdiff_t>(all.size()) - rows);
    all = std::vector<Line>(all.begin() + from, all.begin() + from + rows);
  }
  int used = 0;
  for (const Span& span : all.front()) used += columns_of(span.text);
  all.front().push_back(
      {std::string(static_cast<std::size_t>(std::max(0, columns + 2 - used)), ' '), Ink::plain});
  return {all};
}

}  // namespace armwise::ui
