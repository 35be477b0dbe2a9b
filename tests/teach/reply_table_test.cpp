// Tables out of replies: worked examples, and random consoles whose replies are read without a hint.
#include "armwise/teach/reply_table.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <map>
#include <random>

#include "support/sweep.hpp"

namespace armwise::teach::reply_table_test {
namespace {

using console::Values;
using Table = std::map<std::string, std::string>;  // "1" -> pin, by motor number; no entry: on none

// What a person is shown: motor numbers and pins.
Table shown(const MapReading& reading, const std::vector<Values>& rows) {
  console::Profile codes;
  codes.codes.first_motor = reading.first_motor;
  for (std::size_t i = 0; i < reading.motor_codes.size(); ++i) {
    codes.codes.motor[static_cast<int>(i) + 1] = reading.motor_codes[i];
  }
  Table table;
  int counted = 0;
  for (const Values& row : rows) {
    ++counted;
    const auto code = row.find("motor");
    const auto motor =
        code == row.end() ? std::optional(craft::Motor{counted}) : codes.motor_coded(code->second);
    if (!motor || row.at("pin") == reading.no_pin) continue;
    table[std::to_string(motor->number)] = row.at("pin");
  }
  return table;
}
Table shown(const MapReading& reading) {
  return shown(reading, reading.rows);
}

const Table plain{{"1", "P1"}, {"2", "P2"}, {"3", "P3"}, {"4", "P4"}};

void expect_first(const Lines& reply, const std::string& line, const Table& table = plain) {
  const auto readings = map_readings(reply);
  ASSERT_FALSE(readings.empty());
  const auto& first = readings.front();
  EXPECT_EQ(first.list.item ? first.list.item->source() : first.list.lines.at(0).source(), line);
  EXPECT_EQ(shown(first), table);
}

TEST(MapReadings, OneLineAMotor) {
  expect_first({"motor 1 drives P1", "motor 2 drives P2", "motor 3 drives P3", "motor 4 drives P4"},
               "motor {motor:int} drives {pin}");
}

TEST(MapReadings, NameEqualsValueFromZero) {
  expect_first({"output.0 = P1", "output.1 = P2", "output.2 = P3", "output.3 = P4"},
               "output.{motor:int} = {pin}");
}

TEST(MapReadings, ByPinWithCodesAndEmptyPins) {
  const Lines reply{"Pin P1 belongs to 101", "Pin P2 belongs to 102", "Pin P3 belongs to 103",
                    "Pin P4 belongs to 104", "Pin P5 belongs to nobody"};
  expect_first(reply, "Pin {pin} belongs to {motor}");
  const MapReading first = map_readings(reply).front();
  EXPECT_EQ(first.kept, solve::MapKept::per_pin);
  EXPECT_TRUE(first.kept_is_sure);
  EXPECT_EQ(first.no_motor, "nobody");
  EXPECT_EQ(first.first_motor, 101);
}

TEST(MapReadings, SeveralOnOneLine) {
  expect_first({"+WL 1:P1 2:P2 3:P3 4:P4"}, "{motor:int}:{pin}");
  expect_first(
      {R"({"re":"map","all":[{"m":1,"pin":"P1"},{"m":2,"pin":"P2"},{"m":3,"pin":"P3"},{"m":4,"pin":"P4"}]})"},
      R"({{"m":{motor:int},"pin":"{pin}")");
}

TEST(MapReadings, PinsAloneAreCounted) {
  const auto readings = map_readings({"pins: P1, P2, P3, P4"});
  ASSERT_FALSE(readings.empty());
  EXPECT_EQ(shown(readings.front()), plain);
}

TEST(MapReadings, PinsAloneInQuotesAreCounted) {
  const auto readings = map_readings({R"(["C7", "C2", "C4", "C6"])", "done"});
  ASSERT_FALSE(readings.empty());
  EXPECT_EQ(shown(readings.front()), (Table{{"1", "C7"}, {"2", "C2"}, {"3", "C4"}, {"4", "C6"}}));
}

TEST(MapReadings, ServosAndLightsAreSomethingElse) {
  const Lines reply{"motor 1 on P1", "motor 2 on P2", "motor 3 on P3", "motor 4 on P4",
                    "servo 1 on P5", "servo 2 on P6", "servo 3 on P7", "light 1 on P8"};
  expect_first(reply, "motor {motor:int} {skip} {pin}");
  EXPECT_EQ(map_readings(reply).front().others.size(), 4U);
}

TEST(MapReadings, LightsBetweenMotorsByPin) {
  expect_first({"P1: motor 1", "P2: light 1", "P3: motor 2", "P4: servo 4", "P5: motor 3", "P6: motor 4"},
               "{pin}: motor {motor:int}", {{"1", "P1"}, {"2", "P3"}, {"3", "P5"}, {"4", "P6"}});
}

TEST(MapReadings, TabsAndTwoBlanksAreOne) {
  expect_first({"motor\t1  drives\tP1", "motor  2 drives P2", "motor 3\t drives P3", "motor 4 drives  P4"},
               "motor {motor:int} drives {pin}");
}

TEST(MapReadings, AThirdColumnIsPassedOver) {
  const auto readings = map_readings({"1 P1 1040", "2 P2 1041", "3 P3 1055", "4 P4 1060"});
  const bool there = std::any_of(readings.begin(), readings.end(), [](const MapReading& each) {
    return each.list.lines.at(0).source() == "{motor:int} {pin} {rest}" && shown(each) == plain;
  });
  EXPECT_TRUE(there);
}

// The motor may be all of it, or its number: both are offered before anything else.
TEST(MapReadings, AMotorsNameOrItsNumber) {
  const auto readings = map_readings({"| M1 | P1 |", "| M2 | P2 |", "| M3 | P3 |", "| M4 | P4 |"});
  ASSERT_GE(readings.size(), 2U);
  EXPECT_EQ(readings[0].list.lines.at(0).source(), "| M{motor:int} | {pin} |");
  EXPECT_EQ(readings[1].list.lines.at(0).source(), "| {motor} | {pin} |");
}

TEST(MapReadings, AMotorInTheNameOfItsSetting) {
  expect_first({"pad_of_m1 L1", "pad_of_m2 L2", "pad_of_m3 L3", "pad_of_m4 L5"}, "pad_of_{motor} {pin}",
               {{"1", "L1"}, {"2", "L2"}, {"3", "L3"}, {"4", "L5"}});
}

TEST(MapReadings, ATableOnItsSide) {
  const Lines reply{"     m1   m2   m3   m4", "pad  T8   T4   T5   T7", "bend -    +    -    -"};
  const auto readings = map_readings(reply);
  ASSERT_FALSE(readings.empty());
  EXPECT_TRUE(readings.front().list.columns);
  EXPECT_EQ(shown(readings.front()), (Table{{"1", "T8"}, {"2", "T4"}, {"3", "T5"}, {"4", "T7"}}));
  const auto turns = turn_readings(reply, {"m1", "m2", "m3", "m4"}, {"T8", "T4", "T5", "T7"});
  ASSERT_FALSE(turns.empty());
  EXPECT_EQ(turns.front().codes, (std::vector<std::string>{"-", "+"}));
}

TEST(MapReadings, SeveralLinesARow) {
  const Lines reply{"motor 1", "on K9",   "uncrossed", "motor 2",  "on K6",
                    "crossed", "motor 3", "on K8",     "uncrossed"};
  const auto readings = map_readings(reply);
  ASSERT_FALSE(readings.empty());
  EXPECT_EQ(shown(readings.front()), (Table{{"1", "K9"}, {"2", "K6"}, {"3", "K8"}}));
  const auto turns = turn_readings(reply, {"1", "2", "3"}, {"K9", "K6", "K8"});
  ASSERT_FALSE(turns.empty());
  EXPECT_EQ(turns.front().codes, (std::vector<std::string>{"uncrossed", "crossed"}));
}

TEST(MapReadings, NothingIsReadOutOfProse) {
  EXPECT_TRUE(map_readings({"no: unknown command", "try help"}).empty());
  EXPECT_TRUE(map_readings({}).empty());
}

TEST(MapReadings, FindsTheMapInThousandsOfLines) {
  Lines reply;
  const int lines = test::sanitized ? 600 : 6000;
  for (int i = 0; i < lines; ++i) {
    if (i == lines / 2) {
      for (int m = 1; m <= 4; ++m)
        reply.push_back("motor " + std::to_string(m) + " drives P" + std::to_string(m));
    }
    reply.push_back("amber_gain_" + std::to_string(i) + " = " + std::to_string(i * 7 % 5000));
  }
  expect_first(reply, "motor {motor:int} drives {pin}");
}

TEST(TurnReadings, OneWordForAllOrTwo) {
  const std::vector<std::string> motors{"1", "2", "3"}, pins{"A1", "A2", "B1"};
  const auto all = turn_readings(
      {"motor 1 turns clockwise", "motor 2 turns clockwise", "motor 3 turns clockwise"}, motors, pins);
  ASSERT_FALSE(all.empty());
  EXPECT_EQ(all.front().list.lines.at(0).source(), "motor {motor:int} turns {turn}");
  const auto two = turn_readings(
      {"direction.A1 = normal", "direction.A2 = reversed", "direction.B1 = normal"}, motors, pins);
  ASSERT_FALSE(two.empty());
  EXPECT_EQ(two.front().list.lines.at(0).source(), "direction.{pin} = {turn}");
  EXPECT_EQ(two.front().key, solve::TurnKey::pin);
  const auto items = turn_readings({"+TL 1:F 2:B 3:F"}, motors, pins);
  ASSERT_FALSE(items.empty());
  EXPECT_EQ(items.front().list.item->source(), "{motor:int}:{turn}");
  EXPECT_EQ(items.front().codes, (std::vector<std::string>{"F", "B"}));
}

TEST(NumberReadings, NamesTellTheOrder) {
  const auto one =
      number_readings({R"({"re":"mount","roll":0.1,"pitch":0.2,"yaw":0.3})"}, {"yaw", "pitch", "roll"});
  ASSERT_FALSE(one.empty());
  EXPECT_TRUE(one.front().named);
  EXPECT_EQ(one.front().values.at("yaw"), "0.3");
  const auto three =
      number_readings({"mount.yaw = 0", "mount.pitch = 900", "mount.roll = -450"}, {"yaw", "pitch", "roll"});
  ASSERT_FALSE(three.empty());
  EXPECT_EQ(three.front().list.lines.size(), 3U);
  EXPECT_EQ(three.front().values.at("roll"), "-450");
  const auto unnamed = number_readings({"+AT 1 2 3"}, {"yaw", "pitch", "roll"});
  ASSERT_FALSE(unnamed.empty());
  EXPECT_FALSE(unnamed.front().named);
}

// --- random consoles -------------------------------------------------------------------------------------

struct Invented {
  std::string head, between_two, tail;  // of a row: head A between B tail
  bool pin_first = false;
  bool one_line = false;
  std::string item_gap, line_head, line_tail;
  int first = 1;
  std::string motor_prefix, pin_prefix;
  std::string nobody;  // by pin: how an unused pin is shown; empty: it is not listed
  std::vector<std::string> pins;
  Lines before, after;
};

class World {
 public:
  explicit World(unsigned seed) : random_(seed) {}
  std::size_t below(std::size_t n) { return std::uniform_int_distribution<std::size_t>(0, n - 1)(random_); }
  std::string one_of(const std::vector<std::string>& all) { return all[below(all.size())]; }

