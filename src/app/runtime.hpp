// What every session command shares: the guard, the event loop, signals, and how a session's end becomes an
// exit status.
#pragma once

#include <boost/asio/io_context.hpp>
#include <exception>
#include <functional>
#include <memory>
#include <string>

#include "armwise/base/fault.hpp"
#include "armwise/base/task_fwd.hpp"
#include "armwise/link/guard.hpp"
#include "armwise/link/real_clock.hpp"
#include "armwise/link/signals.hpp"
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
  // Ctrl-Z: suspends at once where no motor turns; else the spin is ended first, see suspended().
  int run(Task<int> flow, std::unique_ptr<session::Person>& person);
  // The last thing that the person is told, however the flow ended.
  void end_with(std::function<void(session::Person&)> last_word) { last_word_ = std::move(last_word); }

  // The guard, for a console: it also knows whether a motor may be turning.
  console::Sentry& sentry() { return sentry_; }
  // For BenchOptions::suspended.
  bool suspended();

 private:
  // Passes on to the guard, and remembers.
  class Watch : public console::Sentry {
   public:
    explicit Watch(link::Guard& guard) : guard_(guard) {}
    void turning(Duration longest) override {
      turns = true;
      guard_.turning(longest);
    }
    void stopping(Duration longest) override { guard_.stopping(longest); }
    void stopped() override {
      guard_.stopped();
      turns = false;
    }
    bool turns = false;

   private:
    link::Guard& guard_;
  };

  std::unique_ptr<link::Guard> guard_;
  Watch sentry_;
  std::function<void(session::Person&)> last_word_;
  link::Signals* signals_ = nullptr;  // while run() runs
  bool suspend_wanted_ = false;
  boost::asio::io_context loop_;
  link::RealClock clock_;
};

// What no part of armwise has words of its own for.
Fault unexpected(const std::exception& error);
// One line on the error stream; where that is a terminal, broken between words to fit it.
void say_error(const std::string& text);
// Says on the error stream, or to the person, what a fault says.
void say_fault(const Fault& fault, session::Person* person);

}  // namespace armwise::app
