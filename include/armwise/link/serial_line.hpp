// A serial port, or a pseudo-terminal, as a console::Line.
#pragma once

#include <filesystem>
#include <functional>
#include <memory>
#include <string>

#include "armwise/base/task_fwd.hpp"
#include "armwise/console/line.hpp"

namespace armwise::link {

constexpr int usual_speed = 115200;  // bits a second; a USB port ignores the figure

class SerialLine : public console::Line {
 public:
  // Opens the node for this process alone (exclusive mode and a lock), raw, 8 data bits, no parity, one stop
  // bit, no flow control, input left from before thrown away. Any `speed` that the driver takes. Closing
  // leaves the modem lines alone. Throws Fault(port_missing, port_denied, port_busy) without sentences about
  // groups and holders: SerialPlug, which looks at the port first, knows those.
  static std::unique_ptr<SerialLine> open(const boost::asio::any_io_executor& loop,
                                          const std::filesystem::path& node, int speed = usual_speed);

  // Closing never blocks for long: bytes that the driver cannot send within 20 ms are dropped.
  ~SerialLine() override;
  SerialLine(const SerialLine&) = delete;
  SerialLine& operator=(const SerialLine&) = delete;

  // At most 4096 bytes at a time. Once closed, it stays `closed`. Bytes unread at the hang-up are lost.
  Task<console::Received> read(Duration within) override;
  // "sent" means taken by the driver: a board may still lose it.
  Task<void> write(std::string_view bytes, Duration within) override;
  void discard_input() override;
  std::string name() const override { return node_.string(); }

  // Reads are `closed` and writes fault from now on. Nothing may be waiting in either.
  void close();

  // For the guard, which keeps a copy. Owned by the line.
  int descriptor() const;
  // Called just before the port is closed.
  void before_closing(std::function<void()> action) { before_closing_ = std::move(action); }

 private:
  struct Port;
  SerialLine(std::filesystem::path node, std::unique_ptr<Port> port);

  std::filesystem::path node_;
  std::unique_ptr<Port> port_;
  std::function<void()> before_closing_;
};

}  // namespace armwise::link
