// Consoles without a word that stops all motors, where each has a stop of its own; and consoles in which an
// open bracket takes whatever comes for more of it, a stop too. No source: so do interpreters that people
// talk to.
#include <gtest/gtest.h>

#include <algorithm>
#include <map>
#include <memory>
#include <set>
#include <string>
#include <utility>
#include <vector>

#include "armwise/base/fault.hpp"
#include "armwise/console/conversation.hpp"
#include "armwise/console/profile_console.hpp"
#include "support/scripted_plug.hpp"
#include "support/sworn.hpp"

namespace armwise::console::stop_each_test {
namespace {

using craft::Motor;
using test::run;

// "spin 2 6" and "halt 2"; a bracket that is left open makes it go on until Ctrl-C or an empty line.
class Interpreter : public test::FarSide {
 public:
  bool empty_line_gets_out = true, key_gets_out = true;
  std::set<int> turning;
  std::map<int, int> unheard;  // so many stops of this motor
  std::set<int> no_word;       // their stop is carried out, and not confirmed
  std::vector<std::string> lines;
  bool open = false;

  std::vector<test::Chunk> receive(std::string_view bytes) override {
    std::string out;
    for (const char c : bytes) {
      if (c == '\x03' && key_gets_out) {
        typed_.clear();
        open = false;
        out += "^C\r\n> ";
      } else if (c == '\r') {
        out += "\r\n" + heard(std::exchange(typed_, {}));
      } else if (c >= ' ') {
        typed_ += c;
        out += c;
      }
    }
    return {{out, {}}};
  }

