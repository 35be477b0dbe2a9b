#include "armwise/console/profile_console.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <filesystem>
#include <memory>
#include <utility>
#include <vector>

#include "armwise/base/fault.hpp"
#include "armwise/console/whole_configuration.hpp"
#include "console/hand_controllers.hpp"
#include "support/hand_console.hpp"
#include "support/manual_clock.hpp"
#include "support/permits.hpp"
#include "support/scripted_plug.hpp"
#include "support/sworn.hpp"

namespace armwise::console::profile_console_test {
namespace {

using craft::Motor;
using craft::Pin;
using test::run;

Profile fixture(const std::string& name) {
  return load_profile_file(std::filesystem::path(ARMWISE_FIXTURES) / "profiles" / (name + ".json"));
}

const SpinPermit spin_permit = test::sworn_permit();
const TellUnstopped nobody;
const MayKeep keep_permit = test::keep_permit();

solve::Change put(int motor, const std::string& pin) {
  return {solve::SetMap{{solve::MapWrite::Kind::put, Motor{motor}, Pin{pin}}, Pin{}}, "because"};
}
solve::Change freed(int motor, const std::string& pin) {
  return {solve::SetMap{{solve::MapWrite::Kind::free, Motor{motor}, Pin{pin}}, Pin{}}, "because"};
}
solve::Change turned(int motor, const std::string& pin, craft::Turn to) {
  return {solve::SetTurn{Motor{motor}, Pin{pin}, solve::TurnKey::motor, craft::opposite(to), to}, "because"};
}
solve::Change mounted(craft::YawPitchRoll to) {
  return {solve::SetMount{{}, to}, "because"};
}
std::vector<std::string> pins_of(const solve::Snapshot& snapshot) {
  std::vector<std::string> names;
  for (const Pin& pin : snapshot.map.pins) names.push_back(pin.name);
  return names;
}

template <typename Action>
Fault fault_of(Action action) {
  try {
    action();
  } catch (const Fault& fault) {
    return fault;
  }
  ADD_FAILURE() << "no fault";
  return Fault(FaultKind::internal, "none");
}

// A hand-written controller on a scripted line, and the console that speaks to it.
template <typename Controller>
struct On {
  explicit On(const std::string& profile, std::size_t chunk_size = 1000)
      : far_side([this](const std::string& command) { return controller.answer(command); }),
        plug(clock, far_side),
        console(plug, fixture(profile), clock, sentry) {
    plug.chunk_size = chunk_size;
    far_side.prompt = fixture(profile).open.prompt;
    if (fixture(profile).open.line_ending == LineEnding::lf) far_side.ends_command = "\n";
  }
  void open() { run(console.open()); }
  void apply(const solve::Change& change) {
    run(console.apply(change, test::write_permit(console.lines_for(change))));
  }
  // The port goes away with the answer to this command.
  void goes_away_on(const std::string& command) {
    far_side.before_answering = [this, command] {
      if (far_side.commands.back() == command) plug.line->closed = true;
    };
  }
  int next() const { return static_cast<int>(far_side.commands.size()) + 1; }
  auto count(const std::string& command) const {
    return std::count(far_side.commands.begin(), far_side.commands.end(), command);
  }

