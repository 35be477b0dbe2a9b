// The far side of a line, for tests: a pseudo-terminal's master end.
#pragma once

#include <fcntl.h>
#include <poll.h>
#include <pty.h>
#include <termios.h>
#include <unistd.h>

#include <array>
#include <chrono>
#include <filesystem>
#include <stdexcept>
#include <string>
#include <utility>

namespace armwise::link::testing {

using std::chrono::steady_clock;

class PseudoTerminal {
 public:
  PseudoTerminal() : master_(posix_openpt(O_RDWR | O_NOCTTY | O_CLOEXEC | O_NONBLOCK)) {
    std::array<char, 64> name{};
    if (master_ < 0 || grantpt(master_) != 0 || unlockpt(master_) != 0 ||
        ptsname_r(master_, name.data(), name.size()) != 0) {
      throw std::runtime_error("no pseudo-terminal");
    }
    node_ = name.data();
  }
  ~PseudoTerminal() { hang_up(); }
  PseudoTerminal(const PseudoTerminal&) = delete;
  PseudoTerminal& operator=(const PseudoTerminal&) = delete;

  const std::filesystem::path& node() const { return node_; }
  int master() const { return master_; }

  void hang_up() {
    if (master_ >= 0) close(std::exchange(master_, -1));
  }

  void send(const std::string& bytes) const {
    if (write(master_, bytes.data(), bytes.size()) != static_cast<ssize_t>(bytes.size())) {
      throw std::runtime_error("the pseudo-terminal did not take it");
    }
  }

  // All that has come, as soon as `wanted` is in it `times` times, or by the deadline.
  std::string until(const std::string& wanted, std::chrono::milliseconds within, int times = 1) {
    const auto deadline = steady_clock::now() + within;
    std::string came;
    while (count(came, wanted) < times) {
      const auto left = std::chrono::ceil<std::chrono::milliseconds>(deadline - steady_clock::now());
      pollfd ready{master_, POLLIN, 0};
      if (left.count() <= 0 || poll(&ready, 1, static_cast<int>(left.count())) <= 0) break;
      std::array<char, 4096> buffer{};
      const ssize_t size = read(master_, buffer.data(), buffer.size());
      if (size > 0) came.append(buffer.data(), static_cast<std::size_t>(size));
      if (size <= 0) break;  // nobody has the other side open any more
    }
    return came;
  }

  static int count(const std::string& text, const std::string& wanted) {
    int found = 0;
    for (std::size_t at = text.find(wanted); at != std::string::npos; at = text.find(wanted, at + 1)) ++found;
    return found;
  }

 private:
  int master_;
  std::filesystem::path node_;
};

}  // namespace armwise::link::testing
