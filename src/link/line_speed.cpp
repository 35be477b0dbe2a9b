// In a file of its own: the kernel's termios2 and the C library's termios cannot be included together.
#include <asm/ioctls.h>
#include <asm/termbits.h>
#include <sys/ioctl.h>

#include <cerrno>

#include "line_settings.hpp"

namespace armwise::link {

int set_speed(int descriptor, int bits_a_second) {
  termios2 settings{};
  if (ioctl(descriptor, TCGETS2, &settings) != 0) return errno;
  const auto speed = static_cast<speed_t>(bits_a_second);
  settings.c_cflag &= ~static_cast<tcflag_t>(CBAUD | (CBAUD << IBSHIFT));
  settings.c_cflag |= BOTHER | (BOTHER << IBSHIFT);
  settings.c_ispeed = speed;
  settings.c_ospeed = speed;
  return ioctl(descriptor, TCSETS2, &settings) == 0 ? 0 : errno;
}

int speed_of(int descriptor) {
  termios2 settings{};
  return ioctl(descriptor, TCGETS2, &settings) == 0 ? static_cast<int>(settings.c_ospeed) : 0;
}

}  // namespace armwise::link
