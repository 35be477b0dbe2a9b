#include "armwise/practice/in_process.hpp"

#include <algorithm>
#include <utility>

#include "armwise/base/fault.hpp"
#include "armwise/base/task.hpp"

namespace armwise::practice {
namespace {

// Winds the clock to what happens next by itself, at most to `deadline`; false once that is reached.
bool wind_on(PracticePort& port, ManualClock& clock, Instant deadline) {
  if (clock.now() >= deadline) return false;
  const std::optional<Instant> next = port.next_event();
  // An event that is due but changes nothing here must not hold the clock.
  const Instant at = next ? std::max(*next, clock.now() + Duration(1)) : deadline;
  clock.wind_to(std::min(at, deadline));
  port.advance(clock.now());
  return true;
}

}  // namespace

void no_such_pose(const std::string& pose) {
  throw Fault(FaultKind::usage, "the practice craft cannot be held \"" + pose + "\"");
}

void no_such_place(const std::string& place) {
  throw Fault(FaultKind::usage, "the practice craft has no motor at \"" + place + "\"");
}

PracticeLine::PracticeLine(PracticePort& port, ManualClock& clock, LineHabits habits)
    : port_(port), clock_(clock), habits_(habits), generation_(port.generation()), name_(port.name()) {}

bool PracticeLine::gone() const {
  return !port_.present() || port_.generation() != generation_;
}

console::Received PracticeLine::next_chunk() {
  if (habits_.chunk == 0 || unread_.size() <= habits_.chunk) {
    return {console::Received::Status::data, std::exchange(unread_, {})};
  }
  console::Received received{console::Received::Status::data, unread_.substr(0, habits_.chunk)};
  unread_.erase(0, habits_.chunk);
  return received;
}

Task<console::Received> PracticeLine::read(Duration within) {
  const Instant deadline = clock_.now() + within;
  port_.advance(clock_.now());
  do {
    // What was unread when the port vanished is lost, as it is on a real one.
    if (gone()) co_return console::Received{console::Received::Status::closed, {}};
    unread_ += port_.take(clock_.now());
    if (!unread_.empty()) co_return next_chunk();
  } while (wind_on(port_, clock_, deadline));
  co_return console::Received{};
}

Task<void> PracticeLine::write(std::string_view bytes, Duration within) {
  port_.advance(clock_.now());
  if (gone()) {
    throw Fault(FaultKind::line_lost, name() + " has gone away", "It was unplugged or is restarting",
                "Plug it in again");
  }
  if (port_.reads()) {
    port_.receive(bytes, clock_.now());
    co_return;
  }
  const std::size_t room = habits_.buffered - std::min(stuck_, habits_.buffered);
  const std::size_t taken = std::min(room, bytes.size());
  stuck_ += taken;
  if (taken == bytes.size()) co_return;
  clock_.wind(within);
  throw Fault(FaultKind::no_reply,
              name() + " took " + std::to_string(taken) + " of " + std::to_string(bytes.size()) + " bytes",
              "The controller does not read", "Unplug it and plug it in again");
}

void PracticeLine::discard_input() {
  unread_.clear();
  if (!gone()) port_.take(clock_.now());
}

PracticePlug::PracticePlug(PracticePort& port, ManualClock& clock, LineHabits habits)
    : port_(port), clock_(clock), habits_(habits), wanted_(port.usb()), name_(port.name()) {}

std::string PracticePlug::identity() const {
  return "USB " + wanted_.vendor + ":" + wanted_.product + ", serial number " + wanted_.serial;
}

bool PracticePlug::wanted_is_there() const {
  return port_.present() && port_.usb() == wanted_;
}

Task<std::unique_ptr<console::Line>> PracticePlug::open() {
  port_.advance(clock_.now());
  if (!port_.present()) {
    throw Fault(FaultKind::port_missing, "there is no port /dev/" + name_, {}, "Plug the controller in");
  }
  name_ = port_.name();
  generation_ = port_.generation();
  co_return std::make_unique<PracticeLine>(port_, clock_, habits_);
}

Task<std::unique_ptr<console::Line>> PracticePlug::reopen(Duration within) {
  const Instant start = clock_.now();
  const auto vanished = [&] { return !port_.present() || port_.generation() != generation_; };
  port_.advance(start);
  // A controller may restart without its port going away; half the time is kept for the other case.
  while (!vanished() && wind_on(port_, clock_, start + within / 2)) {
  }
  while (!wanted_is_there() && wind_on(port_, clock_, start + within)) {
  }
  if (!wanted_is_there()) {
    throw Fault(FaultKind::not_back, "the controller (" + identity() + ") did not come back",
                "It was waited for during " + std::to_string(within.count() / 1000) + " s",
                "Unplug it and plug it in again");
  }
  renamed_ = port_.name() == name_
                 ? std::string()
                 : "/dev/" + name_ + " is /dev/" + port_.name() + " now, with the same " + identity();
  name_ = port_.name();
  generation_ = port_.generation();
  co_return std::make_unique<PracticeLine>(port_, clock_, habits_);
}

Task<std::vector<Turning>> PortSight::change(Duration within) {
  const Instant deadline = clock_.now() + within;
  const std::vector<Turning> before = turning();
  std::vector<Turning> now = before;
  while (now == before && wind_on(port_, clock_, deadline)) now = turning();
  co_return now;
}

Task<void> PortSight::hold(std::string pose) {
  if (!port_.controller().craft().hold(pose)) no_such_pose(pose);
  co_return;
}

Task<void> PortSight::reverse(std::string place) {
  if (!port_.controller().craft().reverse(place)) no_such_place(place);
  co_return;
}

Task<void> PortSight::replug() {
  port_.plug_in_again(clock_.now());
  co_return;
}

}  // namespace armwise::practice
