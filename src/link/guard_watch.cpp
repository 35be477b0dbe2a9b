#include "guard_watch.hpp"

#include <poll.h>
#include <signal.h>
#include <sys/syscall.h>
#include <termios.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <cerrno>

#include "line_settings.hpp"

namespace armwise::link {
namespace {

using Kind = GuardMessage::Kind;

constexpr std::int64_t per_millisecond = 1'000'000;

std::int64_t nanoseconds(Duration duration) {
  return duration.count() * per_millisecond;
}

// Rounded up, for poll(): woken a moment too early it would only go to sleep again.
int milliseconds_until(std::int64_t moment) {
  const std::int64_t left = moment - monotonic_now();
  return static_cast<int>(
      std::clamp<std::int64_t>((left + per_millisecond - 1) / per_millisecond, 0, 60'000));
}

}  // namespace

void Watch::hold(const GuardReceived& received) {
  if (received.descriptor < 0) return answer(false);
  if (port_ >= 0) close(port_);
  port_ = received.descriptor;
  port_number_ = received.message.number;
  answer(true);
}

void Watch::let_go(std::int64_t number) {
  const bool needed = turning_ && port_ >= 0 && !is_hung_up(port_);
  if (number == port_number_ && port_ >= 0 && !needed) {
    close(port_);
    port_ = -1;
  }
  answer(true);
}

void Watch::obey(const GuardReceived& received) {
  const GuardMessage& message = received.message;
  last_beat_ = monotonic_now();
  switch (message.kind) {
    case Kind::speech:
      speech_ = message.speech();
      return answer(true);
    case Kind::note:
      note_ = message.file();
      return answer(true);
    case Kind::hold:
      return hold(received);
    case Kind::let_go:
      return let_go(message.number);
    case Kind::turning: {
      const bool ready = port_ >= 0 && !speech_.stop.empty() && !stopping_ && !is_hung_up(port_);
      if (ready) {
        turning_ = true;
        until_ = message.number;
      }
      return answer(ready);
    }
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

std::int64_t Watch::next_alarm() const {
  if (stopping_) return std::min(next_stop_, give_up_);
  if (!turning_) return monotonic_now() + nanoseconds(Duration(60'000));
  return std::min(until_ + nanoseconds(timing_.grace), last_beat_ + nanoseconds(timing_.silence));
}

void Watch::kill_tool() {
  killed_ = true;
  syscall(SYS_pidfd_send_signal, tool_, SIGKILL, nullptr, 0U);
}

void Watch::begin_to_stop() {
  stopping_ = true;
  stops_written_ = 0;
  next_stop_ = monotonic_now();
  give_up_ = next_stop_ + nanoseconds(timing_.insist);
  keep_stopping();
}

void Watch::write_stop() {
  // What is queued would stand before the stop, and may hold another spin. A repeated stop flushes too: a
  // board that stopped reading would otherwise find the first one behind what it never read.
  if (port_ < 0) return;
  tcflush(port_, TCOFLUSH);
  pending_ = speech_.line_end + speech_.stop;
  ++stops_written_;
}

void Watch::keep_stopping() {
  if (monotonic_now() >= next_stop_ && pending_.empty()) {
    write_stop();
    answer_.clear();
    next_stop_ = monotonic_now() + nanoseconds(timing_.repeat);
  } else if (monotonic_now() >= next_stop_) {
    // It has taken no byte for a while: empty its queue and start the line anew.
    pending_.clear();
    return keep_stopping();
  }
  while (!pending_.empty()) {
    const ssize_t count = write(port_, pending_.data(), pending_.size());
    if (count < 0 && errno == EINTR) continue;
    if (count < 0 && errno == EAGAIN) return;
    if (count < 0) pending_.clear();
    if (count > 0) pending_.erase(0, static_cast<std::size_t>(count));
  }
}

// While the tool lives, what comes is the tool's to read.
void Watch::read_answer() {
  if (port_ < 0) return;
  std::array<char, 1024> buffer{};
  constexpr std::size_t enough = 65536;
  for (std::size_t taken = 0; taken < enough;) {
    const ssize_t count = read(port_, buffer.data(), buffer.size());
    if (count <= 0) break;
    taken += static_cast<std::size_t>(count);
    answer_.append(buffer.data(), static_cast<std::size_t>(count));
    if (answer_.size() > longest_speech) answer_.erase(0, answer_.size() - longest_speech);
  }
  const bool answered = !answer_.empty() && answer_.find(speech_.acknowledged_by) != std::string::npos;
  // An answer that comes after one stop may be that to the half-written command before it.
  if (answered && stops_written_ > 1 && pending_.empty()) {
    turning_ = stopping_ = false;
    how_ = GuardNote::Ending::acknowledged;
  }
}

void Watch::check_time() {
  const std::int64_t now = monotonic_now();
  if (stopping_) {
    if (now >= give_up_) {
      if (tool_lives_ && !ending_) kill_tool();
      turning_ = stopping_ = false;
      how_ = GuardNote::Ending::unanswered;
      return;
    }
    return keep_stopping();
  }
  if (!turning_) return;
  if (!tool_lives_ || ending_) return begin_to_stop();
  if (now >= last_beat_ + nanoseconds(timing_.silence)) {
    kill_tool();
    return begin_to_stop();
  }
  if (now >= until_ + nanoseconds(timing_.grace)) {
    send_message(socket_, GuardMessage::plain(Kind::overdue));
    begin_to_stop();
  }
}

void Watch::wait() {
  std::array<pollfd, 2> wanted{{{tool_lives_ ? socket_ : -1, POLLIN, 0}, {-1, 0, 0}}};
  const bool listening = stopping_ && (!tool_lives_ || ending_);
  if (stopping_ && port_ >= 0) {
    const int events = (listening ? POLLIN : 0) | (pending_.empty() ? 0 : POLLOUT);
    wanted[1] = {events != 0 ? port_ : -1, static_cast<short>(events), 0};
  }
  poll(wanted.data(), wanted.size(), milliseconds_until(next_alarm()));
  // A port that is gone is ready for ever: nothing more to be done for it.
  if (stopping_ && wanted[1].fd >= 0 && (wanted[1].revents & (POLLHUP | POLLERR | POLLNVAL)) != 0) {
    close(port_);
    port_ = -1;
    pending_.clear();
  }
  if (listening) read_answer();
}

void Watch::run() {
  while (tool_lives_ || turning_) {
    if (ending_ && !turning_) break;
    wait();
    // Messages first: the guard itself may have been kept from running while the tool was beating.
    if (tool_lives_ && !take_messages()) {
      tool_lives_ = false;
      // Stops said beside a tool that lived say little about what it wrote last.
      if (!killed_) stopping_ = false;
      // It may be alive and have closed the socket by mistake, or be on its way out, writing.
      if (turning_) kill_tool();
    }
    if (port_ < 0 && !tool_lives_) {
      if (turning_) how_ = GuardNote::Ending::line_gone;
      break;
    }
    check_time();
  }
  // A tool that lived tells the person itself.
  if (how_ && !note_.empty() && !ending_) leave_word(note_, *how_);
}

}  // namespace armwise::link
