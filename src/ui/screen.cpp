#include "screen.hpp"

#include <algorithm>

#include "armwise/base/text.hpp"
#include "statements.hpp"

namespace armwise::ui {
namespace {

// Enough to see where one is; all of them stay in the terminal at the end.
constexpr int most_folded = 6;

int columns_of_line(const Line& line) {
  int columns = 0;
  for (const Span& span : line) columns += columns_of(span.text);
  return columns;
}

void append(std::vector<Line>& lines, const std::vector<Line>& more) {
  lines.insert(lines.end(), more.begin(), more.end());
}

// Hints side by side, as many as a line takes.
std::vector<Line> key_lines(const std::vector<std::string>& keys, const Style& style) {
  std::vector<Line> lines;
  std::string line;
  const auto finish = [&] {
    if (!line.empty()) lines.push_back({{line, Ink::faint}});
    line.clear();
  };
  for (const std::string& key : keys) {
    if (!line.empty() && columns_of(line) + 3 + columns_of(key) > style.columns) finish();
    line += (line.empty() ? " " : "   ") + key;
  }
  finish();
  return lines;
}

void add_phases(Line& line, const Header& header, const Style& style) {
  for (std::size_t i = 0; i < header.phases.size(); ++i) {
    const int number = static_cast<int>(i) + 1;
    if (i > 0) line.push_back({style.unicode ? " · " : " - ", Ink::faint});
    const std::string done = number < header.phase ? (style.unicode ? "✓" : "+") : "";
    const bool here = number == header.phase;
    line.push_back(
        {here ? "[" + header.phases[i] + "]" : done + header.phases[i], here ? Ink::strong : Ink::faint});
  }
}

// What can be pressed at every question has its place there, and is not read anew with each.
Line rule_with(const std::vector<std::string>& keys, const Style& style) {
  std::string words;
  for (const std::string& key : keys) words += "  " + key + " ";
  constexpr int behind = 2;
  std::string before, after;
  for (int i = columns_of(words) + behind; i < style.columns; ++i) before += glyphs_of(style).flat;
  for (int i = 0; i < behind; ++i) after += glyphs_of(style).flat;
  return {{before + words + after, Ink::faint}};
}

std::vector<Line> header_lines(const Header& header, const Style& style) {
  Line line{{" armwise  ", Ink::faint}, {header.title, Ink::strong}};
  Line right;
  add_phases(right, header, style);
  if (!header.where.empty()) right.push_back({(right.empty() ? "" : "  ") + header.where, Ink::strong});
  const std::string practice = header.banner.substr(0, header.banner.find(':'));
  // On a narrow screen where one is, and that it is practice, matters more than what is to come.
  const int banner_columns = practice.empty() ? 0 : 2 + columns_of(practice);
  if (columns_of_line(line) + banner_columns + 2 + columns_of_line(right) > style.columns) {
    right.clear();
    if (header.phase > 0 && header.phase <= static_cast<int>(header.phases.size()))
      right.push_back({"[" + header.phases[static_cast<std::size_t>(header.phase - 1)] + "] ", Ink::strong});
    right.push_back({header.where, Ink::strong});
    if (columns_of_line(line) + 1 + columns_of_line(right) > style.columns) line.clear();
  }
  // Its first word alone, where that is all there is room for.
  for (const std::string& banner : {header.banner, practice}) {
    if (banner.empty() ||
        columns_of_line(line) + 4 + columns_of(banner) + columns_of_line(right) > style.columns)
      continue;
    line.push_back({"  " + banner, Ink::faint});
    break;
  }
  const int gap = style.columns - columns_of_line(line) - columns_of_line(right);
  line.push_back({std::string(static_cast<std::size_t>(std::max(1, gap)), ' '), Ink::plain});
  line.insert(line.end(), right.begin(), right.end());
  return {line, rule_with(header.always, style)};
}

// Behind what stands above, where it fits there.
void append_behind(std::vector<Line>& lines, const std::vector<Line>& more, const Style& style) {
  constexpr int gap = 2;
  const bool fits = more.size() == 1 && !lines.empty() &&
                    columns_of_line(lines.back()) + gap + columns_of_line(more.front()) <= style.columns;
  if (!fits) {
    append(lines, more);
    return;
  }
  lines.back().push_back({std::string(gap, ' '), Ink::plain});
  lines.back().insert(lines.back().end(), more.front().begin(), more.front().end());
}

// The question with all that belongs to it; the last line is where something is typed. `all_keys`: where no
// header has them.
std::vector<Line> asked(const Screen& screen, const Style& style, bool all_keys) {
  std::vector<Line> lines = screen.facts;
  std::vector<std::string> keys = screen.keys;
  if (all_keys) keys.insert(keys.end(), screen.header.always.begin(), screen.header.always.end());
  const bool danger = screen.level >= session::Level::danger;
  if (!screen.question.empty()) {
    append(lines, wrapped_lines(prefix_of(danger ? screen.level : session::Level::info) + screen.question,
                                danger ? Ink::danger : Ink::strong, style, " "));
  }
  const std::vector<Line> hints = key_lines(keys, style);
  if (!screen.keys_stay && !screen.question.empty() && !hints.empty()) {
    append_behind(lines, hints, style);
    append(lines, screen.choices);
  } else {
    append(lines, screen.choices);
    append(lines, hints);
  }
  if (!screen.busy.empty()) {
    const std::vector<Line> busy = wrapped_lines(screen.busy, Ink::plain, style, " ");
    screen.keys_stay ? append_behind(lines, busy, style) : append(lines, busy);
  }
  if (screen.typed) lines.push_back({{" " + *screen.typed, Ink::plain}});
  return lines;
}

bool is_danger(const Note& note) {
  return note.level >= session::Level::danger;
}

// Plain, and no command or row of a table: another may follow in the same line.
bool is_sentence_in_a_line(const std::vector<Line>& lines) {
  if (lines.size() != 1 || lines.front().size() != 1) return false;
  const Span& span = lines.front().front();
  return span.ink == Ink::plain && span.text.ends_with('.');
}

// The newest that fit; what is dangerous stays, whatever else goes.
std::vector<Line> notes_within(const Screen& screen, int rows, const Style& style) {
  std::vector<std::vector<Line>> kept;
  int used = 0, left_out = 0;
  for (auto note = screen.notes.rbegin(); note != screen.notes.rend(); ++note) {
    std::vector<Line> lines = note_lines(*note, style);
    const int length = static_cast<int>(lines.size());
    if (used + length > rows && !is_danger(*note)) {
      left_out += length;
      continue;
    }
    used += length;
    kept.push_back(std::move(lines));
  }
  std::vector<Line> all;
  if (left_out > 0 && used < rows)
    all.push_back({{" ... " + std::to_string(left_out) + " lines more: m shows them", Ink::faint}});
  bool may_go_on = false;
  for (auto lines = kept.rbegin(); lines != kept.rend(); ++lines) {
    const bool short_and_whole = is_sentence_in_a_line(*lines);
    if (may_go_on && short_and_whole) {
      append_behind(all, *lines, style);
    } else {
      append(all, *lines);
    }
    may_go_on = short_and_whole;
  }
  return all;
}

int height_of(const std::vector<Line>& lines) {
  return static_cast<int>(lines.size());
}

int rows_of_notes(const Screen& screen, const Style& style) {
  int rows = 0;
  for (const Note& note : screen.notes) rows += height_of(note_lines(note, style));
  return rows;
}

void put_aside(std::vector<Line>& picture, const std::vector<Line>& aside, const Style& style) {
  if (aside.empty()) return;
  int widest = 0, wanted = 0;
  for (const Line& line : picture) widest = std::max(widest, columns_of_line(line));
  for (const Line& line : aside) wanted = std::max(wanted, columns_of_line(line));
  if (widest + 2 + wanted > style.columns) {
    append(picture, aside);
    return;
  }
  const std::size_t top = picture.size() > aside.size() ? (picture.size() - aside.size()) / 2 : 0;
  for (std::size_t i = 0; i < aside.size(); ++i) {
    if (top + i >= picture.size()) picture.emplace_back();
    Line& line = picture[top + i];
    const int gap = widest + 2 - columns_of_line(line);
    line.push_back({std::string(static_cast<std::size_t>(gap), ' '), Ink::plain});
    line.insert(line.end(), aside[i].begin(), aside[i].end());
  }
}

std::vector<Line> picture_within(const Screen& screen, int rows, const Style& style) {
  if (!screen.picture && static_cast<int>(screen.aside.size()) <= rows) return screen.aside;
  if (!screen.picture || rows < 3) return {};
  Style room = style;
  room.rows = rows;
  std::vector<Line> lines = screen.picture(room).lines;
  if (height_of(lines) > rows) return {};
  // In the middle of a wide screen the eye has less far to go.
  int widest = 0;
  for (const Line& line : lines) widest = std::max(widest, columns_of_line(line));
  const int left = std::min((style.columns - widest) / 2, style.columns - widest - screen.aside_columns);
  if (left > 0) {
    for (Line& line : lines)
      line.insert(line.begin(), {std::string(static_cast<std::size_t>(left), ' '), Ink::plain});
  }
  put_aside(lines, screen.aside, style);
  if (height_of(lines) > rows) lines.resize(static_cast<std::size_t>(rows));
  return lines;
}

// Beside each other, as many as a line takes.
std::vector<Line> folded_within(const Screen& screen, int rows, const Style& style) {
  std::vector<Line> lines;
  for (const Screen::Folded& answer : screen.folded) {
    if (!answer.shown) continue;
    const Line one{{" " + std::string(glyphs_of(style).good) + " ", Ink::faint},
                   {wrapped(answer.words, style.columns - 4).front() + " ", Ink::faint}};
    if (lines.empty() || columns_of_line(lines.back()) + columns_of_line(one) > style.columns)
      lines.emplace_back();
    lines.back().insert(lines.back().end(), one.begin(), one.end());
  }
  const auto most = static_cast<std::size_t>(std::max(0, std::min(rows, most_folded)));
  if (lines.size() > most) lines.erase(lines.begin(), lines.end() - static_cast<std::ptrdiff_t>(most));
  return lines;
}

Style narrowed(const Style& style) {
  Style narrow = style;
  narrow.columns = std::min(style.columns, widest_text);
  return narrow;
}

}  // namespace

std::vector<Line> wrapped_lines(const std::string& text, Ink ink, const Style& style,
                                const std::string& indent) {
  std::vector<Line> lines;
  for (const std::string& line : wrapped(text, style.columns, indent)) lines.push_back({{line, ink}});
  return lines;
}

std::vector<Line> note_lines(const Note& note, const Style& style) {
  std::vector<Line> lines;
  const Ink ink = is_danger(note)                      ? Ink::danger
                  : note.level >= session::Level::warn ? Ink::strong
                                                       : Ink::plain;
  std::string prefix = prefix_of(note.level);
  for (const std::string& paragraph : note.lines) {
    append(lines, wrapped_lines(prefix + paragraph, ink, style, " "));
    prefix.clear();
  }
  return lines;
}

namespace {

Laid arranged(const Screen& screen, const Style& given, bool with_header) {
  const Style style = narrowed(given);
  const int rows = std::max(1, given.rows);
  std::vector<Line> bottom = asked(screen, style, !with_header);
  const std::vector<Line> error =
      screen.error.empty() ? std::vector<Line>{} : wrapped_lines(screen.error, Ink::strong, style, " ");
  const int typed_from_end = screen.typed ? 1 : 0;
  const int notes_wanted = rows_of_notes(screen, style);
  const bool stays = screen.rows_below > 0;
  const int below = height_of(bottom) + std::max(1, height_of(error));
  int room = rows - std::max(below, screen.rows_below - notes_wanted);
  std::vector<Line> top;
  if (with_header) top = header_lines(screen.header, style);
  if (with_header && room < height_of(top) + 1) return arranged(screen, given, false);
  room -= height_of(top);
  // The picture first takes what it needs at the least, then what the notes leave.
  const int air = notes_wanted > 0 && !stays ? 1 : 0;
  std::vector<Line> picture = picture_within(screen, room - notes_wanted - air, style);
  if (picture.empty()) picture = picture_within(screen, room - std::min(notes_wanted, 3), style);
  if (picture.empty()) picture = picture_within(screen, room, style);
  // The keys stand in the picture: on a low screen it is worth more than where one is.
  if (picture.empty() && screen.picture && with_header) {
    Laid headless = arranged(screen, given, false);
    if (headless.has_picture) return headless;
  }
  room -= height_of(picture);
  std::vector<Line> notes = notes_within(screen, room, style);
  room -= height_of(notes);
  const bool airy = room > 1 && !notes.empty() && !stays;
  if (airy) --room;
  std::vector<Line> folded;
  if (room > 1 && !stays) folded = folded_within(screen, room - 1, style);
  Laid laid;
  laid.has_picture = !picture.empty();
  append(laid.lines, top);
  append(laid.lines, folded);
  if (!folded.empty() && room > height_of(folded)) laid.lines.emplace_back();
  append(laid.lines, picture);
  append(laid.lines, notes);
  if (airy) laid.lines.emplace_back();
  append(laid.lines, bottom);
  if (typed_from_end > 0) {
    laid.cursor = At{height_of(laid.lines) - 1, std::min(style.columns - 1, columns_of(*screen.typed) + 1)};
  }
  append(laid.lines, error);
  if (height_of(laid.lines) > rows) {
    const int over = height_of(laid.lines) - rows;
    laid.lines.erase(laid.lines.begin(), laid.lines.begin() + over);
    if (laid.cursor) laid.cursor->row -= over;
  }
  return laid;
}

}  // namespace

Laid laid_out(const Screen& screen, const Style& style) {
  return arranged(screen, style, true);
}

Laid on_paper(const Screen& screen, const Style& given) {
  const Style style = narrowed(given);
  Laid laid;
  for (const Note& note : screen.notes) append(laid.lines, note_lines(note, style));
  if (screen.picture) {
    laid.lines.emplace_back();
    Style room = style;
    room.rows = 0;
    append(laid.lines, screen.picture(room).lines);
    append(laid.lines, screen.aside);
  }
  laid.lines.emplace_back();
  append(laid.lines, asked(screen, style, true));
  return laid;
}

}  // namespace armwise::ui
