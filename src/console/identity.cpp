#include "armwise/console/identity.hpp"

namespace armwise::console {

std::string Identity::in_words() const {
  std::string words = board.empty() ? "an unnamed board" : board;
  if (!firmware.empty()) words += " with " + firmware;
  if (!version.empty()) words += (firmware.empty() ? " version " : " ") + version;
  if (!serial.empty()) words += ", serial number " + serial;
  if (!port_identity.empty()) words += " (" + port_identity + ")";
  return words;
}

bool Identity::same_board(const Identity& other) const {
  return board == other.board && firmware == other.firmware && serial == other.serial &&
         port_identity == other.port_identity;
}

}  // namespace armwise::console
