// A line without what a console says beside its answers: the stamp before each of its lines (`open.stamp`),
// and the lines that it says unasked (`open.unasked`). The one place where they are taken off: whatever is
// read, learned or waited for above it never sees them, so none of them answers anything.
#pragma once

#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "armwise/base/clock.hpp"
#include "armwise/console/line.hpp"
#include "armwise/console/profile.hpp"

namespace armwise::console {

// What it cannot be sure of passes: a line counts as unasked only once all of it has come, with its stamp
// where the console has one, at the start of a line or right behind the prompt. What was left open before it,
// as a prompt or a command half typed, goes on behind it as if nothing had been; the console may have said it
// once more.
class LineFilter {
 public:
  // Outlives it, and may change.
  explicit LineFilter(const Open& open) : open_(open) {}

  // What passes of these bytes, and of those held back before.
  std::string pass(std::string_view bytes);
  // Something is held back that may be the beginning of what is left out, or the end of a line before it.
  bool holds() const { return !held_.empty() || !owed_.empty(); }
  // That, as it came: its rest is not on its way.
  std::string let_go();
  // The lines left out since the last call, without their stamps.
  std::vector<std::string> take_left_out() { return std::exchange(left_out_, {}); }
  void begin_anew();

 private:
  struct Start {
    std::size_t stamp = 0;  // where it ends
    bool sure = true;       // false: more has to come
    bool unasked = false;
  };
  Start start_of(std::string_view line, bool whole) const;
  bool step(std::string& out);
  void hold_or_pass_line_ends(std::string& out);
  std::optional<bool> is_said_again(std::size_t stamp) const;
  void leave_out(std::size_t stamp, std::size_t end);
  void pass_line(std::string& out);
  bool may_go_on() const;
  bool is_at_prompt() const;

  const Open& open_;
  std::string held_;
  std::string owed_;        // ends of the line that is open, in front of what may be unasked
  std::string open_line_;   // what has passed of the line that has not ended
  bool passing_ = false;    // its start has been looked at
  bool stamped_ = false;    // it had a stamp
  bool again_ = false;      // behind a line left out: it may be said once more
  bool line_feed_ = false;  // of a line left out, still to come
  std::vector<std::string> left_out_;
};
// All of a text that is no longer on its way.
std::string filtered(const Open& open, std::string_view text);

class FilteredLine : public Line {
 public:
  // `open` and `clock` outlive it.
  FilteredLine(std::unique_ptr<Line> line, const Open& open, Clock& clock)
      : line_(std::move(line)), filter_(open), clock_(clock) {}

  Task<Received> read(Duration within) override;
  Task<void> write(std::string_view bytes, Duration within) override;
  void discard_input() override;
  void remark(const std::string& what, const std::string& why) override { line_->remark(what, why); }
  std::string name() const override { return line_->name(); }

  std::vector<std::string> take_left_out() { return filter_.take_left_out(); }
  // The line as it is.
  std::unique_ptr<Line> release() { return std::move(line_); }

 private:
  std::unique_ptr<Line> line_;
  LineFilter filter_;
  Clock& clock_;
  Instant held_until_{0};
};

}  // namespace armwise::console
