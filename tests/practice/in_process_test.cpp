#include "armwise/practice/in_process.hpp"

#include <gtest/gtest.h>

#include "armwise/base/fault.hpp"
#include "practice/far_side.hpp"
#include "practice/run_task.hpp"

namespace armwise::practice::in_process_test {
namespace {

using console::Received;
using namespace std::chrono_literals;

struct InProcess : testing::Test {
  void start(const std::string& name, MischiefPlan mischief = {}, LineHabits line_habits = {}) {
    profile = profile_named(name);
    port.emplace(profile, plain_craft(), mischief, short_listing());
    plug.emplace(*port, clock, line_habits);
    line = result_of(plug->open());
  }
  void write(const std::string& bytes) { run(line->write(bytes, 100ms)); }
  std::string read_all(Duration within = 50ms) {
    std::string all;
    while (true) {
      const Received received = result_of(line->read(within));
      last = received.status;
      if (received.status != Received::Status::data) return all;
      all += received.bytes;
    }
  }

  ManualClock clock;
  console::Profile profile;
  std::optional<PracticePort> port;
  std::optional<PracticePlug> plug;
  std::unique_ptr<console::Line> line;
  Received::Status last = Received::Status::quiet;
};

TEST_F(InProcess, ReadsWhatTheControllerSays) {
  start("tarn");
  EXPECT_EQ(line->name(), "/dev/ttyACM0");
  EXPECT_EQ(plug->identity(), "USB 1209:0001, serial number S77");
  EXPECT_EQ(read_all(), "practice board is up\r\ntarn> ");
  write("say hello\r\n");
  EXPECT_EQ(read_all(), "say hello\r\nsaid hello\r\ntarn> ");
}

TEST_F(InProcess, WindsTheClockWhileItWaits) {
  start("tarn");
  read_all(0ms);
  const Instant before = clock.now();
  EXPECT_EQ(result_of(line->read(700ms)).status, Received::Status::quiet);
  EXPECT_EQ(clock.now() - before, 700ms);
  write("say hello\r\n");
  EXPECT_EQ(result_of(line->read(700ms)).bytes, "say hello\r\n") << "the echo is there at once";
  EXPECT_EQ(clock.now() - before, 700ms);
  EXPECT_EQ(result_of(line->read(700ms)).bytes, "said hello\r\ntarn> ");
  EXPECT_EQ(clock.now() - before, 702ms) << "the answer takes the controller two milliseconds";
}

TEST_F(InProcess, GivesASingleByteAtATimeWhereAsked) {
  start("tarn", {}, {1, 4095});
  EXPECT_EQ(result_of(line->read(10ms)).bytes, "p");
  EXPECT_EQ(result_of(line->read(10ms)).bytes, "r");
  EXPECT_EQ(read_all(), "actice board is up\r\ntarn> ");
}

TEST_F(InProcess, ThrowsAwayWhatWasNotRead) {
  start("tarn");
  line->discard_input();
  EXPECT_EQ(read_all(), "");
}

TEST_F(InProcess, GoesAwayToRestartAndComesBackUnderAnotherName) {
  start("sedge");
  write("edit\nprops.outward = on\nsave = yes\n");
  EXPECT_TRUE(read_all(200ms).ends_with("save = done\n"));
  EXPECT_EQ(last, Received::Status::closed);
  EXPECT_THROW(write("edit\n"), Fault);
  line = result_of(plug->reopen(5000ms));
  EXPECT_EQ(line->name(), "/dev/ttyACM1");
  EXPECT_NE(plug->renamed().find("/dev/ttyACM0 is /dev/ttyACM1 now"), std::string::npos) << plug->renamed();
  write("edit\nprops.outward\n");
  EXPECT_TRUE(read_all().ends_with("props.outward = on\n# "));
}

TEST_F(InProcess, SaysWhichControllerNeverCameBack) {
  start("sedge", mischief_named("never-back", 1));
  write("edit\nsave = yes\n");
  try {
    result_of(plug->reopen(5000ms));
    FAIL() << "it came back";
  } catch (const Fault& fault) {
    EXPECT_EQ(fault.kind(), FaultKind::not_back);
    EXPECT_NE(fault.sentence().find("1209:0001, serial number S77"), std::string::npos) << fault.sentence();
  }
  EXPECT_EQ(clock.now(), 5000ms);
}

TEST_F(InProcess, SeesAMotorStartAndStop) {
  start("tarn");
  PortSight sight(*port, clock);
  EXPECT_TRUE(sight.turning().empty());
  write("spin motor 1 at 6 for 400\r\n");
  EXPECT_EQ(sight.turning(), (std::vector<Turning>{{"front-right", craft::Turn::ccw}}));
  EXPECT_TRUE(result_of(sight.change(1000ms)).empty());
  EXPECT_EQ(clock.now(), 400ms);
  EXPECT_TRUE(result_of(sight.change(1000ms)).empty()) << "nothing changes, so it waits it out";
  EXPECT_EQ(clock.now(), 1400ms);
}

TEST_F(InProcess, HandsCanReverseAMotorAndHoldTheCraft) {
  start("tarn");
  PortSight sight(*port, clock);
  run(sight.reverse("front-right"));
  write("spin motor 1 at 6 for 400\r\n");
  EXPECT_EQ(sight.turning(), (std::vector<Turning>{{"front-right", craft::Turn::cw}}));
  run(sight.hold("nose-up"));
  EXPECT_EQ(port->controller().craft().pose, "nose-up");
  EXPECT_THROW(run(sight.hold("on-its-head")), Fault);
  EXPECT_THROW(run(sight.reverse("middle")), Fault);
}

}  // namespace
}  // namespace armwise::practice::in_process_test
