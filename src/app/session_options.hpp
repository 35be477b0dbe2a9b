// What the command line says of a session: the port, the console, the person's front end, a practice craft.
#pragma once

#include <cstdint>
#include <optional>
#include <string>

#include "command_line.hpp"
#include "profiles_at_hand.hpp"

namespace armwise::app {

struct PracticeOptions {
  bool wanted = false, play = false;
  bool asks_frame = false;   // the frame is the person's to choose
  bool left_behind = false;  // the practice craft that an earlier session left behind
  // Neither frame nor craft: the person is asked which frame it is to be.
  std::string frame, craft, console, mischief;
  std::uint64_t seed = 0;  // 0: another one each time
  int baud = 115200;
};

struct SessionOptions {
  std::string port;     // empty: found or asked
  std::string profile;  // file or name; empty: asked
  std::string capture;
  std::string answers;
  std::string log_file;
  bool machine = false, plain = false, ascii = false, yes = false, verbose = false;
  int wait_seconds = 30;
  PracticeOptions practice;

  // Speaks as this one, where there is one; it was read already.
  void speak_as(std::optional<ProfileAtHand> known);
  std::optional<ProfileAtHand> known;  // the one that `profile` names
};

void add_session_options(CLI::App& command, SessionOptions& options);  // with the positional PORT
void add_console_options(CLI::App& command, SessionOptions& options);  // without a port
void add_practice_options(CLI::App& command, SessionOptions& options);

}  // namespace armwise::app
