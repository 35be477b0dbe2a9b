#include "armwise/link/serial_plug.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <boost/asio/steady_timer.hpp>

#include "armwise/link/guard.hpp"
#include "device_tree.hpp"
#include "pseudo_terminal.hpp"
#include "run.hpp"

namespace armwise::link::serial_plug_test {
namespace {

using console::Received;
using testing::DeviceTree;
using testing::FakeDevice;
using testing::fault_of;
using ::testing::HasSubstr;
using testing::PseudoTerminal;
using testing::run;
using namespace std::chrono_literals;

namespace fs = std::filesystem;
constexpr auto soon = 20ms;
constexpr auto later = 60ms;

class SerialPlugTest : public ::testing::Test {
 protected:
  SerialPlugTest() { tree.plug_in("ttyACM0", {}, before.node()); }

  SerialPlug plug(const std::string& port = "ttyACM0") {
    PlugOptions options;
    options.root = tree.root();
    options.stays_after = 200ms;
    return {loop.get_executor(), port, options};
  }
  template <typename Action>
  void after(Duration delay, Action action) {
    auto timer = std::make_shared<boost::asio::steady_timer>(loop, delay);
    timer->async_wait([timer, action](const boost::system::error_code& error) {
      if (!error) action();
    });
  }
  void expect_alive(console::Line& line, const PseudoTerminal& far_side) {
    far_side.send("here");
    EXPECT_EQ(run(loop, line.read(1s)).bytes, "here");
  }
  Fault not_back(SerialPlug& plug, Duration within) {
    const Fault fault = fault_of([&] { run(loop, plug.reopen(within)); });
    EXPECT_EQ(fault.kind(), FaultKind::not_back);
    return fault;
  }

