// Waiting for a port to be plugged in: woken by the kernel, never by polling.
#pragma once

#include <filesystem>
#include <memory>
#include <string>

#include "armwise/base/duration.hpp"
#include "armwise/base/task_fwd.hpp"
#include "armwise/link/ports.hpp"

namespace armwise::link {

// A node appears before its permissions are set: for so long a denied port is looked at again.
constexpr Duration settling_time{1000};

// Tells when ports come, go, change their permissions or are let go in a folder: those with plausible names,
// and `also`. What happened before it was made is not told: make it first, look then, and wait last.
class FolderWatch {
 public:
  // Throws Fault(file) where the folder is missing or cannot be watched.
  FolderWatch(const boost::asio::any_io_executor& loop, const std::filesystem::path& folder,
              std::string also);
  ~FolderWatch();
  FolderWatch(const FolderWatch&) = delete;
  FolderWatch& operator=(const FolderWatch&) = delete;

  // True once something has changed since the last call; false where nothing did within `within`.
  Task<bool> changed(Duration within);

 private:
  struct Inotify;
  std::unique_ptr<Inotify> inotify_;
};

// The first plausible port that may be opened, or the one named; at once where it is there already. A port
// that another process holds is waited for too (a modem prober lets go in time). Throws at the time limit,
// Fault(port_denied), Fault(port_busy) or Fault(port_missing), for the last port seen.
Task<PortInfo> wait_for_port(boost::asio::any_io_executor loop, std::string port, DeviceRoot root,
                             Caller caller, Duration within);

}  // namespace armwise::link
