#include "line_settings.hpp"

#include <linux/serial.h>
#include <sys/ioctl.h>
#include <sys/stat.h>
#include <sys/sysmacros.h>
#include <termios.h>

#include <cerrno>
#include <system_error>

namespace armwise::link {

int make_raw(int descriptor) {
  termios settings{};
  if (tcgetattr(descriptor, &settings) != 0) return errno;
  cfmakeraw(&settings);
  settings.c_cflag |= CLOCAL | CREAD;
  settings.c_cflag &= ~static_cast<tcflag_t>(HUPCL | CRTSCTS | CSTOPB);
  // With VMIN 0 an empty line would read as end of file.
  settings.c_cc[VMIN] = 1;
  settings.c_cc[VTIME] = 0;
  return tcsetattr(descriptor, TCSANOW, &settings) == 0 ? 0 : errno;
}

void ask_for_low_latency(int descriptor) {
  serial_struct serial{};
  if (ioctl(descriptor, TIOCGSERIAL, &serial) != 0) return;
  serial.flags |= ASYNC_LOW_LATENCY;
  ioctl(descriptor, TIOCSSERIAL, &serial);
}

bool is_hung_up(int descriptor) {
  termios settings{};
  return tcgetattr(descriptor, &settings) != 0;
}

bool is_pseudo_terminal(unsigned major_number) {
  constexpr unsigned first = 136, last = 143;
  return major_number >= first && major_number <= last;
}

int make_exclusive(int descriptor) {
  struct stat status {};
  if (fstat(descriptor, &status) != 0) return errno;
  if (is_pseudo_terminal(major(status.st_rdev))) return 0;
  return ioctl(descriptor, TIOCEXCL) == 0 ? 0 : errno;
}

std::string error_text(int error) {
  return std::generic_category().message(error);
}

}  // namespace armwise::link
