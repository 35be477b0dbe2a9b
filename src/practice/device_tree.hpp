// The folders that stand for /dev and /sys, with one USB serial port in them that comes and goes. Their
// shape is that of link/ports.hpp.
#pragma once

#include <filesystem>
#include <string>

#include "armwise/practice/port.hpp"

namespace armwise::practice {

class DeviceTree {
 public:
  // Makes `root` (a new temporary folder where it is empty), with what stands in it of an earlier run that
  // did not end well cleared away. Throws Fault(file).
  explicit DeviceTree(std::filesystem::path root);
  // Takes away all that it made.
  ~DeviceTree();
  DeviceTree(const DeviceTree&) = delete;
  DeviceTree& operator=(const DeviceTree&) = delete;

  const std::filesystem::path& root() const { return root_; }
  std::filesystem::path node(const std::string& name) const { return root_ / "dev" / name; }

  // First what describes it, then its name, as a real one appears.
  void plug_in(const std::string& name, const UsbNumbers& usb, const std::filesystem::path& terminal);
  void pull_out();

 private:
  std::filesystem::path root_;
  bool made_root_ = false;
  std::string plugged_in_;
};

}  // namespace armwise::practice
