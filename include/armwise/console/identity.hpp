// Which controller it is, in its own words.
#pragma once

#include <string>

namespace armwise::console {

struct Identity {
  std::string board, firmware, version, serial;  // as the console says; empty where it does not
  std::string port_identity;                     // as the port says
  std::string in_words() const;
  bool same_board(const Identity& other) const;  // everything but the firmware's version agrees
};

}  // namespace armwise::console
