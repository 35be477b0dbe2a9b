// A folder that stands for /dev and /sys, laid out as the kernel does (see armwise/link/ports.hpp; the
// kernel's Documentation/ABI/stable/sysfs-bus-usb and testing/sysfs-class-tty name the files).
#pragma once

#include <gtest/gtest.h>
#include <sys/stat.h>
#include <unistd.h>

#include <filesystem>
#include <fstream>
#include <string>

#include "armwise/link/ports.hpp"

namespace armwise::link::testing {

// A person and a group that may open ports.
inline constexpr uid_t somebody = 4711;
inline constexpr gid_t dialout = 20;  // Debian's base-passwd

namespace fs = std::filesystem;

struct FakeDevice {
  std::string vendor = "1209", product = "0001", serial = "4F2A";
  std::string manufacturer = "Workshop", name = "Bench Flyer";
  std::string socket = "1-2";
  std::string interface = "00";
};

// Only the superuser can make a node that belongs to others.
#define SKIP_UNLESS_ROOT() \
  if (geteuid() != 0) GTEST_SKIP() << "needs to be the superuser, to make a node that belongs to others"

class DeviceTree {
 public:
  DeviceTree() {
    std::string pattern = (fs::temp_directory_path() / "armwise-devices-XXXXXX").string();
    folder_ = mkdtemp(pattern.data());
    fs::create_directories(folder_ / "dev");
    fs::create_directories(folder_ / "sys/class/tty");
  }
  ~DeviceTree() {
    std::error_code ignored;
    fs::remove_all(folder_, ignored);
  }
  DeviceTree(const DeviceTree&) = delete;
  DeviceTree& operator=(const DeviceTree&) = delete;

  DeviceRoot root() const { return {folder_ / "dev", folder_ / "sys", "/proc"}; }
  const fs::path& folder() const { return folder_; }
  fs::path node(const std::string& name) const { return folder_ / "dev" / name; }

  // In the kernel's order: what describes it first, the name in DEV last.
  void plug_in(const std::string& name, const FakeDevice& device, const fs::path& target) {
    describe(name, device);
    fs::create_symlink(target, node(name));
  }
  // Owned by others: see SKIP_UNLESS_ROOT.
  void plug_in_file(const std::string& name, const FakeDevice& device, mode_t mode, uid_t owner,
                    gid_t group) {
    describe(name, device);
    std::ofstream(node(name)) << "";
    chmod(node(name).c_str(), mode);
    if (chown(node(name).c_str(), owner, group) != 0) throw std::runtime_error("this test needs to be root");
  }
  void pull_out(const std::string& name) {
    fs::remove(node(name));
    fs::remove_all(folder_ / "sys/class/tty" / name);
  }

 private:
  static void put(const fs::path& file, const std::string& text) {
    if (!text.empty()) std::ofstream(file) << text << '\n';
  }
  void describe(const std::string& name, const FakeDevice& device) {
    const fs::path usb = folder_ / "sys/devices/usb1" / device.socket;
    fs::path port = usb / (device.socket + ":1." + device.interface);
    fs::create_directories(port);
    put(usb / "idVendor", device.vendor);
    put(usb / "idProduct", device.product);
    put(usb / "manufacturer", device.manufacturer);
    put(usb / "product", device.name);
    fs::remove(usb / "serial");
    put(usb / "serial", device.serial);
    put(port / "bInterfaceNumber", device.interface);
    // A USB-to-serial chip's port is a device of its own below the interface.
    if (name.starts_with("ttyUSB")) port /= name;
    fs::create_directories(port);
    fs::create_directories(folder_ / "sys/class/tty" / name);
    fs::create_directory_symlink(port, folder_ / "sys/class/tty" / name / "device");
  }

  fs::path folder_;
};

}  // namespace armwise::link::testing
