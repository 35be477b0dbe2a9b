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

#include "armwise/base/text.hpp"

namespace armwise::link {
namespace {

using Kind = GuardMessage::Kind;

// Between two looks for a port that is gone.
constexpr Duration look_again{100};
// Stops of a tool whose echoes may still be on their way when it ends: what it writes at once.
constexpr int most_of_the_tools = 2;

std::int64_t nanoseconds(Duration duration) {
  constexpr std::int64_t per_millisecond = 1'000'000;
  return duration.count() * per_millisecond;
}

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
  last_beat_ = monotonic_now();
  // A tool that hung goes on, and opens the port itself.
  if (port_.was_found_again() && !is_alone()) port_.close();
  switch (message.kind) {
    case Kind::speech: {
      const std::vector<std::string> parts = message.parts();
      speech_ = {parts[0], parts[1], lower_case(parts[2]), number_in(parts[4]), parts[3]};
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
        tool_said_ = 0;
        until_ = message.number;
      }
      return answer(ready);
    }
    case Kind::stopping:
      tool_said_ = most_of_the_tools;
      until_ = message.number;
      return;
    case Kind::stopped:
      turning_ = stopping_ = false;
      return;
    case Kind::finish:
      ending_ = true;
      return;
    case Kind::beat:
      send_message(socket_, GuardMessage::plain(Kind::heard));
      return;
    default:
      return;
  }
}

bool Watch::take_messages() {
  while (true) {
    const GuardReceived received = receive_message(socket_);
    if (received.status == GuardReceived::Status::gone) return false;
    if (received.status == GuardReceived::Status::nothing) return true;
    obey(received);
  }
}

bool Watch::tool_is_silent(std::int64_t now, Duration longest) const {
  return now >= last_beat_ + nanoseconds(longest);
}

bool Watch::must_stop(std::int64_t now) const {
  return is_alone() || tool_is_silent(now, timing_.silence) || now >= until_ + nanoseconds(timing_.grace);
}

// Nor does a tool that hangs look for it.
bool Watch::must_find_the_port(std::int64_t now) const {
  return !port_.is_open() && port_.can_be_found() && (is_alone() || tool_is_silent(now, timing_.silence));
}

