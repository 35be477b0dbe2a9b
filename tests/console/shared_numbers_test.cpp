// Settings that are some bits of a number which holds other things: read, those changed, written back.
#include <gtest/gtest.h>

#include <array>
#include <functional>
#include <map>

#include "armwise/base/fault.hpp"
#include "armwise/console/profile_console.hpp"
#include "support/hand_console.hpp"
#include "support/manual_clock.hpp"
#include "support/permits.hpp"
#include "support/scripted_plug.hpp"
#include "support/sworn.hpp"

namespace armwise::console::shared_numbers_test {
namespace {

using craft::Motor;
using craft::Pin;
using test::run;

constexpr const char* profile_text_here = R"({
  "armwise_profile": 1, "name": "registers", "open": {"prompt": "@ "},
  "codes": {"first_motor": 20, "cw": "0", "ccw": "1"},
  "map": {"list": {"send": "d 20 23", "lines": ["{motor}: {pin:HEX4.0-3}"]}, "put": "w {motor} {pin:HEX4.0-3}"},
  "turn": {"read": {"send": "d 20 23", "lines": ["{motor}: {turn:HEX4.15}"]}, "set": "w {motor} {turn:HEX4.15}"},
  "mount": {"read": {"send": "d 30", "lines": ["30: {mount:HEX4.0-2}"]}, "set": "w 30 {mount:HEX4.0-2}",
            "codes": {"0": [0, 0, 0], "5": [90, 0, 180]}}})";

// Registers, and whatever happens to one as it is written.
struct Registers {
  std::map<std::string, unsigned> held{
      {"20", 0x0305}, {"21", 0x8347}, {"22", 0x0309}, {"23", 0x830B}, {"30", 0x0060}};
  std::function<unsigned(unsigned)> as_written = [](unsigned value) { return value; };

  static std::string shown(const std::string& at, unsigned value) {
    std::array<char, 16> text{};
    std::snprintf(text.data(), text.size(), "%s: %04X\n", at.c_str(), value);
    return text.data();
  }
  std::string answer(const std::string& command) {
    std::string lines;
    if (command.empty()) return lines;
    if (command.starts_with("w ")) {
      const std::string at = command.substr(2, 2);
      held[at] = as_written(static_cast<unsigned>(std::stoul(command.substr(5), nullptr, 16)));
      return shown(at, held[at]);
    }
    for (const auto& [at, value] : held) {
      if (command == "d 30" ? at == "30" : at != "30") lines += shown(at, value);
    }
    return lines;
  }
};

struct Bench {
  Bench()
      : far_side([this](const std::string& command) { return registers.answer(command); }),
        plug(clock, far_side),
        console(plug, load_profile(profile_text_here), clock, sentry) {
    far_side.prompt = "@ ";
    run(console.open());
  }
  solve::Snapshot read() { return run(console.snapshot(4)); }
  void apply(const solve::Change& change) {
    run(console.apply(change, test::write_permit(console.lines_for(change))));
  }
  std::string fault(const std::function<void()>& action) {
    try {
      action();
    } catch (const Fault& found) {
      return found.sentence();
    }
    return {};
  }
  bool wrote() const {
    return std::any_of(far_side.commands.begin(), far_side.commands.end(),
                       [](const std::string& command) { return command.starts_with("w "); });
  }

  Registers registers;
  test::ManualClock clock;
  test::HandConsole far_side;
  test::ScriptedPlug plug;
  test::NotingSentry sentry;
  ProfileConsole console;
};

solve::Change put(int motor, const std::string& pin) {
  return {solve::SetMap{{solve::MapWrite::Kind::put, Motor{motor}, Pin{pin}}, Pin{}}, "because"};
}
solve::Change turned(int motor, craft::Turn to) {
  return {solve::SetTurn{Motor{motor}, Pin{}, solve::TurnKey::motor, craft::opposite(to), to}, "because"};
}
solve::Change mounted(craft::YawPitchRoll to) {
  return {solve::SetMount{{}, to}, "because"};
}

TEST(SharedNumbers, AreReadInTheirParts) {
  Bench bench;
  const solve::Snapshot found = bench.read();
  EXPECT_EQ(found.map.pins[1].name, "7");
  EXPECT_EQ(found.map.pins[3].name, "B");
  EXPECT_EQ(found.turns[0], craft::Turn::cw);
  EXPECT_EQ(found.turns[1], craft::Turn::ccw);
}

