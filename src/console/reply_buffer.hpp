// What has come in answer to one command so far: bounded, and seen as lines.
#pragma once

#include <cstddef>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "armwise/console/screen_lines.hpp"

namespace armwise::console {

class ReplyBuffer {
 public:
  // Nothing a console has to say is longer; a line without end or a listing without end is a fault.
  static constexpr std::size_t longest_reply = 1UL << 20U;
  static constexpr std::size_t longest_line = 64UL << 10U;

  // Throws Fault(unreadable) beyond the bounds.
  void add(std::string_view bytes);

  bool empty() const { return bytes_.empty(); }
  std::size_t size() const { return bytes_.size(); }

  // What stands behind the last line end (its last 1 KiB), without escape codes, control characters and
  // blanks at its ends: where a prompt is looked for.
  std::string tail() const;

  // The line that ended last, where nothing stands behind it, in the same way.
  std::string ended_line() const;

  // All that came; it is empty afterwards.
  std::string release() { return std::exchange(bytes_, {}); }
  std::vector<std::string> lines() const;  // lines_in() all of them
  // Those in the first 16 KiB, where an echo stands: looked at again and again while a reply comes in.
  std::vector<std::string> first_lines() const;
  // The lines that have ended since the last call.
  std::vector<std::string> newly_ended_lines();

  // True where much of what came is no text: another speed, or another kind of device.
  bool is_noise() const;

 private:
  std::string bytes_;
  std::size_t line_start_ = 0;  // of the line that has not ended yet
  std::size_t taken_until_ = 0;
};

}  // namespace armwise::console
