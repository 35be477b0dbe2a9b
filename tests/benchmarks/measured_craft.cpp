// A practice craft to measure against: with a whole configuration of so many lines, and with no time of its
// own between a command and its answer. Ends with whoever started it.
//
//   measured_craft DIRECTORY PROFILE BAUD LINES
#include <cstdio>
#include <cstdlib>
#include <exception>

#include "armwise/practice/process.hpp"

int main(int argc, char** argv) {
  if (argc != 5) return 2;
  armwise::practice::PracticeOptions options;
  options.directory = argv[1];
  options.profile = argv[2];
  options.baud = std::atoi(argv[3]);
  options.habits.invented_lines = std::atoi(argv[4]);
  options.habits.latency = armwise::Duration{0};
  options.end_with_parent = true;
  try {
    return armwise::practice::run_practice(options);
  } catch (const std::exception& error) {
    std::fprintf(stderr, "measured_craft: %s\n", error.what());
    return 1;
  }
}
