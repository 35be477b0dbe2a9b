#include "armwise/link/serial_line.hpp"

#include <fcntl.h>
#include <poll.h>
#include <sys/file.h>
#include <sys/ioctl.h>
#include <termios.h>
#include <unistd.h>

#include <array>
#include <cerrno>
#include <utility>

#include "armwise/base/fault.hpp"
#include "armwise/base/task.hpp"
#include "line_settings.hpp"
#include "readiness.hpp"

namespace armwise::link {
namespace {

Fault cannot_open(const std::filesystem::path& node, int error) {
  const std::string name = node.string();
  switch (error) {
    case ENOENT:
    case ENXIO:
    case ENODEV:
    case EIO:
      return {FaultKind::port_missing, "There is nothing to open at " + name, error_text(error),
              "Plug the controller in"};
    case EACCES:
    case EPERM:
      return {FaultKind::port_denied, name + " may not be opened", error_text(error),
              "`armwise ports` tells what gives access"};
    case EBUSY:
    case EWOULDBLOCK:
      return {FaultKind::port_busy, name + " is in use", "Another program has taken it for itself alone",
              "Close that program and try again"};
    default:
      return {FaultKind::port_missing, name + " could not be opened as a serial port", error_text(error),
              "Name the controller's serial port; `armwise ports` lists those that are plugged in"};
  }
}

Fault gone(const std::string& name, int error) {
  return {FaultKind::line_lost, name + " went away while it was in use", error_text(error),
          "If a motor is turning, pull the battery. Then plug the controller in again"};
}

// 0, or the errno that says why not. The lock comes before anything that would disturb another's session.
int take_for_ourselves(int descriptor, int speed) {
  if (flock(descriptor, LOCK_EX | LOCK_NB) != 0) return errno;
  if (const int error = make_raw(descriptor); error != 0) return error;
  if (const int error = set_speed(descriptor, speed); error != 0) return error;
  if (const int error = make_exclusive(descriptor); error != 0) return error;
  ask_for_low_latency(descriptor);
  return tcflush(descriptor, TCIOFLUSH) == 0 ? 0 : errno;
}

void drain_briefly(int descriptor) {
  constexpr int milliseconds = 20;
  for (int i = 0; i < milliseconds; ++i) {
    int queued = 0;
    if (ioctl(descriptor, TIOCOUTQ, &queued) != 0 || queued == 0) return;
    poll(nullptr, 0, 1);
  }
  // Otherwise close() would wait for the driver, up to half a minute.
  tcflush(descriptor, TCOFLUSH);
}

}  // namespace

int open_for_ourselves(const std::string& node, int speed) {
  const int opened = ::open(node.c_str(), O_RDWR | O_NOCTTY | O_NONBLOCK | O_CLOEXEC);
  if (opened < 0) return -errno;
  if (const int error = take_for_ourselves(opened, speed); error != 0) {
    ::close(opened);
    return -error;
  }
  return opened;
}

struct SerialLine::Port {
  Port(const boost::asio::any_io_executor& loop, int opened) : descriptor(loop, opened) {}

  Descriptor descriptor;
  bool closed = false;     // the far side is gone
  bool abandoned = false;  // a write was given up: what is queued is stale
};

std::unique_ptr<SerialLine> SerialLine::open(const boost::asio::any_io_executor& loop,
                                             const std::filesystem::path& node, int speed) {
  const int opened = open_for_ourselves(node.string(), speed);
  if (opened < 0) throw cannot_open(node, -opened);
  return std::unique_ptr<SerialLine>(new SerialLine(node, std::make_unique<Port>(loop, opened)));
}

SerialLine::SerialLine(std::filesystem::path node, std::unique_ptr<Port> port)
    : node_(std::move(node)), port_(std::move(port)) {}

SerialLine::~SerialLine() {
  close();
}

void SerialLine::close() {
  if (!port_->descriptor.is_open()) return;
  if (before_closing_) before_closing_();
  const int descriptor = port_->descriptor.native_handle();
  if (port_->abandoned) {
    tcflush(descriptor, TCOFLUSH);
  } else if (!port_->closed) {
    drain_briefly(descriptor);
  }
  // Both would outlive this descriptor: the mark as long as a pseudo-terminal's far side, the lock as long as
  // the guard's copy.
  ioctl(descriptor, TIOCNXCL);
  flock(descriptor, LOCK_UN);
  port_->closed = true;
  boost::system::error_code ignored;
  port_->descriptor.close(ignored);
}

int SerialLine::descriptor() const {
  return port_->descriptor.native_handle();
}

Task<console::Received> SerialLine::read(Duration within) {
  using Status = console::Received::Status;
  const Deadline deadline = std::chrono::steady_clock::now() + within;
  constexpr std::size_t most = 4096;
  std::array<char, most> buffer{};
  const int descriptor = port_->descriptor.native_handle();
  bool settings_restored = false;
  while (!port_->closed) {
    const ssize_t count = ::read(descriptor, buffer.data(), buffer.size());
    if (count > 0) {
      co_return console::Received{Status::data, std::string(buffer.data(), static_cast<std::size_t>(count))};
    }
    if (count < 0 && errno == EINTR) continue;
    if (count == 0 && !settings_restored && !is_hung_up(descriptor)) {
      // End of file on a living line: somebody has changed its settings under us. Ours again, once.
      settings_restored = true;
      port_->closed = make_raw(descriptor) != 0;
      continue;
    }
    if (count == 0 || errno != EAGAIN) {
      port_->closed = true;
      break;
    }
    if (within <= Duration::zero()) co_return console::Received{Status::quiet, {}};
    const bool any = co_await ready(port_->descriptor, Descriptor::wait_read, deadline);
    if (!any) co_return console::Received{Status::quiet, {}};
  }
  co_return console::Received{Status::closed, {}};
}

Task<void> SerialLine::write(std::string_view bytes, Duration within) {
  const Deadline deadline = std::chrono::steady_clock::now() + within;
  const int descriptor = port_->descriptor.native_handle();
  if (port_->closed) throw gone(name(), EIO);
  // What was given up stands before this, and the far side may read again.
  if (std::exchange(port_->abandoned, false)) tcflush(descriptor, TCOFLUSH);
  std::size_t taken = 0;
  while (taken < bytes.size()) {
    const ssize_t count = ::write(descriptor, bytes.data() + taken, bytes.size() - taken);
    if (count > 0) {
      taken += static_cast<std::size_t>(count);
      continue;
    }
    if (count < 0 && errno == EINTR) continue;
    if (count < 0 && errno != EAGAIN) {
      port_->closed = true;
      throw gone(name(), errno);
    }
    const bool room = co_await ready(port_->descriptor, Descriptor::wait_write, deadline);
    if (room) continue;
    port_->abandoned = true;
    throw Fault(FaultKind::no_reply,
                name() + " took only " + std::to_string(taken) + " of " + std::to_string(bytes.size()) +
                    " bytes within " + std::to_string(within.count()) + " ms",
                "The controller has stopped reading",
                "Unplug the controller, plug it in again, and start anew");
  }
}

void SerialLine::discard_input() {
  tcflush(port_->descriptor.native_handle(), TCIFLUSH);
}

}  // namespace armwise::link