  Invented console() {
    Invented c;
    c.head = one_of({"", "motor ", "output.", "M", "wire ", "m", "<", "channel: ", "map[", "{\"m\":\""});
    c.between_two =
        one_of({" ", " = ", ": ", " on ", " -> ", ",", "=", " drives pin ", "\",\"pin\":\"", "] = "});
    c.tail = one_of({"", "", ";", " ok", " (active)", "\"}", ">"});
    c.pin_first = below(3) == 0;
    // Nothing but the command could tell text that touches a pin's name from the name.
    if (c.pin_first) c.head = one_of({"", "pin ", "Pin ", "<", "pad: ", "{\"pin\":\""});
    c.one_line = below(4) == 0;
    c.item_gap = one_of({" ", ", ", "; ", ",", " | "});
    c.line_head = one_of({"", "map: ", "+WL ", "{\"all\":["});
    c.line_tail = one_of({"", " done", "]}"});
    c.first = static_cast<int>(below(3));
    if (c.first == 2) c.first = 101;
    const std::string style = one_of({"P", "A", "pa-", "x.", "", "out"});
    for (int i = 1; i <= 8; ++i) c.pins.push_back(style + std::to_string(style.empty() ? 20 + i : i));
    if (c.pin_first && below(2) == 0 && !style.empty()) c.nobody = one_of({"nobody", "none", "free"});
    if (below(3) == 0) c.before = {"Outputs of this board", "----"};
    if (below(3) == 0) c.after = {"servo 1 at P30", "servo 2 at P31", "light 1 at P32"};
    return c;
  }

