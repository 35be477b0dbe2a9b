#include "armwise/link/ports.hpp"

#include <fcntl.h>
#include <gmock/gmock.h>
#include <grp.h>
#include <gtest/gtest.h>
#include <sys/wait.h>

#include <cstdlib>

#include "device_tree.hpp"
#include "pseudo_terminal.hpp"
#include "run.hpp"

namespace armwise::link::ports_test {
namespace {

using ::testing::HasSubstr;
using ::testing::Not;

namespace fs = std::filesystem;
using testing::DeviceTree;
using testing::dialout;
using testing::fault_of;
using testing::PseudoTerminal;
using testing::somebody;

Caller a_person(std::vector<gid_t> groups = {}) {
  return {somebody, somebody, std::move(groups), false};
}

TEST(Ports, TellsVendorProductSerialAndPlaceOfANativeUsbPort) {
  DeviceTree tree;
  const PseudoTerminal terminal;
  tree.plug_in("ttyACM0", {}, terminal.node());
  const std::vector<PortInfo> ports = list_ports(tree.root());
  ASSERT_EQ(ports.size(), 1U);
  EXPECT_EQ(ports[0].node, tree.node("ttyACM0"));
  EXPECT_EQ(ports[0].identity, (PortIdentity{"1209", "0001", "4F2A", "00", "1-2"}));
  EXPECT_EQ(ports[0].manufacturer, "Workshop");
  EXPECT_EQ(ports[0].product_name, "Bench Flyer");
  EXPECT_EQ(ports[0].access, Access::ok);
  EXPECT_EQ(ports[0].in_words(),
            tree.node("ttyACM0").string() + ": Bench Flyer (Workshop), USB 1209:0001, serial number 4F2A");
}

TEST(Ports, FindsTheInterfaceOneFolderUpForAUsbToSerialChip) {
  DeviceTree tree;
  const PseudoTerminal terminal;
  tree.plug_in("ttyUSB3", {.serial = "", .socket = "2-1.4", .interface = "01"}, terminal.node());
  const std::vector<PortInfo> ports = list_ports(tree.root());
  ASSERT_EQ(ports.size(), 1U);
  EXPECT_EQ(ports[0].identity, (PortIdentity{"1209", "0001", "", "01", "2-1.4"}));
  EXPECT_THAT(ports[0].identity.in_words(), HasSubstr("at socket 2-1.4"));
}

TEST(Ports, ListsOnlyUsbPortsInTheOrderOfTheirNumbers) {
  DeviceTree tree;
  const PseudoTerminal terminal;
  for (const char* name : {"ttyACM10", "ttyACM2", "ttyUSB0"}) tree.plug_in(name, {}, terminal.node());
  fs::create_symlink(terminal.node(), tree.node("ttyS0"));
  std::vector<std::string> names;
  for (const PortInfo& port : list_ports(tree.root())) names.push_back(port.node.filename());
  EXPECT_THAT(names, ::testing::ElementsAre("ttyACM2", "ttyACM10", "ttyUSB0"));
  EXPECT_EQ(look_at_port("ttyS0", tree.root()).access, Access::ok);
}

TEST(Ports, LetsNoEscapeCodeOfADeviceThrough) {
  DeviceTree tree;
  const PseudoTerminal terminal;
  tree.plug_in("ttyACM0", {.name = "Evil\x1b[2J\x07 Flyer"}, terminal.node());
  EXPECT_EQ(list_ports(tree.root()).at(0).product_name, "Evil Flyer");
}

TEST(Ports, TellsTheGroupThatGivesAccess) {
  SKIP_UNLESS_ROOT();
  DeviceTree tree;
  tree.plug_in_file("ttyACM0", {}, 0660, 0, dialout);
  const PortInfo port = look_at_port("ttyACM0", tree.root(), a_person());
  EXPECT_EQ(port.access, Access::denied);
  const Fault fault = fault_of([&] { require_access(port, a_person()); });
  EXPECT_EQ(fault.kind(), FaultKind::port_denied);
  EXPECT_THAT(fault.happened(), HasSubstr("may not open it"));
  EXPECT_EQ(fault.why(), "It belongs to user root and group dialout (rw-rw----)");
  EXPECT_EQ(fault.next(), "Run `sudo usermod -aG dialout $USER`, then log out and in again");
  EXPECT_EQ(look_at_port("ttyACM0", tree.root(), a_person({dialout})).access, Access::ok);
}

TEST(Ports, TellsTheRuleThatGivesAccessWhereNoGroupDoes) {
  SKIP_UNLESS_ROOT();
  DeviceTree tree;
  tree.plug_in_file("ttyACM0", {}, 0600, 0, 0);
  const PortInfo port = look_at_port("ttyACM0", tree.root(), a_person());
  const Fault fault = fault_of([&] { require_access(port, a_person()); });
  EXPECT_THAT(fault.next(),
              HasSubstr(R"(ATTRS{idVendor}=="1209", ATTRS{idProduct}=="0001", TAG+="uaccess")"));
  EXPECT_THAT(fault.next(), HasSubstr("udevadm"));
  EXPECT_THAT(fault.next(), Not(HasSubstr("usermod")));
}

TEST(Ports, DoesNotSendAnybodyIntoTheGroupRoot) {
  SKIP_UNLESS_ROOT();
  DeviceTree tree;
  tree.plug_in_file("ttyACM0", {}, 0660, 0, 0);
  const PortInfo port = look_at_port("ttyACM0", tree.root(), a_person());
  EXPECT_THAT(port_denied(port, a_person()).next(), Not(HasSubstr("usermod")));
}

TEST(Ports, GoesByTheOwnersBitsForTheOwnerAlone) {
  SKIP_UNLESS_ROOT();
  DeviceTree tree;
  tree.plug_in_file("ttyACM0", {}, 0066, somebody, 0);
  EXPECT_EQ(look_at_port("ttyACM0", tree.root(), a_person()).access, Access::denied);
  EXPECT_EQ(look_at_port("ttyACM0", tree.root(), {somebody + 1, 1, {}, false}).access, Access::ok);
}

TEST(Ports, SaysWhatIsThereInsteadOfAMissingPort) {
  DeviceTree tree;
  const Fault nothing = fault_of([&] { look_at_port("ttyACM0", tree.root()); });
  EXPECT_EQ(nothing.kind(), FaultKind::port_missing);
  EXPECT_THAT(nothing.sentence(), HasSubstr("No USB serial port is plugged in"));
  EXPECT_THAT(nothing.next(), HasSubstr("cable that carries data"));

  const PseudoTerminal terminal;
  tree.plug_in("ttyACM1", {}, terminal.node());
  const Fault another = fault_of([&] { look_at_port("ttyACM0", tree.root()); });
  EXPECT_THAT(another.happened(), HasSubstr("There is no port"));
  EXPECT_THAT(another.why(), HasSubstr("ttyACM1: Bench Flyer"));
}

// Another process with the port open, until the object goes.
class HoldingProcess {
 public:
  HoldingProcess(const PseudoTerminal& terminal, const char* name) {
    int ready[2];
    if (pipe2(ready, O_CLOEXEC) != 0) throw std::runtime_error("no pipe");
    process_ = fork();
    if (process_ == 0) {
      close(terminal.master());  // or this would be the far side itself
      // The name is that of the program file, as for any other process.
      std::ofstream("/proc/self/comm") << name;
      const int port = open(terminal.node().c_str(), O_RDWR | O_NOCTTY);
      if (write(ready[1], port >= 0 ? "y" : "n", 1) != 1) _exit(1);
      while (true) pause();
    }
    close(ready[1]);
    char answer = 'n';
    if (read(ready[0], &answer, 1) != 1 || answer != 'y') throw std::runtime_error("cannot hold");
    close(ready[0]);
  }
  ~HoldingProcess() {
    kill(process_, SIGKILL);
    waitpid(process_, nullptr, 0);
  }
  HoldingProcess(const HoldingProcess&) = delete;
  HoldingProcess& operator=(const HoldingProcess&) = delete;
  pid_t process() const { return process_; }

