// A line whose far side is a function: it is given what is written and says what comes back, and when.
// Time is the manual clock's; a read that finds nothing winds it on.
#pragma once

#include <algorithm>
#include <cstddef>
#include <deque>
#include <functional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "armwise/base/fault.hpp"
#include "armwise/base/task.hpp"
#include "armwise/console/line.hpp"
#include "support/manual_clock.hpp"

namespace armwise::test {

struct Chunk {
  std::string bytes;
  Duration after{0};  // the one before it
};

class FarSide {
 public:
  virtual ~FarSide() = default;
  virtual std::vector<Chunk> receive(std::string_view bytes) = 0;
};

class ScriptedLine : public console::Line {
 public:
  ScriptedLine(ManualClock& clock, FarSide& far_side) : clock_(clock), far_side_(far_side) {}

  std::size_t chunk_size = 1'000'000;  // the most that one read gives
  bool closed = false;
  Duration between_chunks{0};
  std::size_t takes_at_most = 1'000'000;  // of one write; then the far side reads no more

  void come(std::string_view bytes, Duration after = Duration{0}) {
    Instant due = std::max(clock_.now(), coming_.empty() ? Instant{0} : coming_.back().due) + after;
    for (std::size_t at = 0; at < bytes.size(); at += chunk_size) {
      coming_.push_back({due, std::string(bytes.substr(at, chunk_size))});
      due += between_chunks;
    }
  }

  Task<console::Received> read(Duration within) override {
    console::Received received;
    if (!coming_.empty() && coming_.front().due <= clock_.now() + within) {
      if (coming_.front().due > clock_.now()) clock_.advance(coming_.front().due - clock_.now());
      received.status = console::Received::Status::data;
      received.bytes = std::move(coming_.front().bytes);
      coming_.pop_front();
    } else if (closed) {
      received.status = console::Received::Status::closed;
    } else {
      clock_.advance(within);
    }
    co_return received;
  }

  Task<void> write(std::string_view bytes, Duration within) override {
    if (closed) throw Fault(FaultKind::line_lost, "the line is gone");
    if (bytes.size() > takes_at_most) {
      const std::string_view taken = bytes.substr(0, takes_at_most);
      written += taken;
      for (const Chunk& chunk : far_side_.receive(taken)) come(chunk.bytes, chunk.after);
      clock_.advance(within);
      throw Fault(FaultKind::no_reply, "only " + std::to_string(takes_at_most) + " bytes were taken");
    }
    written += bytes;
    for (const Chunk& chunk : far_side_.receive(bytes)) come(chunk.bytes, chunk.after);
    co_return;
  }

  void discard_input() override {
    while (!coming_.empty() && coming_.front().due <= clock_.now()) coming_.pop_front();
  }
  std::string name() const override { return "/dev/scripted"; }

  std::string written;

 private:
  struct Coming {
    Instant due;
    std::string bytes;
  };
  ManualClock& clock_;
  FarSide& far_side_;
  std::deque<Coming> coming_;
};

}  // namespace armwise::test
