// The practice craft without any operating system: line, plug and sight on a clock that is wound by hand.
// A read that finds nothing winds the clock on to what happens next, so a whole session takes no time.
#pragma once

#include <cstddef>
#include <memory>
#include <string>
#include <string_view>

#include "armwise/console/line.hpp"
#include "armwise/practice/manual_clock.hpp"
#include "armwise/practice/port.hpp"
#include "armwise/practice/sight.hpp"

namespace armwise::practice {

// How the operating system in between behaves.
struct LineHabits {
  std::size_t chunk = 0;        // most bytes that one read gives; 0: all that are there
  std::size_t buffered = 4095;  // bytes that a controller that does not read leaves room for
};

// One generation of the port: closed for good once the port has vanished.
class PracticeLine : public console::Line {
 public:
  // `port` and `clock` outlive the line.
  PracticeLine(PracticePort& port, ManualClock& clock, LineHabits habits = {});

  Task<console::Received> read(Duration within) override;
  Task<void> write(std::string_view bytes, Duration within) override;
  void discard_input() override;
  std::string name() const override { return "/dev/" + name_; }

 private:
  bool gone() const;
  console::Received next_chunk();

  PracticePort& port_;
  ManualClock& clock_;
  LineHabits habits_;
  int generation_;
  std::string name_;
  std::string unread_;
  std::size_t stuck_ = 0;  // bytes that the controller has not taken
};

class PracticePlug : public console::Plug {
 public:
  // `port` and `clock` outlive the plug.
  PracticePlug(PracticePort& port, ManualClock& clock, LineHabits habits = {});

  Task<std::unique_ptr<console::Line>> open() override;
  Task<std::unique_ptr<console::Line>> reopen(Duration within) override;
  std::string renamed() const override { return renamed_; }
  std::string identity() const override;

 private:
  bool wanted_is_there() const;

  PracticePort& port_;
  ManualClock& clock_;
  LineHabits habits_;
  UsbNumbers wanted_;
  std::string name_;
  int generation_ = 0;
  std::string renamed_;
};

class PortSight : public Sight {
 public:
  // `port` and `clock` outlive the sight.
  PortSight(PracticePort& port, ManualClock& clock) : port_(port), clock_(clock) {}

  std::vector<Turning> turning() override { return port_.turning(clock_.now()); }
  Task<std::vector<Turning>> change(Duration within) override;
  Task<void> hold(std::string pose) override;
  Task<void> reverse(std::string place) override;
  Task<void> replug() override;

 private:
  PracticePort& port_;
  ManualClock& clock_;
};

}  // namespace armwise::practice
