// A line to a controller: bytes out, bytes in. The seam between protocol and operating system.
//
// The real one is link::SerialLine. Tests use a scripted one that answers at once on a clock that is
// wound by hand, and a wrapper that injects one fault.
#pragma once

#include <memory>
#include <string>
#include <string_view>

#include "armwise/base/duration.hpp"
#include "armwise/base/task_fwd.hpp"

namespace armwise::console {

struct Received {
  enum class Status { data, quiet, closed };
  Status status = Status::quiet;
  std::string bytes;  // data only; never empty then
};

class Line {
 public:
  virtual ~Line() = default;

  // The next bytes that come, as soon as any come; `quiet` where none came within `within`; `closed` once
  // the far side is gone. A zero `within` takes what is there already.
  virtual Task<Received> read(Duration within) = 0;

  // Sends all of it. Throws Fault(line_lost) where the far side is gone and Fault(no_reply) where it did
  // not take all bytes within `within` (the sentence says how many it took).
  virtual Task<void> write(std::string_view bytes, Duration within) = 0;

  // Throws away what came and was not read.
  virtual void discard_input() = 0;

  // What is done and why, for whoever keeps a log of the line.
  virtual void remark(const std::string& /*what*/, const std::string& /*why*/) {}
  // Of a wait for the reply to what was sent, and why it ended.
  void remark_wait(const std::string& sent, Duration waited, const std::string& why) {
    remark("waited " + std::to_string(waited.count()) + " ms for the reply to \"" + sent + "\"", why);
  }

  // What the person knows it by: "/dev/ttyACM0".
  virtual std::string name() const = 0;
};

// What opens the line, and finds it again after the controller's restart.
class Plug {
 public:
  virtual ~Plug() = default;

  // Throws Fault(port_missing, port_denied or port_busy).
  virtual Task<std::unique_ptr<Line>> open() = 0;

  // The old line is gone or about to go: waits for it to vanish and for the same controller to come back,
  // under whatever name. Throws Fault(not_back) with the identity that never came.
  virtual Task<std::unique_ptr<Line>> reopen(Duration within) = 0;

  // Said to the person after a reopen that found another name; empty otherwise.
  virtual std::string renamed() const = 0;

  // Vendor, product and serial number in words, for the record; empty where the port tells none.
  virtual std::string identity() const = 0;
};

}  // namespace armwise::console
