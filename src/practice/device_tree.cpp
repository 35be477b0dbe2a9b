#include "device_tree.hpp"

#include <stdlib.h>

#include <cerrno>
#include <fstream>
#include <system_error>

#include "armwise/base/fault.hpp"

namespace armwise::practice {
namespace {

namespace fs = std::filesystem;

constexpr const char* socket_on_the_hub = "1-2";  // the kernel's name for bus 1, port 2

[[noreturn]] void not_made(const fs::path& path, const std::error_code& error) {
  throw Fault(FaultKind::file, "the device tree " + path.string() + " could not be made", error.message(),
              "Name another folder with --dir");
}

void write_line(const fs::path& file, const std::string& text) {
  std::ofstream out(file);
  out << text << '\n';
  if (!out.flush()) not_made(file, std::error_code(errno, std::generic_category()));
}

fs::path new_temporary_folder() {
  std::string pattern = (fs::temp_directory_path() / "armwise-practice-XXXXXX").string();
  if (::mkdtemp(pattern.data()) == nullptr)
    not_made(pattern, std::error_code(errno, std::generic_category()));
  return pattern;
}

// Only what an earlier practice craft leaves: names that lead nowhere any more.
void clear_dangling(const fs::path& dev) {
  for (const fs::directory_entry& entry : fs::directory_iterator(dev)) {
    if (entry.is_symlink() && !fs::exists(entry.path())) fs::remove(entry.path());
  }
}

}  // namespace

DeviceTree::DeviceTree(fs::path root) : root_(std::move(root)) {
  try {
    made_root_ = root_.empty() || !fs::exists(root_);
    if (root_.empty()) root_ = new_temporary_folder();
    fs::create_directories(root_ / "dev");
    fs::create_directories(root_ / "sys" / "class" / "tty");
    fs::create_directories(root_ / "sys" / "devices");
    root_ = fs::canonical(root_);
    clear_dangling(root_ / "dev");
  } catch (const fs::filesystem_error& error) {
    not_made(root_, error.code());
  }
}

DeviceTree::~DeviceTree() {
  std::error_code ignored;
  pull_out();
  for (const char* folder : {"sys/class/tty", "sys/class", "sys/devices", "sys", "dev"}) {
    fs::remove(root_ / folder, ignored);  // a folder that somebody else put something into stays
  }
  if (made_root_) fs::remove(root_, ignored);
}

void DeviceTree::plug_in(const std::string& name, const UsbNumbers& usb, const fs::path& terminal) {
  try {
    const fs::path device = root_ / "sys/devices" / socket_on_the_hub;
    const fs::path interface = device / (std::string(socket_on_the_hub) + ":1.0");
    fs::create_directories(interface);
    write_line(interface / "bInterfaceNumber", "00");
    write_line(device / "idVendor", usb.vendor);
    write_line(device / "idProduct", usb.product);
    write_line(device / "serial", usb.serial);
    write_line(device / "manufacturer", usb.manufacturer);
    write_line(device / "product", usb.product_name);
    const fs::path port = root_ / "sys/class/tty" / name;
    fs::create_directories(port);
    fs::remove(port / "device");
    fs::create_directory_symlink(fs::relative(interface, port), port / "device");
    plugged_in_ = name;
    // Under its name in one step: a name that exists leads somewhere.
    const fs::path beside = root_ / "sys" / "new-port";
    fs::remove(beside);
    fs::create_symlink(terminal, beside);
    fs::rename(beside, node(name));
  } catch (const fs::filesystem_error& error) {
    not_made(root_, error.code());
  }
}

void DeviceTree::pull_out() {
  if (plugged_in_.empty()) return;
  std::error_code ignored;
  fs::remove(node(plugged_in_), ignored);
  fs::remove_all(root_ / "sys/class/tty" / plugged_in_, ignored);
  fs::remove_all(root_ / "sys/devices" / socket_on_the_hub, ignored);
  plugged_in_.clear();
}

}  // namespace armwise::practice
