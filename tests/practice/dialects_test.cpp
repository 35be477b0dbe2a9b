// Each dialect spoken to as a person would type it, against answers written by hand from the notes of its
// profile: what comes back must not be worked out by the code under test.
#include <gtest/gtest.h>

#include "armwise/console/filtered_line.hpp"
#include "practice/far_side.hpp"

namespace armwise::practice::dialects_test {
namespace {

const std::vector<Turning> nothing_turns{};

TEST(Tarn, EchoesAnswersAndPrompts) {
  FarSide tarn("tarn");
  EXPECT_EQ(tarn.greeting, "practice board is up\r\ntarn> ");
  EXPECT_EQ(tarn.say("\r\n"), "\r\ntarn> ");
  EXPECT_EQ(tarn.say("say abc123\r\n"), "say abc123\r\nsaid abc123\r\ntarn> ");
  EXPECT_EQ(tarn.say("who are you\r\n"),
            "who are you\r\nboard practice-board-5 running rehearsal 1.4.2\r\nserial S77\r\ntarn> ");
}

TEST(Tarn, ListsAndChangesTheMap) {
  FarSide tarn("tarn");
  EXPECT_EQ(tarn.say("tell wiring\r\n"),
            "tell wiring\r\nmotor 1 drives P1\r\nmotor 2 drives P2\r\nmotor 3 drives P3\r\n"
            "motor 4 drives P4\r\ntarn> ");
  EXPECT_EQ(tarn.say("wire motor 2 to p1\r\n"), "wire motor 2 to p1\r\nmotor 2 now drives p1\r\ntarn> ");
  // A pin may stand on two motors here.
  EXPECT_EQ(tarn.say("tell wiring\r\n"),
            "tell wiring\r\nmotor 1 drives P1\r\nmotor 2 drives P1\r\nmotor 3 drives P3\r\n"
            "motor 4 drives P4\r\ntarn> ");
}

TEST(Tarn, RefusesNonsense) {
  FarSide tarn("tarn");
  EXPECT_EQ(tarn.say("make tea\r\n"), "make tea\r\nno: make tea\r\ntarn> ");
  EXPECT_EQ(tarn.say("wire motor 9 to P1\r\n"), "wire motor 9 to P1\r\nno: no such motor\r\ntarn> ");
  EXPECT_EQ(tarn.say("wire motor 1 to P9\r\n"), "wire motor 1 to P9\r\nno: no such pin\r\ntarn> ");
  EXPECT_EQ(tarn.say("turn motor 1 sideways\r\n"), "turn motor 1 sideways\r\nno: out of range\r\ntarn> ");
  EXPECT_EQ(tarn.say("spin motor 1 at 60 for 500\r\n"),
            "spin motor 1 at 60 for 500\r\nno: out of range\r\ntarn> ");
  EXPECT_EQ(tarn.say("mount at yaw 999 pitch 0 roll 0\r\n"),
            "mount at yaw 999 pitch 0 roll 0\r\nno: out of range\r\ntarn> ");
  EXPECT_EQ(tarn.controller.running(), tarn.controller.saved());
}

TEST(Tarn, TakesBackspaceAndCancel) {
  FarSide tarn("tarn");
  EXPECT_EQ(tarn.say("say ax\bb\r\n"), "say ax\b \bb\r\nsaid ab\r\ntarn> ");
  EXPECT_EQ(tarn.say("wire mo\x03"), "wire mo\r\ntarn> ");
  EXPECT_EQ(tarn.say("\r\n"), "\r\ntarn> ");
}

TEST(Tarn, WaitsForItsOwnLineEnding) {
  FarSide tarn("tarn");
  EXPECT_EQ(tarn.say("say one\r"), "say one");
  EXPECT_EQ(tarn.say("\n"), "\r\nsaid one\r\ntarn> ");
}

TEST(Tarn, ListsEverythingWithTheSettingsInTheMiddle) {
  FarSide tarn("tarn");
  EXPECT_EQ(tarn.say("sweep props outward\r\n"), "sweep props outward\r\ntarn> ");
  const std::string all = tarn.say("tell everything\r\n");
  EXPECT_NE(all.find("motor 4 drives P4\r\nprops sweep outward\r\nmotor 1 turns clockwise\r\n"),
            std::string::npos)
      << all;
  EXPECT_NE(all.find("mounted at yaw 0 pitch 0 roll 0\r\n"), std::string::npos) << all;
  EXPECT_TRUE(all.ends_with("\r\ntarn> "));
}

TEST(Tarn, ListsSomeHundredLinesInQuickOrder) {
  FarSide tarn("tarn", plain_craft(), {}, {});
  const std::string all = tarn.say("tell everything\r\n");
  EXPECT_GT(std::count(all.begin(), all.end(), '\n'), 300);
}

TEST(Tarn, SpinsForAsLongAsItIsTold) {
  FarSide tarn("tarn");
  EXPECT_EQ(tarn.say("spin motor 2 at 6 for 500\r\n"),
            "spin motor 2 at 6 for 500\r\nmotor 2 spins at 6\r\ntarn> ");
  EXPECT_EQ(tarn.turning(), (std::vector<Turning>{{"rear-right", craft::Turn::cw}}));
  tarn.now = Instant(499);
  EXPECT_EQ(tarn.turning().size(), 1U);
  tarn.now = Instant(500);
  EXPECT_EQ(tarn.turning(), nothing_turns);
}

TEST(Tarn, StopsWhenToldTo) {
  FarSide tarn("tarn");
  tarn.say("spin motor 1 at 6 for 9000\r\n");
  tarn.say("spin motor 4 at 6 for 9000\r\n");
  EXPECT_EQ(tarn.turning().size(), 2U);
  EXPECT_EQ(tarn.say("halt motor 1\r\n"), "halt motor 1\r\nmotor 1 halted\r\ntarn> ");
  EXPECT_EQ(tarn.turning(), (std::vector<Turning>{{"front-left", craft::Turn::cw}}));
  EXPECT_EQ(tarn.say("halt every motor\r\n"), "halt every motor\r\nevery motor halted\r\ntarn> ");
  EXPECT_EQ(tarn.turning(), nothing_turns);
}

TEST(Tarn, ReversesTheMotorThatTheSettingIsAbout) {
  FarSide tarn("tarn");
  EXPECT_EQ(tarn.say("turn motor 3 flipped\r\n"),
            "turn motor 3 flipped\r\nmotor 3 now turns flipped\r\ntarn> ");
  tarn.say("spin motor 3 at 6 for 900\r\n");
  // Pin 3 turns ccw at the default; the other value is the other way round.
  EXPECT_EQ(tarn.turning(), (std::vector<Turning>{{"rear-left", craft::Turn::cw}}));
  // The setting belongs to the motor, so on another pin it reverses that one.
  tarn.say("halt every motor\r\n");
  tarn.say("wire motor 3 to P4\r\n");
  tarn.say("spin motor 3 at 6 for 900\r\n");
  EXPECT_EQ(tarn.turning(), (std::vector<Turning>{{"front-left", craft::Turn::ccw}}));
}

TEST(Tarn, KeepsOnlyWhatIsKept) {
  FarSide tarn("tarn");
  tarn.say("sweep props outward\r\n");
  EXPECT_EQ(tarn.say("keep it\r\n"), "keep it\r\nkept\r\ntarn> ");
  tarn.say("wire motor 1 to P5\r\n");
  EXPECT_EQ(tarn.say("start over\r\n"), "start over\r\n");
  ASSERT_TRUE(tarn.controller.leaves_at());
  tarn.restart();
  EXPECT_EQ(tarn.greeting, "practice board is up\r\ntarn> ");
  EXPECT_EQ(tarn.say("tell props\r\n"), "tell props\r\nprops sweep outward\r\ntarn> ");
  EXPECT_EQ(tarn.controller.running().map.pins.front().name, "P1");
}

TEST(Tarn, StopsItsMotorsOnARestart) {
  FarSide tarn("tarn");
  tarn.say("spin motor 1 at 6 for 9000\r\n");
  tarn.restart();
  EXPECT_EQ(tarn.turning(), nothing_turns);
}

TEST(Tarn, FeelsTheGround) {
  FarSide tarn("tarn");
  EXPECT_EQ(tarn.say("tell feel\r\n"),
            "tell feel\r\nfeels x 0.0000 y 0.0000 z -1.0000\r\nturns x 0.0000 y 0.0000 z 0.0000\r\ntarn> ");
  // Right side down by 60 degrees: the push of the ground comes from the left, sin 60 of it along -y.
  ASSERT_TRUE(tarn.controller.craft().hold("right-side-down"));
  EXPECT_EQ(tarn.say("tell feel\r\n"),
            "tell feel\r\nfeels x 0.0000 y -0.8660 z -0.5000\r\nturns x 0.0000 y 0.0000 z 0.0000\r\ntarn> ");
  // Nose down by 60: the push comes along +x.
  ASSERT_TRUE(tarn.controller.craft().hold("nose-down"));
  EXPECT_EQ(tarn.say("tell feel\r\n"),
            "tell feel\r\nfeels x -0.8660 y 0.0000 z -0.5000\r\nturns x 0.0000 y 0.0000 z 0.0000\r\ntarn> ");
}

// What a profile says is said beside the answers is said, and is gone where a console is read.
TEST(Tarn, PutsStampsBeforeItsLinesAndTalksUnaskedWhereTheProfileSaysSo) {
  console::Profile profile = profile_named("tarn");
  profile.open.stamp = console::Template::parse("{skip:letters} [{skip:digits}.{skip:digits}] ");
  profile.open.unasked = {console::Template::parse("bat {skip:decimal} V")};
  PracticeController tarn(profile, plain_craft(), {}, short_listing());
  Instant now{0};
  tarn.take(now);
  std::string all, wanted;
  for (int i = 0; i < 3; ++i) {
    tarn.receive("say abc\r\n", now);
    now += Duration(50);
    all += tarn.take(now);
    wanted += "say abc\r\nsaid abc\r\ntarn> ";
  }
  EXPECT_NE(all.find("I [3.3] bat 7 V\r\nI [4.4] said abc\r\n"), std::string::npos) << all;
  EXPECT_EQ(console::filtered(profile.open, all), wanted);
}

TEST(Sedge, IsSilentUntilItIsOpened) {
  FarSide sedge("sedge");
  EXPECT_EQ(sedge.greeting, "");
  EXPECT_EQ(sedge.say("\n"), "");
  EXPECT_EQ(sedge.say("output.*\n"), "");
  EXPECT_EQ(sedge.say("edit\n"), "the console is open\n# ");
  EXPECT_EQ(sedge.say("edit\n"), "edit\n# ");
  EXPECT_EQ(sedge.say("edit = off\n"), "edit = off\n");
  EXPECT_EQ(sedge.say("output.*\n"), "");
}

TEST(Sedge, CountsFromZeroAndRefusesATakenPin) {
  FarSide sedge("sedge");
  sedge.say("edit\n");
  EXPECT_EQ(sedge.say("note.k7\n"), "note.k7\nnote.k7 = (unset)\n# ");
  EXPECT_EQ(sedge.say("output.*\n"),
            "output.*\noutput.0 = P1\noutput.1 = P2\noutput.2 = P3\noutput.3 = P4\n# ");
  EXPECT_EQ(sedge.say("output.0 = P2\n"), "output.0 = P2\n!! already taken\n# ");
  EXPECT_EQ(sedge.say("output.1 = none\n"), "output.1 = none\n# ");
  EXPECT_EQ(sedge.say("output.0 = P2\n"), "output.0 = P2\n# ");
  EXPECT_EQ(sedge.say("output.*\n"),
            "output.*\noutput.0 = P2\noutput.1 = none\noutput.2 = P3\noutput.3 = P4\n# ");
  EXPECT_EQ(sedge.say("test.1 = 0.06\n"), "test.1 = 0.06\n!! not possible now\n# ");
}

TEST(Sedge, KeepsTurnsByPinAndSpinsUntilStopped) {
  FarSide sedge("sedge");
  sedge.say("edit\n");
  EXPECT_EQ(sedge.say("direction.P3 = reversed\n"), "direction.P3 = reversed\n# ");
  EXPECT_EQ(sedge.say("direction.*\n"),
            "direction.*\ndirection.P1 = normal\ndirection.P2 = normal\ndirection.P3 = reversed\n"
            "direction.P4 = normal\ndirection.P5 = normal\n# ");
  EXPECT_EQ(sedge.say("test.2 = 0.06\n"), "test.2 = 0.06\ntest.2 = 0.06\n# ");
  sedge.now += Duration(3600000);
  EXPECT_EQ(sedge.turning(), (std::vector<Turning>{{"rear-left", craft::Turn::cw}}));
  EXPECT_EQ(sedge.say("test.2 = stop\n"), "test.2 = stop\ntest.2 = stop\n# ");
  EXPECT_EQ(sedge.turning(), nothing_turns);
}

TEST(Sedge, WritesAMountInTenthsOneByOne) {
  FarSide sedge("sedge");
  sedge.say("edit\n");
  EXPECT_EQ(sedge.say("mount.yaw = 900\n"), "mount.yaw = 900\n# ");
  EXPECT_EQ(sedge.say("mount.roll = -1800\n"), "mount.roll = -1800\n# ");
  EXPECT_EQ(sedge.say("mount.*\n"), "mount.*\nmount.yaw = 900\nmount.pitch = 0\nmount.roll = -1800\n# ");
  EXPECT_EQ(sedge.say("mount.yaw = 36010\n"), "mount.yaw = 36010\n!! out of range\n# ");
}

TEST(Sedge, RestartsOnSaving) {
  FarSide sedge("sedge");
  sedge.say("edit\n");
  sedge.say("props.outward = on\n");
  EXPECT_EQ(sedge.say("save = yes\n"), "save = yes\nsave = done\n");
  ASSERT_EQ(sedge.controller.leaves_at(), Instant(100) + Duration(100));
  EXPECT_EQ(sedge.say("props.outward\n"), "") << "it hears nothing on its way out";
  sedge.restart();
  EXPECT_EQ(sedge.say("props.outward\n"), "") << "the console is shut again";
  sedge.say("edit\n");
  EXPECT_EQ(sedge.say("props.outward\n"), "props.outward\nprops.outward = on\n# ");
}

// Its accelerometer in m/s2, x and y changed over, z turned round: level must read +9.80665 on z (the
// double nearest to that lies just below it).
TEST(Sedge, FeelsWithItsOwnAxes) {
  FarSide sedge("sedge");
  sedge.say("edit\n");
  const std::string still = "felt.gyro.x = 0.0000\nfelt.gyro.y = 0.0000\nfelt.gyro.z = 0.0000\n# ";
  EXPECT_EQ(sedge.say("felt.*\n"),
            "felt.*\nfelt.accel.x = 0.0000\nfelt.accel.y = 0.0000\nfelt.accel.z = 9.8066\n" + still);
  ASSERT_TRUE(sedge.controller.craft().hold("right-side-down"));
  EXPECT_EQ(sedge.say("felt.*\n"),
            "felt.*\nfelt.accel.x = -8.4928\nfelt.accel.y = 0.0000\nfelt.accel.z = 4.9033\n" + still);
  // 45 degrees a second to the right, in radians, about an axis that points up.
  ASSERT_TRUE(sedge.controller.craft().hold("turning-right"));
  EXPECT_TRUE(sedge.say("felt.*\n").ends_with("felt.gyro.z = -0.7854\n# "));
}

TEST(Fell, WalksThroughItsMenus) {
  FarSide fell("fell");
  EXPECT_EQ(fell.greeting, "practice board is up\r\nchoice> ");
  EXPECT_EQ(fell.say("1\r"), "1\r\nwiring> ");
  EXPECT_EQ(fell.say("1\r"),
            "1\r\nPin P1 belongs to 101\r\nPin P2 belongs to 102\r\nPin P3 belongs to 103\r\n"
            "Pin P4 belongs to 104\r\nPin P5 belongs to nobody\r\nwiring> ");
  EXPECT_EQ(fell.say("2\r"), "2\r\nwhich pin> ");
  EXPECT_EQ(fell.say("P5\r"), "P5\r\nwhich motor> ");
  EXPECT_EQ(fell.say("104\r"), "104\r\nwiring> ");
  EXPECT_EQ(fell.say("3\r"), "3\r\nwhich pin> ");
  EXPECT_EQ(fell.say("P4\r"), "P4\r\nwiring> ");
  EXPECT_EQ(fell.say("1\r"),
            "1\r\nPin P1 belongs to 101\r\nPin P2 belongs to 102\r\nPin P3 belongs to 103\r\n"
            "Pin P4 belongs to nobody\r\nPin P5 belongs to 104\r\nwiring> ");
  EXPECT_EQ(fell.say("0\r"), "0\r\nchoice> ");
}

TEST(Fell, StaysInAMenuThatDoesNotKnowTheChoice) {
  FarSide fell("fell");
  EXPECT_EQ(fell.say("zebra\r"), "zebra\r\nno choice zebra\r\nchoice> ");
  fell.say("1\r");
  EXPECT_EQ(fell.say("7\r"), "7\r\nno choice 7\r\nwiring> ") << "7 is a choice of the top menu only";
  fell.say("2\r");
  EXPECT_EQ(fell.say("P77\r"), "P77\r\nwhich motor> ");
  EXPECT_EQ(fell.say("101\r"), "101\r\nnot possible: no such pin\r\nwiring> ");
  EXPECT_EQ(fell.say("0\r"), "0\r\nchoice> ");
  EXPECT_EQ(fell.say("0\r"), "0\r\nchoice> ");
}

TEST(Fell, SpinsInMicrosecondsAndStopsFromAnywhere) {
  FarSide fell("fell");
  EXPECT_EQ(fell.say("4\r"), "4\r\nwhich motor> ");
  EXPECT_EQ(fell.say("103\r"), "103\r\npulse> ");
  EXPECT_EQ(fell.say("1060\r"), "1060\r\nMotor 103 gets 1060 us\r\nchoice> ");
  EXPECT_EQ(fell.turning(), (std::vector<Turning>{{"rear-left", craft::Turn::ccw}}));
  fell.say("1\r");
  EXPECT_EQ(fell.say("x\r"), "x\r\nAll motors stand still\r\nchoice> ");
  EXPECT_EQ(fell.turning(), nothing_turns);
  fell.say("4\r");
  fell.say("103\r");
  EXPECT_EQ(fell.say("1900\r"), "1900\r\nnot possible: out of range\r\nchoice> ");
}

TEST(Fell, NamesAMountByItsPicture) {
  FarSide fell("fell");
  EXPECT_EQ(fell.say("2\r"), "2\r\nThe board lies as in picture 1\r\nchoice> ");
  EXPECT_EQ(fell.say("3\r"), "3\r\nwhich picture> ");
  EXPECT_EQ(fell.say("8\r"), "8\r\nchoice> ");
  EXPECT_EQ(fell.say("2\r"), "2\r\nThe board lies as in picture 8\r\nchoice> ");
  fell.say("3\r");
  EXPECT_EQ(fell.say("99\r"), "99\r\nnot possible: out of range\r\nchoice> ");
}

TEST(Brook, AnswersEachLineWithOneOfJson) {
  FarSide brook("brook");
  EXPECT_EQ(brook.greeting, "");
  EXPECT_EQ(brook.say("\n"), "");
  EXPECT_EQ(brook.say("ping q1\n"), "{\"re\":\"pong\",\"word\":\"q1\"}\n");
  EXPECT_EQ(brook.say("id\n"),
            "{\"re\":\"id\",\"board\":\"practice-board-5\",\"firmware\":\"rehearsal\",\"version\":\"1.4.2\","
            "\"serial\":\"S77\"}\n");
  EXPECT_EQ(brook.say("seats\n"),
            "{\"re\":\"seats\",\"all\":[{\"m\":1,\"pin\":\"P1\"},{\"m\":2,\"pin\":\"P2\"},"
            "{\"m\":3,\"pin\":\"P3\"},{\"m\":4,\"pin\":\"P4\"}]}\n");
  EXPECT_EQ(brook.say("seats 1 P5\n"), "{\"re\":\"ok\",\"m\":1,\"pin\":\"P5\"}\n");
  EXPECT_EQ(brook.say("turn 2\n"), "{\"re\":\"turn\",\"m\":2,\"way\":1}\n");
  EXPECT_EQ(brook.say("turn 2 -1\n"), "{\"re\":\"ok\",\"m\":2,\"way\":-1}\n");
  EXPECT_EQ(brook.say("turn 2\n"), "{\"re\":\"turn\",\"m\":2,\"way\":-1}\n");
  EXPECT_EQ(brook.say("turn 8\n"), "{\"re\":\"no\",\"why\":\"no such motor\"}\n");
  EXPECT_EQ(brook.say("props true\n"), "{\"re\":\"ok\",\"out\":true}\n");
  EXPECT_EQ(brook.say("fly me\n"), "{\"re\":\"no\",\"why\":\"unknown command\"}\n");
}

TEST(Brook, ListsEverythingOnOneLine) {
  FarSide brook("brook");
  const std::string all = brook.say("recite\n");
  EXPECT_TRUE(all.starts_with("{\"re\":\"recite\",\"entries\":[{\"entry\":\"")) << all;
  EXPECT_TRUE(all.ends_with("}]}\n")) << all;
  EXPECT_EQ(std::count(all.begin(), all.end(), '\n'), 1);
  EXPECT_NE(all.find("{\"re\":\"props\",\"out\":false}"), std::string::npos) << all;
}

// Radians, yaw the other way round; gravity instead of the push of the ground, in thousandths of a g.
TEST(Brook, WritesItsMountInRadiansAndFeelsGravity) {
  PracticeCraft turned = plain_craft();
  turned.mount = {90, 0, 0};
  turned.start.mount = craft::YawPitchRoll{90, 0, 0};
  FarSide brook("brook", turned);
  EXPECT_EQ(brook.say("mount\n"), "{\"re\":\"mount\",\"roll\":0.00000,\"pitch\":0.00000,\"yaw\":-1.57080}\n");
  // Right side down by 60: gravity along the craft's +y, which is where this board's x points.
  ASSERT_TRUE(brook.controller.craft().hold("right-side-down"));
  EXPECT_EQ(brook.say("sense\n"), "{\"re\":\"sense\",\"acc\":[866,0,500],\"gyro\":[0.0000,0.0000,0.0000]}\n");
  ASSERT_TRUE(brook.controller.craft().hold("turning-right"));
  EXPECT_EQ(brook.say("sense\n"),
            "{\"re\":\"sense\",\"acc\":[0,0,1000],\"gyro\":[0.0000,0.0000,450.0000]}\n");
}

TEST(Moor, ListsOnOneLine) {
  FarSide moor("moor");
  EXPECT_EQ(moor.greeting, "practice board is up\r\nmoor:");
  EXPECT_EQ(moor.say("WL\r\n"), "WL\r\n+WL 1:P1 2:P2 3:P3 4:P4\r\nmoor:");
  EXPECT_EQ(moor.say("TL\r\n"), "TL\r\n+TL 1:F 2:F 3:F 4:F\r\nmoor:");
  EXPECT_EQ(moor.say("WM,1\r\n"), "WM,1\r\n-ERR WM,1\r\nmoor:");
}

TEST(Moor, ChangesNothingBeforeTheRestart) {
  FarSide moor("moor");
  EXPECT_EQ(moor.say("WM,1,P4\r\n"), "WM,1,P4\r\n+WM 1:P4\r\nmoor:");
  EXPECT_EQ(moor.say("TM,1,B\r\n"), "TM,1,B\r\n+TM 1:B\r\nmoor:");
  EXPECT_EQ(moor.say("WL\r\n"), "WL\r\n+WL 1:P4 2:P2 3:P3 4:P4\r\nmoor:") << "it is read back at once";
  EXPECT_EQ(moor.say("SP,1,60,9000\r\n"), "SP,1,60,9000\r\n+SP 1 60\r\nmoor:");
  EXPECT_EQ(moor.turning(), (std::vector<Turning>{{"front-right", craft::Turn::ccw}})) << "as before";
  moor.say("SV\r\n");
  moor.restart();
  moor.say("SP,1,60,9000\r\n");
  EXPECT_EQ(moor.turning(), (std::vector<Turning>{{"front-left", craft::Turn::ccw}}));
}

}  // namespace
}  // namespace armwise::practice::dialects_test
