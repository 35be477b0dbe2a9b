// Who has a device open, from /proc.
#pragma once

#include <filesystem>
#include <map>
#include <set>

#include "armwise/link/ports.hpp"

namespace armwise::link {

// By this name the guard process is known to ps, and to whoever looks for holders. At most 15 letters.
inline constexpr const char* guard_process_name = "armwise-guard";

struct Holders {
  std::map<std::filesystem::path, Holder> by_device;  // the first process found for each
  bool some_unreadable = false;                       // other users' processes could not be looked into
};

// `devices`: where the nodes really lie, links followed. This process and its own guard do not count, nor
// does a process that plays the far side of the same pseudo-terminal.
Holders find_holders(const std::set<std::filesystem::path>& devices, const std::filesystem::path& proc);

}  // namespace armwise::link