  boost::asio::io_context loop;
  DeviceTree tree;
  PseudoTerminal before, afterwards, another;
};

TEST_F(SerialPlugTest, OpensAndKnowsWhatItOpened) {
  SerialPlug plug = this->plug();
  const auto line = run(loop, plug.open());
  EXPECT_EQ(line->name(), tree.node("ttyACM0"));
  EXPECT_EQ(plug.identity(), "USB 1209:0001, serial number 4F2A");
  EXPECT_EQ(plug.renamed(), "");
  expect_alive(*line, before);
}

TEST_F(SerialPlugTest, TellsMissingFromDenied) {
  SKIP_UNLESS_ROOT();
  SerialPlug missing = plug("ttyACM5");
  EXPECT_EQ(fault_of([&] { run(loop, missing.open()); }).kind(), FaultKind::port_missing);

  tree.plug_in_file("ttyACM5", {.socket = "1-3"}, 0660, 0, 20);
  PlugOptions options;
  options.root = tree.root();
  options.caller = {4711, 4711, {}, false};
  SerialPlug denied(loop.get_executor(), "ttyACM5", options);
  EXPECT_EQ(fault_of([&] { run(loop, denied.open()); }).kind(), FaultKind::port_denied);
}

TEST_F(SerialPlugTest, FindsTheControllerUnderAnotherName) {
  SerialPlug plug = this->plug();
  const auto line = run(loop, plug.open());
  after(soon, [&] { tree.pull_out("ttyACM0"); });
  after(later, [&] { tree.plug_in("ttyACM1", {}, afterwards.node()); });
  const auto again = run(loop, plug.reopen(10s));
  EXPECT_EQ(again->name(), tree.node("ttyACM1"));
  EXPECT_THAT(plug.renamed(), HasSubstr("ttyACM1"));
  expect_alive(*again, afterwards);
}

TEST_F(SerialPlugTest, FindsTheControllerUnderItsOldName) {
  SerialPlug plug = this->plug();
  auto line = run(loop, plug.open());
  after(soon, [&] { tree.pull_out("ttyACM0"); });
  after(later, [&] { tree.plug_in("ttyACM0", {}, afterwards.node()); });
  const auto again = run(loop, plug.reopen(10s));
  EXPECT_EQ(plug.renamed(), "");
  expect_alive(*again, afterwards);
}

TEST_F(SerialPlugTest, NoticesARestartThatWasOverBeforeItLooked) {
  SerialPlug plug = this->plug();
  auto line = run(loop, plug.open());
  tree.pull_out("ttyACM0");
  tree.plug_in("ttyACM0", {}, afterwards.node());
  const auto start = std::chrono::steady_clock::now();
  const auto again = run(loop, plug.reopen(10s));
  EXPECT_LT(std::chrono::steady_clock::now() - start, 150ms);  // not taken for one that stayed
  expect_alive(*again, afterwards);
}

TEST_F(SerialPlugTest, OpensAPortThatNeverLeavesOnceMore) {
  // A USB-to-serial chip stays while the controller behind it restarts.
  SerialPlug plug = this->plug();
  const auto line = run(loop, plug.open());
  const auto again = run(loop, plug.reopen(10s));
  EXPECT_EQ(run(loop, line->read(0ms)).status, Received::Status::closed);
  expect_alive(*again, before);
}

TEST_F(SerialPlugTest, NamesTheIdentityThatNeverCame) {
  SerialPlug plug = this->plug();
  auto line = run(loop, plug.open());
  tree.pull_out("ttyACM0");
  const Fault fault = not_back(plug, 50ms);
  EXPECT_THAT(fault.happened(), HasSubstr("USB 1209:0001, serial number 4F2A"));
  EXPECT_THAT(fault.happened(), HasSubstr("did not come back within 1 s"));
  EXPECT_THAT(fault.next(), HasSubstr("armwise recover"));
}

TEST_F(SerialPlugTest, RefusesAnotherDeviceUnderTheOldName) {
  SerialPlug plug = this->plug();
  auto line = run(loop, plug.open());
  tree.pull_out("ttyACM0");
  tree.plug_in("ttyACM0", {.serial = "0BAD", .name = "Other Board"}, another.node());
  const Fault fault = not_back(plug, 50ms);
  EXPECT_THAT(fault.why(), HasSubstr("Another device has taken the name " + tree.node("ttyACM0").string()));
  EXPECT_THAT(fault.why(), HasSubstr("Other Board"));
}

TEST_F(SerialPlugTest, PassesABootLoaderOnTheWay) {
  SerialPlug plug = this->plug();
  auto line = run(loop, plug.open());
  tree.pull_out("ttyACM0");
  tree.plug_in("ttyACM0", {.product = "00B0", .name = "Boot loader"}, another.node());
  after(soon, [&] { tree.pull_out("ttyACM0"); });
  after(later, [&] { tree.plug_in("ttyACM0", {}, afterwards.node()); });
  expect_alive(*run(loop, plug.reopen(10s)), afterwards);
}

TEST_F(SerialPlugTest, StopsWhereTwoAlikeComeBack) {
  SerialPlug plug = this->plug();
  auto line = run(loop, plug.open());
  tree.pull_out("ttyACM0");
  tree.plug_in("ttyACM1", {}, afterwards.node());
  tree.plug_in("ttyACM2", {.socket = "1-3"}, another.node());
  const Fault fault = not_back(plug, 10s);
  EXPECT_THAT(fault.sentence(), HasSubstr("cannot be told apart"));
  EXPECT_THAT(fault.sentence(), HasSubstr("ttyACM1"));
  EXPECT_THAT(fault.sentence(), HasSubstr("ttyACM2"));
}

TEST_F(SerialPlugTest, DoesNotTakeATwinThatWasThereAllTheTime) {
  // Makers do put one serial number on every board.
  tree.plug_in("ttyACM1", {.socket = "1-3"}, another.node());
  SerialPlug plug = this->plug();
  auto line = run(loop, plug.open());
  tree.pull_out("ttyACM0");
  EXPECT_THAT(not_back(plug, 50ms).happened(), HasSubstr("did not come back"));
  after(soon, [&] { tree.plug_in("ttyACM2", {}, afterwards.node()); });
  EXPECT_EQ(run(loop, plug.reopen(10s))->name(), tree.node("ttyACM2"));
}

TEST_F(SerialPlugTest, GoesByTheSocketWhereThereIsNoSerialNumber) {
  tree.pull_out("ttyACM0");
  tree.plug_in("ttyACM0", {.serial = ""}, before.node());
  SerialPlug plug = this->plug();
  auto line = run(loop, plug.open());
  tree.pull_out("ttyACM0");
  tree.plug_in("ttyACM1", {.serial = "", .socket = "1-3"}, another.node());
  EXPECT_THAT(not_back(plug, 50ms).happened(), HasSubstr("at socket 1-2"));
  after(soon, [&] { tree.plug_in("ttyACM2", {.serial = ""}, afterwards.node()); });
  expect_alive(*run(loop, plug.reopen(10s)), afterwards);
}

TEST_F(SerialPlugTest, TakesTheSameInterfaceOfADeviceWithTwo) {
  tree.plug_in("ttyACM1", {.interface = "02"}, another.node());
  SerialPlug plug = this->plug();
  auto line = run(loop, plug.open());
  tree.pull_out("ttyACM0");
  tree.pull_out("ttyACM1");
  tree.plug_in("ttyACM3", {.interface = "02"}, another.node());
  tree.plug_in("ttyACM4", {}, afterwards.node());
  expect_alive(*run(loop, plug.reopen(10s)), afterwards);
}

TEST_F(SerialPlugTest, WaitsUntilAPortThatCameBackMayBeOpened) {
  PlugOptions options;
  options.root = tree.root();
  options.caller = {4711, 4711, {}, false};
  chmod(before.node().c_str(), 0666);
  SerialPlug plug(loop.get_executor(), "ttyACM0", options);
  auto line = run(loop, plug.open());
  tree.pull_out("ttyACM0");
  chmod(afterwards.node().c_str(), 0600);
  tree.plug_in("ttyACM1", {}, afterwards.node());
  after(later, [&] { chmod(afterwards.node().c_str(), 0666); });
  expect_alive(*run(loop, plug.reopen(10s)), afterwards);
}

TEST_F(SerialPlugTest, SaysThatItIsBackButDenied) {
  PlugOptions options;
  options.root = tree.root();
  options.caller = {4711, 4711, {}, false};
  chmod(before.node().c_str(), 0666);
  SerialPlug plug(loop.get_executor(), "ttyACM0", options);
  auto line = run(loop, plug.open());
  tree.pull_out("ttyACM0");
  chmod(afterwards.node().c_str(), 0600);
  tree.plug_in("ttyACM1", {}, afterwards.node());
  const Fault fault = not_back(plug, 250ms);
  EXPECT_THAT(fault.happened(), HasSubstr("is back, but could not be opened"));
  EXPECT_THAT(fault.why(), HasSubstr("you may not open it"));
}

TEST_F(SerialPlugTest, FindsAPlainPseudoTerminalUnderItsPath) {
  const std::string path = (tree.folder() / "line").string();
  fs::create_symlink(before.node(), path);
  SerialPlug plug = this->plug(path);
  auto line = run(loop, plug.open());
  EXPECT_EQ(plug.identity(), "");
  before.hang_up();
  after(soon, [&] {
    fs::remove(path);
    fs::create_symlink(afterwards.node(), path);
  });
  expect_alive(*run(loop, plug.reopen(10s)), afterwards);
}

TEST_F(SerialPlugTest, HandsEachPortToTheGuardAndTakesItBack) {
  const std::unique_ptr<Guard> guard = Guard::start();
  const auto beats = guard->join(loop.get_executor(), [](const Fault&) {});
  guard->say({"\r\n", "stop\r\n", ""});
  PlugOptions options;
  options.root = tree.root();
  options.guard = guard.get();
  SerialPlug plug(loop.get_executor(), "ttyACM0", options);
  auto line = run(loop, plug.open());
  EXPECT_NO_THROW(guard->turning(1s));
  guard->stopped();
  after(soon, [&] {
    // Neither tool nor guard has the old port open any more, so its name is free.
    pollfd old{before.master(), 0, 0};
    EXPECT_EQ(poll(&old, 1, 0), 1);
    EXPECT_NE(old.revents & POLLHUP, 0);
    tree.pull_out("ttyACM0");
    tree.plug_in("ttyACM1", {}, afterwards.node());
  });
  const auto again = run(loop, plug.reopen(10s));
  EXPECT_NO_THROW(guard->turning(1s));
  guard->stopped();
  line.reset();  // late, and no business of the new port
  EXPECT_NO_THROW(guard->turning(1s));
  guard->stopped();
  expect_alive(*again, afterwards);
}

TEST_F(SerialPlugTest, CanBeOpenedAgainWhileTheOldLineLives) {
  SerialPlug plug = this->plug();
  const auto line = run(loop, plug.open());
  expect_alive(*run(loop, plug.open()), before);
}

TEST_F(SerialPlugTest, FollowsALinkToTheNodeItself) {
  SKIP_UNLESS_ROOT();
  fs::create_directories(tree.folder() / "dev/serial/by-id");
  const fs::path link = tree.folder() / "dev/serial/by-id/usb-Workshop";
  // udev's links lead to a node, which in this tree is a link itself: named by what it leads to.
  tree.plug_in_file("ttyACM9", {.serial = "0099"}, 0600, 0, 0);
  fs::create_symlink("../../ttyACM9", link);
  EXPECT_EQ(look_at_port(link.string(), tree.root()).identity.serial, "0099");
}

}  // namespace
}  // namespace armwise::link::serial_plug_test
