// What the tool and its guard say to each other, over a socket that keeps messages apart.
#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "armwise/link/guard.hpp"

namespace armwise::link {

constexpr std::size_t longest_speech = 2048;

struct GuardMessage {
  enum class Kind : std::uint8_t {
    // the tool's
    speech,    // line_end, stop, acknowledged_by, enter, times
    note,      // the file that the guard leaves word in, as the only part
    voice,     // `number`: a GuardVoice
    hold,      // with a descriptor; `number` names it; the parts of a HeldPort
    let_go,    // `number`
    turning,   // `number`: until when, in nanoseconds of the monotonic clock
    stopping,  // likewise: until then the tool stops the motor itself
    beat,
    stopped,
    finish,  // stop if anything turns, then end
    // the guard's
    done,      // the order has been carried out
    not_done,  // it could not be
    heard,     // a beat
    overdue    // the tool forgot to stop: the guard has begun to
  };
  Kind kind = Kind::beat;
  std::int64_t number = 0;
  std::array<std::uint16_t, 9> lengths{};   // of the parts
  std::array<char, longest_speech> text{};  // those parts, one behind the other

  static GuardMessage plain(Kind kind, std::int64_t number = 0);
  // At most 9 parts, at most `longest_speech` bytes together: throws std::length_error beyond.
  static GuardMessage with_parts(Kind kind, const std::vector<std::string>& parts, std::int64_t number = 0);
  std::vector<std::string> parts() const;  // always 9, the unused ones empty
};

// Never blocks, never raises a signal. False where the other side is gone or does not take it.
bool send_message(int socket, const GuardMessage& message, int descriptor_too = -1);

struct GuardReceived {
  enum class Status { message, nothing, gone };
  Status status = Status::nothing;
  GuardMessage message;
  int descriptor = -1;  // close-on-exec; the receiver's to close
};
// Never blocks.
GuardReceived receive_message(int socket);

// Nanoseconds of the monotonic clock, which tool and guard share.
std::int64_t monotonic_now();
constexpr std::int64_t nanoseconds(Duration duration) {
  constexpr std::int64_t per_millisecond = 1'000'000;
  return duration.count() * per_millisecond;
}

// Waits until the socket can be read, or for so long.
void wait_readable(int socket, Duration within);

}  // namespace armwise::link