std::int64_t Watch::next_alarm() const {
  if (!turning_) return monotonic_now() + nanoseconds(Duration(60'000));
  const std::int64_t silent = last_beat_ + nanoseconds(stopping_ ? timing_.kill : timing_.silence);
  if (!stopping_) return std::min(until_ + nanoseconds(timing_.grace), silent);
  std::int64_t next = std::min(next_stop_, is_alone() ? give_up_ : silent);
  if (is_to_warn()) next = std::min(next, warn_);
  if (must_find_the_port(monotonic_now())) next = std::min(next, next_look_);
  return next;
}

// What it set the terminal to goes with it.
void Watch::kill_tool() {
  if (std::exchange(killed_, true)) return;
  speaker_.restore_terminal();
  if (tool_lives_) {
    speaker_.say(
        "tool-hung",
        "armwise hung while a motor was turning, and was ended. The controller was told to stop. If a "
        "motor still turns, keep clear and pull the battery plug.");
  }
  syscall(SYS_pidfd_send_signal, tool_, SIGKILL, nullptr, 0U);
}

Duration Watch::longest() const {
  if (port_.is_open()) return timing_.insist;
  return port_.can_be_found() ? timing_.absent : Duration(0);
}

void Watch::begin_to_stop(std::int64_t now) {
  stopping_ = true;
  warned_ = false;
  warn_ = now + nanoseconds(timing_.warn);
  stops_written_ = said_ = 0;
  forget_answers();
  interval_ = timing_.repeat;
  next_stop_ = now;
  give_up_ = now + nanoseconds(longest());
  if (!is_alone() && !tool_is_silent(now, timing_.silence)) {
    send_message(socket_, GuardMessage::plain(Kind::overdue));
  }
}

// A tool that beats needs silence to get into step with its console; one that is gone needs none.
void Watch::keep_stopping(std::int64_t now) {
  if (now < next_stop_) return port_.push();
  // From the third on: a console that answers nothing may have to be entered anew.
  const bool entered = stops_written_ < 2 || speech_.enter.empty();
  port_.send(speech_.line_end + (entered ? "" : speech_.stop + speech_.enter) + speech_.stop);
  // A prompt tells of what was sent before it only.
  if (speech_.times == 0) forget_answers();
  said_ += entered ? 1 : 2;
  ++stops_written_;
  const bool beside = !is_alone() && !tool_is_silent(now, timing_.silence);
  next_stop_ = now + nanoseconds(beside ? timing_.seldom : interval_);
  interval_ = std::min(2 * interval_, timing_.repeat_at_longest);
}

// Nobody but the person stops a motor that no line reaches: so at once, and not only at the end.
void Watch::warn() {
  warned_ = true;
  speaker_.say(
      "stop-lost",
      "armwise ended, and the controller has not answered the stop: a motor may be turning. Keep clear "
      "and pull the battery plug. Unplugging USB stops no motor. The guard is still trying.");
}

void Watch::end(GuardNote::Ending how) {
  turning_ = stopping_ = false;
  how_ = how;
  if (how == GuardNote::Ending::acknowledged) {
    speaker_.say("guard-stopped",
                 "armwise ended while a motor was turning. Its guard told the controller to stop, and it "
                 "answered. If a motor still turns, keep clear and pull the battery plug.");
  } else if (!ending_) {  // a tool that ended by itself has said so much
    speaker_.say(
        "guard-gave-up",
        "The controller never answered the stop, and the guard gives up: a motor may be turning. Keep "
        "clear and pull the battery plug.");
  }
}

// The controller came back, maybe in its start-up, and maybe its console has to be entered anew.
void Watch::look_for_the_port(std::int64_t now) {
  if (now < next_look_) return;
  next_look_ = now + nanoseconds(look_again);
  if (!port_.find_again()) return;
  stops_written_ = 2;
  said_ = 0;
  forget_answers();
  interval_ = timing_.repeat;
  next_stop_ = now;
  give_up_ = now + nanoseconds(timing_.insist);
}

void Watch::forget_answers() {
  heard_ = 0;
  unread_.clear();
}

void Watch::read_answer() {
  const std::string& wanted = speech_.acknowledged_by;
  unread_ += lower_case(port_.read());
  for (std::size_t at = unread_.find(wanted); !unread_.empty() && at != std::string::npos;
       at = unread_.find(wanted)) {
    ++heard_;
    unread_.erase(0, std::max<std::size_t>(at + wanted.size(), 1));
  }
  if (unread_.size() >= wanted.size()) unread_.erase(0, unread_.size() - wanted.size() + 1);
  if (is_acknowledged() && !port_.has_unsent()) end(GuardNote::Ending::acknowledged);
}

bool Watch::is_acknowledged() const {
  if (speech_.times == 0) return stops_written_ > 1 && heard_ > 0;
  // Echoes that read like answers may come late, and an answer may say the same of each motor: more than all
  // the stops that were said, the tool's last ones included, can bring where one motor never confirms.
  return heard_ > (said_ + tool_said_) * (speech_.times - 1);
}

void Watch::check_time() {
  const std::int64_t now = monotonic_now();
  if (!turning_) return;
  if (!must_stop(now)) {
    stopping_ = false;
    return;
  }
  if (!stopping_) begin_to_stop(now);
  if (!is_alone() && tool_is_silent(now, timing_.kill)) kill_tool();
  if (must_find_the_port(now)) look_for_the_port(now);
  if (is_to_warn() && now >= warn_) warn();
  if (is_alone() && now >= give_up_) {
    return end(port_.is_open() ? GuardNote::Ending::unanswered : GuardNote::Ending::line_gone);
  }
  keep_stopping(now);
}

void Watch::wait() {
  std::array<pollfd, 2> wanted{{{tool_lives_ ? socket_ : -1, POLLIN, 0}, {-1, 0, 0}}};
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
  while (tool_lives_ || turning_) {
    if (ending_ && !turning_) break;
    wait();
    // Messages first: the guard itself may have been kept from running while the tool was beating.
    if (tool_lives_ && !take_messages()) {
      tool_lives_ = false;
      speaker_.restore_terminal();
      // Stops said beside a tool that lived say little about what it wrote last.
      if (!killed_) stopping_ = false;
      // It may be alive and have closed the socket by mistake, or be on its way out, writing.
      if (turning_ && !ending_) kill_tool();
    }
    check_time();
  }
  // A tool that lived tells the person itself.
  if (how_ && !note_.empty() && !ending_) leave_word(note_, *how_);
}

}  // namespace armwise::link
