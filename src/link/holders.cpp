#include "holders.hpp"

#include <unistd.h>

#include <algorithm>
#include <array>
#include <charconv>
#include <fstream>
#include <string>

#include "armwise/base/text.hpp"

namespace armwise::link {
namespace {

namespace fs = std::filesystem;

std::string first_line(const fs::path& file) {
  std::ifstream in(file);
  std::string line;
  std::getline(in, line);
  return line;
}

std::optional<pid_t> as_process(const std::string& name) {
  pid_t process = 0;
  const auto [end, error] = std::from_chars(name.data(), name.data() + name.size(), process);
  if (error != std::errc() || end != name.data() + name.size()) return std::nullopt;
  return process;
}

pid_t parent_of(const fs::path& process_folder) {
  std::ifstream status(process_folder / "status");
  for (std::string line; std::getline(status, line);) {
    if (line.starts_with("PPid:")) return as_process(std::string(trimmed(line.substr(5)))).value_or(0);
  }
  return 0;
}

bool is_ours(pid_t process, const std::string& name, const fs::path& folder) {
  if (process == getpid()) return true;
  return name == guard_process_name && parent_of(folder) == getpid();
}

// "/dev/pts/7" for a descriptor of the multiplexer whose other side that is; empty otherwise.
fs::path far_side_of(const fs::path& process_folder, const fs::path& descriptor) {
  std::ifstream info(process_folder / "fdinfo" / descriptor.filename());
  for (std::string line; std::getline(info, line);) {
    if (line.starts_with("tty-index:")) {
      return fs::path("/dev/pts") / std::string(trimmed(line.substr(10)));
    }
  }
  return {};
}

// Without a look at each link's size before: there are thousands of them.
std::string target_of(const fs::path& link) {
  std::array<char, 256> target{};
  const ssize_t length = readlink(link.c_str(), target.data(), target.size());
  return {target.data(), static_cast<std::size_t>(std::max<ssize_t>(length, 0))};
}

struct OpenDevices {
  std::set<fs::path> held, played;  // opened as they are; and those whose far side is held
  bool unreadable = false;
};

OpenDevices devices_open_in(const fs::path& folder, const std::set<std::string>& devices) {
  OpenDevices found;
  std::error_code error;
  fs::directory_iterator descriptor(folder / "fd", error);
  if (error) {
    found.unreadable = error == std::errc::permission_denied;
    return found;
  }
  for (; descriptor != fs::directory_iterator(); descriptor.increment(error)) {
    if (error) break;
    const std::string target = target_of(descriptor->path());
    if (devices.contains(target)) found.held.insert(target);
    if (target.ends_with("/ptmx")) found.played.insert(far_side_of(folder, descriptor->path()));
  }
  return found;
}

}  // namespace

Holders find_holders(const std::set<fs::path>& devices, const fs::path& proc) {
  Holders holders;
  if (devices.empty()) return holders;
  std::set<std::string> wanted;
  for (const fs::path& device : devices) wanted.insert(device.native());
  std::error_code error;
  for (fs::directory_iterator entry(proc, error); !error && entry != fs::directory_iterator();
       entry.increment(error)) {
    const std::optional<pid_t> process = as_process(entry->path().filename().string());
    if (!process) continue;
    const OpenDevices open = devices_open_in(entry->path(), wanted);
    holders.some_unreadable = holders.some_unreadable || open.unreadable;
    if (open.held.empty()) continue;
    const std::string name = printable(first_line(entry->path() / "comm"));
    if (is_ours(*process, name, entry->path())) continue;
    for (const fs::path& device : open.held) {
      if (!open.played.contains(device)) holders.by_device.try_emplace(device, Holder{*process, name});
    }
  }
  return holders;
}

}  // namespace armwise::link
