#include "terminal_modes.hpp"

#include <unistd.h>

#include <atomic>
#include <cerrno>
#include <csignal>
#include <cstring>

#include "armwise/base/fault.hpp"
#include "armwise/ui/terminal_person.hpp"

namespace armwise::ui {
namespace {

// What a signal handler needs. Written before `known_descriptor`, which says that it may be read.
termios known_modes{};
std::atomic<int> known_descriptor{-1};
std::atomic<bool> screen_taken{false};

// Private modes 1049 and 25 of xterm's control sequences: the other screen with the cursor kept, the cursor.
constexpr char take_code[] = "\x1B[?1049h\x1B[2J\x1B[?25l";
constexpr char back_code[] = "\x1B[?25h\x1B[?1049l";

}  // namespace

bool set_modes(int descriptor, const termios& modes) {
  sigset_t blocked, before;
  sigemptyset(&blocked);
  sigaddset(&blocked, SIGTTOU);
  pthread_sigmask(SIG_BLOCK, &blocked, &before);
  int result = 0;
  do {
    result = tcsetattr(descriptor, TCSANOW, &modes);
  } while (result != 0 && errno == EINTR);
  pthread_sigmask(SIG_SETMASK, &before, nullptr);
  return result == 0;
}

KeysAtOnce::KeysAtOnce(int descriptor) : descriptor_(descriptor) {
  if (tcgetattr(descriptor, &before_) != 0) return;
  if (known_descriptor < 0) {
    known_ = true;
    known_modes = before_;
    known_descriptor = descriptor;
  }
  termios modes = before_;
  modes.c_lflag &= ~static_cast<tcflag_t>(ICANON | ECHO);
  modes.c_cc[VMIN] = 1;
  modes.c_cc[VTIME] = 0;
  changed_ = set_modes(descriptor, modes);
}

KeysAtOnce::~KeysAtOnce() {
  if (changed_) set_modes(descriptor_, before_);
  if (known_) known_descriptor = -1;
}

NoSignals::NoSignals(int descriptor) : descriptor_(descriptor) {
  termios modes{};
  if (tcgetattr(descriptor, &modes) != 0 || (modes.c_lflag & ISIG) == 0) return;
  modes.c_lflag &= ~static_cast<tcflag_t>(ISIG);
  changed_ = set_modes(descriptor, modes);
}

NoSignals::~NoSignals() {
  termios modes{};
  if (!changed_ || tcgetattr(descriptor_, &modes) != 0) return;
  modes.c_lflag |= ISIG;
  set_modes(descriptor_, modes);
}

SessionModes::SessionModes(int descriptor) {
  if (tcgetattr(descriptor, &known_modes) != 0) {
    throw Fault(FaultKind::file, "The terminal cannot be read", std::strerror(errno),
                "Use --plain for lines of text, or --answers FILE");
  }
  termios modes = known_modes;
  modes.c_lflag &= ~static_cast<tcflag_t>(ICANON | ECHO | IEXTEN);
  modes.c_iflag &= ~static_cast<tcflag_t>(IXON);
  modes.c_cc[VMIN] = 1;
  modes.c_cc[VTIME] = 0;
  modes.c_cc[VSUSP] = _POSIX_VDISABLE;
  modes.c_cc[VQUIT] = _POSIX_VDISABLE;
  if (set_modes(descriptor, modes)) known_descriptor = descriptor;
}

SessionModes::~SessionModes() {
  const int descriptor = known_descriptor.exchange(-1);
  if (descriptor >= 0) set_modes(descriptor, known_modes);
}

const char* take_screen() {
  screen_taken = true;
  return take_code;
}

const char* give_screen_back() {
  screen_taken = false;
  return back_code;
}

// Only calls that POSIX.1-2017 (2.4.3) lists as async-signal-safe.
void restore_terminal() noexcept {
  const int before = errno;
  const int descriptor = known_descriptor.exchange(-1);
  if (descriptor >= 0) {
    tcsetattr(descriptor, TCSANOW, &known_modes);
    if (screen_taken.exchange(false)) (void)!write(descriptor, back_code, sizeof back_code - 1);
  }
  errno = before;
}

}  // namespace armwise::ui
