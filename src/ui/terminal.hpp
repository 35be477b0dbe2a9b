// A terminal as keys in and text out.
#pragma once

#include <deque>
#include <optional>
#include <string>
#include <string_view>

#include "armwise/base/duration.hpp"
#include "armwise/base/task_fwd.hpp"
#include "armwise/ui/keys.hpp"
#include "armwise/ui/style.hpp"
#include "lines.hpp"
#include "terminal_modes.hpp"

namespace armwise::ui {

class Terminal {
 public:
  Terminal(const boost::asio::any_io_executor& executor, int descriptor, Style style);
  ~Terminal();

  int descriptor() const { return input_.descriptor(); }
  // With the columns and rows that the window has now.
  const Style& style();

  void write(std::string_view text);
  // Over the line that is being written, without an escape code; `finished` goes on to the next.
  void overwrite(std::string_view text);
  void finish_line();

  // Keys typed before now are forgotten.
  void forget_keys();
  // Absent where none was pressed `within`. Throws StoppedByPerson for Ctrl-C, Ctrl-D and a terminal that
  // is gone.
  Task<std::optional<Key>> key_within(std::optional<Duration> within);
  // Whether key_within() would give one, or throw, at once.
  Task<bool> has_key();
  // After a key: true where nothing follows it faster than a hand can press. Else all of it is thrown away: a
  // paste is no answer.
  Task<bool> was_alone();

 private:
  DescriptorInput input_;
  Sink output_;
  SessionModes modes_;
  Style style_;
  KeyDecoder decoder_;
  std::deque<Key> keys_;
  int written_ = 0;  // columns of the line that is being written over
  bool gone_ = false;
};

}  // namespace armwise::ui