  // motor i+1 on pin places[i]
  std::vector<std::size_t> wiring(const Invented& c) {
    std::vector<std::size_t> places(c.pins.size());
    for (std::size_t i = 0; i < places.size(); ++i) places[i] = i;
    std::shuffle(places.begin(), places.end(), random_);
    places.resize(4 + below(3));
    return places;
  }

 private:
  std::mt19937 random_;
};

Table truth_of(const Invented& c, const std::vector<std::size_t>& places) {
  Table table;
  for (std::size_t i = 0; i < places.size(); ++i) table[std::to_string(i + 1)] = c.pins[places[i]];
  return table;
}

Lines reply_of(const Invented& c, const std::vector<std::size_t>& places) {
  Lines rows;
  const auto row = [&](const std::string& motor, const std::string& pin) {
    rows.push_back(c.head + (c.pin_first ? pin : motor) + c.between_two + (c.pin_first ? motor : pin) +
                   c.tail);
  };
  const auto code = [&](std::size_t i) { return std::to_string(c.first + static_cast<int>(i)); };
  if (c.pin_first) {
    for (std::size_t pin = 0; pin < c.pins.size(); ++pin) {
      const auto on = std::find(places.begin(), places.end(), pin);
      if (on != places.end()) {
        row(code(static_cast<std::size_t>(on - places.begin())), c.pins[pin]);
      } else if (!c.nobody.empty()) {
        row(c.nobody, c.pins[pin]);
      }
    }
  } else {
    for (std::size_t i = 0; i < places.size(); ++i) row(code(i), c.pins[places[i]]);
  }
  Lines reply = c.before;
  if (c.one_line) {
    std::string line = c.line_head;
    for (std::size_t i = 0; i < rows.size(); ++i) line += (i > 0 ? c.item_gap : "") + rows[i];
    reply.push_back(line + c.line_tail);
  } else {
    reply.insert(reply.end(), rows.begin(), rows.end());
  }
  reply.insert(reply.end(), c.after.begin(), c.after.end());
  return reply;
}

// A person says "yes, that is right" to a table that is; then it must stay right for every other wiring,
// or be seen to fail (a motor missing), never show a motor on a wrong pin.
TEST(MapReadings, WhatAPersonAcceptsStaysRight) {
  World world(42);
  int found = 0, first = 0, accepted = 0, same_later = 0, seen_to_fail = 0;
  constexpr int consoles = 2000;
  for (int i = 0; i < consoles; ++i) {
    const Invented c = world.console();
    const auto places = world.wiring(c);
    const Table truth = truth_of(c, places);
    const auto readings = map_readings(reply_of(c, places));
    bool any = false;
    for (const MapReading& reading : readings) {
      if (shown(reading) != truth) continue;
      if (&reading == &readings.front()) ++first;
      any = true;
      for (int k = 0; k < 3; ++k) {
        auto later = world.wiring(c);
        later.resize(std::min(later.size(), places.size()));
        const Table wanted = truth_of(c, later);
        const Lines reply = reply_of(c, later);
        const Table read = shown(reading, rows_read(reading.list, reply, false));
        ++accepted;
        ++(read == wanted ? same_later : seen_to_fail);
        for (const auto& [motor, pin] : read) {
          ASSERT_TRUE(wanted.contains(motor) && wanted.at(motor) == pin)
              << "motor " << motor << " read on " << pin << " by "
              << (reading.list.item ? reading.list.item->source() : reading.list.lines[0].source()) << " in\n"
              << reply.front() << " …";
        }
      }
    }
    if (any) ++found;
  }
  EXPECT_GT(found, consoles * 99 / 100) << found;
  EXPECT_GT(first, consoles * 95 / 100) << first;
  EXPECT_GT(same_later, accepted * 97 / 100) << same_later << " of " << accepted;
  RecordProperty("found", found);
  RecordProperty("first", first);
}

// Which words were offered, and which of them are the turn.
std::vector<std::string> words_offered(const Lines& reply, const std::vector<std::string>& motors,
                                       const std::vector<std::string>& pins) {
  std::vector<std::string> words;
  for (const TurnReading& reading : turn_readings(reply, motors, pins)) {
    std::string codes;
    for (const std::string& code : reading.codes) codes += (codes.empty() ? "" : "/") + code;
    words.push_back(codes);
  }
  return words;
}

// Seven were offered for the first of these, one five times over, and twelve for others.
TEST(TurnReadings, OfferEachWordOnceAndNoWordThatIsOnlyInTheSentence) {
  const std::vector<std::string> motors{"1", "2", "3"}, pins{"P1", "P2", "P3"};
  using Words = std::vector<std::string>;
  EXPECT_EQ(words_offered({"motor 1 drives P1", "motor 2 drives P2", "motor 3 drives P3",
                           "motor 1 turns clockwise", "motor 2 turns clockwise", "motor 3 turns clockwise"},
                          motors, pins),
            Words{"clockwise"});
  EXPECT_EQ(words_offered({R"({"re":"turn","m":1,"way":1})", R"({"re":"turn","m":2,"way":1})",
                           R"({"re":"turn","m":3,"way":1})"},
                          motors, pins),
            Words{"1"});
  EXPECT_EQ(words_offered({"| M1 | right |", "| M2 | right |", "| M3 | right |"}, {"M1", "M2", "M3"}, pins),
            Words{"right"});
  EXPECT_EQ(words_offered({"output 1 is wired to P1", "output 2 is wired to P2", "output 3 is wired to P3",
                           "output 1 goes sunwise", "output 2 goes sunwise", "output 3 goes sunwise"},
                          motors, pins),
            (Words{"sunwise", "goes"}));
}

// A word that stands in the place of a sentence's, but differs from motor to motor, or is known for a turn.
TEST(TurnReadings, OfferTheTurnWhereverItStands) {
  const std::vector<std::string> motors{"1", "2", "3"}, pins{"P1", "P2", "P3"};
  using Words = std::vector<std::string>;
  EXPECT_EQ(words_offered({"amber for motor 1", "beige for motor 2", "beige for motor 3"}, motors, pins),
            Words{"amber/beige"});
  EXPECT_EQ(words_offered({"cw for motor 1", "cw for motor 2", "cw for motor 3"}, motors, pins), Words{"cw"});
}

// No better word: so they are offered all the same, and nothing is proposed by them.
TEST(TurnReadings, WithNothingBetterAreDoubtful) {
  const auto readings =
      turn_readings({"Pin P1 belongs to 101", "Pin P2 belongs to 102", "Pin P3 belongs to 103"},
                    {"101", "102", "103"}, {"P1", "P2", "P3"});
  ASSERT_FALSE(readings.empty());
  for (const TurnReading& reading : readings) EXPECT_TRUE(reading.doubtful) << reading.codes.front();
}

TEST(Numbers, WithUnitsOrNamesThatTouchThem) {
  const auto degrees = number_readings({"seat 90\u00b0 0\u00b0 \u2212270\u00b0"}, {"yaw", "pitch", "roll"});
  ASSERT_EQ(degrees.size(), 1U);
  EXPECT_EQ(degrees[0].values, (Values{{"yaw", "90"}, {"pitch", "0"}, {"roll", "-270"}}));
  const auto named = number_readings({"y90 p0 r-180"}, {"yaw", "pitch", "roll"});
  ASSERT_EQ(named.size(), 1U);
  EXPECT_EQ(named[0].list.lines.at(0).source(), "y{yaw} p{pitch} r{roll}");
  EXPECT_EQ(named[0].values.at("roll"), "-180");
}

// An answer for each motor that does not say whose it is.
TEST(Turns, OfEachMotorWhereNoneIsNamed) {
  const auto readings = turns_of_each({{"'on'"}, {"'back'"}, {"'on'"}}, {"1", "2", "3"});
  ASSERT_FALSE(readings.empty());
  EXPECT_EQ(readings[0].list.lines.at(0).source(), "'{turn}'");
  EXPECT_EQ(readings[0].rows.at(1), (Values{{"motor", "2"}, {"turn", "back"}}));
  EXPECT_TRUE(turns_of_each({{"a"}, {"b"}, {"c"}}, {"1", "2", "3"}).empty());
}

std::map<std::string, std::string> pins_of(const MapReading& reading) {
  std::map<std::string, std::string> pins;
  for (const Values& row : reading.rows) pins[row.at("motor")] = row.at("pin");
  return pins;
}

// As in tests/consoles/quince: noughts in front, pins in base 16, and a foot that reads like a motor's row.
TEST(Maps, WithNoughtsInFrontAndAFoot) {
  const Lines reply{"CHAN  PORT  ROT  TRIM",  "  01    E4    +   0000", "  02    EC    +   0011",
                    "  03    F0    -   0022", "  04    E6    +   000B", "04 CHANNELS"};
  const auto readings = map_readings(reply);
  ASSERT_FALSE(readings.empty());
  EXPECT_EQ(pins_of(readings[0]),
            (std::map<std::string, std::string>{{"01", "E4"}, {"02", "EC"}, {"03", "F0"}, {"04", "E6"}}));
  EXPECT_EQ(readings[0].rows.size(), 4U);
  EXPECT_EQ(readings[0].no_pin, "") << "EC is a number, too";
  EXPECT_EQ(readings[0].motor_codes.at(7), "08");
  EXPECT_EQ(readings[0].list.lines.front().source(), "{skip} CHANNELS");
}

TEST(Maps, CountedInAnyWay) {
  const std::vector<std::vector<std::string>> ways{{"A", "B", "C", "D"},     {"m1", "m2", "m3", "m4"},
                                                   {"#1", "#2", "#3", "#4"}, {"m01", "m02", "m03", "m04"},
                                                   {"07", "08", "09", "0A"}, {"08", "09", "10", "11"}};
  for (const std::vector<std::string>& codes : ways) {
    const std::size_t end = codes[0].size();
    const Lines reply{codes[0] + " K4", codes[1] + " K9", codes[2] + " K1", codes[3] + " K6"};
    const auto reading = map_like({{reply[0], {{"motor", {0, end}}, {"pin", {end + 1, end + 3}}}}}, reply);
    ASSERT_TRUE(reading) << codes[0];
    ASSERT_GE(reading->motor_codes.size(), codes.size()) << codes[0];
    for (std::size_t i = 0; i < codes.size(); ++i) EXPECT_EQ(reading->motor_codes[i], codes[i]);
  }
}

// As in tests/consoles/tansy, with lines that not every section has.
const Lines in_sections{"[drive.1]", "output = \"right:3\"", "invert = false", "limit = 0.90",
                        "[drive.2]", "output = \"left:1\"",  "invert = true",  "limit = 0.89",
                        "[drive.3]", "output = \"left:4\"",  "limit = 0.88",   "invert = false",
                        "[servo.1]", "output = \"left:7\"",  "-- 0 done"};
const std::map<std::string, std::string> of_sections{{"1", "right:3"}, {"2", "left:1"}, {"3", "left:4"}};

TEST(Maps, InSectionsAreReadUnderTheirHeadings) {
  const auto readings = map_readings(in_sections);
  ASSERT_FALSE(readings.empty());
  EXPECT_EQ(pins_of(readings[0]), of_sections);
  EXPECT_EQ(readings[0].list.headings.at(0).source(), "[drive.{motor:int}]");
  EXPECT_EQ(readings[0].list.headings.at(1).source(), "[{skip}]") << "the servo's is another one's";
  EXPECT_EQ(end_of_section(in_sections, 0), 4U);
}

TEST(Maps, InSectionsOfLinesWithoutNames) {
  const Lines reply{"motor 1", "  80", "  K9", "motor 2", "  90", "  K6", "motor 3", "  85", "  K1"};
  Pointed example{reply[0], {{"motor", {6, 7}}}};
  example.below.push_back({reply[2], {{"pin", {2, 4}}}});
  const auto reading = map_like({example}, reply);
  ASSERT_TRUE(reading);
  EXPECT_EQ(pins_of(*reading), (std::map<std::string, std::string>{{"1", "K9"}, {"2", "K6"}, {"3", "K1"}}));
}

// The number may end the section: what comes first is its heading.
TEST(Maps, InSectionsThatEndWithTheMotor) {
  Pointed example{"pin K9", {{"pin", {4, 6}}}};
  example.below.push_back({"drives 1", {{"motor", {7, 8}}}});
  const auto reading =
      map_like({example}, {"pin K9", "drives 1", "pin K6", "drives 2", "pin K1", "drives none"});
  ASSERT_TRUE(reading);
  EXPECT_EQ(pins_of(*reading).at("2"), "K6");
  EXPECT_EQ(reading->kept, solve::MapKept::per_pin);
}

TEST(Turns, InSectionsAreReadUnderTheirHeadings) {
  const auto readings = turn_readings(in_sections, {"1", "2", "3"}, {"right:3", "left:1", "left:4"});
  ASSERT_FALSE(readings.empty());
  EXPECT_EQ(readings[0].key, solve::TurnKey::motor);
  EXPECT_EQ(readings[0].rows.at(1), (Values{{"motor", "2"}, {"turn", "true"}}));
}

// As in tests/consoles/juniper.
TEST(Maps, WhatAllPinsHaveInCommonIsNoPartOfTheirNames) {
  Lines reply;
  int n = 0;
  for (const std::string pad : {"J1a", "J1b", "J2a", "J2b", "J3a", "J3b", "J4a", "J4b", "J5a", "J5b"}) {
    const std::map<std::string, std::string> drives{
        {"J1a", "m2"}, {"J2a", "m1"}, {"J3b", "m4"}, {"J4a", "m3"}, {"J1b", "lamp"}};
    const auto on = drives.find(pad);
    reply.push_back("/out/" + pad + "/drives      " + (on == drives.end() ? "none" : on->second));
    reply.push_back("/out/" + pad + "/sense       " + (++n % 2 == 0 ? "rev" : "fwd"));
    reply.push_back("/out/" + pad + "/ma          " + std::to_string((n - 1) * 3 % 7));
  }
  const auto readings = map_readings(reply, 3);
  ASSERT_FALSE(readings.empty());
  EXPECT_EQ(pins_of(readings[0]).at("m1"), "J2a");
  EXPECT_EQ(readings[0].no_motor, "none");
}

// Consoles of strangers (tests/consoles: hazel, reed, yarrow, teasel). What two lines would read, bench
// refuses.
TEST(Numbers, InALineThatIsBuiltLikeAnother) {
  const auto readings = number_readings({"      7     -2  -4103", "      1     -3      0"}, {"x", "y", "z"});
  ASSERT_FALSE(readings.empty());
  EXPECT_EQ(readings[0].values, (Values{{"x", "7"}, {"y", "-2"}, {"z", "-4103"}}));
  EXPECT_EQ(readings[0].list.lines.at(1).source(), "{skip:decimal} {skip:decimal} {skip:decimal}");
  EXPECT_EQ(values_read(readings[0].list, {"12 0 -4090", "0 0 0"}).at("z"), "-4090");
}

TEST(Numbers, OneBelowTheOther) {
  const Lines reply{"40 0 board yaw, 0.1 deg *4A", "41 200 board pitch, 0.1 deg *1B",
                    "42 1800 board roll, 0.1 deg *2C"};
  const auto readings = number_readings(reply, {"yaw", "pitch", "roll"}, 64);
  const Values wanted{{"yaw", "0"}, {"pitch", "200"}, {"roll", "1800"}};
  EXPECT_TRUE(
      std::any_of(readings.begin(), readings.end(), [&](const auto& each) { return each.values == wanted; }));
}

TEST(Turns, MayBeArrowsOrStandBeforeAComma) {
  const auto arrows = turn_readings(
      {"| 1 | m1 | K4 | <- | 360 |", "| 2 | m2 | K9 | -> | 400 |", "| 3 | m3 | K3 | <- | 440 |"},
      {"m1", "m2", "m3"}, {"K4", "K9", "K3"});
  ASSERT_FALSE(arrows.empty());
  EXPECT_EQ(arrows[0].codes, (std::vector<std::string>{"<-", "->"}));
  const auto words = turn_readings(
      {"Motor 1: Anschluss B3, Lauf verkehrt, 400 Hz", "Motor 2: Anschluss B5, Lauf verkehrt, 350 Hz",
       "Motor 3: Anschluss B1, Lauf verkehrt, 400 Hz"},
      {"1", "2", "3"}, {"B3", "B5", "B1"}, 24);
  const auto is_word = [](const TurnReading& each) {
    return each.codes == std::vector<std::string>{"verkehrt"};
  };
  EXPECT_TRUE(std::any_of(words.begin(), words.end(), is_word));
  EXPECT_TRUE(std::none_of(words.begin(), words.end(),
                           [](const auto& each) { return each.codes[0].ends_with(','); }));
}

}  // namespace
}  // namespace armwise::teach::reply_table_test
