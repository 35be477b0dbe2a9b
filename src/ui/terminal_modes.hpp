// Modes of a terminal that are put back whatever happens.
#pragma once

#include <termios.h>

namespace armwise::ui {

// Sets the modes also where the process is not in the foreground, without being stopped for it.
bool set_modes(int descriptor, const termios& modes);

// For as long as it lives, a key is there as soon as it is pressed, and is not echoed. restore_terminal()
// knows of it.
class KeysAtOnce {
 public:
  explicit KeysAtOnce(int descriptor);
  ~KeysAtOnce();
  KeysAtOnce(const KeysAtOnce&) = delete;
  KeysAtOnce& operator=(const KeysAtOnce&) = delete;

 private:
  int descriptor_;
  bool changed_ = false, known_ = false;
  termios before_{};
};

// For as long as it lives, Ctrl-C is a key and no signal.
class NoSignals {
 public:
  explicit NoSignals(int descriptor);
  ~NoSignals();
  NoSignals(const NoSignals&) = delete;
  NoSignals& operator=(const NoSignals&) = delete;

 private:
  int descriptor_;
  bool changed_ = false;
};

// A terminal for a whole session: keys at once, no echo, no suspending (a motor may be turning), no holding
// of the output by Ctrl-S. One at a time; restore_terminal() knows of it.
class SessionModes {
 public:
  explicit SessionModes(int descriptor);  // throws Fault(file) where it is no terminal
  ~SessionModes();
  SessionModes(const SessionModes&) = delete;
  SessionModes& operator=(const SessionModes&) = delete;
};

// The escape codes that take the whole screen and give it back as it was, with a note for restore_terminal()
// that it is to be given back; the cursor is hidden meanwhile.
const char* take_screen();
const char* give_screen_back();

}  // namespace armwise::ui
