// Each mischief does what its name says, once, at the place asked for.
#include "armwise/practice/mischief.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <set>

#include "armwise/base/fault.hpp"
#include "armwise/practice/port.hpp"
#include "practice/far_side.hpp"

namespace armwise::practice::mischief_test {
namespace {

MischiefPlan at(Mischief what, std::uint64_t place, Way way = Way::from_controller, bool for_ever = false,
                std::uint64_t seed = 0) {
  return {what, place, way, for_ever, seed};
}

std::string passed(const MischiefPlan& plan, const std::string& bytes, Way way = Way::from_controller) {
  Wire wire(plan, way);
  wire.put(bytes, Instant(0));
  return wire.take(Instant(0));
}

TEST(MischiefTable, NamesEachOnceAndRepeatsBySeed) {
  std::set<std::string_view> names;
  for (std::size_t i = 0; i < mischiefs().size(); ++i) {
    EXPECT_TRUE(names.insert(mischiefs()[i].name).second) << mischiefs()[i].name;
    const MischiefStory story = story_of(mischiefs()[i]);
    EXPECT_FALSE(story.what.empty() || story.notice.empty() || story.answer.empty()) << mischiefs()[i].name;
    const int number = static_cast<int>(i + 1);
    const MischiefPlan once = mischief_numbered(number, 5);
    EXPECT_EQ(once.at, mischief_numbered(number, 5).at);
    EXPECT_EQ(once.what, mischief_named(mischiefs()[i].name, 5).what);
    EXPECT_GE(once.at, 1U);
    EXPECT_LE(once.at, mischiefs()[i].latest);
  }
  EXPECT_EQ(mischief_named("7", 1, 12).at, 12U);
}

TEST(MischiefTable, SuggestsTheNearestName) {
  try {
    mischief_named("drop-bite-to-controller", 1);
    FAIL();
  } catch (const Fault& fault) {
    EXPECT_EQ(fault.kind(), FaultKind::usage);
    EXPECT_NE(fault.sentence().find("drop-byte-to-controller"), std::string::npos) << fault.sentence();
  }
  EXPECT_THROW(mischief_numbered(0, 1), Fault);
  EXPECT_THROW(mischief_named("999", 1), Fault);
}

TEST(Wire, TouchesTheByteThatWasAskedFor) {
  EXPECT_EQ(passed(at(Mischief::none, 1), "abcdef"), "abcdef");
  EXPECT_EQ(passed(at(Mischief::drop_byte, 1), "abcdef"), "bcdef");
  EXPECT_EQ(passed(at(Mischief::drop_byte, 6), "abcdef"), "abcde");
  EXPECT_EQ(passed(at(Mischief::double_byte, 3), "abcdef"), "abccdef");
  EXPECT_EQ(passed(at(Mischief::drop_byte, 7), "abcdef"), "abcdef");
  EXPECT_EQ(passed(at(Mischief::drop_byte, 3, Way::to_controller), "abcdef"), "abcdef") << "the other way";
  const std::string damaged = passed(at(Mischief::damage_byte, 2), "abcdef");
  ASSERT_EQ(damaged.size(), 6U);
  EXPECT_EQ(damaged[0], 'a');
  EXPECT_EQ(damaged.substr(2), "cdef");
  const int flipped = damaged[1] ^ 'b';
  EXPECT_TRUE(flipped != 0 && (flipped & (flipped - 1)) == 0) << "exactly one bit";
}

TEST(Wire, CountsOverManyPieces) {
  Wire wire(at(Mischief::drop_byte, 5), Way::from_controller);
  for (const char* piece : {"ab", "cd", "ef", "gh"}) wire.put(piece, Instant(0));
  EXPECT_EQ(wire.take(Instant(0)), "abcdfgh");
}

TEST(Wire, DelaysAByteAndAllAfterIt) {
  Wire wire(at(Mischief::delay_byte, 3), Way::from_controller);
  wire.put("abcd", Instant(0));
  wire.put("ef", Instant(1));
  EXPECT_EQ(wire.take(Instant(1)), "ab");
  ASSERT_TRUE(wire.next_event());
  EXPECT_GE(*wire.next_event(), Instant(50));
  EXPECT_LE(*wire.next_event(), Instant(1550));
  EXPECT_EQ(wire.take(*wire.next_event()), "cdef");
}

TEST(Mischiefs, RefuseTheNthWriteOnly) {
  FarSide tarn("tarn", plain_craft(), at(Mischief::refuse_write, 2));
  EXPECT_TRUE(tarn.say("sweep props outward\r\n").ends_with("outward\r\ntarn> "));
  EXPECT_EQ(tarn.say("sweep props inward\r\n"), "sweep props inward\r\nno: not possible now\r\ntarn> ");
  EXPECT_EQ(tarn.controller.running().props, craft::PropScheme::out);
  EXPECT_EQ(tarn.say("sweep props inward\r\n"), "sweep props inward\r\ntarn> ");
}

TEST(Mischiefs, AcceptAndDoNotStore) {
  FarSide tarn("tarn", plain_craft(), at(Mischief::accept_not_store, 1));
  EXPECT_EQ(tarn.say("wire motor 1 to P5\r\n"), "wire motor 1 to P5\r\nmotor 1 now drives P5\r\ntarn> ");
  EXPECT_EQ(tarn.controller.running().map.pins.front().name, "P1");
}

TEST(Mischiefs, CutAnAngleToWhatTheBoardAllows) {
  FarSide tarn("tarn", plain_craft(), at(Mischief::clamp_write, 1));
  EXPECT_EQ(tarn.say("mount at yaw 90 pitch 0 roll 0\r\n"), "mount at yaw 90 pitch 0 roll 0\r\ntarn> ");
  EXPECT_EQ(tarn.controller.running().mount, (std::array<double, 3>{45, 0, 0}));
}

TEST(Mischiefs, StoreAndDoNotKeep) {
  FarSide tarn("tarn", plain_craft(), at(Mischief::store_not_keep, 1));
  tarn.say("sweep props outward\r\n");
  EXPECT_EQ(tarn.say("keep it\r\n"), "keep it\r\nkept\r\ntarn> ");
  EXPECT_EQ(tarn.controller.running().props, craft::PropScheme::out);
  tarn.restart();
  EXPECT_EQ(tarn.controller.running().props, craft::PropScheme::in);
}

TEST(Mischiefs, RefuseToKeep) {
  FarSide sedge("sedge", plain_craft(), at(Mischief::refuse_keep, 1));
  sedge.say("edit\n");
  EXPECT_EQ(sedge.say("save = yes\n"), "save = yes\n!! not possible now\n# ");
  EXPECT_FALSE(sedge.controller.leaves_at()) << "and no restart";
}

TEST(Mischiefs, RestartInAWriteStoresItOrNotByTheSeed) {
  std::set<craft::PropScheme> left;
  for (std::uint64_t seed = 0; seed < 8; ++seed) {
    FarSide tarn("tarn", plain_craft(), at(Mischief::restart_in_write, 1, Way::from_controller, false, seed));
    EXPECT_EQ(tarn.say("sweep props outward\r\n"), "sweep props outward\r\n") << "no answer";
    EXPECT_TRUE(tarn.controller.leaves_at());
    left.insert(tarn.controller.running().props);
  }
  EXPECT_EQ(left.size(), 2U);
}

TEST(Mischiefs, LoseAReply) {
  FarSide tarn("tarn", plain_craft(), at(Mischief::reply_lost, 1));
  EXPECT_EQ(tarn.say("sweep props outward\r\n"), "sweep props outward\r\n");
  EXPECT_EQ(tarn.controller.running().props, craft::PropScheme::out);
}

TEST(Mischiefs, AnswerAfterTheNextCommand) {
  FarSide tarn("tarn", plain_craft(), at(Mischief::late_answer, 1));
  EXPECT_EQ(tarn.say("tell props\r\n"), "tell props\r\n");
  EXPECT_EQ(tarn.say("say two\r\n"), "say two\r\nprops sweep inward\r\ntarn> said two\r\ntarn> ");
}

TEST(Mischiefs, NameTheWrongMotors) {
  FarSide tarn("tarn", plain_craft(), at(Mischief::other_motors_line, 1));
  EXPECT_EQ(tarn.say("tell wiring\r\n"),
            "tell wiring\r\nmotor 2 drives P1\r\nmotor 3 drives P2\r\nmotor 4 drives P3\r\n"
            "motor 1 drives P4\r\ntarn> ");
  EXPECT_TRUE(tarn.say("tell wiring\r\n").find("motor 1 drives P1") != std::string::npos) << "once only";
}

TEST(Mischiefs, InterruptAnAnswer) {
  FarSide tarn("tarn", plain_craft(), at(Mischief::unsolicited, 1));
  std::string answer = tarn.say("tell props\r\n");
  const std::string note = "\r\nnote 612: all quiet on the radio\r\n";
  const std::size_t where = answer.find(note);
  ASSERT_NE(where, std::string::npos) << answer;
  answer.erase(where, note.size());
  EXPECT_EQ(answer, "tell props\r\nprops sweep inward\r\ntarn> ");
}

TEST(Mischiefs, SendWhatNoTerminalMayShow) {
  FarSide tarn("tarn", plain_craft(), at(Mischief::hostile_bytes, 1));
  const std::string answer = tarn.say("tell props\r\n");
  EXPECT_NE(answer.find("\x1b[2J"), std::string::npos);
  EXPECT_NE(answer.find('\0'), std::string::npos);
}

TEST(Mischiefs, SendALineOfAMegabyte) {
  FarSide tarn("tarn", plain_craft(), at(Mischief::giant_line, 1));
  EXPECT_GT(tarn.say("tell props\r\n").size(), 1024U * 1024U);
}

TEST(Mischiefs, NeverStopTalking) {
  FarSide tarn("tarn", plain_craft(), at(Mischief::endless_output, 1));
  tarn.say("tell props\r\n");
  for (int i = 0; i < 5; ++i) {
    tarn.now += Duration(1);
    EXPECT_FALSE(tarn.controller.take(tarn.now).empty());
  }
}

TEST(Mischiefs, EchoNothing) {
  FarSide tarn("tarn", plain_craft(), at(Mischief::echo_nothing, 1, Way::from_controller, true));
  EXPECT_EQ(tarn.say("say one\r\n"), "say one\r\nsaid one\r\ntarn> ") << "not before the first command";
  EXPECT_EQ(tarn.say("say two\r\n"), "said two\r\ntarn> ");
}

TEST(Mischiefs, CutAListingShort) {
  FarSide whole("tarn");
  FarSide cut("tarn", plain_craft(), at(Mischief::listing_cut_short, 1));
  const std::string all = whole.say("tell everything\r\n");
  const std::string half = cut.say("tell everything\r\n");
  EXPECT_LT(half.size(), all.size());
  EXPECT_TRUE(half.ends_with("\r\ntarn> "));
}

TEST(Mischiefs, RestartInAListing) {
  FarSide tarn("tarn", plain_craft(), at(Mischief::restart_in_listing, 1));
  EXPECT_FALSE(tarn.say("tell everything\r\n").ends_with("tarn> "));
  EXPECT_TRUE(tarn.controller.leaves_at());
}

TEST(Mischiefs, SwallowAStop) {
  FarSide tarn("tarn", plain_craft(), at(Mischief::swallow_stop, 1));
  tarn.say("spin motor 1 at 6 for 9000\r\n");
  EXPECT_EQ(tarn.say("halt every motor\r\n"), "halt every motor\r\n");
  EXPECT_EQ(tarn.turning().size(), 1U);
  EXPECT_EQ(tarn.say("halt every motor\r\n"), "halt every motor\r\nevery motor halted\r\ntarn> ");
  EXPECT_TRUE(tarn.turning().empty());
}

TEST(Mischiefs, SpinOnAlthoughToldToStop) {
  FarSide tarn("tarn", plain_craft(), at(Mischief::spin_on, 1, Way::from_controller, true));
  tarn.say("spin motor 1 at 6 for 9000\r\n");
  EXPECT_EQ(tarn.say("halt every motor\r\n"), "halt every motor\r\nevery motor halted\r\ntarn> ");
  EXPECT_EQ(tarn.turning().size(), 1U);
}

// What happens to the port itself.
struct Ports : testing::Test {
  void start(const MischiefPlan& mischief, const std::string& name = "tarn") {
    profile = profile_named(name);
    port.emplace(profile, plain_craft(), mischief, short_listing());
    greeting = port->take(now);
  }
  std::string say(const std::string& bytes) {
    port->receive(bytes, now);
    now += Duration(50);
    return port->take(now);
  }
  void wait(int milliseconds) {
    now += Duration(milliseconds);
    port->advance(now);
  }

