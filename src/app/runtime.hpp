// What every session command shares: the guard, the event loop, signals, and how a session's end becomes an
// exit status.
#pragma once

#include <boost/asio/io_context.hpp>
#include <functional>
#include <memory>

#include "armwise/base/fault.hpp"
#include "armwise/base/task.hpp"
#include "armwise/link/guard.hpp"
#include "armwise/link/real_clock.hpp"
#include "armwise/session/person.hpp"

namespace armwise::app {

class Runtime {
 public:
  // Forks the guard: make it before any thread or event loop exists.
  Runtime();

  link::Guard& guard() { return *guard_; }
  boost::asio::io_context& loop() { return loop_; }
  Clock& clock() { return clock_; }

  // Runs the flow to its end. A signal cancels it; it stops its motors on the way out. Returns the exit
  // status; ends by the signal where one came. `person` is looked at when there is something to say: once
  // the flow has made one, faults are told to it, and it is gone (its terminal restored) when this returns.
  int run(Task<int> flow, std::unique_ptr<session::Person>& person);

 private:
  std::unique_ptr<link::Guard> guard_;
  boost::asio::io_context loop_;
  link::RealClock clock_;
};

// Says on the error stream, or to the person, what a fault says.
void say_fault(const Fault& fault, session::Person* person);

}  // namespace armwise::app
