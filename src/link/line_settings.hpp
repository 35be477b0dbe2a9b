// The terminal driver's settings, as system calls.
#pragma once

#include <string>

namespace armwise::link {

// Raw, eight bits, no flow control, reads that wait for one byte, lines left alone on closing. Errno on
// failure, 0 otherwise.
int make_raw(int descriptor);

// Any speed, also those without a constant of their own. Errno on failure, 0 otherwise.
int set_speed(int descriptor, int bits_a_second);
// The output speed that is set, in bits a second; 0 where it cannot be told.
int speed_of(int descriptor);

// Asks USB-to-serial chips not to hold bytes back (they do so for 16 ms otherwise). A wish: failure is no
// matter.
void ask_for_low_latency(int descriptor);

// Opens a port raw, for this process alone and with what was queued thrown away. Below 0: the negative errno.
int open_for_ourselves(const std::string& node, int speed);

// True once the device, or the far side of a pseudo-terminal, is gone.
bool is_hung_up(int descriptor);

// True for the major number of a Unix98 pseudo-terminal's near side (the kernel's admin-guide/devices.txt).
bool is_pseudo_terminal(unsigned major_number);

// Keeps others from opening it. Not on a pseudo-terminal, where the mark outlives a killed process for as
// long as the far side lives, and shuts everybody out. Errno on failure, 0 otherwise.
int make_exclusive(int descriptor);

std::string error_text(int error);

}  // namespace armwise::link