  Controller controller;
  test::ManualClock clock;
  test::HandConsole far_side;
  test::ScriptedPlug plug;
  test::NotingSentry sentry;
  ProfileConsole console;
};

// It reads numbers as far as they go, and so takes half a spin, spoiler and all, for a whole one.
TEST(HalfAnOrder, ToSpinIsStoppedAtOnceWhereAConsoleTakesItAllTheSame) {
  On<test::Tarn> lenient("tarn");
  lenient.far_side.type("spin motor 2 at 6 for 300");
  int turned = 0;
  lenient.far_side.before_answering = [&] { turned = std::max(turned, lenient.controller.turning); };
  lenient.open();
  ASSERT_GE(lenient.far_side.commands.size(), 2U);
  EXPECT_EQ(lenient.far_side.commands[0], "spin motor 2 at 6 for 300qzqz");
  EXPECT_EQ(lenient.far_side.commands[1], "halt every motor");
  EXPECT_EQ(turned, 2);
  EXPECT_EQ(lenient.controller.turning, 0);
}

// The line takes all but the line end, or less, and then nothing for a while; what is sent next ends it.
TEST(HalfAnOrder, ToSpinOfWhichTheLineTookOnlyAPartIsNotCompletedByWhatIsSentNext) {
  const std::string order = "spin motor 2 at 6 for 1200";
  for (std::size_t taken = 0; taken < order.size(); ++taken) {
    On<test::Tarn> half("tarn");
    half.open();
    half.plug.line->takes_at_most = taken;
    const Fault fault = fault_of([&] { run(half.console.spin(Motor{2}, 6, Duration{1200}, spin_permit)); });
    EXPECT_EQ(fault.kind(), FaultKind::no_reply);
    half.plug.line->takes_at_most = 1000;
    run(half.console.stop_all(nobody));
    for (const std::string& command : half.far_side.commands)
      EXPECT_TRUE(!command.starts_with("spin") || command.ends_with("qzqz")) << command;
    EXPECT_EQ(half.controller.turning, 0) << taken;
  }
}

TEST(HalfAnOrder, ToWriteIsNotCompletedByTheQuestionBehindIt) {
  On<test::Tarn> half("tarn");
  half.open();
  half.plug.line->takes_at_most = std::string("wire motor 2 to P3").size();
  half.far_side.before_answering = [&] { half.plug.line->takes_at_most = 1000; };
  EXPECT_THROW(half.apply(put(2, "P3")), Fault);
  EXPECT_EQ(half.controller.running.pin[2], "P2");
}

class OnTarn : public testing::TestWithParam<std::size_t>, public On<test::Tarn> {
 protected:
  OnTarn() : On("tarn", GetParam()) { open(); }
};

TEST_P(OnTarn, ReadsWhatThereIs) {
  const Identity identity = run(console.identify());
  EXPECT_EQ(identity.in_words(), "moss7 with fenware 3.2, serial number 0042 (scripted port)");
  const solve::Snapshot snapshot = run(console.snapshot(4));
  EXPECT_EQ(pins_of(snapshot), (std::vector<std::string>{"P1", "P2", "P3", "P4"}));
  EXPECT_EQ(snapshot.props, craft::PropScheme::in);
  EXPECT_EQ(snapshot.turns, std::vector<craft::Turn>(4, craft::Turn::cw));
  EXPECT_EQ(snapshot.turn_key, solve::TurnKey::motor);
  EXPECT_EQ(snapshot.mount, (craft::YawPitchRoll{0, 0, 0}));
  EXPECT_NEAR(run(console.sense()).z, -0.99, 1e-12);
  EXPECT_EQ(configuration_lines(run(console.whole_configuration())).size(), 10U);
}

TEST_P(OnTarn, WritesAndReadsBack) {
  apply(put(2, "P3"));
  apply(turned(1, "P1", craft::Turn::ccw));
  apply({solve::SetProps{craft::PropScheme::in, craft::PropScheme::out}, "because"});
  apply(mounted({90, 0, 180}));
  EXPECT_EQ(controller.running.pin[2], "P3");
  EXPECT_EQ(controller.running.turn[1], "flipped");
  EXPECT_EQ(controller.running.props, "outward");
  EXPECT_EQ(controller.running.yaw + " " + controller.running.roll, "90 180");
}

TEST_P(OnTarn, SendsTheVeryLinesThatItShows) {
  for (const solve::Change& change :
       {put(2, "P5"), turned(3, "P3", craft::Turn::ccw), mounted({-90, 0, 0})}) {
    const std::vector<std::string> lines = console.lines_for(change);
    const auto before = far_side.commands.size();
    apply(change);
    ASSERT_EQ(lines.size(), 1U);
    EXPECT_EQ(far_side.commands.at(before), lines.front());
  }
}

TEST_P(OnTarn, SendsNoLineThatWasNotAgreedTo) {
  const MayWrite other = test::write_permit(console.lines_for(put(2, "P5")));
  const auto before = far_side.commands.size();
  const Fault fault = fault_of([&] { run(console.apply(put(2, "P3"), other)); });
  EXPECT_EQ(fault.kind(), FaultKind::internal);
  const MayPlay played = test::play_permit({"wire motor 2 to P5"});
  EXPECT_EQ(fault_of([&] { run(console.play("wire motor 2 to P3", played)); }).kind(), FaultKind::internal);
  EXPECT_EQ(far_side.commands.size(), before);
}

TEST_P(OnTarn, SaysWhatTheConsoleRefused) {
  const Fault fault = fault_of([&] { apply(put(2, "P99")); });
  EXPECT_EQ(fault.kind(), FaultKind::refused);
  EXPECT_EQ(fault.sentence(),
            "The console refused \"wire motor 2 to P99\". It said: \"no: no such motor or pin\".");
}

// An empty line may be a yes, and so may the next command.
TEST_P(OnTarn, AQuestionThatNobodyExpectedIsAnsweredByWhatIsNoAnswer) {
  const int asked = next();
  far_side.instead[asked] = "wire motor 2 to P3\r\nMotor 3 is on P3. Swap them? ";
  EXPECT_THROW(apply(put(2, "P3")), Fault);
  ASSERT_GT(far_side.commands.size(), static_cast<std::size_t>(asked));
  EXPECT_EQ(far_side.commands.at(static_cast<std::size_t>(asked)), "qzqz");
}

TEST_P(OnTarn, NoticesWhatIsAcceptedButNotStored) {
  controller.stores_nothing = true;
  const Fault fault = fault_of([&] { apply(put(2, "P3")); });
  EXPECT_EQ(fault.kind(), FaultKind::mismatch);
  EXPECT_EQ(fault.happened(), "the pin of motor 2 was written as P3 but reads back as P2");
}

TEST_P(OnTarn, NoticesAClampedValue) {
  controller.clamps_yaw = true;
  const Fault fault = fault_of([&] { apply(mounted({90, 0, 0})); });
  EXPECT_EQ(fault.kind(), FaultKind::mismatch);
  EXPECT_EQ(
      fault.happened(),
      "the mount was written as yaw 90.00, pitch 0.00, roll 0.00 but reads back as yaw 45.00, pitch 0.00, "
      "roll 0.00");
}

TEST_P(OnTarn, NoticesAnAnswerAboutAnotherMotor) {
  controller.confirms_another = true;
  const Fault fault = fault_of([&] { apply(put(2, "P3")); });
  EXPECT_EQ(fault.kind(), FaultKind::mismatch);
  EXPECT_EQ(fault.sentence(),
            "The console confirmed something else than \"wire motor 2 to P3\". It said: \"motor 3 now drives "
            "P3\".");
}

TEST_P(OnTarn, LetsTheReadBackDecideWhereTheReplyIsLost) {
  far_side.unsaid = {next()};
  apply(put(2, "P6"));
  EXPECT_EQ(count("wire motor 2 to P6"), 1);
}

TEST_P(OnTarn, NeverSendsAWriteTwice) {
  far_side.instead[next()] = "garb";
  const Fault fault = fault_of([&] { apply(put(2, "P3")); });
  EXPECT_EQ(fault.kind(), FaultKind::no_reply);
  EXPECT_NE(fault.why().find("Asked again: the pin of motor 2 was written as P3 but reads back as P2"),
            std::string::npos)
      << fault.sentence();
  EXPECT_EQ(count("wire motor 2 to P3"), 1);
}

TEST_P(OnTarn, AsksAgainWhereAReplyIsLost) {
  far_side.instead[next()] = "tell wiring\r\nmotor 1 drives P";
  EXPECT_EQ(pins_of(run(console.snapshot(4))).front(), "P1");
}

TEST_P(OnTarn, RefusesAListThatIsNotWhole) {
  controller.leaves_out = 3;
  Fault fault = fault_of([&] { run(console.snapshot(4)); });
  EXPECT_EQ(fault.kind(), FaultKind::unreadable);
  EXPECT_EQ(fault.happened(), "while reading which pin drives each motor: the map does not list motor 3");
  controller.leaves_out = 0;
  controller.extra_lines = "motor 2 drives P8\n";
  fault = fault_of([&] { run(console.snapshot(4)); });
  EXPECT_EQ(fault.happened(), "while reading which pin drives each motor: the map lists motor 2 twice");
  controller.extra_lines = "";
  controller.running.pin[3] = "P1";
  fault = fault_of([&] { run(console.snapshot(4)); });
  EXPECT_EQ(fault.happened(),
            "while reading which pin drives each motor: the map has motor 1 and motor 3 on pin P1");
  EXPECT_EQ(pins_of(run(console.snapshot_as_left(4))), (std::vector<std::string>{"P1", "P2", "P1", "P4"}));
  EXPECT_EQ(fault_of([&] { run(console.snapshot(6)); }).kind(), FaultKind::unreadable);
}

// Items that do not name their motor are counted from the start of each line: counted on, a line that came
// twice would list motors that there are not, and be passed over.
TEST(ListOfItems, ThatCameTwiceIsRefused) {
  Profile profile = fixture("tarn");
  profile.map->list.lines = {Template::parse("pads {items}")};
  profile.map->list.item = Template::parse("{pin}");
  std::string pads = "pads P1 P2 P3 P4\n";
  test::Tarn tarn;
  test::HandConsole far_side(
      [&](const std::string& command) { return command == "tell wiring" ? pads : tarn.answer(command); });
  far_side.prompt = profile.open.prompt;
  test::ManualClock clock;
  test::ScriptedPlug plug(clock, far_side);
  test::NotingSentry sentry;
  ProfileConsole console(plug, profile, clock, sentry);
  run(console.open());
  EXPECT_EQ(pins_of(run(console.snapshot(4))), (std::vector<std::string>{"P1", "P2", "P3", "P4"}));
  pads += pads;
  const Fault fault = fault_of([&] { run(console.snapshot(4)); });
  EXPECT_EQ(fault.happened(), "while reading which pin drives each motor: the map lists motor 1 twice");
}

// Letters are taken without case, so two spellings of a pin passed for two pins.
TEST_P(OnTarn, RefusesAPinOnTwoMotorsHoweverItIsSpelt) {
  controller.running.pin[3] = "p1";
  const Fault fault = fault_of([&] { run(console.snapshot(4)); });
  EXPECT_EQ(fault.kind(), FaultKind::unreadable);
  EXPECT_EQ(fault.happened(),
            "while reading which pin drives each motor: the map has motor 1 and motor 3 on pin p1");
}

TEST_P(OnTarn, SpinsUnderWatchAndStops) {
  run(console.spin(Motor{3}, 6, Duration{1200}, spin_permit));
  EXPECT_EQ(controller.turning, 3);
  EXPECT_EQ(controller.strength + " " + controller.milliseconds, "6 1200");
  run(console.stop_all(nobody));
  EXPECT_EQ(controller.turning, 0);
  EXPECT_EQ(sentry.told, (std::vector<std::string>{"turning 3200", "stopping", "stopped"}));
}

TEST_P(OnTarn, SpinsNothingWhereNobodyWatches) {
  sentry.nobody_watches = true;
  EXPECT_EQ(fault_of([&] { run(console.spin(Motor{3}, 6, Duration{1200}, spin_permit)); }).kind(),
            FaultKind::unsafe);
  EXPECT_EQ(controller.turning, 0);
}

TEST_P(OnTarn, SpinsNoStrongerThanTheProfileAllows) {
  EXPECT_EQ(fault_of([&] { run(console.spin(Motor{3}, 60, Duration{1200}, spin_permit)); }).kind(),
            FaultKind::refused);
  EXPECT_EQ(controller.turning, 0);
}

TEST_P(OnTarn, RepeatsAStopThatWasSwallowed) {
  run(console.spin(Motor{3}, 6, Duration{1200}, spin_permit));
  far_side.instead[next()] = "";
  far_side.instead[next() + 1] = "";
  run(console.stop_all(nobody));
  EXPECT_EQ(controller.turning, 0);
  EXPECT_EQ(sentry.told.back(), "stopped");
}

TEST_P(OnTarn, SaysThatAMotorMayBeTurning) {
  run(console.spin(Motor{3}, 6, Duration{1200}, spin_permit));
  controller.spins_on = true;
  const Fault fault = fault_of([&] { run(console.stop_all(nobody)); });
  EXPECT_EQ(fault.kind(), FaultKind::unsafe);
  EXPECT_GE(count("halt every motor"), 3);
  EXPECT_EQ(sentry.told.back(), "stopping");
}

// A defect found: the answer to a spin was waited for first, and the time that the motor turned began only
// then; nobody could stop it by a key meanwhile, and the guard stepped in.
TEST_P(OnTarn, DoesNotWaitForALateAnswerWhileAMotorTurns) {
  far_side.late[next()] = Duration{700};
  const auto before = count("halt every motor");
  const Instant start = clock.now();  // it repeats whole lines: 200 ms go by in which nothing turns
  run(console.spin(Motor{3}, 6, Duration{1200}, spin_permit));
  EXPECT_EQ(controller.turning, 3);
  EXPECT_EQ(clock.now() - start, Duration{450});
  Instant halted{0};
  far_side.before_answering = [&] {
    if (halted == Instant{0} && far_side.commands.back() == "halt every motor") halted = clock.now();
  };
  run(console.stop_all(nobody));
  EXPECT_EQ(halted - start, Duration{450});
  EXPECT_EQ(controller.turning, 0);
  EXPECT_EQ(count("halt every motor"), before + 1);
  EXPECT_FALSE(console.late_trouble());
  EXPECT_EQ(sentry.told, (std::vector<std::string>{"turning 3200", "stopping", "stopped"}));
  EXPECT_EQ(pins_of(run(console.snapshot(4))), (std::vector<std::string>{"P1", "P2", "P3", "P4"}));
}

TEST_P(OnTarn, ARefusalThatComesLateIsSaidAfterTheStop) {
  for (const bool echo : {true, false}) {
    far_side.echo = echo;
    run(console.snapshot(4));  // in step
    far_side.late[next()] = Duration{700};
    far_side.instead[next()] =
        std::string(echo ? "spin motor 3 at 6 for 1200\r\n" : "") + "no: not now\r\ntarn> ";
    run(console.spin(Motor{3}, 6, Duration{1200}, spin_permit));
    run(console.stop_all(nobody));
    ASSERT_TRUE(console.late_trouble()) << echo;
    EXPECT_EQ(console.late_trouble()->kind(), FaultKind::refused);
    EXPECT_NE(console.late_trouble()->why().find("no: not now"), std::string::npos);
    EXPECT_EQ(sentry.told.back(), "stopped");
  }
}

TEST_P(OnTarn, AnAnswerToASpinThatNeverComesLeavesTheStopSure) {
  far_side.unsaid.insert(next());
  run(console.spin(Motor{3}, 6, Duration{1200}, spin_permit));
  EXPECT_EQ(controller.turning, 3);
  run(console.stop_all(nobody));
  EXPECT_EQ(controller.turning, 0);
  EXPECT_EQ(sentry.told.back(), "stopped");
  ASSERT_TRUE(console.late_trouble());
  EXPECT_EQ(console.late_trouble()->kind(), FaultKind::unreadable);
  EXPECT_EQ(pins_of(run(console.snapshot(4))), (std::vector<std::string>{"P1", "P2", "P3", "P4"}));
}

// What is written at once is swallowed: the word that spoils, and the stop behind it.
TEST_P(OnTarn, AStopThatWasSwallowedBehindALateAnswerIsSaidAgain) {
  far_side.late[next()] = Duration{700};
  run(console.spin(Motor{3}, 6, Duration{1200}, spin_permit));
  far_side.instead[next()] = "";
  far_side.instead[next() + 1] = "";
  run(console.stop_all(nobody));
  EXPECT_EQ(controller.turning, 0);
  EXPECT_EQ(sentry.told.back(), "stopped");
  EXPECT_FALSE(console.late_trouble());
}

// It tells with each spin that it halted the others before; and it tells so later than an answer may take.
TEST_P(OnTarn, AnAnswerToTheSpinIsNotTakenForThatToTheStop) {
  far_side.late[next()] = Duration{1800};
  far_side.instead[next()] =
      "spin motor 3 at 6 for 1200\r\nevery motor halted\r\nmotor 3 spins at 6\r\ntarn> ";
  for (int lost = 1; lost <= 6; ++lost) far_side.instead[next() + lost] = "";
  run(console.spin(Motor{3}, 6, Duration{1200}, spin_permit));
  controller.turning = 3;
  run(console.stop_all(nobody));
  EXPECT_EQ(controller.turning, 0);
  EXPECT_EQ(sentry.told.back(), "stopped");
}

// The same where it repeats at once what it reads, and answers between the echoes.
TEST_P(OnTarn, AnAnswerToTheSpinAmongTheEchoesOfTheStopIsNotTakenForThatToTheStop) {
  far_side.instead[next()] = "spin motor 3 at 6 for 1200\r\n";
  far_side.instead[next() + 1] = "qzqz\r\n";
  far_side.instead[next() + 2] = "halt every motor\r\n";
  far_side.instead[next() + 3] = "every motor halted\r\nmotor 3 spins at 6\r\ntarn> ";
  far_side.instead[next() + 4] = "";
  run(console.spin(Motor{3}, 6, Duration{1200}, spin_permit));
  controller.turning = 3;
  run(console.stop_all(nobody));
  EXPECT_EQ(controller.turning, 0);
  EXPECT_FALSE(console.late_trouble()) << console.late_trouble()->sentence();
}

// However late a console is, the guard is not held back longer than this.
TEST_P(OnTarn, TheGuardIsHeldBackForTenSecondsAtMost) {
  Profile slow = fixture("tarn");
  slow.timing.reply = Duration{60'000};
  ProfileConsole patient(plug, slow, clock, sentry);
  run(patient.open());
  far_side.late[next()] = Duration{700};
  run(patient.spin(Motor{3}, 6, Duration{1200}, spin_permit));
  run(patient.stop_all(nobody));
  EXPECT_EQ(sentry.told, (std::vector<std::string>{"turning 11200", "stopping", "stopped"}));
}

TEST_P(OnTarn, StopsFirstAfterTheLineWasLostInMidSpin) {
  run(console.spin(Motor{3}, 6, Duration{1200}, spin_permit));
  plug.line->closed = true;
  EXPECT_TRUE(run(console.stop_all(nobody)));  // on the line that came back
  EXPECT_TRUE(plug.line->written.starts_with("qzqz\r\nhalt every motor\r\n")) << plug.line->written;
  EXPECT_EQ(controller.turning, 0);
}

TEST_P(OnTarn, KeepsAndComesBack) {
  apply(put(2, "P6"));
  goes_away_on("start over");
  EXPECT_TRUE(run(console.keep_and_restart(keep_permit)));
  EXPECT_EQ(console.saved(), Saved::acknowledged);
  EXPECT_TRUE(controller.restarted);
  EXPECT_EQ(plug.reopened, 1);
  EXPECT_EQ(console.renamed(), "it is now /dev/scripted1");
  EXPECT_EQ(pins_of(run(console.snapshot(4)))[1], "P6");
}

TEST_P(OnTarn, SaysThatNothingWasKept) {
  controller.keep_fails = true;
  const Fault fault = fault_of([&] { run(console.keep_and_restart(keep_permit)); });
  EXPECT_EQ(fault.kind(), FaultKind::refused);
  EXPECT_EQ(fault.why(), "It said: \"no: the store is locked\"");
  EXPECT_FALSE(controller.restarted);
}

TEST_P(OnTarn, SaysWhoNeverCameBack) {
  goes_away_on("start over");
  plug.never_back = true;
  EXPECT_EQ(fault_of([&] { run(console.keep_and_restart(keep_permit)); }).kind(), FaultKind::not_back);
}

TEST_P(OnTarn, WaitsForAConsoleThatIsSlowToStart) {
  far_side.before_answering = [&] {
    if (far_side.commands.back() == "start over") plug.line->closed = true;
    if (controller.restarted) far_side.silent = clock.now() < Duration{12'000};
  };
  EXPECT_TRUE(run(console.keep_and_restart(keep_permit)));
  EXPECT_EQ(pins_of(run(console.snapshot(4))).size(), 4U);
}

TEST_P(OnTarn, GivesUpAConsoleThatStaysSilent) {
  far_side.before_answering = [&] {
    if (far_side.commands.back() == "start over") plug.line->closed = true;
    far_side.silent = controller.restarted;
  };
  const Fault fault = fault_of([&] { run(console.keep_and_restart(keep_permit)); });
  EXPECT_EQ(fault.kind(), FaultKind::not_back);
  EXPECT_LT(clock.now(), Duration{60'000});
}

TEST_P(OnTarn, ForgetsByARestart) {
  apply(put(2, "P6"));
  goes_away_on("start over");
  EXPECT_TRUE(run(console.restart_without_keeping()));
  EXPECT_EQ(pins_of(run(console.snapshot(4)))[1], "P2");
}

// A defect found: a restart was believed wherever one had been ordered.
TEST_P(OnTarn, SaysThatNoRestartWasSeen) {
  EXPECT_FALSE(run(console.keep_and_restart(keep_permit)));
  EXPECT_EQ(console.saved(), Saved::acknowledged);
  EXPECT_FALSE(run(console.restart_without_keeping()));
  EXPECT_FALSE(run(console.see_restart()));
}

// The port stays: no prompt behind the order, then the banner, then the prompt by itself.
TEST_P(OnTarn, SeesARestartOnTheSamePort) {
  far_side.late[next() + 1] = Duration{2500};
  far_side.instead[next() + 1] = "start over\r\nfenware 3.2\r\ntarn> ";
  EXPECT_TRUE(run(console.keep_and_restart(keep_permit)));
  EXPECT_EQ(plug.reopened, 0);
  EXPECT_EQ(count("start over"), 1);
  EXPECT_EQ(pins_of(run(console.snapshot(4))).size(), 4U);
}

TEST_P(OnTarn, SeesAQuickRestartOnTheSamePortByThePauseAndTheBanner) {
  far_side.late[next() + 1] = Duration{600};
  far_side.instead[next() + 1] = "start over\r\nfenware 3.2\r\ntarn> ";
  EXPECT_TRUE(run(console.keep_and_restart(keep_permit)));
  EXPECT_EQ(count("start over"), 1);
}

TEST_P(OnTarn, TakesALateRefusalOfTheRestartForNone) {
  for (const int order : {1, 2}) {
    far_side.late[next() + order] = Duration{1500};
    far_side.instead[next() + order] = "start over\r\nno: not now\r\ntarn> ";
  }
  EXPECT_FALSE(run(console.keep_and_restart(keep_permit)));
}

// Its start-up is not typed into once the motors are known to stand still; before that the stop goes first.
TEST_P(OnTarn, ListensToTheStartUpUnlessAMotorMayBeTurning) {
  const auto reopened_at = [&] {
    far_side.commands.clear();
    const Instant began = clock.now();
    Instant typed{0};
    far_side.before_answering = [&] {
      if (typed == Instant{0}) typed = clock.now();
    };
    run(console.reopen());
    far_side.before_answering = nullptr;
    return typed - began;
  };
  EXPECT_LT(reopened_at(), Duration{2000}) << "no stop was acknowledged yet";
  run(console.stop_all(nobody));
  EXPECT_GE(reopened_at(), fixture("tarn").timing.start) << "its prompt did not come by itself";
  run(console.spin(Motor{3}, 6, Duration{1200}, spin_permit));
  EXPECT_LT(reopened_at(), Duration{2000}) << "a motor may be turning";
  EXPECT_EQ(far_side.commands.at(1), "halt every motor");
}

// A defect found: what was typed into the start-up of a controller that was waited for stopped it in its
// loader.
TEST_P(OnTarn, ListensToTheStartUpOfAControllerThatWasOnlyJustPluggedIn) {
  const auto typed_after = [&] {
    const Instant began = clock.now();
    Instant typed{0};
    far_side.before_answering = [&] {
      if (typed == Instant{0}) typed = clock.now();
    };
    run(console.open());
    far_side.before_answering = nullptr;
    return typed - began;
  };
  EXPECT_LT(typed_after(), Duration{2000});
  console.hear_start_first();
  EXPECT_GE(typed_after(), fixture("tarn").timing.start) << "its prompt did not come by itself";
  EXPECT_LT(typed_after(), Duration{2000}) << "it is up by now";
  run(console.spin(Motor{3}, 6, Duration{1200}, spin_permit));
  console.hear_start_first();
  EXPECT_LT(typed_after(), Duration{2000}) << "a motor may be turning";
  run(console.stop_all(nobody));
}

// A defect found: the question was taken for a lost reply, and an empty line sent to it.
TEST_P(OnTarn, GetsOutOfAQuestionThatASaveLeavesOpenAndSaysSo) {
  bool asking = false, written = false;
  std::vector<std::string> answered;
  test::HandConsole asks([&](const std::string& command) -> std::string {
    if (std::exchange(asking, false)) {
      written = written || command.starts_with("y");
      return "nothing written\n";
    }
    asking = command == "keep it";
    return asking ? "write them? y/n " : controller.answer(command);
  });
  asks.answer_gives_prompt = [&] { return asking ? std::string() : std::string("tarn> "); };
  asks.before_answering = [&] {
    if (asking) answered.push_back(asks.commands.back());
  };
  test::ScriptedPlug asking_plug(clock, asks);
  asking_plug.chunk_size = GetParam();
  for (const bool confirms : {true, false}) {
    Profile spoken = fixture("tarn");
    if (!confirms) spoken.keep->keep.confirms.reset();
    ProfileConsole asked(asking_plug, spoken, clock, sentry);
    run(asked.open());
    const Fault fault = fault_of([&] { run(asked.keep_and_restart(keep_permit)); });
    EXPECT_EQ(fault.kind(), FaultKind::left_changed);
    EXPECT_NE(fault.happened().find("\"write them? y/n\""), std::string::npos) << fault.sentence();
    EXPECT_EQ(asked.saved(), Saved::unknown);
    EXPECT_EQ(pins_of(run(asked.snapshot(4))).size(), 4U) << "it is out of the question";
  }
  EXPECT_FALSE(written);
  ASSERT_FALSE(answered.empty());
  for (const std::string& answer : answered) EXPECT_EQ(answer, "qzqz");
}

INSTANTIATE_TEST_SUITE_P(Chunks, OnTarn, testing::Values(1U, 5U, 1000U));

class OnFell : public testing::TestWithParam<std::size_t>, public On<test::Fell> {
 protected:
  OnFell() : On("fell", GetParam()) {
    far_side.answer_gives_prompt = [this] { return controller.at; };
  }
};

TEST_P(OnFell, ReadsAndWritesAMapKeptByPin) {
  controller.at = "which pin> ";  // left in the middle of a menu
  open();
  const solve::Snapshot before = run(console.snapshot(4));
  EXPECT_EQ(pins_of(before), (std::vector<std::string>{"P1", "P2", "P3", "P4"}));
  EXPECT_EQ(before.turn_key, solve::TurnKey::not_settable);
  EXPECT_FALSE(before.props);
  apply(put(1, "P5"));
  apply(freed(1, "P1"));
  EXPECT_EQ(controller.motor_on["P5"] + controller.motor_on["P1"], "101nobody");
  apply(mounted({-90, 0, 180}));
  EXPECT_EQ(controller.picture, "8");
  EXPECT_EQ(console.lines_for(put(1, "P5")), (std::vector<std::string>{"1", "2", "P5", "101", "0"}));
}

TEST_P(OnFell, SpinsInMicroseconds) {
  open();
  run(console.spin(Motor{2}, 1060, Duration{1000}, spin_permit));
  EXPECT_EQ(controller.motor + " " + controller.pulse, "102 1060");
  run(console.stop_all(nobody));
  EXPECT_FALSE(controller.turning);
}

TEST_P(OnFell, GoesBackToTheTopAfterAFailureInMidMenu) {
  open();
  const Fault fault = fault_of([&] { apply(put(1, "P77")); });
  EXPECT_EQ(fault.kind(), FaultKind::refused);
  EXPECT_EQ(fault.why(), "It said: \"not possible: there is no pin P77\"");
  EXPECT_EQ(controller.at, "choice> ");
  EXPECT_EQ(pins_of(run(console.snapshot(4))).size(), 4U);
}

TEST_P(OnFell, RefusesAMotorThatIsOnNoPin) {
  open();
  controller.motor_on["P2"] = "nobody";
  EXPECT_EQ(fault_of([&] { run(console.snapshot(4)); }).happened(),
            "while reading which pin drives each motor: the map does not list motor 2");
  EXPECT_EQ(pins_of(run(console.snapshot_as_left(4))), (std::vector<std::string>{"P1", "", "P3", "P4"}));
}

TEST_P(OnFell, SaysThatThereIsNoCodeForAMount) {
  open();
  const Fault fault = fault_of([&] { console.lines_for(mounted({30, 0, 0})); });
  EXPECT_EQ(
      fault.sentence(),
      "The console has no code for this mount. The nearest, 9, is 15 degrees off. Mount the board another "
      "way, or set the mount by other means.");
}
INSTANTIATE_TEST_SUITE_P(Chunks, OnFell, testing::Values(1U, 5U, 1000U));

class OnSedge : public testing::TestWithParam<std::size_t>, public On<test::Sedge> {
 protected:
  OnSedge() : On("sedge", GetParam()) { open(); }
};

TEST_P(OnSedge, CountsMotorsFromZeroAndPassesOverLamps) {
  const solve::Snapshot snapshot = run(console.snapshot(4));
  EXPECT_EQ(pins_of(snapshot), (std::vector<std::string>{"P1", "P2", "P3", "P4"}));
  EXPECT_EQ(snapshot.turns[2], craft::Turn::ccw);
  EXPECT_EQ(snapshot.turn_key, solve::TurnKey::pin);
}

TEST_P(OnSedge, FreesAPinBeforeItIsGivenAway) {
  EXPECT_EQ(fault_of([&] { apply(put(1, "P2")); }).why(), "It said: \"!! P2 is taken by output.1\"");
  apply(freed(2, "P2"));
  EXPECT_EQ(pins_of(run(console.snapshot(4)))[1], "");
  apply(put(1, "P2"));
  apply(put(2, "P1"));
  EXPECT_EQ(pins_of(run(console.snapshot(4))), (std::vector<std::string>{"P2", "P1", "P3", "P4"}));
}

TEST_P(OnSedge, SetsTenthsOneByOneAndTurnsByPin) {
  apply(mounted({90, 0, -45}));
  EXPECT_EQ(controller.value["mount.yaw"] + " " + controller.value["mount.roll"], "900 -450");
  apply(turned(4, "P4", craft::Turn::ccw));
  EXPECT_EQ(controller.value["direction.P4"], "reversed");
}

// Readings in m/s2 whose axes are y, x and -z of ours; 9.80665 m/s2 is 1 g by definition (CGPM 1901).
TEST_P(OnSedge, PutsReadingsOnOurAxes) {
  const SenseReading reading = run(console.sense());
  EXPECT_NEAR(reading.x, 0.2 / 9.80665, 1e-12);
  EXPECT_NEAR(reading.y, 0.1 / 9.80665, 1e-12);
  EXPECT_NEAR(reading.z, -9.8 / 9.80665, 1e-12);
}

// It may only have been unplugged for a moment, with the order on its way: so the order is given again.
TEST_P(OnSedge, KeepsAgainWhereTheReplyToKeepIsLost) {
  far_side.before_answering = [&] {
    if (far_side.commands.back() == "save = yes") plug.line->closed = true;
  };
  far_side.instead[next()] = "";
  run(console.keep_and_restart(keep_permit));
  EXPECT_EQ(plug.reopened, 2);
  EXPECT_EQ(pins_of(run(console.snapshot(4))).size(), 4U);
}

TEST_P(OnSedge, KeepsOnceWhereTheConfirmationComesJustBeforeThePortGoes) {
  goes_away_on("save = yes");
  EXPECT_TRUE(run(console.keep_and_restart(keep_permit)));
  EXPECT_EQ(count("save = yes"), 1);
  EXPECT_EQ(console.saved(), Saved::acknowledged);
}

// A defect found: without words that the profile knows, it was kept and restarted twice.
TEST_P(OnSedge, KeepsOnceWhereItSaysSomethingAndGoes) {
  goes_away_on("save = yes");
  Profile wordless = fixture("sedge");
  wordless.keep->keep.confirms.reset();
  ProfileConsole spoken(plug, wordless, clock, sentry);
  run(spoken.open());
  EXPECT_TRUE(run(spoken.keep_and_restart(keep_permit)));
  EXPECT_EQ(count("save = yes"), 1);
  EXPECT_EQ(spoken.saved(), Saved::taken);
}

INSTANTIATE_TEST_SUITE_P(Chunks, OnSedge, testing::Values(1U, 5U, 1000U));

class OnBrook : public testing::TestWithParam<std::size_t>, public On<test::Brook> {
 protected:
  OnBrook() : On("brook", GetParam()) {
    far_side.echo = false;
    open();
  }
};

// Radians: a number that is one as it stands, but none once it is made degrees.
TEST_P(OnBrook, RefusesANumberThatOverflowsOnceItIsScaled) {
  controller.yaw = "1e308";
  const Fault fault = fault_of([&] { run(console.snapshot(4)); });
  EXPECT_EQ(fault.kind(), FaultKind::unreadable);
  EXPECT_EQ(fault.happened(), "while reading the set mount: the yaw reads \"1e308\", which is no number");
}

TEST_P(OnBrook, ReadsListsOnOneLineAndAsksForEachTurn) {
  const solve::Snapshot snapshot = run(console.snapshot(4));
  EXPECT_EQ(pins_of(snapshot), (std::vector<std::string>{"J1", "J2", "J3", "J4"}));
  EXPECT_EQ(snapshot.turns[1], craft::Turn::ccw);
  EXPECT_EQ(snapshot.props, craft::PropScheme::in);
  EXPECT_EQ(count("turn 2"), 1);
}

TEST_P(OnBrook, NoticesAnAnswerAboutAnotherMotor) {
  controller.answers_for_another = true;
  const Fault fault = fault_of([&] { run(console.snapshot(4)); });
  EXPECT_EQ(fault.kind(), FaultKind::unreadable);
  EXPECT_EQ(fault.happened(),
            "while reading which way motor 1 is set to turn: the turns do not list motor 1");
}

TEST_P(OnBrook, WritesRadiansWithItsOwnSigns) {
  apply(mounted({90, 0, 45}));
  EXPECT_EQ(controller.yaw + " " + controller.roll,
            "-1.57080 0.78540");  // -pi/2: yaw counts the other way round; pi/4
}

// Gravity in mg, level +1000 down: as specific force in g it is -1.
TEST_P(OnBrook, TurnsGravityIntoSpecificForce) {
  const SenseReading reading = run(console.sense());
  EXPECT_NEAR(reading.z, -0.99, 1e-12);
  ASSERT_TRUE(reading.gyro);
  EXPECT_NEAR(reading.gyro->at(2), -1, 1e-12);
}

TEST_P(OnBrook, SpinsInCountsAndStops) {
  run(console.spin(Motor{4}, 120, Duration{1000}, spin_permit));
  EXPECT_EQ(controller.counts, "120");
  run(console.stop_all(nobody));
  EXPECT_EQ(sentry.told.back(), "stopped");
  EXPECT_EQ(fault_of([&] { apply(turned(1, "J1", craft::Turn::ccw)); }).why(),
            "It said: \"{\"re\":\"no\",\"why\":\"what is turn 1 -1\"}\"");
}
INSTANTIATE_TEST_SUITE_P(Chunks, OnBrook, testing::Values(1U, 5U, 1000U));

TEST(ProfileConsole, AsksForEachMotorWhereTheConsoleWillHaveItSo) {
  test::ManualClock clock;
  bool confused = false;
  test::HandConsole far_side([&](const std::string& command) {
    const std::string motor = command.substr(command.size() - 1);
    return command == "pin " + motor ? "motor " + (confused ? "3" : motor) + " on P" + motor + "\n" : "?\n";
  });
  test::ScriptedPlug plug(clock, far_side);
  test::NotingSentry sentry;
  ProfileConsole console(plug, load_profile(R"({"armwise_profile": 1, "name": "x", "open": {"prompt": "> "},
      "map": {"list": {"send": "pin {motor}", "lines": ["motor {motor} on {pin}"]}}})"),
                         clock, sentry);
  run(console.open());
  EXPECT_EQ(pins_of(run(console.snapshot(4))), (std::vector<std::string>{"P1", "P2", "P3", "P4"}));
  confused = true;
  EXPECT_EQ(fault_of([&] { run(console.snapshot(4)); }).happened(),
            "while reading which pin drives motor 1: the answer is about motor \"3\"");
}

TEST(ProfileConsole, DoesNothingThatTheProfileDoesNotSay) {
  test::ManualClock clock;
  test::HandConsole far_side([](const std::string&) { return std::string(); });
  test::ScriptedPlug plug(clock, far_side);
  test::NotingSentry sentry;
  ProfileConsole console(
      plug, load_profile(R"({"armwise_profile": 1, "name": "x", "open": {"prompt": "> "}})"), clock, sentry);
  run(console.open());
  const std::string before = plug.line->written;
  EXPECT_EQ(fault_of([&] { run(console.snapshot(4)); }).happened(),
            "reading the map is not possible from here");
  EXPECT_EQ(fault_of([&] { run(console.spin(Motor{1}, 6, Duration{1}, spin_permit)); }).kind(),
            FaultKind::refused);
  EXPECT_EQ(fault_of([&] { run(console.keep_and_restart(keep_permit)); }).kind(), FaultKind::refused);
  EXPECT_FALSE(run(console.restart_without_keeping()));
  EXPECT_EQ(run(console.identify()).in_words(), "an unnamed board (scripted port)");
  EXPECT_EQ(plug.line->written, before);
}

}  // namespace
}  // namespace armwise::console::profile_console_test
