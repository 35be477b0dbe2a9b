#include "watched_line.hpp"

#include <algorithm>
#include <string_view>
#include <utility>
#include <vector>

#include "armwise/base/fault.hpp"
#include "armwise/base/task.hpp"
#include "armwise/base/text.hpp"
#include "armwise/console/conversation.hpp"

namespace armwise::console {
namespace {

constexpr std::size_t kept_for_diagnosis = 4096;

}  // namespace

void WatchedLine::forget() {
  first_heard_ = ReplyBuffer();
  first_written_.clear();
}

Instant WatchedLine::no_later_than(Duration from_now) const {
  const Instant last = clock_.now() + from_now;
  return limit_ ? std::min(last, *limit_) : last;
}

void WatchedLine::watch_silence(const std::function<void()>* silent, Duration longest) {
  silent_ = silent;
  longest_silence_ = longest;
  silent_at_.reset();
  expect_something();
}

void WatchedLine::expect_something() {
  if (silent_ != nullptr && *silent_ && !silent_at_) silent_at_ = clock_.now() + longest_silence_;
}

// A wait in which the silence gets too long is gone on with once that has been told.
Task<Received> WatchedLine::read_watched(Duration within) {
  const Instant last = clock_.now() + within;
  if (silent_at_ && *silent_at_ <= last) {
    const Duration until_told = std::max(*silent_at_ - clock_.now(), Duration{0});
    Received received = co_await line_.read(until_told);
    if (received.status != Received::Status::quiet) {
      silent_at_.reset();
      co_return received;
    }
    silent_at_.reset();
    (*std::exchange(silent_, nullptr))();
  }
  Received received = co_await line_.read(std::max(last - clock_.now(), Duration{0}));
  if (received.status != Received::Status::quiet) silent_at_.reset();
  co_return received;
}

Task<Received> WatchedLine::read(Duration within) {
  Received received = co_await read_watched(within);
  if (received.status == Received::Status::closed) {
    lost_ = true;
    throw Fault(FaultKind::line_lost, printable(line_.name()) + " went away",
                "The controller was unplugged, or it restarted");
  }
  if (received.status == Received::Status::data && first_heard_.size() < kept_for_diagnosis) {
    first_heard_.add(std::string_view(received.bytes).substr(0, kept_for_diagnosis));
  }
  co_return received;
}

Task<ReplyBuffer> WatchedLine::take_waiting() {
  ReplyBuffer waiting;
  while (true) {
    const Received received = co_await read(Duration{0});
    if (received.status != Received::Status::data) break;
    waiting.add(received.bytes);
  }
  co_return waiting;
}

Task<void> WatchedLine::write(const std::string& bytes) {
  // What was taken of a line that failed must not be completed by this one.
  const std::string all = half_written_ ? spoiled_line_end(profile_) + bytes : bytes;
  if (first_written_.size() < kept_for_diagnosis) first_written_ += all;
  half_written_ = true;
  co_await line_.write(all, profile_.timing.reply);
  half_written_ = false;
}

Task<void> WatchedLine::write_unended(const std::string& text) {
  co_await write(text);
  half_written_ = true;
}

Task<void> WatchedLine::end() {
  const std::string end(line_end_of(profile_));
  co_await line_.write(end, profile_.timing.reply);
  half_written_ = false;
}

bool WatchedLine::only_echo_heard() const {
  const std::vector<std::string> lines = first_heard_.lines();
  ReplyBuffer written;
  written.add(first_written_);
  const std::vector<std::string> sent = written.lines();
  return !lines.empty() && std::all_of(lines.begin(), lines.end(), [&](const std::string& line) {
    return std::find(sent.begin(), sent.end(), trimmed(line)) != sent.end();
  });
}

}  // namespace armwise::console
