// The line under a conversation: somebody is told where it stays silent, a limit ends all waiting, what was
// left half written is spoiled, and what was heard at first is kept, for what is said where nothing opens.
#pragma once

#include <functional>
#include <optional>
#include <string>
#include <utility>

#include "armwise/base/clock.hpp"
#include "armwise/base/task_fwd.hpp"
#include "armwise/console/line.hpp"
#include "armwise/console/profile.hpp"
#include "reply_buffer.hpp"

namespace armwise::console {

class WatchedLine {
 public:
  // All outlive it.
  WatchedLine(Line& line, const Profile& profile, Clock& clock)
      : line_(line), profile_(profile), clock_(clock) {}

  // Throws Fault(line_lost).
  Task<Received> read(Duration within);
  // What has come already and was not read: what a console said by itself belongs to no command.
  Task<ReplyBuffer> take_waiting();
  bool is_lost() const { return lost_; }
  // Behind a write that failed half-way, a spoiled_line_end() goes first.
  Task<void> write(const std::string& bytes);
  // A line in two: its end(), or a write(), which spoils it.
  Task<void> write_unended(const std::string& text);
  Task<void> end();
  // The next write() spoils what stands there, whatever it is.
  void take_as_unended() { half_written_ = true; }
  void remark(const std::string& what, const std::string& why) { line_.remark(what, why); }
  void remark_wait(const std::string& sent, Duration waited, const std::string& why) {
    line_.remark_wait(sent, waited, why);
  }
  // At the start of a new session on the line.
  void forget();

  // All waiting but that for a reply is over then, whatever comes; absent: it has no end of its own. Returns
  // what held before.
  std::optional<Instant> end_waiting_at(std::optional<Instant> limit) { return std::exchange(limit_, limit); }
  // While it stands, that is so after so long.
  class Limit {
   public:
    Limit(WatchedLine& line, Duration longest)
        : line_(line), before_(line.end_waiting_at(line.no_later_than(longest))) {}
    ~Limit() { line_.end_waiting_at(before_); }
    Limit(const Limit&) = delete;
    Limit& operator=(const Limit&) = delete;

   private:
    WatchedLine& line_;
    std::optional<Instant> before_;
  };
  bool time_is_up() const { return limit_ && clock_.now() >= *limit_; }
  Instant no_later_than(Duration from_now) const;

  // Called, once, where nothing has come for `longest`, from now or from expect_something() on. Null: nobody
  // is told. Outlives the line, or is taken away before.
  void watch_silence(const std::function<void()>* silent, Duration longest);
  void expect_something();

  bool anything_heard() const { return !first_heard_.empty(); }
  bool only_noise_heard() const { return first_heard_.is_noise(); }
  bool only_echo_heard() const;

 private:
  Task<Received> read_watched(Duration within);

  Line& line_;
  const Profile& profile_;
  Clock& clock_;
  bool lost_ = false, half_written_ = false;
  ReplyBuffer first_heard_;
  std::string first_written_;
  std::optional<Instant> limit_;
  const std::function<void()>* silent_ = nullptr;
  Duration longest_silence_{0};
  std::optional<Instant> silent_at_;  // when somebody is to be told
};

}  // namespace armwise::console