 private:
  std::string heard(const std::string& line) {
    lines.push_back(line);
    if (open && line.empty() && empty_line_gets_out) open = false;
    open = open || line.find('(') != std::string::npos;
    if (open) return "... ";
    return answer(line) + "> ";
  }
  std::string answer(const std::string& line) {
    if (line.empty()) return "";
    if (line.starts_with("say ")) return "said " + line.substr(4) + "\r\n";
    if (line.starts_with("spin ")) turning.insert(line.at(5) - '0');
    if (line.starts_with("spin ")) return "spins " + line.substr(5) + "\r\n";
    if (!line.starts_with("halt ")) return "no: " + line + "\r\n";
    const int motor = line.at(5) - '0';
    if (unheard[motor]-- > 0) return "";
    turning.erase(motor);
    return no_word.contains(motor) ? "" : "halted " + line.substr(5) + "\r\n";
  }
  std::string typed_;
};

Profile spoken(int motors) {
  std::string stops;
  for (int motor = 1; motor <= motors; ++motor)
    stops += (motor > 1 ? ", " : "") + ("\"halt " + std::to_string(motor)) + "\"";
  return load_profile(R"({"armwise_profile": 1, "name": "interpreter",
    "open": {"prompt": "> ", "line_ending": "cr", "echo": true,
             "barrier": {"send": "say {word}", "lines": ["said {word}"]}},
    "refusals": ["no: {rest}"],
    "spin": {"spin": {"send": "spin {motor} {strength}", "confirms": "spins {motor} {strength}"},
             "stop": {"send": "halt {motor}", "confirms": "halted {motor}"},
             "stop_all": [)" +
                      stops + R"(], "full": 100, "standard": 6, "highest": 12}})");
}

struct Spoken {
  explicit Spoken(Profile profile) : console(plug, std::move(profile), clock, sentry) { run(console.open()); }
  test::ManualClock clock;
  Interpreter far_side;
  test::ScriptedPlug plug{clock, far_side};
  test::NotingSentry sentry;
  ProfileConsole console;
};

TEST(StopOfEach, NamesItsMotors) {
  EXPECT_EQ(spoken(4).motors_stopped_one_by_one(),
            (std::vector<Motor>{Motor{1}, Motor{2}, Motor{3}, Motor{4}}));
  Profile with_a_gap = spoken(3);
  with_a_gap.spin->stop_all.steps.erase(with_a_gap.spin->stop_all.steps.begin() + 1);
  EXPECT_EQ(with_a_gap.motors_stopped_one_by_one(), (std::vector<Motor>{Motor{1}, Motor{3}}));
  EXPECT_EQ(stop_lines(spoken(2)), "halt 1\rhalt 2\r");
  EXPECT_EQ(stop_words(spoken(12)).times, 12);
}

TEST(StopWords, AreNoneThatMayComeUnasked) {
  Profile talks = spoken(2);
  const std::string words = stop_words(talks).text;
  talks.open.unasked = {Template::parse("link idle {skip:digits}")};
  EXPECT_EQ(stop_words(talks).text, words);
  EXPECT_EQ(stop_words(talks).times, 2);
  // The prompt may be said again behind such a line; the line that ends every reply is not.
  talks.spin->stop->confirms.reset();
  EXPECT_EQ(stop_words(talks).times, StopWords::never);
  talks.open.reply_end = Template::parse("{skip:text} done");
  EXPECT_EQ(stop_words(talks).text, "done");
  EXPECT_EQ(stop_words(talks).times, 0);
  talks.open.unasked.push_back(Template::parse("job {skip:digits} done"));
  EXPECT_EQ(stop_words(talks).times, StopWords::never);
  talks = spoken(2);
  talks.open.unasked = {Template::parse("log: {skip}")};
  EXPECT_EQ(stop_words(talks).times, StopWords::never) << "any word may stand there";
}

// A defect found: a stop that was learned on a quad named four motors on a hexa, and it could not be benched.
TEST(StopOfEach, IsSaidToAsManyMotorsAsTheCraftHas) {
  Profile hexa = spoken(4);
  stop_each_of(hexa, 6);
  EXPECT_EQ(hexa.motors_stopped_one_by_one().size(), 6U);
  EXPECT_TRUE(stop_lines(hexa).ends_with("halt 5\rhalt 6\r"));
  stop_each_of(hexa, 4);
  EXPECT_EQ(stop_words(hexa).times, 6) << "none is left out again";
  Profile of_numbers_only = spoken(4);
  of_numbers_only.spin->stop.reset();
  stop_each_of(of_numbers_only, 6);
  EXPECT_EQ(stop_lines(of_numbers_only), stop_lines(spoken(4))) << "nobody said how one is stopped";
}

// Fails where the first confirmation is taken for that of all.
TEST(StopOfEach, CountsOnceEveryMotorHasConfirmed) {
  for (int lost = 1; lost <= 4; ++lost) {
    for (int turns = 1; turns <= 4; ++turns) {
      Spoken on(spoken(4));
      run(on.console.spin(Motor{turns}, 6, Duration{300}, test::sworn_permit()));
      ASSERT_EQ(on.far_side.turning, std::set<int>{turns});
      on.far_side.unheard[lost] = 1;
      const TellUnstopped nobody;
      const Instant began = on.clock.now();
      EXPECT_FALSE(run(on.console.stop_all(nobody)));
      EXPECT_TRUE(on.far_side.turning.empty()) << "motor " << turns << ", lost that of " << lost;
      EXPECT_LE(on.clock.now() - began, Duration{1000});
    }
  }
}

TEST(StopOfEach, OfWhichOneIsNeverConfirmedIsNone) {
  Spoken on(spoken(4));
  run(on.console.spin(Motor{3}, 6, Duration{300}, test::sworn_permit()));
  on.far_side.no_word.insert(2);
  int told = 0;
  const TellUnstopped tell = [&](const Unstopped&) { ++told; };
  try {
    run(on.console.stop_all(tell));
    ADD_FAILURE() << "motor 2 has confirmed nothing";
  } catch (const Fault& fault) {
    EXPECT_EQ(fault.kind(), FaultKind::unsafe);
  }
  EXPECT_GT(told, 5);
}

// The longest that the motor goes on turning, from the stop on.
Duration stopped_within(Spoken& on) {
  run(on.console.spin(Motor{2}, 6, Duration{300}, test::sworn_permit()));
  on.far_side.open = true;
  const Instant began = on.clock.now();
  Instant off{0};
  const TellUnstopped nobody;
  run(on.console.stop_all(nobody));
  off = on.clock.now();
  EXPECT_TRUE(on.far_side.turning.empty());
  return off - began;
}

// A defect found: a motor turned on for 1.3 s while the tool waited for silence in an open bracket.
TEST(OpenBracket, IsGotOutOfByAnEmptyLineAtTheSecondStop) {
  Spoken on(spoken(3));
  on.far_side.key_gets_out = false;
  EXPECT_LE(stopped_within(on), Duration{300});
}

TEST(OpenBracket, IsGotOutOfAtTheFirstStopWhereTheProfileKnowsHow) {
  for (const std::string way : {"\x03", ""}) {
    Profile profile = spoken(3);
    profile.open.abandon = way;
    Spoken on(profile);
    on.far_side.key_gets_out = !way.empty();
    on.far_side.empty_line_gets_out = way.empty();
    EXPECT_LE(stopped_within(on), Duration{20});
    EXPECT_EQ(load_profile(profile_text(profile)), profile);
  }
}

// What a session before has left open.
TEST(OpenBracket, IsGotOutOfWhenTheConsoleIsOpened) {
  Profile profile = spoken(3);
  profile.open.abandon = "\x03";
  Spoken on(profile);
  on.far_side.empty_line_gets_out = false;
  on.far_side.open = true;
  run(on.console.open());
  EXPECT_FALSE(on.far_side.open);
}

TEST(OpenBracket, IsGotOutOfByNoOtherKey) {
  const std::string text = profile_text(spoken(1));
  const auto with = [&](const std::string& json) {
    std::string changed = text;
    return changed.replace(changed.find("\"line_ending\""), 0, "\"abandon\": " + json + ", ");
  };
  for (const char* fine : {R"("\u0003")", R"("\u0015")", R"("\u0018")", R"("")", R"("cancel")"})
    EXPECT_NO_THROW(load_profile(with(fine))) << fine;
  for (const char* refused : {R"("\u0004")", R"("\u001b")", R"("\u0003\u0003")", R"("x\u0003")", R"("\r")",
                              R"("spin 2 6")", R"("\u007f")"})
    EXPECT_THROW(load_profile(with(refused)), Fault) << refused;
}

// A console that nobody has recognised yet is sent no key.
TEST(OpenBracket, OfAConsoleThatIsNotKnownIsLeftAlone) {
  Profile profile = spoken(1);
  profile.open.abandon = "\x03";
  EXPECT_EQ(spoiled_line_end(profile), "\x03" + plainly_spoiled_line_end(profile));
  EXPECT_EQ(plainly_spoiled_line_end(profile).find('\x03'), std::string::npos);
  profile.open.abandon = "";
  EXPECT_EQ(spoiled_line_end(profile), plainly_spoiled_line_end(profile) + "\r");
}

}  // namespace
}  // namespace armwise::console::stop_each_test
