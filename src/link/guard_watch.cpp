#include "guard_watch.hpp"

#include <poll.h>
#include <signal.h>
#include <sys/syscall.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <charconv>
#include <utility>
#include <vector>

#include "guard_statements.hpp"

namespace armwise::link {
namespace {

using Kind = GuardMessage::Kind;

// Between two looks for a port that is gone.
constexpr Duration look_again{100};
// Stops of a tool whose echoes may still be on their way when it ends: what it writes at once.
constexpr int most_of_the_tools = 2;

// Rounded up, for poll(): woken a moment too early it would only go to sleep again.
int milliseconds_until(std::int64_t moment) {
  const std::int64_t left = moment - monotonic_now();
  return static_cast<int>(
      std::clamp<std::int64_t>((left + nanoseconds(Duration(1)) - 1) / nanoseconds(Duration(1)), 0, 60'000));
}

int number_in(const std::string& text) {
  int number = 0;
  std::from_chars(text.data(), text.data() + text.size(), number);
  return number;
}

HeldPort held_port(const std::vector<std::string>& parts) {
  HeldPort port;
  port.node = parts[0];
  port.root.dev = parts[1];
  port.root.sys = parts[2];
  port.identity = {parts[3], parts[4], parts[5], parts[6], parts[7]};
  port.speed = number_in(parts[8]);
  return port;
}

}  // namespace

void Watch::let_go(std::int64_t number) {
  const bool needed = turning_ && port_.lives();
  if (number == port_.number() && !needed) port_.close();
  answer(true);
}

void Watch::obey(const GuardReceived& received) {
  const GuardMessage& message = received.message;
  tool_.heard(monotonic_now());
  // A tool that hung goes on, and opens the port itself.
  if (port_.was_found_again() && !is_alone()) port_.close();
  switch (message.kind) {
    case Kind::speech: {
      const std::vector<std::string> parts = message.parts();
      speech_ = {parts[0], parts[1], parts[2], number_in(parts[4]), parts[3]};
      answers_.expect(speech_.acknowledged_by, speech_.times);
      return answer(true);
    }
    case Kind::note:
      note_ = message.parts().front();
      return answer(true);
    case Kind::voice:
      speaker_.use(static_cast<GuardVoice>(message.number));
      return answer(true);
    case Kind::hold:
      if (received.descriptor < 0) return answer(false);
      port_.hold(received.descriptor, message.number, held_port(message.parts()));
      return answer(true);
    case Kind::let_go:
      return let_go(message.number);
    case Kind::turning: {
      const bool ready = !speech_.stop.empty() && !stopping_ && port_.lives();
      if (ready) {
        turning_ = true;
        answers_.count_of_the_tool(0);
        until_ = message.number;
      }
      return answer(ready);
    }
    case Kind::stopping:
      answers_.count_of_the_tool(most_of_the_tools);
      until_ = message.number;
      return;
    case Kind::stopped:
      turning_ = stopping_ = false;
      return;
    case Kind::finish:
      tool_.wants_to_end();
      return;
    case Kind::beat:
      tool_.tell(Kind::heard);
      return;
    default:
      return;
  }
}

bool Watch::take_messages() {
  while (true) {
    const GuardReceived received = tool_.receive();
    if (received.status == GuardReceived::Status::gone) return false;
    if (received.status == GuardReceived::Status::nothing) return true;
    obey(received);
  }
}

bool Watch::must_stop(std::int64_t now) const {
  return is_alone() || is_silent(now) || now >= until_ + nanoseconds(timing_.grace);
}

// Nor does a tool that hangs look for it.
bool Watch::must_find_the_port(std::int64_t now) const {
  return !port_.is_open() && port_.can_be_found() && (is_alone() || is_silent(now));
}

std::int64_t Watch::next_alarm() const {
  if (!turning_) return monotonic_now() + nanoseconds(Duration(60'000));
  const std::int64_t silent = tool_.silent_at(stopping_ ? timing_.kill : timing_.silence);
  if (!stopping_) return std::min(until_ + nanoseconds(timing_.grace), silent);
  std::int64_t next = std::min(stops_.next(), is_alone() ? give_up_ : silent);
  if (is_to_warn()) next = std::min(next, *warn_);
  if (must_find_the_port(monotonic_now())) next = std::min(next, next_look_);
  return next;
}

// What it set the terminal to goes with it.
void Watch::kill_tool() {
  if (tool_.killed()) return;
  speaker_.restore_terminal();
  if (tool_.lives()) speaker_.say(guard_statement("tool-hung"));
  tool_.kill();
}

Duration Watch::longest() const {
  if (port_.is_open()) return timing_.insist;
  return port_.can_be_found() ? timing_.absent : Duration(0);
}

void Watch::begin_to_stop(std::int64_t now) {
  stopping_ = true;
  warn_ = now + nanoseconds(timing_.warn);
  stops_.begin(now);
  answers_.begin();
  give_up_ = now + nanoseconds(longest());
  if (!is_alone() && !is_silent(now)) tool_.tell(Kind::overdue);
}

void Watch::keep_stopping(std::int64_t now) {
  if (now < stops_.next()) return port_.push();
  const bool enters = stops_.enters() && !speech_.enter.empty();
  port_.send(speech_.line_end + (enters ? speech_.stop + speech_.enter : "") + speech_.stop);
  answers_.count(enters ? 2 : 1);
  stops_.count(now, !is_alone() && !is_silent(now));
}

void Watch::end(GuardNote::Ending how) {
  turning_ = stopping_ = false;
  how_ = how;
  if (how == GuardNote::Ending::acknowledged) {
    speaker_.say(guard_statement("guard-stopped"));
  } else if (!tool_.ending()) {  // a tool that ended by itself has said so much
    speaker_.say(guard_statement("guard-gave-up"));
  }
}

void Watch::look_for_the_port(std::int64_t now) {
  if (now < next_look_) return;
  next_look_ = now + nanoseconds(look_again);
  if (!port_.find_again()) return;
  stops_.begin_on_found_port(now);
  answers_.begin();
  give_up_ = now + nanoseconds(timing_.insist);
}

void Watch::read_answer() {
  answers_.hear(port_.read());
  if (answers_.acknowledged() && !port_.has_unsent()) end(GuardNote::Ending::acknowledged);
}

void Watch::check_time() {
  const std::int64_t now = monotonic_now();
  if (!turning_) return;
  if (!must_stop(now)) {
    stopping_ = false;
    return;
  }
  if (!stopping_) begin_to_stop(now);
  if (!is_alone() && now >= tool_.silent_at(timing_.kill)) kill_tool();
  if (must_find_the_port(now)) look_for_the_port(now);
  // Nobody but the person stops a motor that no line reaches: so at once, and not only at the end.
  if (is_to_warn() && now >= *warn_) {
    warn_.reset();
    speaker_.say(guard_statement("stop-lost"));
  }
  if (is_alone() && now >= give_up_) {
    return end(port_.is_open() ? GuardNote::Ending::unanswered : GuardNote::Ending::line_gone);
  }
  keep_stopping(now);
}

void Watch::wait() {
  std::array<pollfd, 2> wanted{{{tool_.lives() ? tool_.socket() : -1, POLLIN, 0}, {-1, 0, 0}}};
  // While the tool lives, what comes is the tool's to read.
  const bool listening = stopping_ && is_alone();
  if (stopping_ && port_.is_open()) {
    const int events = (listening ? POLLIN : 0) | (port_.has_unsent() ? POLLOUT : 0);
    wanted[1] = {port_.descriptor(), static_cast<short>(events), 0};  // that it hung up is told all the same
  }
  poll(wanted.data(), wanted.size(), milliseconds_until(next_alarm()));
  if (stopping_ && wanted[1].fd >= 0 && (wanted[1].revents & (POLLHUP | POLLERR | POLLNVAL)) != 0) {
    port_.close();  // ready for ever
    give_up_ = monotonic_now() + nanoseconds(longest());
  }
  if (listening && turning_) read_answer();
}

void Watch::run() {
  while (tool_.lives() || turning_) {
    if (tool_.ending() && !turning_) break;
    wait();
    // Messages first: the guard itself may have been kept from running while the tool was beating.
    if (tool_.lives() && !take_messages()) {
      tool_.gone();
      speaker_.restore_terminal();
      // Stops said beside a tool that lived say little about what it wrote last.
      if (!tool_.killed()) stopping_ = false;
      // It may be alive and have closed the socket by mistake, or be on its way out, writing.
      if (turning_ && !tool_.ending()) kill_tool();
    }
    check_time();
  }
  // A tool that lived tells the person itself.
  if (how_ && !note_.empty() && !tool_.ending()) leave_word(note_, *how_);
}

}  // namespace armwise::link
