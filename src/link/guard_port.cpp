#include "guard_port.hpp"

#include <termios.h>
#include <unistd.h>

#include <array>
#include <cerrno>
#include <utility>
#include <vector>

#include "line_settings.hpp"

namespace armwise::link {

void GuardPort::hold(int descriptor, std::int64_t number, HeldPort which) {
  close();
  descriptor_ = descriptor;
  number_ = number;
  which_ = std::move(which);
}

void GuardPort::close() {
  if (descriptor_ >= 0) ::close(descriptor_);
  descriptor_ = -1;
  found_again_ = false;
  unsent_.clear();
}

bool GuardPort::lives() const {
  return is_open() && !is_hung_up(descriptor_);
}

void GuardPort::send(std::string bytes) {
  if (!is_open()) return;
  tcflush(descriptor_, TCOFLUSH);
  unsent_ = std::move(bytes);
  push();
}

void GuardPort::push() {
  while (is_open() && !unsent_.empty()) {
    const ssize_t count = write(descriptor_, unsent_.data(), unsent_.size());
    if (count < 0 && errno == EINTR) continue;
    if (count < 0 && errno == EAGAIN) return;
    if (count <= 0) return unsent_.clear();
    unsent_.erase(0, static_cast<std::size_t>(count));
  }
}

std::string GuardPort::read() const {
  std::string read_now;
  std::array<char, 1024> buffer{};
  constexpr std::size_t enough = 65536;
  while (is_open() && read_now.size() < enough) {
    const ssize_t count = ::read(descriptor_, buffer.data(), buffer.size());
    if (count <= 0) break;
    read_now.append(buffer.data(), static_cast<std::size_t>(count));
  }
  return read_now;
}

bool GuardPort::find_again() {
  if (!can_be_found()) return false;
  std::vector<std::string> nodes;
  if (which_.identity.empty()) {
    nodes.push_back(which_.node.string());
  } else {
    for (const PortInfo& port : ports_there(which_.root)) {
      if (is_same_controller(which_.identity, port.identity)) nodes.push_back(port.node.string());
    }
  }
  if (nodes.size() != 1) return false;  // not there yet, or nobody can tell which
  const int opened = open_for_ourselves(nodes.front(), which_.speed);
  if (opened < 0) return false;
  close();
  descriptor_ = opened;
  found_again_ = true;
  return true;
}

}  // namespace armwise::link
