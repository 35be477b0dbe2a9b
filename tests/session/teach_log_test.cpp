// Profiles prepared from saved console sessions: the logs were saved on the practice craft.
#include <gtest/gtest.h>

#include <boost/asio/co_spawn.hpp>
#include <boost/asio/io_context.hpp>
#include <fstream>
#include <sstream>

#include "armwise/base/fault.hpp"
#include "armwise/base/text.hpp"
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
                          question.text.find("as the console writes them: " + table) != std::string::npos;
      co_return session::Answer(std::string(wanted ? "yes" : "no"));
    }
    const std::string wanted = takes.contains(question.id) ? takes.at(question.id) : "nothing";
    for (const session::Choice& choice : question.choices) {
      if (choice.words.starts_with(wanted + " (")) co_return session::Answer(choice.key);
    }
    co_return session::Answer(std::string("none"));
  }
  void tell(const session::Statement& statement) override { told.push_back(statement.text); }
  Task<bool> interrupted(craft::Motor, Duration) override { co_return false; }

  std::map<std::string, std::string> takes;
  std::string table, pair;
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
  EXPECT_EQ(prepared.notes, std::vector<std::string>{session::not_proven_note});
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
  reader.takes = {{"identify", "ID"},        {"whole-configuration", "DU"}, {"list-map", "WL"},
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
