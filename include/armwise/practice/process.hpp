// The practice craft as a process of its own: its controller behind a pseudo-terminal in a device tree
// that stands for /dev and /sys, and a socket over which it tells what a person would see.
//
//   DIR/dev/ttyACM0   a link to the pseudo-terminal; after a restart ttyACM1, ttyACM2, …
//   DIR/sys/…         the USB numbers, in the shape that link/ports.hpp reads
//   DIR/onlooker      the socket; its protocol stands in onlooker.hpp
//
// ARMWISE_DEVICES=DIR makes armwise look there instead of at the real devices.
#pragma once

#include <cstdint>
#include <filesystem>
#include <functional>
#include <optional>
#include <string>

#include "armwise/practice/controller.hpp"

namespace armwise::practice {

struct PracticeOptions {
  std::filesystem::path directory;  // empty: a new one among the temporary files, removed at the end
  std::filesystem::path profile;    // file
  std::filesystem::path craft;      // file; empty: out of frame and seed
  std::string frame = "quad-x";
  std::uint64_t seed = 1;
  int baud = 115200;                         // 8 data bits, no parity, one stop bit; 0: as fast as it goes
  std::string mischief;                      // number or name; empty: none
  std::optional<std::uint64_t> mischief_at;  // instead of the seed's choice
  Habits habits;
  bool end_with_parent = false;                 // when the process that started it dies
  std::function<void(const std::string&)> say;  // one line for the person at a time; empty: standard output
};

// Until SIGTERM, SIGINT or SIGHUP; then 0. Throws Fault(usage, file, bad_profile, bad_data) before anything
// is there.
int run_practice(const PracticeOptions& options);

}  // namespace armwise::practice
