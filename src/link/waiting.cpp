#include "armwise/link/waiting.hpp"

#include <sys/inotify.h>

#include <algorithm>
#include <array>
#include <cerrno>
#include <cstring>
#include <optional>
#include <utility>
#include <vector>

#include "armwise/base/fault.hpp"
#include "armwise/base/task.hpp"
#include "line_settings.hpp"
#include "readiness.hpp"

namespace armwise::link {
namespace {

using std::chrono::steady_clock;

Duration time_until(Deadline deadline) {
  return std::max(Duration::zero(), std::chrono::ceil<Duration>(deadline - steady_clock::now()));
}

std::vector<PortInfo> seen_now(const std::string& port, const DeviceRoot& root, const Caller& caller) {
  if (port.empty()) return list_ports(root, caller);
  std::error_code error;
  if (!std::filesystem::exists(root.node(port), error)) return {};
  return {look_at_port(port, root, caller)};
}

}  // namespace

struct FolderWatch::Inotify {
  Descriptor descriptor;
  std::string also;

  // Takes all events that are there; true where one of them matters.
  bool take_events();
};

bool FolderWatch::Inotify::take_events() {
  alignas(inotify_event) std::array<char, 4096> buffer{};
  bool any = false;
  while (true) {
    const ssize_t size = ::read(descriptor.native_handle(), buffer.data(), buffer.size());
    if (size <= 0) return any;
    for (std::size_t at = 0; at + sizeof(inotify_event) <= static_cast<std::size_t>(size);) {
      inotify_event event{};
      std::memcpy(&event, buffer.data() + at, sizeof event);
      const std::string name = event.len > 0 ? buffer.data() + at + sizeof event : "";
      // When the kernel's queue ran over, anything may have happened.
      any = any || is_plausible_name(name) || name == also || (event.mask & IN_Q_OVERFLOW) != 0;
      at += sizeof event + event.len;
    }
  }
}

FolderWatch::FolderWatch(const boost::asio::any_io_executor& loop, const std::filesystem::path& folder,
                         std::string also) {
  const int opened = inotify_init1(IN_NONBLOCK | IN_CLOEXEC);
  if (opened < 0) {
    throw Fault(FaultKind::file, "Plugging in cannot be watched", error_text(errno), "Close some programs");
  }
  inotify_ = std::make_unique<Inotify>(Inotify{Descriptor(loop, opened), std::move(also)});
  constexpr std::uint32_t events =
      IN_CREATE | IN_DELETE | IN_MOVED_TO | IN_MOVED_FROM | IN_ATTRIB | IN_CLOSE_WRITE | IN_ONLYDIR;
  if (inotify_add_watch(opened, folder.c_str(), events) < 0) {
    throw Fault(FaultKind::file, "The folder " + folder.string() + " cannot be watched", error_text(errno));
  }
}

FolderWatch::~FolderWatch() = default;

Task<bool> FolderWatch::changed(Duration within) {
  const Deadline deadline = steady_clock::now() + within;
  while (co_await ready(inotify_->descriptor, Descriptor::wait_read, deadline)) {
    if (inotify_->take_events()) co_return true;
  }
  co_return false;
}

Task<PortInfo> wait_for_port(boost::asio::any_io_executor loop, std::string port, DeviceRoot root,
                             Caller caller, Duration within) {
  const Deadline deadline = steady_clock::now() + within;
  const std::filesystem::path folder = port.empty() ? root.dev : root.node(port).parent_path();
  std::error_code error;
  if (!std::filesystem::is_directory(folder, error)) throw port_missing(port, root, caller);
  FolderWatch watch(loop, folder, port.empty() ? "" : root.node(port).filename().string());
  std::optional<Deadline> denied_since;
  while (true) {
    const std::vector<PortInfo> seen = seen_now(port, root, caller);
    const auto good =
        std::find_if(seen.begin(), seen.end(), [](const PortInfo& one) { return one.access == Access::ok; });
    if (good != seen.end()) co_return *good;
    const bool denied = !seen.empty() && std::all_of(seen.begin(), seen.end(), [](const PortInfo& one) {
      return one.access == Access::denied;
    });
    if (!denied) denied_since.reset();
    if (denied && !denied_since) denied_since = steady_clock::now();
    const Deadline until = denied ? std::min(deadline, *denied_since + settling_time) : deadline;
    if (steady_clock::now() >= until) {
      if (seen.empty()) throw port_missing(port, root, caller);
      require_access(seen.front(), caller);
    }
    co_await watch.changed(time_until(until));
  }
}

}  // namespace armwise::link
