// The line to a faulty controller, on a clock that is wound by hand, with an eye on what goes over it.
#pragma once

#include <algorithm>
#include <array>
#include <memory>
#include <string>
#include <string_view>
#include <utility>

#include "armwise/base/task.hpp"
#include "armwise/console/line.hpp"
#include "faulty_controller.hpp"
#include "must.hpp"
#include "support/manual_clock.hpp"

namespace armwise::fuzz {

struct Habits {
  std::size_t chunk = 1;  // bytes that one read gives
  bool floods = false;    // the last scripted answer comes for ever
  Duration between{0};    // chunks
  bool comes_back = true;

  static Habits chosen_by(unsigned byte) {
    constexpr std::array<std::size_t, 4> chunks{1, 3, 64, 100'000};
    constexpr std::array<Duration, 4> pauses{Duration{0}, Duration{1}, Duration{9}, Duration{200}};
    Habits habits;
    habits.chunk = chunks.at(byte & 3U);
    habits.between = pauses.at((byte >> 2U) & 3U);
    habits.floods = (byte & 16U) != 0;
    habits.comes_back = (byte & 32U) == 0;
    // As a line of 115,200 baud gives it: without a pace, time would stand still.
    if (habits.floods) {
      habits.chunk = 256;
      habits.between = Duration{22};
    }
    return habits;
  }
};

// What is on its way, for as long as the controller stays plugged in.
struct Wire {
  Wire(test::ManualClock& its_clock, const console::Profile& spoken, std::string_view script, Habits its)
      : clock(its_clock), profile(spoken), controller(spoken, script), habits(its) {}

  test::ManualClock& clock;
  const console::Profile& profile;
  FaultyController controller;
  Habits habits;
  std::string coming;
  Instant due{0};
  bool gone = false;
  int spins_sent = 0;
  std::string spin_line;  // what turns a motor
  long reads = 0;

  static constexpr long most_reads = 300'000;
};

class FaultyLine : public console::Line {
 public:
  explicit FaultyLine(Wire& wire) : wire_(wire) {}

  Task<console::Received> read(Duration within) override {
    must(++wire_.reads < Wire::most_reads, "a conversation ends");
    console::Received received;
    if (wire_.coming.empty() && wire_.habits.floods && wire_.controller.script_is_over()) refill();
    if (!wire_.coming.empty() && wire_.due <= wire_.clock.now() + within) {
      if (wire_.due > wire_.clock.now()) wire_.clock.advance(wire_.due - wire_.clock.now());
      received.status = console::Received::Status::data;
      received.bytes = wire_.coming.substr(0, wire_.habits.chunk);
      wire_.coming.erase(0, received.bytes.size());
      wire_.due = wire_.clock.now() + wire_.habits.between;
    } else if (wire_.gone && wire_.coming.empty()) {
      received.status = console::Received::Status::closed;
    } else {
      wire_.clock.advance(within);
    }
    co_return received;
  }

  Task<void> write(std::string_view bytes, Duration) override {
    if (wire_.gone) throw Fault(FaultKind::line_lost, "the line is gone");
    check_written(bytes);
    wire_.coming += wire_.controller.receive(bytes);
    wire_.gone = std::exchange(wire_.controller.line_goes_away, false);
    co_return;
  }

  void discard_input() override {
    if (wire_.due <= wire_.clock.now()) wire_.coming.clear();
  }
  std::string name() const override { return "/dev/faulty"; }

 private:
  // A line may come in pieces, its end last.
  void count_spins(std::string_view bytes) {
    for (const char c : bytes) {
      line_ += c;
      const bool whole = !wire_.spin_line.empty() && line_ == wire_.spin_line;
      if (whole) ++wire_.spins_sent;
      if (whole || (c == '\n' && !wire_.spin_line.starts_with(line_))) line_.clear();
      if (c == '\r' && !wire_.spin_line.starts_with(line_)) line_.clear();
    }
  }
  void refill() {
    const std::string& answer = wire_.controller.last_answer();
    if (answer.empty()) return;
    if (flood_.empty()) {
      while (flood_.size() < wire_.habits.chunk) flood_ += answer;
    }
    wire_.coming = flood_;
  }

  // Whatever the controller says: nothing but text and line ends is sent back to it.
  void check_written(std::string_view bytes) {
    std::string text(bytes);
    std::erase_if(text, [](char c) { return c == '\r' || c == '\n'; });
    must(is_printable(text) || text == wire_.profile.open.send, "only text is sent to a console", text);
    count_spins(bytes);
  }

  Wire& wire_;
  std::string flood_;
  std::string line_;  // written so far, since the last line end
};

class FaultyPlug : public console::Plug {
 public:
  explicit FaultyPlug(Wire& wire) : wire_(wire) {}
  Task<std::unique_ptr<console::Line>> open() override { co_return plugged_in(); }
  Task<std::unique_ptr<console::Line>> reopen(Duration within) override {
    if (!wire_.habits.comes_back) {
      wire_.clock.advance(within);
      throw Fault(FaultKind::not_back, "it did not come back");
    }
    wire_.clock.advance(Duration{500});
    co_return plugged_in();
  }
  std::string renamed() const override { return ""; }
  std::string identity() const override { return "faulty port"; }

 private:
  std::unique_ptr<console::Line> plugged_in() {
    wire_.gone = false;
    return std::make_unique<FaultyLine>(wire_);
  }
  Wire& wire_;
};

}  // namespace armwise::fuzz
