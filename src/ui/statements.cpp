#include "statements.hpp"

#include <variant>

#include "armwise/base/text.hpp"
#include "armwise/ui/picture.hpp"

namespace armwise::ui {
namespace {

using session::Level;
using session::Statement;

using Lines = std::vector<std::string>;

Ink ink_of(Level level) {
  return level == Level::info ? Ink::plain : level < Level::danger ? Ink::strong : Ink::wrong;
}

// Each line of the text by itself; a line break is the only control character that means something.
Lines paragraphs(std::string_view text) {
  Lines all;
  while (true) {
    const std::size_t end = text.find('\n');
    all.push_back(printable(text.substr(0, end)));
    if (end == std::string_view::npos) return all;
    text.remove_prefix(end + 1);
  }
}

void add(Lines& lines, const Lines& more) {
  lines.insert(lines.end(), more.begin(), more.end());
}

void add_text(Lines& lines, const std::string& text, Level level, Shown shown, const Style& style) {
  std::string prefix = prefix_of(level);
  for (const std::string& paragraph : paragraphs(text)) {
    const Ink ink = ink_of(level);
    if (shown == Shown::in_sentences) {
      lines.push_back(painted(prefix + paragraph, ink, style));
    } else {
      for (const std::string& line : wrapped(prefix + paragraph, style.columns))
        lines.push_back(painted(line, ink, style));
    }
    prefix.clear();
  }
}

void add_views(Lines& lines, const std::vector<session::CraftView>& views, Shown shown, const Style& style) {
  if (shown == Shown::with_pictures) {
    const Picture picture = craft_pictures(views, style);
    if (!picture.empty()) {
      lines.emplace_back();
      add(lines, rendered(picture, style));
      lines.emplace_back();
      return;
    }
  }
  for (const session::CraftView& view : views) {
    for (const std::string& sentence : in_sentences(view))
      add_text(lines, sentence, Level::info, shown, style);
  }
}

// The plan as a numbered list of reasons; the lines to be sent follow it.
void add_plan(Lines& lines, const solve::Plan& plan, const Style& style) {
  int number = 0;
  const auto item = [&](const std::string& mark, const std::string& sentence) {
    const std::string indent(static_cast<std::size_t>(columns_of(mark)), ' ');
    Lines wrapped_item = wrapped(printable(sentence), style.columns, indent);
    wrapped_item.front().replace(0, indent.size(), mark);
    add(lines, wrapped_item);
  };
  lines.emplace_back(plan.changes.empty() ? "No setting needs to change." : "Changes, in this order:");
  for (const solve::Change& change : plan.changes) item(" " + std::to_string(++number) + ". ", change.reason);
  for (const solve::HandWork& work : plan.by_hand) item(" By hand: ", work.instruction);
}

void add_console_lines(Lines& lines, const Statement& statement, Shown shown, const Style& style) {
  if (statement.console_lines.empty()) return;
  lines.emplace_back(statement.kind == Statement::Kind::plan ? "Commands to send:" : "Sent:");
  for (const std::string& line : statement.console_lines) {
    const std::string clean = "    " + printable(line);
    if (shown == Shown::in_sentences) {
      lines.push_back(clean);
    } else {
      add(lines, wrapped(printable(line), style.columns, "    "));
    }
  }
}

std::string with_step(const Statement& statement) {
  if (statement.within > Duration{0})
    return statement.text + " (up to " + std::to_string((statement.within.count() + 999) / 1000) + " s)";
  if (statement.of <= 0) return statement.text;
  return "[" + std::to_string(statement.step) + " of " + std::to_string(statement.of) + "] " + statement.text;
}

}  // namespace

std::string prefix_of(Level level) {
  return level >= Level::danger ? "DANGER: " : level == Level::problem ? "Problem: " : "";
}

std::string seconds_in_words(Duration duration) {
  const auto tenths = (duration.count() + 50) / 100;
  return std::to_string(tenths / 10) + "." + std::to_string(tenths % 10) + " s";
}

std::string joined_lines(const Lines& lines) {
  std::string text;
  for (const std::string& line : lines) text += line + "\n";
  return text;
}

Lines lines_of(const Statement& statement, Shown shown, const Style& style) {
  Lines lines;
  if (statement.kind == Statement::Kind::phase) return lines;
  add_views(lines, statement.views, shown, style);
  if (statement.plan != nullptr && shown == Shown::with_pictures) {
    add_plan(lines, *statement.plan, style);
  } else if (!statement.text.empty()) {
    add_text(lines, with_step(statement), statement.level, shown, style);
  }
  add_console_lines(lines, statement, shown, style);
  return lines;
}

}  // namespace armwise::ui
