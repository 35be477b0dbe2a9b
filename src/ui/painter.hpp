// Draws a screen on a terminal: on the whole of it, only what has changed; or, where no escape code may be
// written, as lines that are added.
#pragma once

#include <string>
#include <vector>

#include "screen.hpp"
#include "terminal.hpp"

namespace armwise::ui {

class Painter {
 public:
  // On paper where the terminal's style has no colour.
  explicit Painter(Terminal& terminal);
  ~Painter();
  Painter(const Painter&) = delete;
  Painter& operator=(const Painter&) = delete;

  bool is_live() const { return live_; }
  // Live: the lines that differ from what is shown; all of them if `anew` or where the window has changed.
  void show(const Screen& screen, bool anew);
  // The screen as it was before; what is written from now on is lines.
  void leave();

 private:
  // Whether anything differed.
  bool show_lines(const std::vector<std::string>& lines, bool anew);

  Terminal& terminal_;
  bool live_, taken_ = false;
  std::vector<std::string> shown_;
  std::string cursor_;
  int rows_ = 0, columns_ = 0;
};

std::vector<std::string> rendered_lines(const std::vector<Line>& lines, const Style& style);

}  // namespace armwise::ui
