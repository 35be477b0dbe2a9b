#include "armwise/link/waiting.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <boost/asio/post.hpp>
#include <boost/asio/steady_timer.hpp>

#include "device_tree.hpp"
#include "pseudo_terminal.hpp"
#include "run.hpp"

namespace armwise::link::waiting_test {
namespace {

using testing::DeviceTree;
using testing::dialout;
using testing::fault_of;
using ::testing::HasSubstr;
using testing::PseudoTerminal;
using testing::run;
using testing::somebody;
using namespace std::chrono_literals;

class WaitingTest : public ::testing::Test {
 protected:
  Task<PortInfo> wait(const std::string& port, Duration within) {
    return wait_for_port(loop.get_executor(), port, tree.root(), caller, within);
  }
  // Done from the loop while the other side waits; the moment does not matter to any outcome.
  template <typename Action>
  void after(Duration delay, Action action) {
    auto timer = std::make_shared<boost::asio::steady_timer>(loop, delay);
    timer->async_wait([timer, action](const boost::system::error_code& error) {
      if (!error) action();
    });
  }

  boost::asio::io_context loop;
  DeviceTree tree;
  PseudoTerminal terminal;
  Caller caller = Caller::of_this_process();
};

TEST_F(WaitingTest, TakesAPortThatIsThereAlready) {
  tree.plug_in("ttyACM0", {}, terminal.node());
  EXPECT_EQ(run(loop, wait("", 0ms)).node, tree.node("ttyACM0"));
  EXPECT_EQ(run(loop, wait("ttyACM0", 0ms)).node, tree.node("ttyACM0"));
}

TEST_F(WaitingTest, IsWokenWhenOneIsPluggedIn) {
  after(5ms, [&] { tree.plug_in("ttyACM7", {}, terminal.node()); });
  const auto before = std::chrono::steady_clock::now();
  EXPECT_EQ(run(loop, wait("", 10s)).identity.serial, "4F2A");
  EXPECT_LT(std::chrono::steady_clock::now() - before, 5s);
}

TEST_F(WaitingTest, GoesOnWaitingForTheOneThatWasNamed) {
  after(5ms, [&] { tree.plug_in("ttyACM0", {}, terminal.node()); });
  after(20ms, [&] { tree.plug_in("ttyACM1", {}, terminal.node()); });
  EXPECT_EQ(run(loop, wait("ttyACM1", 10s)).node, tree.node("ttyACM1"));
}

TEST_F(WaitingTest, EndsAtTheTimeLimit) {
  const Fault fault = fault_of([&] { run(loop, wait("", 20ms)); });
  EXPECT_EQ(fault.kind(), FaultKind::port_missing);
}

TEST_F(WaitingTest, LooksAgainAtAPortWhosePermissionsAreSetLate) {
  SKIP_UNLESS_ROOT();
  caller = {somebody, somebody, {dialout}, false};
  after(5ms, [&] { tree.plug_in_file("ttyACM0", {}, 0600, 0, 0); });
  after(60ms, [&] {
    ASSERT_EQ(chown(tree.node("ttyACM0").c_str(), 0, dialout), 0);
    chmod(tree.node("ttyACM0").c_str(), 0660);
  });
  EXPECT_EQ(run(loop, wait("", 10s)).access, Access::ok);
}

TEST_F(WaitingTest, SaysDeniedAfterASecondNotAtTheTimeLimit) {
  SKIP_UNLESS_ROOT();
  caller = {somebody, somebody, {}, false};
  tree.plug_in_file("ttyACM0", {}, 0660, 0, dialout);
  const auto before = std::chrono::steady_clock::now();
  const Fault fault = fault_of([&] { run(loop, wait("", 60s)); });
  EXPECT_EQ(fault.kind(), FaultKind::port_denied);
  EXPECT_LT(std::chrono::steady_clock::now() - before, 10s);
}

TEST_F(WaitingTest, SaysSoWhereTheFolderIsMissing) {
  DeviceRoot nowhere{"/nonexistent/dev", "/nonexistent/sys", "/proc"};
  const Fault fault =
      fault_of([&] { run(loop, wait_for_port(loop.get_executor(), "", nowhere, caller, 10s)); });
  EXPECT_EQ(fault.kind(), FaultKind::port_missing);
}

TEST_F(WaitingTest, IsNotWokenByNamesThatAreNoPorts) {
  FolderWatch watch(loop.get_executor(), tree.root().dev, "");
  std::ofstream(tree.node("null")) << "x";
  EXPECT_FALSE(run(loop, watch.changed(30ms)));
  std::ofstream(tree.node("ttyACM0")) << "x";
  EXPECT_TRUE(run(loop, watch.changed(1s)));
}

TEST_F(WaitingTest, IsToldOfPseudoTerminalsThemselves) {
  const std::string name = terminal.node().filename();
  FolderWatch watch(loop.get_executor(), "/dev/pts", name);
  terminal.hang_up();
  EXPECT_TRUE(run(loop, watch.changed(1s)));
}

}  // namespace
}  // namespace armwise::link::waiting_test
