#include "pseudo_terminal.hpp"

#include <fcntl.h>
#include <termios.h>
#include <unistd.h>

#include <array>
#include <cerrno>
#include <cstdlib>
#include <system_error>

#include "armwise/base/fault.hpp"

namespace armwise::practice {
namespace {

[[noreturn]] void no_terminal(int error) {
  throw Fault(FaultKind::file, "no pseudo-terminal could be made", std::generic_category().message(error),
              "Is /dev/pts mounted?");
}

}  // namespace

PseudoTerminal::PseudoTerminal() {
  far_ = ::posix_openpt(O_RDWR | O_NOCTTY | O_NONBLOCK | O_CLOEXEC);
  std::array<char, 128> path{};
  if (far_ < 0) no_terminal(errno);
  if (::grantpt(far_) != 0 || ::unlockpt(far_) != 0 || ::ptsname_r(far_, path.data(), path.size()) != 0) {
    const int error = errno;
    ::close(far_);
    no_terminal(error);
  }
  near_path_ = path.data();
  near_ = ::open(path.data(), O_RDWR | O_NOCTTY | O_CLOEXEC);
  termios settings{};
  if (near_ < 0 || ::tcgetattr(near_, &settings) != 0) {
    const int error = errno;
    if (near_ >= 0) ::close(near_);
    ::close(far_);
    no_terminal(error);
  }
  ::cfmakeraw(&settings);
  ::cfsetspeed(&settings, B115200);
  ::tcsetattr(near_, TCSANOW, &settings);
}

PseudoTerminal::~PseudoTerminal() {
  ::close(near_);
  ::close(far_);
}

}  // namespace armwise::practice