  Instant now{0};
  console::Profile profile;
  std::optional<PracticePort> port;
  std::string greeting;
};

TEST_F(Ports, VanishAtTheNthByteAndComeBackWithTheMotorsTurning) {
  start(at(Mischief::vanish_same_name, 60, Way::to_controller));
  say("spin motor 1 at 6 for 9000\r\n");
  say("say aaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaa\r\n");
  EXPECT_FALSE(port->present());
  EXPECT_EQ(port->turning(now).size(), 1U) << "no cable, but a battery";
  wait(1000);
  EXPECT_TRUE(port->present());
  EXPECT_EQ(port->name(), "ttyACM0");
  EXPECT_EQ(port->generation(), 2);
  EXPECT_EQ(port->turning(now).size(), 1U);
}

TEST_F(Ports, VanishAndComeBackUnderAnotherName) {
  start(at(Mischief::vanish_other_name, 40));
  say("tell wiring\r\n");
  EXPECT_FALSE(port->present());
  wait(1000);
  EXPECT_EQ(port->name(), "ttyACM1");
}

TEST_F(Ports, VanishForEverUntilPluggedInAgain) {
  start(at(Mischief::vanish_for_ever, 40));
  say("tell wiring\r\n");
  wait(100000);
  EXPECT_FALSE(port->present());
  EXPECT_FALSE(port->next_event());
  port->plug_in_again(now);
  EXPECT_TRUE(port->present());
  EXPECT_TRUE(say("\r\n").ends_with("tarn> "));
  EXPECT_EQ(say("say back\r\n"), "say back\r\nsaid back\r\ntarn> ");
}

TEST_F(Ports, GoDeadAfterTheNthByte) {
  start(at(Mischief::cut_line, 30));
  const std::string answer = say("tell wiring\r\n");
  EXPECT_EQ(greeting.size() + answer.size(), 29U);
  EXPECT_TRUE(port->present());
  EXPECT_EQ(say("tell wiring\r\n"), "");
}

TEST_F(Ports, StopReading) {
  start(at(Mischief::stop_reading, 5, Way::to_controller, true));
  EXPECT_TRUE(port->reads());
  EXPECT_EQ(say("say one\r\n"), "say ") << "what came before is echoed";
  EXPECT_FALSE(port->reads());
  EXPECT_EQ(say("\r\n"), "");
}

TEST_F(Ports, HearAnotherProgramsProbe) {
  start(at(Mischief::inject_probe, 5, Way::to_controller));
  EXPECT_EQ(say("say one\r\n"), "say ATone\r\nsaid ATone\r\ntarn> ");
}

TEST_F(Ports, ShowTheBootLoaderFirst) {
  start(at(Mischief::boot_loader_first, 1));
  say("start over\r\n");
  wait(1700);
  EXPECT_TRUE(port->present());
  EXPECT_EQ(port->usb().product, "0002");
  EXPECT_EQ(say("\r\n"), "");
  wait(3500);
  EXPECT_TRUE(port->present());
  EXPECT_EQ(port->usb().product, "0001");
  EXPECT_EQ(port->take(now), "practice board is up\r\ntarn> ");
}

TEST_F(Ports, StayInTheBootLoader) {
  start(at(Mischief::boot_loader_stuck, 1));
  say("start over\r\n");
  wait(100000);
  EXPECT_EQ(port->usb().product, "0002");
  EXPECT_EQ(say("\r\n"), "");
}

TEST_F(Ports, ComeBackAsAnotherControllerWithTheSameNumbers) {
  start(at(Mischief::another_controller, 1));
  const UsbNumbers before = port->usb();
  say("sweep props outward\r\n");
  say("keep it\r\n");
  say("start over\r\n");
  wait(2000);
  EXPECT_TRUE(port->present());
  EXPECT_EQ(port->usb(), before);
  EXPECT_EQ(port->controller().running().props, craft::PropScheme::in);
  EXPECT_EQ(say("who are you\r\n").find("serial S77"), std::string::npos);
}

TEST_F(Ports, NeverComeBack) {
  start(at(Mischief::never_back, 1));
  say("start over\r\n");
  wait(100000);
  EXPECT_FALSE(port->present());
}

}  // namespace
}  // namespace armwise::practice::mischief_test
