// A stop of all motors that goes on until it is acknowledged: the one engine that stops.
#pragma once

#include <functional>
#include <optional>
#include <string>

#include "profile_console_inside.hpp"
#include "stop_answer.hpp"

namespace armwise::console {

class ProfileConsole::Inside::Stopping {
 public:
  // Both outlive it. `tell`: see TellUnstopped; may be empty.
  Stopping(Inside& console, const TellUnstopped& tell);

  // True where the line was lost meanwhile. Throws Fault(unsafe) where nothing was acknowledged.
  Task<bool> until_acknowledged();

 private:
  Task<std::optional<Fault>> once();
  Task<void> say_it();
  Task<Conversation::Listened> hear();
  bool is_repeated_in(const Reply& reply) const;
  Task<bool> before_the_answer();
  bool is_confirmed_behind(const Order& spin, Conversation::Late& late) const;
  Task<std::optional<Fault>> look_for_the_line();
  void take(const Fault& trouble);
  void tell(const std::string& why);

  Inside& in_;
  const TellUnstopped& tell_;
  StopAnswer answer_;
  Duration reply_;       // the longest that the console takes for one
  Duration tell_after_;  // without any answer
  Duration patience_;    // for the answer to one stop
  Instant began_, next_told_;
  Instant opened_;  // the line, as far as this stop knows
  bool told_ = false;
  bool lost_ = false, was_lost_ = false;                     // the line
  Conversation::Where where_ = Conversation::Where::inside;  // where the next stop is said from
  std::function<void()> silent_;
};

}  // namespace armwise::console
