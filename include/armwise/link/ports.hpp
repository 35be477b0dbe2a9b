// Serial ports: which are plugged in, what they are, and whether they may be opened.
//
// Nothing here opens a port: opening raises lines that reset some boards.
//
// What is read, for a port NAME ("ttyACM0"), below the folders of a DeviceRoot:
//
//   DEV/                              the names; candidates are ttyACM* and ttyUSB*
//   DEV/NAME                          mode, owner and group, links followed (it may be a link to /dev/pts/N)
//   SYS/class/tty/NAME/device         a folder, or a link to one. From where it really lies, upwards (at most
//                                     three levels): the first folder that holds
//     bInterfaceNumber                two hexadecimal digits: the USB interface; and from its parent folder
//     idVendor, idProduct             four hexadecimal digits each
//     serial, manufacturer, product   text, each may be absent
//     (the name of that parent        "1-2.3", the kernel's bus and port numbers: the physical path)
//   PROC/PID/fd, PROC/PID/comm        who holds it: another process that has DEV/NAME open, links followed. A
//                                     process that holds the far side of the same pseudo-terminal does not
//                                     count (told by `tty-index` in PROC/PID/fdinfo).
//
// So a tree of links is told apart from real devices by nothing but its root. Whoever builds one makes
// the folder in SYS first and the entry in DEV last, and takes them away the other way round: a name in
// DEV is what wakes a waiting tool.
#pragma once

#include <sys/types.h>

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include "armwise/base/fault.hpp"

namespace armwise::link {

// The folders that stand for /dev, /sys and /proc.
struct DeviceRoot {
  std::filesystem::path dev = "/dev";
  std::filesystem::path sys = "/sys";
  std::filesystem::path proc = "/proc";

  // The real ones; where ARMWISE_DEVICES names a folder DIR: DIR/dev and DIR/sys (and the real /proc).
  static DeviceRoot from_environment();

  // "ttyACM0" -> DEV/ttyACM0; a name with a slash is taken as it is.
  std::filesystem::path node(const std::string& port) const;
};

// Whose rights count. Handed in, since the superuser's say nothing about anybody else's.
struct Caller {
  uid_t user = 0;
  gid_t group = 0;
  std::vector<gid_t> groups;
  // Ask the kernel, which also knows access lists, instead of working it out from the permission bits.
  bool is_this_process = false;

  static Caller of_this_process();
};

// Another process that has the port open.
struct Holder {
  pid_t process = 0;
  std::string name;  // "ModemManager"; printable
};

enum class Access { ok, denied, busy };

// The identity by which a port is found again. All of it printable text, empty where the port tells none.
struct PortIdentity {
  std::string vendor;         // idVendor, "1209"
  std::string product;        // idProduct, "0001"
  std::string serial;         // the device's own serial number
  std::string interface;      // bInterfaceNumber, "00"
  std::string physical_path;  // where it is plugged in, "1-2.3"

  bool empty() const { return vendor.empty() && product.empty(); }
  // "USB 1209:0001, serial number 4F2A" or "USB 1209:0001 at socket 1-2.3"; empty where there is none.
  std::string in_words() const;
  bool operator==(const PortIdentity&) const = default;
};

// Vendor, product, interface and serial number as before; without a serial number, the socket in its place.
bool is_same_controller(const PortIdentity& before, const PortIdentity& now);

struct PortInfo {
  std::filesystem::path node;  // "/dev/ttyACM0"
  PortIdentity identity;
  std::string manufacturer;  // as the device says, printable
  std::string product_name;  // as the device says, printable
  Access access = Access::ok;
  std::optional<Holder> holder;    // of a busy port, where it can be told
  bool holders_unknown = false;    // another user's processes could not be looked into
  unsigned mode = 0;               // permission bits, 0660
  std::string owner, owner_group;  // names, or numbers where they have none

  // "/dev/ttyACM0: Bench Flyer (Workshop), USB 1209:0001, serial number 4F2A".
  std::string in_words() const;
};

// ttyACM* and ttyUSB*.
bool is_plausible_name(const std::string& name);

// The USB serial ports that are plugged in, by name, numbers in their order.
std::vector<PortInfo> list_ports(const DeviceRoot& root, const Caller& caller = Caller::of_this_process());
// The same without who holds them, for which every process is looked at: tens of milliseconds.
std::vector<PortInfo> ports_there(const DeviceRoot& root, const Caller& caller = Caller::of_this_process());

// One port by name, of whatever sort (a pseudo-terminal, an on-board port). Throws Fault(port_missing),
// which says what is there instead.
PortInfo look_at_port(const std::string& port, const DeviceRoot& root,
                      const Caller& caller = Caller::of_this_process());

// The three faults of a port that cannot be opened, each with what, why and what to do next.
Fault port_missing(const std::string& port, const DeviceRoot& root, const Caller& caller);
Fault port_denied(const PortInfo& port, const Caller& caller);
Fault port_busy(const PortInfo& port);

// Throws the fault that `port.access` calls for; returns where it is `ok`.
void require_access(const PortInfo& port, const Caller& caller);

}  // namespace armwise::link
