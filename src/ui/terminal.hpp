// A terminal as keys in and text out.
#pragma once

#include <boost/asio/any_io_executor.hpp>
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
  // With the columns that the window has now.
  const Style& style();

  void write(std::string_view text);
  void line(std::string_view text, Ink ink = Ink::plain);  // wrapped
  // Over the line that is being written; `finished` goes on to the next.
  void overwrite(std::string_view text);
  void finish_line();

  // Keys typed before now are forgotten.
  void forget_keys();
  // Absent where none was pressed `within`. Throws StoppedByPerson for Ctrl-C, Ctrl-D and a terminal that
  // is gone.
  Task<std::optional<Key>> key_within(std::optional<Duration> within);
  Task<Key> key();
  // A key that a hand has pressed by itself; absent where more came than a hand can press, all of which is
  // thrown away: a paste is no answer.
  Task<std::optional<Key>> lone_key();

  // A line typed with backspace and Ctrl-U; `offered` is put there by Tab. Empty lines are refused, in words.
  Task<std::string> typed_line(std::string prompt, std::string offered);

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