 private:
  pid_t process_;
};

TEST(Ports, TellsWhoHoldsABusyPort) {
  DeviceTree tree;
  const PseudoTerminal terminal;
  tree.plug_in("ttyACM0", {}, terminal.node());
  const HoldingProcess holder(terminal, "logger");
  const PortInfo port = list_ports(tree.root()).at(0);
  EXPECT_EQ(port.access, Access::busy);
  const Fault fault = fault_of([&] { require_access(port, Caller::of_this_process()); });
  EXPECT_EQ(fault.kind(), FaultKind::port_busy);
  EXPECT_EQ(fault.why(), "Process " + std::to_string(holder.process()) + " (logger) holds it");
  EXPECT_THAT(fault.sentence(), Not(HasSubstr("usermod")));
}

TEST(Ports, TellsHowToKeepAModemProberAway) {
  DeviceTree tree;
  const PseudoTerminal terminal;
  tree.plug_in("ttyACM0", {}, terminal.node());
  const HoldingProcess holder(terminal, "ModemManager");
  const Fault fault = port_busy(list_ports(tree.root()).at(0));
  EXPECT_THAT(fault.next(), HasSubstr("10 to 20 seconds"));
  EXPECT_THAT(fault.next(), HasSubstr("ENV{ID_MM_DEVICE_IGNORE}=\"1\""));
}

TEST(Ports, SaysSoWhereOtherPeoplesProcessesAreHidden) {
  PortInfo port;
  port.node = "/dev/ttyACM0";
  port.access = Access::busy;
  port.holders_unknown = true;
  EXPECT_THAT(port_busy(port).why(), HasSubstr("other users' processes may not be looked into"));
}

TEST(Ports, DoesNotTakeTheFarSideOfAPseudoTerminalForAHolder) {
  // A practice craft keeps both ends open; so does this child.
  DeviceTree tree;
  int ready[2];
  ASSERT_EQ(pipe2(ready, O_CLOEXEC), 0);
  const pid_t craft = fork();
  if (craft == 0) {
    const PseudoTerminal terminal;
    if (open(terminal.node().c_str(), O_RDWR | O_NOCTTY) < 0) _exit(1);
    const std::string node = terminal.node();
    if (write(ready[1], node.data(), node.size()) < 0) _exit(1);
    while (true) pause();
  }
  std::array<char, 64> node{};
  ASSERT_GT(read(ready[0], node.data(), node.size()), 0);
  tree.plug_in("ttyACM0", {}, node.data());
  EXPECT_EQ(list_ports(tree.root()).at(0).access, Access::ok);
  kill(craft, SIGKILL);
  waitpid(craft, nullptr, 0);
}

TEST(DeviceRoot, ComesFromTheEnvironment) {
  setenv("ARMWISE_DEVICES", "/tmp/somewhere", 1);
  EXPECT_EQ(DeviceRoot::from_environment().dev, "/tmp/somewhere/dev");
  EXPECT_EQ(DeviceRoot::from_environment().sys, "/tmp/somewhere/sys");
  EXPECT_EQ(DeviceRoot::from_environment().node("ttyACM0"), "/tmp/somewhere/dev/ttyACM0");
  EXPECT_EQ(DeviceRoot::from_environment().node("/dev/ttyACM0"), "/dev/ttyACM0");
  unsetenv("ARMWISE_DEVICES");
  EXPECT_EQ(DeviceRoot::from_environment().dev, "/dev");
}

}  // namespace
}  // namespace armwise::link::ports_test
