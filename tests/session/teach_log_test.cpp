// Profiles prepared from saved console sessions: the logs were saved on the practice craft.
#include <gtest/gtest.h>

#include <algorithm>
#include <boost/asio/co_spawn.hpp>
#include <boost/asio/io_context.hpp>
#include <fstream>
#include <sstream>

#include "armwise/base/fault.hpp"
#include "armwise/base/task.hpp"
#include "armwise/base/text.hpp"
#include "armwise/console/conversation.hpp"
#include "armwise/practice/controller.hpp"
#include "armwise/session/teach.hpp"
#include "armwise/teach/saved_session.hpp"

namespace armwise::test {
namespace {

std::string log_of(const std::string& dialect) {
  std::ifstream in(std::string(ARMWISE_FIXTURES) + "/conversations/logs/" + dialect + ".log");
  std::ostringstream text;
  text << in.rdbuf();
  return text.str();
}

// Takes the command that stands in `takes` for a question, or none.
class LogReader : public session::Person {
 public:
  Task<session::Answer> ask(const session::Question& question) override {
    if (question.id == "right") {
      const bool wanted = question.text.find(pair) != std::string::npos ||
                          question.text.find("as the console writes them: " + table) != std::string::npos ||
                          std::any_of(truths.begin(), truths.end(), [&](const std::string& truth) {
                            return question.text.find(truth) != std::string::npos;
                          });
      co_return session::Answer(std::string(wanted ? "yes" : "no"));
    }
    if (answers.contains(question.id)) co_return session::Answer(answers.at(question.id));
    if (question.kind == session::Question::Kind::text) co_return session::Answer(std::string("skip"));
    const std::string wanted = takes.contains(question.id) ? takes.at(question.id) : "nothing";
    for (const session::Choice& choice : question.choices) {
      if (choice.words.starts_with(wanted + " (")) co_return session::Answer(choice.key);
    }
    co_return session::Answer(std::string("none"));
  }
  void tell(const session::Statement& statement) override { told.push_back(statement.text); }
  Task<bool> interrupted(craft::Motor, Duration) override { co_return false; }