TEST(SharedNumbers, KeepTheirOtherBits) {
  Bench bench;
  bench.read();
  bench.apply(put(2, "C"));
  EXPECT_EQ(bench.registers.held["21"], 0x834CU);
  bench.apply(turned(2, craft::Turn::cw));
  EXPECT_EQ(bench.registers.held["21"], 0x034CU);
  bench.apply(mounted({90, 0, 180}));
  EXPECT_EQ(bench.registers.held["30"], 0x0065U);
}

// The person agrees to the very lines: so the second must have the first in it.
TEST(SharedNumbers, AreShownAsTheyWillBeSent) {
  Bench bench;
  bench.read();
  const std::vector<solve::Change> changes{put(2, "C"), turned(2, craft::Turn::cw)};
  const auto lines = bench.console.lines_of_each(changes);
  EXPECT_EQ(lines, (std::vector<std::vector<std::string>>{{"w 21 834C"}, {"w 21 034C"}}));
  const MayWrite permit = test::write_permit({"w 21 834C", "w 21 034C"});
  for (const solve::Change& change : changes) run(bench.console.apply(change, permit));
  EXPECT_EQ(bench.registers.held["21"], 0x034CU);
}

TEST(SharedNumbers, AreNotWrittenUnread) {
  Bench bench;
  EXPECT_NE(bench.fault([&] { bench.console.lines_for(put(2, "C")); }).find("was not read"),
            std::string::npos);
  EXPECT_FALSE(bench.wrote());
}

TEST(SharedNumbers, AreNotWrittenWhereTheOtherBitsChangedMeanwhile) {
  Bench bench;
  bench.read();
  const MayWrite permit = test::write_permit(bench.console.lines_for(put(2, "C")));
  bench.registers.held["21"] = 0x8357;
  EXPECT_NE(bench.fault([&] { run(bench.console.apply(put(2, "C"), permit)); }).find("changed meanwhile"),
            std::string::npos);
  EXPECT_FALSE(bench.wrote());
}

TEST(SharedNumbers, AreWrongWhereAnotherBitIsLostOnTheWay) {
  Bench bench;
  bench.read();
  bench.registers.as_written = [](unsigned value) { return value & ~0x0040U; };
  const std::string said = bench.fault([&] { bench.apply(put(2, "C")); });
  EXPECT_NE(said.find("bits of the number that holds it"), std::string::npos) << said;
}

TEST(SharedNumbers, TakeNoValueThatDoesNotFit) {
  Bench bench;
  bench.read();
  EXPECT_FALSE(bench.fault([&] { bench.apply(put(2, "1C")); }).empty());
  EXPECT_FALSE(bench.fault([&] { bench.apply(put(2, "x")); }).empty());
  EXPECT_FALSE(bench.wrote());
}

TEST(BitsInATemplate, ReadAndWrite) {
  const auto like = Template::parse("{motor} flags {turn:int.5}");
  const auto read = like.match("3 flags 101");
  ASSERT_TRUE(read);
  EXPECT_EQ(read->at("turn"), "1");
  EXPECT_EQ(read->at(held_with("turn")), "101");
  EXPECT_EQ(like.format({{"motor", "3"}, {"turn", "0"}, {held_with("turn"), "101"}}), "3 flags 69");
  EXPECT_THROW(like.format({{"motor", "3"}, {"turn", "0"}}), Fault);
  EXPECT_THROW(like.format({{"motor", "3"}, {"turn", "2"}, {held_with("turn"), "101"}}), Fault);
  EXPECT_EQ(Template::parse("{pin:bin8.4-6}").match("01010011")->at("pin"), "101");
  EXPECT_EQ(Template::parse("{pin:oct4.3-5}").match("0273")->at("pin"), "7");
  EXPECT_EQ(Template::parse("{pin:hex.0-7}").match("ffa3")->at("pin"), "a3");
  for (const char* wrong :
       {"{a:HEX4.7-0}", "{a:word.3}", "{a:int.}", "{a:int.40}", "{a:int.03}", "{a:bin40}", "{a:HEX9}"})
    EXPECT_THROW(Template::parse(wrong), Fault) << wrong;
}

}  // namespace
}  // namespace armwise::console::shared_numbers_test
