// What the tool and its guard say to each other, over a socket that keeps messages apart.
#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <string>

#include "armwise/link/guard.hpp"

namespace armwise::link {

constexpr std::size_t longest_speech = 2048;

struct GuardMessage {
  enum class Kind : std::uint8_t {
    // the tool's
    speech,   // line_end, stop, acknowledged_by
    note,     // the file that the guard leaves word in, as the only part
    hold,     // with a descriptor; `number` names it
    let_go,   // `number`
    turning,  // `number`: until when, in nanoseconds of the monotonic clock
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
  std::array<std::uint16_t, 3> lengths{};   // of the three parts of a speech, or of the one of a note
  std::array<char, longest_speech> text{};  // those parts, one behind the other

  static GuardMessage plain(Kind kind, std::int64_t number = 0);
  static GuardMessage of(const StopSpeech& speech);      // at most `longest_speech` bytes
  static GuardMessage note_in(const std::string& file);  // likewise
  StopSpeech speech() const;
  std::string file() const { return {text.data(), lengths[0]}; }
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

// Waits until the socket can be read, or for so long.
void wait_readable(int socket, Duration within);

}  // namespace armwise::link
