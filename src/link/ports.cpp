#include "armwise/link/ports.hpp"

#include <fcntl.h>
#include <grp.h>
#include <pwd.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <cstdlib>
#include <fstream>

#include "armwise/base/text.hpp"
#include "holders.hpp"

namespace armwise::link {
namespace {

namespace fs = std::filesystem;

// A file of one line from a device: as text that is safe to show, since the device chose it.
std::string attribute(const fs::path& folder, const char* name) {
  std::ifstream in(folder / name);
  std::string line;
  std::getline(in, line);
  constexpr std::size_t longest_usb_string = 256;
  if (line.size() > longest_usb_string) line.resize(longest_usb_string);
  return std::string(trimmed(printable(line)));
}

// The name under which the kernel lists the port: "ttyACM0" also for a link such as /dev/serial/by-id/...
std::optional<fs::path> tty_folder(const fs::path& node, const DeviceRoot& root) {
  std::error_code error;
  for (const fs::path& name : {node.filename(), fs::canonical(node, error).filename()}) {
    const fs::path folder = root.sys / "class/tty" / name;
    if (!name.empty() && fs::exists(folder, error)) return folder;
  }
  return std::nullopt;
}

// A USB-to-serial chip's port lies one folder below its interface, a native USB port in the interface itself.
std::optional<fs::path> usb_interface_folder(const fs::path& tty) {
  std::error_code error;
  fs::path folder = fs::canonical(tty / "device", error);
  if (error) return std::nullopt;
  constexpr int levels = 3;
  for (int level = 0; level < levels && folder.has_relative_path(); ++level) {
    if (fs::exists(folder / "bInterfaceNumber", error)) return folder;
    folder = folder.parent_path();
  }
  return std::nullopt;
}

void fill_in_identity(PortInfo& port, const DeviceRoot& root) {
  const std::optional<fs::path> tty = tty_folder(port.node, root);
  const std::optional<fs::path> interface = tty ? usb_interface_folder(*tty) : std::nullopt;
  if (!interface) return;
  const fs::path device = interface->parent_path();
  port.identity.interface = attribute(*interface, "bInterfaceNumber");
  port.identity.vendor = attribute(device, "idVendor");
  port.identity.product = attribute(device, "idProduct");
  port.identity.serial = attribute(device, "serial");
  port.identity.physical_path = printable(device.filename().string());
  port.manufacturer = attribute(device, "manufacturer");
  port.product_name = attribute(device, "product");
}

std::string user_name(uid_t user) {
  const passwd* entry = getpwuid(user);
  return entry != nullptr ? entry->pw_name : std::to_string(user);
}

std::string group_name(gid_t group) {
  const ::group* entry = getgrgid(group);
  return entry != nullptr ? entry->gr_name : std::to_string(group);
}

bool bits_allow(const struct stat& status, const Caller& caller) {
  constexpr unsigned read_and_write = 06;
  const auto allows = [&](unsigned shift) {
    return ((status.st_mode >> shift) & read_and_write) == read_and_write;
  };
  if (status.st_uid == caller.user) return allows(6);
  const bool in_group = status.st_gid == caller.group || std::find(caller.groups.begin(), caller.groups.end(),
                                                                   status.st_gid) != caller.groups.end();
  return allows(in_group ? 3 : 0);
}

bool may_open(const fs::path& node, const struct stat& status, const Caller& caller) {
  if (!caller.is_this_process) return bits_allow(status, caller);
  return faccessat(AT_FDCWD, node.c_str(), R_OK | W_OK, AT_EACCESS) == 0;
}

// Everything but who holds it; nothing where there is no such node.
std::optional<PortInfo> look_without_holders(const fs::path& node, const DeviceRoot& root,
                                             const Caller& caller) {
  struct stat status {};
  if (stat(node.c_str(), &status) != 0) return std::nullopt;
  PortInfo port;
  port.node = node;
  constexpr unsigned permission_bits = 07777;
  port.mode = status.st_mode & permission_bits;
  port.owner = user_name(status.st_uid);
  port.owner_group = group_name(status.st_gid);
  port.access = may_open(node, status, caller) ? Access::ok : Access::denied;
  fill_in_identity(port, root);
  return port;
}

void fill_in_holders(std::vector<PortInfo>& ports, const DeviceRoot& root) {
  std::set<fs::path> devices;
  std::error_code error;
  for (const PortInfo& port : ports) devices.insert(fs::canonical(port.node, error));
  const Holders holders = find_holders(devices, root.proc);
  for (PortInfo& port : ports) {
    port.holders_unknown = holders.some_unreadable;
    const auto found = holders.by_device.find(fs::canonical(port.node, error));
    if (found == holders.by_device.end()) continue;
    port.holder = found->second;
    // Who may not open it at all has that to solve first.
    if (port.access == Access::ok) port.access = Access::busy;
  }
}

// "ttyACM2" before "ttyACM10".
bool in_number_order(const fs::path& left, const fs::path& right) {
  const std::string a = left.filename().string();
  const std::string b = right.filename().string();
  return a.size() != b.size() && a.substr(0, 6) == b.substr(0, 6) ? a.size() < b.size() : a < b;
}

}  // namespace

DeviceRoot DeviceRoot::from_environment() {
  const char* folder = std::getenv("ARMWISE_DEVICES");
  if (folder == nullptr || *folder == '\0') return {};
  return {fs::path(folder) / "dev", fs::path(folder) / "sys", "/proc"};
}

fs::path DeviceRoot::node(const std::string& port) const {
  return port.find('/') == std::string::npos ? dev / port : fs::path(port);
}

Caller Caller::of_this_process() {
  Caller caller{geteuid(), getegid(), {}, true};
  const int count = getgroups(0, nullptr);
  caller.groups.resize(static_cast<std::size_t>(std::max(count, 0)));
  const int filled = getgroups(count, caller.groups.data());
  caller.groups.resize(static_cast<std::size_t>(std::max(filled, 0)));
  return caller;
}

std::string PortIdentity::in_words() const {
  if (empty()) return {};
  std::string words = "USB " + vendor + ":" + product;
  if (!serial.empty()) return words + ", serial number " + serial;
  return physical_path.empty() ? words : words + " at socket " + physical_path;
}

std::string PortInfo::in_words() const {
  std::string words = product_name;
  if (!manufacturer.empty()) words += words.empty() ? manufacturer : " (" + manufacturer + ")";
  const std::string numbers = identity.in_words();
  if (!numbers.empty()) words += words.empty() ? numbers : ", " + numbers;
  return words.empty() ? node.string() : node.string() + ": " + words;
}

bool is_same_controller(const PortIdentity& before, const PortIdentity& now) {
  if (before.vendor != now.vendor || before.product != now.product || before.interface != now.interface) {
    return false;
  }
  return before.serial == now.serial && (!before.serial.empty() || before.physical_path == now.physical_path);
}

bool is_plausible_name(const std::string& name) {
  return name.starts_with("ttyACM") || name.starts_with("ttyUSB");
}

std::vector<PortInfo> ports_there(const DeviceRoot& root, const Caller& caller) {
  std::vector<fs::path> nodes;
  std::error_code error;
  for (fs::directory_iterator entry(root.dev, error); !error && entry != fs::directory_iterator();
       entry.increment(error)) {
    if (is_plausible_name(entry->path().filename().string())) nodes.push_back(entry->path());
  }
  std::sort(nodes.begin(), nodes.end(), in_number_order);
  std::vector<PortInfo> ports;
  for (const fs::path& node : nodes) {
    std::optional<PortInfo> port = look_without_holders(node, root, caller);
    if (port) ports.push_back(std::move(*port));
  }
  return ports;
}

std::vector<PortInfo> list_ports(const DeviceRoot& root, const Caller& caller) {
  std::vector<PortInfo> ports = ports_there(root, caller);
  fill_in_holders(ports, root);
  return ports;
}

PortInfo look_at_port(const std::string& port, const DeviceRoot& root, const Caller& caller) {
  std::optional<PortInfo> found = look_without_holders(root.node(port), root, caller);
  if (!found) throw port_missing(port, root, caller);
  std::vector<PortInfo> one{std::move(*found)};
  fill_in_holders(one, root);
  return one.front();
}

void require_access(const PortInfo& port, const Caller& caller) {
  if (port.access == Access::denied) throw port_denied(port, caller);
  if (port.access == Access::busy) throw port_busy(port);
}

}  // namespace armwise::link