  std::map<std::string, std::string> takes;
  std::map<std::string, std::string> answers;  // keys of choices, and texts
  std::vector<std::string> truths;             // what is said "yes" to
  std::string table, pair = "no pair";
  std::vector<std::string> told;
};

struct Prepared {
  std::optional<console::Profile> profile;
  std::optional<Fault> fault;
};

Prepared prepare(const std::string& log, LogReader& reader) {
  Prepared prepared;
  boost::asio::io_context loop;
  session::TeachOptions options;
  options.name = "prepared";
  std::exception_ptr trouble;
  boost::asio::co_spawn(loop, session::teach_from_log(log, reader, options),
                        [&](std::exception_ptr error, const session::TeachResult& result) {
                          trouble = error;
                          if (!error) prepared.profile = result.profile;
                        });
  loop.run();
  try {
    if (trouble) std::rethrow_exception(trouble);
  } catch (const Fault& fault) {
    prepared.fault = fault;
  }
  return prepared;
}

void expect_same_commands(const console::Profile& prepared, const console::Profile& known) {
  const auto first = [](const console::Steps& steps) { return steps.front().send.source(); };
  EXPECT_EQ(prepared.open.prompt, known.open.prompt);
  ASSERT_TRUE(prepared.identify && prepared.whole_configuration && prepared.map && prepared.map->put &&
              prepared.turn && prepared.sense && prepared.leave);
  EXPECT_EQ(first(prepared.identify->steps), first(known.identify->steps));
  EXPECT_EQ(first(prepared.whole_configuration->steps), first(known.whole_configuration->steps));
  EXPECT_EQ(first(prepared.map->list.steps), first(known.map->list.steps));
  EXPECT_EQ(first(prepared.map->put->steps), first(known.map->put->steps));
  EXPECT_EQ(first(prepared.turn->read.steps), first(known.turn->read.steps));
  EXPECT_EQ(first(prepared.sense->read.steps), first(known.sense->read.steps));
  EXPECT_TRUE(prepared.prepared);
}

TEST(TeachFromLog, OfSentences) {
  LogReader reader;
  reader.takes = {{"identify", "who are you"},   {"whole-configuration", "tell everything"},
                  {"list-map", "tell wiring"},   {"assign-pin", "wire motor 2 to P2"},
                  {"read-turn", "tell turning"}, {"read-mount", "tell mount"},
                  {"sense", "tell feel"},        {"keep", "keep it"},
                  {"leave", "goodbye"}};
  reader.table = "1 on P1, 2 on P2, 3 on P3, 4 on P4";
  reader.pair = "motor 2 is put on pin P2 by \"wire motor {motor} to {pin}\"";
  const Prepared prepared = prepare(log_of("tarn"), reader);
  ASSERT_TRUE(prepared.profile);
  expect_same_commands(*prepared.profile,
                       console::load_profile_file(std::string(ARMWISE_FIXTURES) + "/profiles/tarn.json"));
  EXPECT_TRUE(prepared.profile->mount && prepared.profile->keep);
}

TEST(TeachFromLog, OfLettersAndCommas) {
  LogReader reader;
  reader.takes = {{"identify", "ID"},        {"whole-configuration", "RA"}, {"list-map", "WL"},
                  {"assign-pin", "WM,2,P2"}, {"read-turn", "TL"},           {"sense", "AC"}};
  reader.table = "1 on P1, 2 on P2, 3 on P3, 4 on P4";
  reader.pair = "motor 2 is put on pin P2 by \"WM,{motor},{pin}\"";
  const Prepared prepared = prepare(log_of("moor"), reader);
  ASSERT_TRUE(prepared.profile);
  EXPECT_EQ(prepared.profile->open.prompt, "moor:");
  ASSERT_TRUE(prepared.profile->map && prepared.profile->map->put && prepared.profile->turn);
  EXPECT_EQ(prepared.profile->map->put->steps.front().send.source(), "WM,{motor},{pin}");
  EXPECT_EQ(prepared.profile->map->list.steps.front().send.source(), "WL");
}

TEST(TeachFromLog, OfPaths) {
  LogReader reader;
  reader.takes = {{"identify", "/who"},   {"whole-configuration", "/all"},
                  {"list-map", "/out"},   {"assign-pin", "/out/M2 <- P2"},
                  {"read-turn", "/turn"}, {"sense", "/force"},
                  {"keep", "/store"},     {"leave", "/exit"}};
  reader.table = "M1 on P1, M2 on P2, M3 on P3, M4 on P4";
  reader.pair = "motor M2 is put on pin P2 by \"/out/{motor} <- {pin}\"";
  const Prepared prepared = prepare(log_of("larch"), reader);
  ASSERT_TRUE(prepared.profile);
  expect_same_commands(*prepared.profile, console::load_profile_file(std::string(ARMWISE_FIXTURES) +
                                                                     "/dialects-for-teaching/larch.json"));
  EXPECT_TRUE(prepared.profile->keep);
}

// A session as a terminal saves it: what the practice craft says while these commands are typed.
std::string typed_into(const console::Profile& profile, const std::vector<std::string>& commands) {
  practice::PracticeCraft craft = practice::seeded_craft(*craft::frame_named("quad-x"), 3);
  practice::PracticeController controller(profile, craft);
  Instant now{0};
  std::string log;
  for (const std::string& command : commands) {
    now += Duration(2000);
    log += controller.take(now);
    controller.receive(command + std::string(console::line_end_of(profile)), now);
  }
  return log + controller.take(now + Duration(2000));
}

console::Profile known_profile(const std::string& file) {
  return console::load_profile_file(std::string(ARMWISE_FIXTURES) + "/" + file + ".json");
}

std::string first(const std::optional<console::Command>& command) {
  return command ? command->steps.front().send.source() : std::string();
}

TEST(TeachFromLog, HoldsSettingsStopAndSpinOfSentences) {
  const console::Profile known = known_profile("profiles/tarn");
  const std::string log = typed_into(
      known, {"tell wiring", "wire motor 2 to P2", "wire motor 4 to nothing", "wire motor 4 to P4",
              "tell props", "sweep props outward", "tell turning", "turn motor 3 flipped", "tell mount",
              "mount at yaw 0 pitch 0 roll 0", "spin motor 2 at 6 for 1000", "halt every motor", "goodbye"});
  LogReader reader;
  reader.takes = {{"list-map", "tell wiring"},
                  {"assign-pin", "wire motor 2 to P2"},
                  {"free-pin", "wire motor 4 to nothing"},
                  {"read-props", "tell props"},
                  {"props-word", "inward"},
                  {"props-in-command", "sweep props outward"},
                  {"read-turn", "tell turning"},
                  {"set-turn-cw", "turn motor 3 flipped"},
                  {"read-mount", "tell mount"},
                  {"set-yaw", "mount at yaw 0 pitch 0 roll 0"},
                  {"stop-command", "halt every motor"},
                  {"spin-command", "spin motor 2 at 6 for 1000"}};
  reader.answers = {
      {"props-now", "in"}, {"turn-now", "cw"}, {"mount-unit", "degrees"}, {"strength-limits", "4 12 100"}};
  reader.table = "1 on P1, 2 on P2, 3 on P3, 4 on P4";
  reader.truths = {"motor 2 is put on pin P2 by",
                   "motor 4 is taken off its pin by",
                   "props out the console writes \"outward\"",
                   "the prop direction is set to outward by",
                   "other way the console writes \"flipped\"",
                   "motor 3 is set to turn flipped by",
                   "set to yaw 0, pitch 0, roll 0 by",
                   "motor 2 is spun at strength 6 for 1000 ms by"};
  const Prepared prepared = prepare(log, reader);
  ASSERT_TRUE(prepared.profile);
  const console::Profile& found = *prepared.profile;
  ASSERT_TRUE(found.map && found.props && found.turn && found.mount && found.spin) << log;
  EXPECT_EQ(first(found.map->put), first(known.map->put));
  EXPECT_EQ(first(found.map->free), "wire motor {motor} to nothing");
  EXPECT_EQ(found.props->read.lines, known.props->read.lines);
  EXPECT_EQ(first(found.props->set), first(known.props->set));
  EXPECT_EQ(first(found.turn->set), first(known.turn->set));
  EXPECT_EQ(first(found.mount->set), first(known.mount->set));
  EXPECT_EQ(first(found.spin->spin), first(known.spin->spin));
  EXPECT_EQ(first(found.spin->stop_all), first(known.spin->stop_all));
  EXPECT_EQ(found.codes, known.codes);
  EXPECT_EQ(found.spin->highest, 12);
  EXPECT_TRUE(found.prepared);
}

// Motors from zero, turns by pin, the angles one by one in tenths, no word that says what a command does.
TEST(TeachFromLog, HoldsSettingsStopAndSpinOfNamesAndValues) {
  const console::Profile known = known_profile("profiles/sedge");
  const std::string log =
      typed_into(known, {"edit", "output.*", "output.1 = P2", "output.2 = none", "output.2 = P3",
                         "props.outward", "props.outward = off", "direction.*", "direction.P4 = normal",
                         "mount.*", "mount.yaw = 0", "test.2 = 0.06", "test.* = stop"});
  LogReader reader;
  reader.takes = {{"list-map", "output.*"},
                  {"assign-pin", "output.1 = P2"},
                  {"free-pin", "output.2 = none"},
                  {"read-props", "props.outward"},
                  {"props-word", "off"},
                  {"props-in-command", "props.outward = off"},
                  {"read-turn", "direction.*"},
                  {"set-turn-cw", "direction.P4 = normal"},
                  {"read-mount", "mount.*"},
                  {"set-yaw", "mount.yaw = 0"},
                  {"stop-command", "test.* = stop"},
                  {"spin-command", "test.2 = 0.06"}};
  reader.answers = {
      {"props-now", "in"}, {"turn-now", "cw"}, {"mount-unit", "tenths"}, {"strength-limits", "0.04 0.12 1"}};
  reader.table = "0 on P1, 1 on P2, 2 on P3, 3 on P4";
  reader.truths = {"motor 1 is put on pin P2 by",
                   "motor 2 is taken off its pin by",
                   "the console writes \"on\"",
                   "the prop direction is set to off by",
                   "the console writes \"reversed\"",
                   "pin P4 is set to turn normal by",
                   "set to yaw 0 by",
                   "motor 2 is spun at strength 0.06 by"};
  const Prepared prepared = prepare(log, reader);
  ASSERT_TRUE(prepared.profile) << (prepared.fault ? prepared.fault->sentence() : "") << "\n" << log;
  const console::Profile& found = *prepared.profile;
  ASSERT_TRUE(found.map && found.props && found.turn && found.mount && found.spin) << log;
  EXPECT_EQ(first(found.map->put), first(known.map->put));
  EXPECT_EQ(first(found.map->free), first(known.map->free));
  EXPECT_FALSE(found.map->rules.shared_meanwhile);
  EXPECT_EQ(first(found.props->set), first(known.props->set));
  EXPECT_EQ(found.turn->key, solve::TurnKey::pin);
  EXPECT_EQ(first(found.turn->set), first(known.turn->set));
  EXPECT_EQ(first(found.mount->set_yaw), first(known.mount->set_yaw));
  EXPECT_EQ(first(found.mount->set_pitch), first(known.mount->set_pitch));
  EXPECT_EQ(first(found.mount->set_roll), first(known.mount->set_roll));
  EXPECT_EQ(found.mount->per_degree, 10);
  EXPECT_EQ(first(found.spin->spin), first(known.spin->spin));
  EXPECT_EQ(first(found.spin->stop_all), first(known.spin->stop_all));
  EXPECT_EQ(found.codes, known.codes);
}

// Two letters and commas: only what stands in them tells.
TEST(TeachFromLog, HoldsStopAndSpinOfLettersAndCommas) {
  const console::Profile known = known_profile("profiles/moor");
  const std::string log =
      typed_into(known, {"WL", "WM,2,P2", "TL", "TM,3,B", "PD", "PD,OUT", "SP,2,60,1000", "ST"});
  LogReader reader;
  reader.takes = {{"list-map", "WL"},        {"assign-pin", "WM,2,P2"}, {"read-turn", "TL"},
                  {"set-turn-cw", "TM,3,B"}, {"stop-command", "ST"},    {"spin-command", "SP,2,60,1000"}};
  reader.answers = {{"turn-now", "cw"}, {"set-turn-ccw", "B"}, {"strength-limits", "40 120 1000"}};
  reader.table = "1 on P1, 2 on P2, 3 on P3, 4 on P4";
  reader.truths = {"motor 2 is put on pin P2 by", "motor 3 is set to turn B by",
                   "motor 2 is spun at strength 60 for 1000 ms by"};
  const Prepared prepared = prepare(log, reader);
  ASSERT_TRUE(prepared.profile) << (prepared.fault ? prepared.fault->sentence() : "") << "\n" << log;
  const console::Profile& found = *prepared.profile;
  ASSERT_TRUE(found.map && found.turn && found.spin) << log;
  EXPECT_EQ(first(found.turn->set), first(known.turn->set));
  EXPECT_EQ(first(found.spin->spin), first(known.spin->spin));
  EXPECT_EQ(first(found.spin->stop_all), first(known.spin->stop_all));
}

TEST(TeachFromLog, WithoutAStopOrStrengthsNoSpinIsTakenUp) {
  const console::Profile known = known_profile("profiles/tarn");
  const std::string log =
      typed_into(known, {"tell wiring", "spin motor 2 at 6 for 1000", "halt every motor", "goodbye"});
  for (const bool stop : {true, false}) {
    LogReader reader;
    reader.takes = {{"list-map", "tell wiring"}, {"spin-command", "spin motor 2 at 6 for 1000"}};
    if (stop) reader.takes["stop-command"] = "halt every motor";
    if (!stop) reader.answers["strength-limits"] = "4 12 100";
    reader.table = "1 on P1, 2 on P2, 3 on P3, 4 on P4";
    reader.truths = {"motor 2 is spun at strength 6"};
    const Prepared prepared = prepare(log, reader);
    ASSERT_TRUE(prepared.profile);
    EXPECT_FALSE(prepared.profile->spin);
  }
}

TEST(TeachFromLog, AHostileLogIsBoundedAndPrintable) {
  std::string log;
  for (int i = 0; i < 20; ++i) {
    log += "evil> show\x1b[2J\x07 map\xff\xfe\n";
    log += "motor 1 on P1 \xc3\x28\nmotor 2 on P2\x1b]0;title\x07\n";
    log += std::string(100000, 'A') + "\n";
  }
  log += "evil> " + std::string(1U << 20U, '{') + std::string("\0\0", 2) + "\n";
  const teach::SavedSession saved = teach::saved_session(log);
  EXPECT_EQ(saved.prompt, "evil> ");
  ASSERT_EQ(saved.exchanges.size(), 21U);
  for (const teach::SavedExchange& exchange : saved.exchanges) {
    EXPECT_EQ(exchange.command, printable(exchange.command));
    EXPECT_LE(exchange.command.size(), 4000U);
    for (const std::string& line : exchange.reply) {
      EXPECT_EQ(line, printable(line));
      EXPECT_LE(line.size(), 4000U);
    }
  }
  LogReader reader;
  const Prepared prepared = prepare(log, reader);
  EXPECT_TRUE(prepared.profile || prepared.fault);
}

TEST(TeachFromLog, ATextWithoutAPromptIsSaidToHoldNone) {
  for (const std::string& text :
       {std::string(), std::string("one\ntwo\nthree\n"), std::string(100000, '>')}) {
    LogReader reader;
    const Prepared prepared = prepare(text, reader);
    ASSERT_TRUE(prepared.fault);
    EXPECT_EQ(prepared.fault->kind(), FaultKind::bad_data);
  }
}

}  // namespace
}  // namespace armwise::test
