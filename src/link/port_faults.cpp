// What a person is told of a port that cannot be opened.
#include <grp.h>
#include <pwd.h>

#include <algorithm>
#include <cstring>

#include "armwise/base/text.hpp"
#include "armwise/link/ports.hpp"

namespace armwise::link {
namespace {

constexpr unsigned group_may_read_and_write = 0060;
constexpr const char* reload_rules = "sudo udevadm control --reload && sudo udevadm trigger";

bool is_listed_in(const std::string& group, uid_t user) {
  const passwd* person = getpwuid(user);
  const ::group* entry = getgrnam(group.c_str());
  if (person == nullptr || entry == nullptr) return false;
  for (char** member = entry->gr_mem; *member != nullptr; ++member) {
    if (std::strcmp(*member, person->pw_name) == 0) return true;
  }
  return false;
}

std::string mode_in_words(const PortInfo& port) {
  std::string bits;
  constexpr const char* letters = "rwxrwxrwx";
  for (unsigned i = 0; i < 9; ++i) bits += (port.mode & (0400U >> i)) != 0 ? letters[i] : '-';
  return "It belongs to user " + port.owner + " and group " + port.owner_group + " (" + bits + ")";
}

std::string access_rule(const PortIdentity& identity) {
  return "SUBSYSTEM==\"tty\", ATTRS{idVendor}==\"" + identity.vendor + "\", ATTRS{idProduct}==\"" +
         identity.product + "\", TAG+=\"uaccess\"";
}

std::string way_in(const PortInfo& port, const Caller& caller) {
  const bool group_helps =
      (port.mode & group_may_read_and_write) == group_may_read_and_write && port.owner_group != "root";
  if (group_helps && is_listed_in(port.owner_group, caller.user)) {
    return "You are in the group " + port.owner_group +
           " by now, but this login is older: log out and in again";
  }
  if (group_helps) {
    return "Run `sudo usermod -aG " + port.owner_group + " $USER`, then log out and in again";
  }
  if (!port.identity.empty()) {
    return "Put this line into /etc/udev/rules.d/70-armwise.rules: " + access_rule(port.identity) +
           " ; then run `" + reload_rules + "` and plug it in again";
  }
  return "Run armwise as " + port.owner + ", or have " + port.owner + " give access to " + port.node.string();
}

std::string lowered(const Holder& holder) {
  return lower_case(holder.name);
}

std::string way_past(const PortInfo& port) {
  const std::string holder = port.holder ? lowered(*port.holder) : "";
  if (holder.starts_with("modemmanager")) {
    return "It looks for modems and lets go after 10 to 20 seconds: wait and try again. To keep it away for "
           "good, "
           "put this line into /etc/udev/rules.d/70-armwise.rules: SUBSYSTEM==\"usb\", ATTR{idVendor}==\"" +
           port.identity.vendor + "\", ATTR{idProduct}==\"" + port.identity.product +
           "\", ENV{ID_MM_DEVICE_IGNORE}=\"1\" ; then run `" + reload_rules + "` and plug it in again";
  }
  if (holder.starts_with("brltty")) {
    return "It takes this sort of USB-to-serial chip for a Braille display (versions before 6.5). If you use "
           "no "
           "Braille display, run `sudo systemctl mask --now brltty-udev.service` and plug it in again";
  }
  if (port.holder) return "Close that program, or end process " + std::to_string(port.holder->process);
  return "Close the program that uses it; `sudo fuser -v " + port.node.string() + "` tells which";
}

}  // namespace

Fault port_missing(const std::string& port, const DeviceRoot& root, const Caller& caller) {
  const std::vector<PortInfo> there = list_ports(root, caller);
  const std::string what = port.empty() ? "No USB serial port is plugged in"
                                        : "There is no port " + printable(root.node(port).string());
  if (there.empty()) {
    return {
        FaultKind::port_missing, what, port.empty() ? "" : "No USB serial port is plugged in at all",
        "Plug the controller in over USB, with a cable that carries data and not only power. If it shows up "
        "and vanishes again after a second, another service (brltty) may have taken it"};
  }
  std::vector<std::string> words;
  words.reserve(there.size());
  for (const PortInfo& one : there) words.push_back(printable(one.in_words()));
  return {FaultKind::port_missing, what, "What is plugged in: " + joined(words, "; "),
          "Name one of these, or plug the controller in"};
}

Fault port_denied(const PortInfo& port, const Caller& caller) {
  return {FaultKind::port_denied, port.node.string() + " is there, but you may not open it",
          mode_in_words(port), way_in(port, caller)};
}

Fault port_busy(const PortInfo& port) {
  std::string why = "Another program holds it";
  if (port.holder) {
    why = "Process " + std::to_string(port.holder->process) + " (" + port.holder->name + ") holds it";
  } else if (port.holders_unknown) {
    why += "; which one cannot be told, since other users' processes may not be looked into";
  }
  return {FaultKind::port_busy, port.node.string() + " is in use", why, way_past(port)};
}

}  // namespace armwise::link
