// Questions put on the terminal and read key by key: those that are no spin, and what every question has in
// common.
#pragma once

#include <chrono>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "armwise/base/task_fwd.hpp"
#include "live_screen.hpp"
#include "spin_scene.hpp"

namespace armwise::ui {

class Prompt {
 public:
  Prompt(LiveScreen& live, SpinScene& scene);

  Task<session::Answer> confirm(const session::Question& question);
  Task<session::Answer> choose(const session::Question& question);
  // With arrows, in what the console said.
  Task<session::Answer> point(const session::Question& question);
  Task<session::Answer> typed(const session::Question& question);
  Task<session::Answer> pose(const session::Question& question);

  void put(const session::Question& question, std::vector<std::string> keys);
  // One key; a paste is refused. Meanwhile arcs run on, and a new size of the window is noticed.
  Task<Key> press();
  // Keys that mean the same at every question.
  enum class Common { none, back, handled };
  Task<Common> common(const session::Question& question, Key key, std::string help);
  void refuse(const Key& key, std::string_view instead);

 private:
  Task<std::string> typed_line(const session::Question& question);
  // Enter behind a word that was whole without it, out of habit: no answer to what is asked next.
  bool is_left_over(const Key& key);
  Task<void> pages(std::vector<Line> content);
  Task<bool> held_until_key(const session::Question& question);

  Terminal& terminal_;
  LiveScreen& live_;
  Screen& screen_;
  SpinScene& scene_;
  std::optional<std::chrono::steady_clock::time_point> word_whole_;
};

}  // namespace armwise::ui
