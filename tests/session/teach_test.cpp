// Dialects taught from scratch to a tool that knows nothing of them, by someone who knows them by heart, on a
// practice controller in process; then a whole bench session with what was taught.
#include "armwise/session/teach.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <boost/asio/bind_cancellation_slot.hpp>
#include <boost/asio/cancellation_signal.hpp>
#include <boost/asio/co_spawn.hpp>
#include <boost/asio/io_context.hpp>
#include <boost/asio/post.hpp>
#include <boost/asio/use_awaitable.hpp>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <map>
#include <utility>

#include "armwise/base/task.hpp"
#include "armwise/console/conversation.hpp"
#include "armwise/practice/rehearsal.hpp"
#include "armwise/solve/mount_proof.hpp"
#include "support/dialect_person.hpp"
#include "support/guard_on_paper.hpp"
#include "support/practice_session.hpp"
#include "support/rehearsed_person.hpp"
#include "support/sweep.hpp"
#include "support/warned_person.hpp"
#include "support/worked_craft.hpp"

namespace armwise::test::teach_test {
namespace {

practice::PracticeCraft plain_craft(const craft::Frame& frame) {
  std::vector<practice::Soldered> wiring;
  for (std::size_t i = 0; i < frame.places.size(); ++i) wiring.push_back({i, craft::Turn::cw});
  practice::PracticeCraft craft = craft_with(frame, wiring);
  craft.noise_g = 0;
  craft.pose_error = 0;
  return craft;
}

practice::PracticeCraft started(practice::PracticeCraft craft, const practice::StartSettings& start) {
  craft.start = start;
  return craft;
}

// A line whose far side writes otherwise: what it sends is changed on the way. `after_write` is told of each
// line that went out, and may throw.
using Mangle = std::function<std::string(std::string)>;
using AfterWrite = std::function<void()>;
struct Tampering {
  Mangle mangle;
  AfterWrite after_write;
  std::function<bool(std::string_view)> swallows;  // what never reaches the far side
  std::function<bool(std::string_view)> cuts;      // what reaches it but for its line end, and fails then
  Mangle alter;                                    // what reaches it instead
  mutable std::vector<std::string> sent;
};
class MangledLine : public console::Line {
 public:
  MangledLine(std::unique_ptr<console::Line> line, const Tampering& tampering)
      : line_(std::move(line)), tampering_(tampering) {}
  Task<console::Received> read(Duration within) override {
    console::Received got = co_await line_->read(within);
    if (got.status == console::Received::Status::data) {
      if (tampering_.mangle) got.bytes = tampering_.mangle(got.bytes);
    }
    co_return got;
  }
  Task<void> write(std::string_view bytes, Duration within) override {
    if (tampering_.cuts && tampering_.cuts(bytes)) {
      co_await line_->write(bytes.substr(0, bytes.find_last_not_of("\r\n") + 1), within);
      throw Fault(FaultKind::no_reply, "the test says that a line was cut");
    }
    const bool swallowed = tampering_.swallows && tampering_.swallows(bytes);
    const std::string altered = tampering_.alter ? tampering_.alter(std::string(bytes)) : std::string(bytes);
    if (!swallowed) co_await line_->write(altered, within);
    tampering_.sent.emplace_back(bytes);
    if (tampering_.after_write) tampering_.after_write();
  }
  void discard_input() override { line_->discard_input(); }
  std::string name() const override { return line_->name(); }

 private:
  std::unique_ptr<console::Line> line_;
  const Tampering& tampering_;
};
class MangledPlug : public console::Plug {
 public:
  MangledPlug(console::Plug& plug, const Tampering& tampering) : plug_(plug), tampering_(tampering) {}
  Task<std::unique_ptr<console::Line>> open() override {
    std::unique_ptr<console::Line> line = co_await plug_.open();
    co_return std::make_unique<MangledLine>(std::move(line), tampering_);
  }
  Task<std::unique_ptr<console::Line>> reopen(Duration within) override {
    std::unique_ptr<console::Line> line = co_await plug_.reopen(within);
    co_return std::make_unique<MangledLine>(std::move(line), tampering_);
  }
  std::string renamed() const override { return plug_.renamed(); }
  std::string identity() const override { return plug_.identity(); }

 private:
  console::Plug& plug_;
  const Tampering& tampering_;
};

struct Lesson {
  explicit Lesson(const console::Profile& profile, practice::Habits with_habits = {},
                  const practice::StartSettings& start = {})
      : Lesson(profile, std::move(with_habits), started(plain_craft(*craft::frame_named("quad-x")), start)) {}
  Lesson(const console::Profile& profile, practice::Habits with_habits, const practice::PracticeCraft& craft,
         const practice::MischiefPlan& mischief = {})
      : frame(*craft::frame_named("quad-x")),
        known(profile),
        habits(std::move(with_habits)),
        port(known, craft, mischief, habits),
        plug(port, clock),
        sight(port, clock),
        hands(sight, clock),
        person(known, hands, map_in_words()) {
    options.name = "taught";
    options.frame = frame.name;
    options.watched_by = [this](const console::Profile&) -> console::Sentry& { return sentry; };
  }

  std::string map_in_words() const {
    std::string text;
    for (const int motor : {1, 2, 3, 4}) {
      const std::string number = std::to_string(motor), code = known.motor_code(craft::Motor{motor});
      text += (text.empty() ? "" : ", ") + std::string("motor ") + number +
              (code == number ? "" : " (written \"" + code + "\")") + " on pin P" + number;
    }
    return text;
  }

  void run() { run(person); }
  void run(session::Person& who) {
    boost::asio::io_context loop;
    std::exception_ptr trouble;
    // As in the program, where the first wait is for the port: a flow that never waited ends otherwise.
    const auto flow = [&]() -> Task<session::TeachResult> {
      co_await boost::asio::post(loop, boost::asio::use_awaitable);
      session::TeachResult taught = co_await session::teach(mangled, who, clock, options);
      co_return taught;
    };
    boost::asio::co_spawn(loop, flow,
                          boost::asio::bind_cancellation_slot(
                              signal.slot(), [&](std::exception_ptr error, session::TeachResult value) {
                                trouble = error;
                                if (!error) result = std::move(value);
                              }));
    loop.run();
    try {
      if (trouble) std::rethrow_exception(trouble);
    } catch (const Fault& caught) {
      fault = caught;
    } catch (const StoppedByPerson& stop) {
      ended_by_signal = stop.how() == StoppedByPerson::How::interrupted;
      stopped = !ended_by_signal;
      left = stop.left();
    }
  }

  std::string story() const {
    std::string text;
    for (const std::string& line : person.asked) text += line + "\n";
    for (const session::Statement& told : person.told) text += "  " + told.id + ": " + told.text + "\n";
    if (result) text += console::profile_text(result->profile);
    return text;
  }

  const craft::Frame& frame;
  console::Profile known;
  practice::Habits habits;
  practice::ManualClock clock;
  practice::PracticePort port;
  practice::PracticePlug plug;
  Tampering tampering;
  Mangle& mangle = tampering.mangle;
  std::vector<std::string>& sent = tampering.sent;
  MangledPlug mangled{plug, tampering};
  boost::asio::cancellation_signal signal;  // as Ctrl-C does
  bool ended_by_signal = false;
  practice::PortSight sight;
  practice::PracticePerson hands;
  DialectPerson person;
  GuardOnPaper sentry{clock};
  session::TeachOptions options;
  std::optional<session::TeachResult> result;
  std::optional<Fault> fault;
  bool stopped = false;
  std::string left;  // how the craft is, as a stop says
};

// A bench session spoken with the taught profile to a controller that speaks the true one.
void expect_a_bench_session(const Lesson& lesson, const craft::YawPitchRoll& true_mount = {}) {
  practice::ManualClock clock;
  practice::PracticeCraft craft = practice::seeded_craft(lesson.frame, 12);
  craft.mount = true_mount;
  practice::PracticePort port(lesson.known, craft, {}, lesson.habits);
  practice::PracticePlug straight(port, clock);
  MangledPlug plug(straight, lesson.tampering);
  practice::PortSight sight(port, clock);
  practice::PracticePerson person(sight, clock);
  GuardOnPaper sentry(clock);
  MemoryStore store;
  session::BenchOptions options;
  options.frame = lesson.frame.name;
  options.scheme = craft::PropScheme::out;
  options.craft_name = "test craft";
  console::ProfileConsole console(plug, lesson.result->profile, clock, sentry);
  boost::asio::io_context loop;
  std::exception_ptr trouble;
  std::optional<session::BenchResult> result;
  boost::asio::co_spawn(loop, session::bench(console, person, store, clock, options),
                        [&](std::exception_ptr error, session::BenchResult value) {
                          trouble = error;
                          if (!error) result = std::move(value);
                        });
  loop.run();
  try {
    if (trouble) std::rethrow_exception(trouble);
  } catch (const Fault& fault) {
    FAIL() << fault.sentence() << "\n" << lesson.story();
  }
  ASSERT_TRUE(result);
  EXPECT_EQ(result->ending, session::BenchResult::Ending::proven);
  const auto numbering = lesson.known.numbering_for(lesson.frame);
  const practice::SettingsView kept = port.controller().saved();
  for (int i = 0; i < lesson.frame.size(); ++i) {
    const craft::Motor motor{i + 1};
    EXPECT_EQ(craft.wiring.at(kept.map.pin_of(motor).name).place, numbering->place_of(motor));
  }
  if (lesson.known.mount && lesson.known.mount->codes.empty()) {
    const craft::ConsoleAngles told{kept.mount[0], kept.mount[1], kept.mount[2]};
    const auto off = angle_between(craft_from_board(lesson.known.mount->convention(), told),
                                   craft::CraftFromBoard(true_mount));
    EXPECT_LT(off.value, 1) << lesson.story();
  }
  ASSERT_EQ(store.records.size(), 1U);
  EXPECT_TRUE(store.records[0].read_back_matches);
  EXPECT_FALSE(sentry.stepped_in);
  EXPECT_LE(longest_spin(port.controller()), options.spin_time + Duration(300));
  const console::Profile& taught = lesson.result->profile;
  const bool has_gyro = taught.mount && taught.sense && taught.sense->per_dps > 0;
  EXPECT_EQ(person.asked("turn-right"), has_gyro ? 1 : 0) << "the turn check, passed at once";
}

class EveryDialect : public ::testing::TestWithParam<const char*> {};

TEST_P(EveryDialect, IsTaughtFromScratchAndBenchRunsOnIt) {
  Lesson lesson(fixture_profile(GetParam()));
  const practice::SettingsView before = lesson.port.controller().running();
  lesson.run();
  ASSERT_FALSE(lesson.fault) << lesson.fault->sentence() << "\n" << lesson.story();
  ASSERT_TRUE(lesson.result) << lesson.stopped << lesson.story();
  EXPECT_EQ(lesson.port.controller().running(), before) << "teaching changed a setting";
  EXPECT_EQ(lesson.port.controller().saved(), before);
  EXPECT_TRUE(lesson.port.turning(lesson.clock.now()).empty());
  EXPECT_FALSE(lesson.sentry.stepped_in)
      << "a defect found: on the way through a menu the guard's time ran out";
  const console::Profile& taught = lesson.result->profile;
  const console::Profile& known = lesson.known;
  EXPECT_EQ(taught.map.has_value() && taught.map->put.has_value(), known.map->put.has_value());
  EXPECT_EQ(taught.map->rules.kept, known.map->rules.kept);
  EXPECT_EQ(taught.map->rules.shared_meanwhile, known.map->rules.shared_meanwhile);
  EXPECT_EQ(taught.props && taught.props->set, known.props && known.props->set) << lesson.story();
  EXPECT_EQ(taught.turn && taught.turn->set, known.turn && known.turn->set) << lesson.story();
  EXPECT_EQ(taught.mount.has_value(), known.mount.has_value()) << lesson.story();
  ASSERT_EQ(taught.spin.has_value(), known.spin.has_value()) << lesson.story();
  EXPECT_EQ(taught.spin->bounded(), known.spin->bounded());
  EXPECT_NEAR(taught.spin->per_cent(taught.spin->standard), known.spin->per_cent(known.spin->standard), 0.6);
  EXPECT_EQ(taught.sense.has_value(), known.sense.has_value());
  if (known.sense && taught.sense) {
    EXPECT_EQ(taught.sense->axes, known.sense->axes);
    EXPECT_EQ(taught.sense->specific_force, known.sense->specific_force);
    EXPECT_NEAR(taught.sense->per_g, known.sense->per_g, 1e-6);
    EXPECT_EQ(taught.sense->read.lines, known.sense->read.lines) << lesson.story();
    EXPECT_NEAR(taught.sense->per_dps, known.sense->per_dps, 1e-6) << lesson.story();
  }
  EXPECT_EQ(taught.keep.has_value(), known.keep.has_value());
  EXPECT_EQ(taught.keep && taught.keep->restarts, known.keep && known.keep->restarts);
  EXPECT_EQ(taught.leave.has_value(), known.leave.has_value());
  EXPECT_LE(lesson.result->typed, 13) << lesson.story();
  std::cout << GetParam() << ": " << lesson.result->typed << " commands typed\n";
  expect_a_bench_session(lesson);
  const std::filesystem::path folder = ::testing::TempDir() + "rehearsal-" + GetParam();
  const session::Rehearsal rehearsal = practice::rehearse(taught, folder);
  EXPECT_TRUE(rehearsal.missing.empty());
  EXPECT_FALSE(rehearsal.wrong) << *rehearsal.wrong;
  // What the console has none of could not be tried, and that is said.
  EXPECT_EQ(std::ranges::count(rehearsal.not_covered, "the accelerometer"), taught.sense ? 0 : 1);
  EXPECT_EQ(std::ranges::count(rehearsal.not_covered, "reversing a motor"), taught.turn ? 0 : 1);
  std::filesystem::remove_all(folder);
}

// "Ended right" is said of what was run, and of nothing else.
TEST(Rehearsing, WithoutSpinAndMapIsNoRehearsal) {
  console::Profile profile = fixture_profile("tarn");
  profile.map.reset();
  profile.spin.reset();
  const std::filesystem::path folder = ::testing::TempDir() + "no-rehearsal";
  const session::Rehearsal rehearsal = practice::rehearse(profile, folder);
  EXPECT_EQ(rehearsal.missing,
            (std::vector<std::string>{"how a motor is put on a pin", "how a motor is spun and stopped"}));
  Lesson lesson(fixture_profile("tarn"));
  lesson.options.watched_by = nullptr;  // --no-spin
  lesson.options.rehearse = [&](const console::Profile& taught) {
    return practice::rehearse(taught, folder);
  };
  lesson.run();
  ASSERT_TRUE(lesson.result) << lesson.story();
  EXPECT_TRUE(was_said(lesson.person.told, "not-rehearsed", {{"missing", "how a motor is spun and stopped"}}))
      << lesson.story();
  EXPECT_FALSE(was_said(lesson.person.told, "rehearsed")) << lesson.story();
}

INSTANTIATE_TEST_SUITE_P(Dialects, EveryDialect, ::testing::Values("tarn", "sedge", "fell", "brook", "moor"));

// Three consoles that were written only after the teaching code was finished, and left as they were.
class LaterDialect : public ::testing::TestWithParam<const char*> {};

TEST_P(LaterDialect, IsTaughtFromScratchAndBenchRunsOnIt) {
  Lesson lesson(console::load_profile_file(std::string(ARMWISE_FIXTURES) + "/dialects-for-teaching/" +
                                           GetParam() + ".json"));
  const practice::SettingsView before = lesson.port.controller().running();
  lesson.run();
  ASSERT_FALSE(lesson.fault) << lesson.fault->sentence() << "\n" << lesson.story();
  ASSERT_TRUE(lesson.result);
  EXPECT_EQ(lesson.port.controller().running(), before);
  std::cout << GetParam() << ": " << lesson.result->typed << " commands typed\n";
  EXPECT_LE(lesson.result->typed, 12) << lesson.story();
  const console::Profile& taught = lesson.result->profile;
  EXPECT_EQ(taught.props.has_value(), lesson.known.props.has_value()) << lesson.story();
  EXPECT_EQ(taught.turn.has_value(), lesson.known.turn.has_value()) << lesson.story();
  EXPECT_EQ(taught.mount.has_value(), lesson.known.mount.has_value()) << lesson.story();
  EXPECT_EQ(taught.sense.has_value(), lesson.known.sense.has_value()) << lesson.story();
  EXPECT_EQ(taught.leave.has_value(), lesson.known.leave.has_value()) << lesson.story();
  expect_a_bench_session(lesson);
}

INSTANTIATE_TEST_SUITE_P(Dialects, LaterDialect, ::testing::Values("larch", "quill", "skerry"));

std::string replaced(std::string text, const std::string& from, const std::string& to) {
  for (std::size_t at = text.find(from); at != std::string::npos; at = text.find(from, at + to.size())) {
    text.replace(at, from.size(), to);
  }
  return text;
}

void expect_taught(Lesson& lesson) {
  lesson.run();
  ASSERT_FALSE(lesson.fault) << lesson.fault->sentence() << "\n" << lesson.story();
  ASSERT_TRUE(lesson.result) << lesson.story();
  const console::Profile& taught = lesson.result->profile;
  EXPECT_TRUE(taught.map && taught.map->put && taught.props && taught.turn && taught.mount && taught.spin &&
              taught.sense && taught.keep)
      << lesson.story();
}
void expect_taught_and_benched(Lesson& lesson) {
  expect_taught(lesson);
  if (lesson.result) expect_a_bench_session(lesson);
}

TEST(Hostile, ColourCodesInReplies) {
  Lesson lesson(fixture_profile("tarn"));
  lesson.mangle = [](std::string bytes) {
    return replaced(replaced(std::move(bytes), "motor ", "\x1b[1;32mmotor\x1b[0m "), "tarn> ",
                    "\x1b[36mtarn> \x1b[0m");
  };
  expect_taught_and_benched(lesson);
}

// Each once, in an answer that was good but for that: what was learned of it stayed.
TEST(Hostile, AnAnswerThatWasGarbledOnceTeachesNothing) {
  Lesson clean(fixture_profile("tarn"));
  expect_taught(clean);
  const std::vector<std::pair<std::string, std::string>> garbled{{"motor 2 drives P2", "motor 2 drives P7"},
                                                                 {"board practice", "b0ard practice"},
                                                                 {"sweep inward", "sweep inwart"},
                                                                 {"turns x", "turnt x"},
                                                                 {"motor 3 turns", "motor 3 tturns"},
                                                                 {"mounted at yaw", "munted at yaw"},
                                                                 {"feels x", "felss x"},
                                                                 {"tarn> ", "tar> "}};
  for (const auto& pair : garbled) {
    const std::string &from = pair.first, &to = pair.second;
    Lesson lesson(fixture_profile("tarn"));
    int times = 0;
    lesson.mangle = [&](std::string bytes) {
      const bool once = bytes.find(from) != std::string::npos && ++times == 1;
      return once ? replaced(std::move(bytes), from, to) : bytes;
    };
    expect_taught(lesson);
    EXPECT_GT(times, 1) << from;
    ASSERT_TRUE(lesson.result) << from;
    // What was garbled in the configuration is not proposed, so another question may be asked.
    const console::Profile &now = lesson.result->profile, &right = clean.result->profile;
    EXPECT_EQ(now.open, right.open) << from;
    EXPECT_EQ(now.refusals, right.refusals) << from;
    EXPECT_EQ(now.identify, right.identify) << from;
    EXPECT_EQ(now.map, right.map) << from;
    EXPECT_EQ(now.codes, right.codes) << from;
    EXPECT_EQ(now.props->read.lines, right.props->read.lines) << from;
    EXPECT_EQ(now.turn->read.lines, right.turn->read.lines) << from;
    EXPECT_EQ(now.mount->read.lines, right.mount->read.lines) << from;
    EXPECT_EQ(now.sense->read, right.sense->read) << from;
  }
}

TEST(Hostile, TabsAndTwoBlanks) {
  Lesson lesson(fixture_profile("tarn"));
  lesson.mangle = [](std::string bytes) {
    return replaced(replaced(std::move(bytes), " drives ", "\tdrives  "), " turns ", "  turns\t");
  };
  expect_taught_and_benched(lesson);
}

TEST(Hostile, ThePromptChangesAfterACommand) {
  Lesson lesson(fixture_profile("tarn"));
  int prompts = 0;
  lesson.mangle = [&prompts](std::string bytes) {
    if (bytes.find("tarn> ") != std::string::npos && ++prompts > 8)
      return replaced(std::move(bytes), "tarn> ", "tarn*> ");
    return bytes;
  };
  expect_taught_and_benched(lesson);
}

TEST(Hostile, AnswersThatArriveLate) {
  practice::Habits habits;
  habits.latency = Duration(2500);
  Lesson lesson(fixture_profile("tarn"), habits);
  lesson.run();
  ASSERT_TRUE(lesson.result) << lesson.story();
  EXPECT_GE(lesson.result->profile.timing.reply, Duration(2500));
  expect_a_bench_session(lesson);
}

// Too late to measure with while somebody holds the craft still: the person is asked for the mount then.
TEST(Hostile, AnswersThatArriveTooLateForReadings) {
  practice::Habits habits;
  habits.latency = Duration(700);
  Lesson lesson(fixture_profile("tarn"), habits);
  lesson.run();
  ASSERT_TRUE(lesson.result) << lesson.story();
  EXPECT_FALSE(lesson.result->profile.sense);
  expect_a_bench_session(lesson);
}

TEST(Hostile, AnswersThatArriveAQuarterOfASecondLate) {
  practice::Habits habits;
  habits.latency = Duration(250);
  Lesson lesson(fixture_profile("tarn"), habits);
  expect_taught_and_benched(lesson);
}

// What came behind one line ending was taken for its answer, and was the late one to the ending before.
TEST(Hostile, TheLineEndingIsFoundHoweverLateTheAnswersAre) {
  InTurn turn;
  for (const char* dialect : {"tarn", "sedge", "fell", "brook", "moor"}) {
    std::optional<console::LineEnding> at_once;
    for (const int late : {0, 600, 950, 1200, 1500, 1850, 2300, 2800}) {
      if (turn.is_left_out()) continue;
      practice::Habits habits;
      habits.latency = Duration(late);
      Lesson lesson(fixture_profile(dialect), habits);
      lesson.run();
      ASSERT_TRUE(lesson.result && lesson.result->profile.spin) << dialect << late << lesson.story();
      const console::LineEnding found = lesson.result->profile.open.line_ending;
      if (!at_once) at_once = found;
      EXPECT_EQ(found, *at_once) << dialect << " " << late << " ms late";
    }
  }
}

TEST(Hostile, PagedOutput) {
  console::Profile paged = fixture_profile("tarn");
  paged.open.more = "-- more --";
  Lesson lesson(paged);
  expect_taught_and_benched(lesson);
  EXPECT_EQ(lesson.result->profile.open.more, "-- more --");
}

// It was taken for a listing that stops at the page's end, and answered with line ends for ever.
TEST(Hostile, APromptThatLooksLikeTheEndOfAPage) {
  Lesson lesson(fixture_profile("tarn"));
  lesson.mangle = [](std::string bytes) { return replaced(std::move(bytes), "tarn> ", "press> "); };
  expect_taught_and_benched(lesson);
  EXPECT_LE(std::count(lesson.sent.begin(), lesson.sent.end(), "\n"), 20) << "six millions were";
}

TEST(Hostile, ThousandsOfLinesOfConfiguration) {
  practice::Habits habits;
  habits.invented_lines = 6000;
  Lesson lesson(fixture_profile("tarn"), habits);
  expect_taught_and_benched(lesson);
}

TEST(Hostile, AMotorListThatAlsoListsServosAndLights) {
  Lesson lesson(fixture_profile("tarn"));
  lesson.mangle = [](std::string bytes) {
    const std::string last = "motor 4 drives P4\r\n";
    return replaced(std::move(bytes), last,
                    last + "servo 1 drives P5\r\nservo 2 drives P6\r\nlight 1 drives P9\r\n");
  };
  expect_taught_and_benched(lesson);
}

TEST(Teach, AMistypedCommandIsNoticedAndAskedAgain) {
  Lesson lesson(fixture_profile("tarn"));
  lesson.person.first["list-map"] = {"tel wiring"};
  lesson.person.first["assign-pin"] = {"wire motor 2 to P9"};
  expect_taught(lesson);
}

bool was_told(const Lesson& lesson, session::StatementId id, const session::Facts& values = {}) {
  return was_said(lesson.person.told, id, values);
}

// A slip took the proposal away.
TEST(Teach, WhatIsProposedIsProposedOnceMoreAfterASlip) {
  Lesson lesson(fixture_profile("tarn"));
  std::map<std::string, std::vector<std::string>> proposed;
  lesson.person.hears = [&](const session::Question& question) {
    proposed[question.id].push_back(question.suggestion);
  };
  lesson.person.first["read-turn"] = {"tel turning"};
  lesson.person.first["props-in-command"] = {"props inwards"};
  expect_taught(lesson);
  EXPECT_EQ(proposed["read-turn"], (std::vector<std::string>{"tell everything", "tell everything"}));
  EXPECT_EQ(proposed["props-in-command"],
            (std::vector<std::string>{"sweep props inward", "sweep props inward"}));
}

// It was refused, so it is not what the person wants.
TEST(Teach, WhatWasProposedAndRefusedIsNotProposedAgain) {
  Lesson lesson(fixture_profile("tarn"));
  std::vector<std::string> proposed;
  lesson.person.hears = [&](const session::Question& question) {
    if (question.id == "leave") proposed.push_back(question.suggestion);
  };
  lesson.person.first["leave"] = {"gooodbye", "exit"};
  expect_taught(lesson);
  EXPECT_EQ(proposed, (std::vector<std::string>{"exit", "exit", ""}));
}

// Played by hand: a spin typed at the stop's question was sent before the props were said to be off, and
// learned as the stop.
TEST(Teach, ASpinTypedForTheStopIsFoundOut) {
  Lesson lesson(fixture_profile("tarn"));
  lesson.person.first["stop-command"] = {"spin motor 2 at 4 for 2500"};
  lesson.run();
  ASSERT_TRUE(lesson.result) << lesson.story();
  EXPECT_FALSE(lesson.result->profile.spin) << lesson.story();
  EXPECT_TRUE(was_told(lesson, "stop-is-a-spin"));
  EXPECT_EQ(lesson.sentry.turned, 0);
  const auto& asked = lesson.person.asked;
  EXPECT_TRUE(std::any_of(asked.begin(), asked.end(),
                          [](const std::string& line) { return line.starts_with("props-off:"); }));
}

// Four lines typed for a quad were learned as the stop of all motors, on whatever craft.
TEST(Teach, LearnsTheStopOfEachMotorWhereThereIsNoneOfAll) {
  for (const char* typed :
       {"halt motor 4", "halt motor 3", "halt motor 1 ; halt motor 2 ; halt motor 3 ; halt motor 4"}) {
    Lesson lesson(fixture_profile("tarn"));
    lesson.person.first["stop-command"] = {typed};
    lesson.run();
    ASSERT_TRUE(lesson.result && lesson.result->profile.spin) << typed << lesson.story();
    const console::SpinAbility& spin = *lesson.result->profile.spin;
    ASSERT_TRUE(spin.stop) << lesson.story();
    EXPECT_EQ(spin.stop->steps.front().send.source(), "halt motor {motor}");
    ASSERT_TRUE(spin.stop->confirms) << lesson.story();
    EXPECT_EQ(spin.stop->confirms->source(), "motor {motor} halted");
    EXPECT_EQ(console::Conversation::as_sent(spin.stop_all.steps, {}),
              (std::vector<std::string>{"halt motor 1", "halt motor 2", "halt motor 3", "halt motor 4"}));
    EXPECT_LE(longest_spin(lesson.port.controller()), Duration(1100)) << typed;
    expect_a_bench_session(lesson);
  }
}

// The practice craft goes on with an open bracket, where its profile says what gets out of it.
TEST(Teach, FindsWhatGetsOutOfAnOpenBracket) {
  InTurn turn;
  for (const std::string way : {"\x03", ""}) {
    for (const char* dialect : {"tarn", "sedge", "fell", "brook", "moor"}) {
      if (turn.is_left_out()) continue;
      console::Profile known = fixture_profile(dialect);
      known.open.abandon = way;
      Lesson lesson(known);
      lesson.run();
      ASSERT_TRUE(lesson.result && lesson.result->profile.spin) << dialect << lesson.story();
      // Where no prompt comes, an empty line is answered with nothing, and a key that gets out as well is
      // found.
      if (way.empty() && known.open.prompt.empty()) {
        EXPECT_TRUE(lesson.result->profile.open.abandon) << dialect << lesson.story();
      } else {
        EXPECT_EQ(lesson.result->profile.open.abandon, way) << dialect << lesson.story();
      }
    }
  }
}

// Keys are typed only into a console that has shown that it is left open by a bracket.
TEST(Teach, TypesNoKeyWhereNothingIsLeftOpen) {
  for (const char* dialect : {"tarn", "sedge", "fell", "brook", "moor"}) {
    Lesson lesson(fixture_profile(dialect));
    lesson.run();
    ASSERT_TRUE(lesson.result) << dialect << lesson.story();
    EXPECT_FALSE(lesson.result->profile.open.abandon) << dialect;
    for (const std::string& sent : lesson.sent)
      for (const char c : sent) EXPECT_TRUE(c >= ' ' || c == '\r' || c == '\n') << dialect << sent;
  }
}

// Without an echo only the answer shows that a byte was lost or changed, and its confirmation is not known
// yet. With one, as moor has, the order is not even ended.
TEST(Teach, AStrengthThatWasChangedOnTheWayStopsTheMotorAtOnce) {
  std::map<std::string, int> turned_otherwise;
  for (const char* dialect : {"brook", "moor"}) {
    const std::string strength = dialect == std::string("brook") ? "80" : "40";
    const std::string beginning = dialect == std::string("brook") ? "spin " : "SP,";
    for (std::size_t at = 0; at < strength.size(); ++at) {
      for (int change = -2; change < 4; ++change) {  // lost, doubled, a bit flipped
        Lesson lesson(fixture_profile(dialect));
        int spins = 0;
        std::string meant;
        lesson.tampering.alter = [&](std::string bytes) {
          const std::size_t spin = bytes.find(beginning);
          if (spin == std::string::npos || spins++ > 0) return bytes;
          meant = bytes;
          const std::size_t where = bytes.find(strength, spin + beginning.size() + 1) + at;
          if (change == -2) return bytes.erase(where, 1);
          if (change == -1) return bytes.insert(where, 1, bytes[where]);
          bytes[where] = static_cast<char>(bytes[where] ^ (1 << change));
          return bytes;
        };
        lesson.run();
        ASSERT_TRUE(lesson.result && lesson.result->profile.spin)
            << dialect << at << change << lesson.story();
        EXPECT_GE(spins, 3) << "taught once more, and spun on another pin";
        Instant on{0};
        for (const practice::Happened& one : lesson.port.controller().history()) {
          if (one.what == practice::Happened::What::spun && one.line != meant) on = one.at;
          if (one.what != practice::Happened::What::stopped || on == Instant{0}) continue;
          EXPECT_LE(one.at - on, Duration(100)) << dialect << at << change;
          ++turned_otherwise[dialect];
          on = Instant{0};
        }
      }
    }
  }
  // What brook takes for a strength, of 80: 90, 81, 82, 84, 88, and the doubled 880 and 800.
  EXPECT_EQ(turned_otherwise["brook"], 7);
  EXPECT_EQ(turned_otherwise["moor"], 0);
}

TEST(Teach, NothingIsSentForTheStopBeforeThePropsAreOff) {
  Lesson lesson(fixture_profile("tarn"));
  lesson.person.first["props-off"] = {"yes"};
  lesson.run();
  ASSERT_TRUE(lesson.result) << lesson.story();
  for (const std::string& sent : lesson.sent) EXPECT_EQ(sent.find("halt every motor"), std::string::npos);
}

TEST(Teach, ANumberThatWasNotAskedForIsNotSentWithASpin) {
  Lesson lesson(fixture_profile("tarn"));
  lesson.person.first["spin-command"] = {"spin motor 2 at 4 for 13000"};
  lesson.run();
  ASSERT_TRUE(lesson.result && lesson.result->profile.spin) << lesson.story();
  EXPECT_TRUE(lesson.result->profile.spin->bounded());
  for (const std::string& sent : lesson.sent) EXPECT_EQ(sent.find("13000"), std::string::npos);
}

// A defect found: a spin that is known, typed by a slip where something else is asked for, was sent: without
// a permit, with no guard and no stop behind it.
TEST(Teach, ASpinThatIsKnownIsSentNowhereElse) {
  for (const char* question : {"keep", "restarts", "leave"}) {
    Lesson lesson(fixture_profile("tarn"));
    lesson.person.first[question] = {"spin motor 2 at 5 for 60000", "Spin  Motor 4 at 12 for 9"};
    int spins = 0;
    lesson.run();
    ASSERT_TRUE(lesson.result) << lesson.story();
    for (const practice::Happened& one : lesson.port.controller().history())
      spins += one.what == practice::Happened::What::spun ? 1 : 0;
    EXPECT_EQ(spins, lesson.sentry.turned) << question << ": each spin was watched";
    EXPECT_FALSE(was_left_turning(lesson.port.controller())) << question;
    EXPECT_TRUE(was_told(lesson, "known-command", {{"does", "spins a motor"}}));
  }
}

// A command that only says why it cannot be done was taken for the one that makes the settings last.
TEST(Teach, WhatAnswersOtherwiseDoesNotMakeTheSettingsLast) {
  Lesson lesson(fixture_profile("fell"));
  lesson.person.first["keep"] = {"4 ; 2", "9"};
  lesson.person.declines = "no such motor";
  lesson.run();
  ASSERT_TRUE(lesson.result && lesson.result->profile.keep) << lesson.story();
  ASSERT_TRUE(lesson.result->profile.keep->keep.confirms) << lesson.story();
  EXPECT_EQ(lesson.result->profile.keep->keep.confirms->source(), "Settings stored");
}

// Choice by choice, too: the last one turns the motor.
TEST(Teach, ASpinThatIsKnownIsNotSentByItsLastChoiceInAMenu) {
  Lesson lesson(fixture_profile("fell"));
  lesson.person.first["keep"] = {"4"};
  lesson.person.first["keep-next"] = {"102", "1060", "x"};
  int spins = 0;
  lesson.run();
  ASSERT_TRUE(lesson.result) << lesson.story();
  for (const practice::Happened& one : lesson.port.controller().history())
    spins += one.what == practice::Happened::What::spun ? 1 : 0;
  EXPECT_EQ(spins, 2) << "the one that is taught, and on another pin" << lesson.story();
  EXPECT_FALSE(was_left_turning(lesson.port.controller()));
  EXPECT_TRUE(was_told(lesson, "known-command", {{"does", "spins a motor"}})) << lesson.story();
}

TEST(Teach, ASpinThatIsRefusedOrNotSeenIsTypedOnceMore) {
  Lesson lesson(fixture_profile("tarn"));
  lesson.person.first["spin-seen"] = {"no"};
  lesson.run();
  ASSERT_TRUE(lesson.result && lesson.result->profile.spin) << lesson.story();
  EXPECT_TRUE(was_told(lesson, "still-turning"));
  const auto& asked = lesson.person.asked;
  const auto seen = std::find_if(asked.begin(), asked.end(),
                                 [](const std::string& line) { return line.starts_with("spin-seen:"); });
  ASSERT_NE(seen, asked.end());
  EXPECT_NE(seen->find("If one still turns, pull the battery plug now."), std::string::npos)
      << "the question itself says so: " << *seen;
}

// tarn, but it asks before it spins: `asks` is its question, of the line that was sent.
struct AsksBeforeItSpins : Lesson {
  explicit AsksBeforeItSpins(std::function<std::string(const std::string&)> asks,
                             practice::Habits with_habits = {})
      : Lesson(asking_tarn(), std::move(with_habits)) {
    mangle = [this, asks](std::string bytes) {
      const auto spin = std::find_if(sent.rbegin(), sent.rend(),
                                     [](const std::string& line) { return line.starts_with("spin "); });
      return spin == sent.rend() ? bytes : replaced(std::move(bytes), "Props off? ", asks(*spin));
    };
    tampering.after_write = [this] {
      const bool spins = sent.back().starts_with("spin ") || sent.back().starts_with("yes");
      unwatched += spins && !sentry.is_turning() ? 1 : 0;
    };
    person.first["spin-command"] = {"spin motor 3 at 4 for 2500"};
    person.first["spin-seen"] = {"no"};
    person.first["spin-command-next"] = {"yes"};
  }
  static console::Profile asking_tarn() {
    console::Profile known = fixture_profile("tarn");
    known.spin->spin.steps.front().prompt = "Props off? ";
    known.spin->spin.steps.push_back({console::Template::literal("yes"), {}});
    return known;
  }
  int unwatched = 0;  // lines of a spin that went out without the guard
};

// A stranger's console asks "Are the propellers off?" before it turns a motor: the stop was typed into that,
// and the question never shown.
TEST(Teach, ASpinThatAsksFirstIsGivenItsAnswer) {
  using Asks = std::function<std::string(const std::string&)>;
  const std::vector<std::pair<std::string, Asks>> questions{
      {"Props off? ", [](const std::string&) { return "Props off? "; }},
      {", props off? ",
       [](const std::string& sent) { return "Motor " + sent.substr(11, 1) + ", props off? "; }},
      // It ends its line.
      {"Props off?", [](const std::string&) { return "Props off?\r\n"; }},
  };
  for (const auto& [known_by, asks] : questions) {
    AsksBeforeItSpins lesson(asks);
    lesson.run();
    ASSERT_TRUE(lesson.result && lesson.result->profile.spin) << known_by << lesson.story();
    const console::Steps& steps = lesson.result->profile.spin->spin.steps;
    ASSERT_EQ(steps.size(), 2U) << lesson.story();
    EXPECT_EQ(steps[0].prompt, known_by);
    EXPECT_EQ(steps[1].send.source(), "yes");
    EXPECT_TRUE(lesson.result->profile.spin->bounded());
    EXPECT_TRUE(lesson.result->profile.spin->spin.confirms);
    const auto& asked = lesson.person.asked;
    const auto next = std::find_if(asked.begin(), asked.end(), [](const std::string& line) {
      return line.starts_with("spin-command-next:");
    });
    ASSERT_NE(next, asked.end()) << lesson.story();
    EXPECT_NE(next->find("rops off?"), std::string::npos) << *next;
    EXPECT_EQ(lesson.unwatched, 0) << known_by;
    EXPECT_FALSE(lesson.sentry.stepped_in);
    EXPECT_LE(longest_spin(lesson.port.controller()), Duration(1100)) << known_by;
    expect_a_bench_session(lesson);
  }
}

// Its question comes only after the time that a spin's answer is waited for.
TEST(Teach, ASpinThatAsksLateIsGivenItsAnswer) {
  practice::Habits habits;
  habits.latency = Duration(700);
  AsksBeforeItSpins lesson([](const std::string&) { return "Props off? "; }, habits);
  lesson.run();
  ASSERT_TRUE(lesson.result && lesson.result->profile.spin) << lesson.story();
  ASSERT_EQ(lesson.result->profile.spin->spin.steps.size(), 2U) << lesson.story();
  EXPECT_EQ(lesson.result->profile.spin->spin.steps[0].prompt, "Props off? ");
  EXPECT_EQ(lesson.unwatched, 0);
}

// Whoever has nothing to answer is asked for another command, as before.
TEST(Teach, ASpinThatAsksMayBeGivenUp) {
  AsksBeforeItSpins lesson([](const std::string&) { return "Props off? "; });
  lesson.person.first["spin-command-next"] = {"skip"};
  lesson.person.declines = "Type the spin once more?";
  lesson.run();
  ASSERT_TRUE(lesson.result) << lesson.story();
  EXPECT_FALSE(lesson.result->profile.spin) << lesson.story();
  EXPECT_EQ(lesson.unwatched, 0);
  EXPECT_FALSE(was_left_turning(lesson.port.controller()));
}

// A stranger's console asks whether to swap two motors: the next command was typed into that.
TEST(Teach, AQuestionThatNobodyExpectedIsNotAnsweredByTheNextCommand) {
  for (const bool by_key : {true, false}) {
    Lesson lesson(fixture_profile("sedge"));
    bool open = false;
    std::vector<std::string> answers;
    lesson.mangle = [&](std::string bytes) {
      if (bytes.find("already taken") == std::string::npos) return bytes;
      open = true;
      bytes = "Output 1 is on P2. Swap them? (yes or no) ";
      return bytes;
    };
    lesson.tampering.swallows = [&](std::string_view bytes) {
      if (!open) return false;
      const bool gets_out = by_key ? bytes == "\x03" : bytes == "no\n";
      open = !gets_out;
      const bool is_key = bytes.size() == 1 && bytes[0] < ' ' && bytes != "\n";
      if (!gets_out && !is_key) answers.emplace_back(bytes);
      return !gets_out;
    };
    lesson.tampering.alter = [](std::string bytes) {
      if (bytes.starts_with("no\n")) bytes.erase(0, 2);
      return bytes;
    };
    lesson.person.first["again-next"] = {"no"};
    lesson.run();
    ASSERT_TRUE(lesson.result && lesson.result->profile.map) << lesson.story();
    EXPECT_EQ(answers, std::vector<std::string>()) << by_key << lesson.story();
    EXPECT_FALSE(lesson.result->profile.map->rules.shared_meanwhile);
    EXPECT_TRUE(lesson.result->profile.map->free) << lesson.story();
    EXPECT_EQ(lesson.result->profile.open.abandon.has_value(), by_key);
    const auto& asked = lesson.person.asked;
    EXPECT_EQ(std::any_of(asked.begin(), asked.end(),
                          [](const std::string& line) { return line.starts_with("again-next:"); }),
              !by_key);
  }
}

// A stranger's console repeats all in capitals, which was taken for no echo at all.
TEST(Teach, AnEchoMayBeInCapitals) {
  console::Profile known = fixture_profile("tarn");
  known.open.echo_in_capitals = true;
  Lesson lesson(known);
  expect_taught_and_benched(lesson);
  ASSERT_TRUE(lesson.result);
  EXPECT_EQ(lesson.result->profile.open.echo, true);
  EXPECT_TRUE(lesson.result->profile.open.echo_in_capitals);
}

// A defect found: whoever stops because a motor turns on was told that none does.
TEST(Teach, WhereNobodyHasSeenTheStopNoStopSaysThatNoMotorTurns) {
  for (const char* question : {"props-off", "strength-limits", "spin-seen", "numbering", "keep"}) {
    Lesson lesson(fixture_profile("tarn"));
    lesson.person.first[question] = {"stop"};
    lesson.run();
    ASSERT_TRUE(lesson.stopped) << lesson.story();
    const std::string at = question;
    EXPECT_EQ(was_told(lesson, "stop-unseen"), at == "strength-limits" || at == "spin-seen") << at;
    EXPECT_EQ(lesson.left.starts_with("no motor turns."), at == "numbering" || at == "keep") << at;
    EXPECT_EQ(lesson.left.starts_with("armwise has spun no motor."), at == "props-off") << at;
  }
}

TEST(Teach, ASignalInASpinSaysThatNobodyHasSeenTheStop) {
  Lesson lesson(fixture_profile("tarn"));
  int signals = 0;
  lesson.tampering.after_write = [&] {
    if (lesson.sentry.is_turning() && signals++ == 0)
      lesson.signal.emit(boost::asio::cancellation_type::terminal);
  };
  lesson.run();
  ASSERT_TRUE(lesson.ended_by_signal) << lesson.story();
  EXPECT_TRUE(was_told(lesson, "stop-unseen"));
  EXPECT_EQ(lesson.left.find("no motor turns"), std::string::npos) << lesson.left;
}

// It ended the lessons, with a word of something wrong inside armwise.
TEST(Teach, CtrlZInASpinStopsItAndTheLessonsGoOn) {
  Lesson lesson(fixture_profile("tarn"));
  bool pressed = false;
  lesson.options.suspended = [&] { return std::exchange(pressed, false); };
  int lines = 0;
  lesson.tampering.after_write = [&] {
    if (!lesson.sentry.is_turning() || ++lines > 1) return;
    pressed = true;
    lesson.signal.emit(boost::asio::cancellation_type::terminal);
  };
  lesson.run();
  ASSERT_TRUE(lesson.result) << lesson.story();
  EXPECT_TRUE(lesson.result->profile.spin);
  EXPECT_TRUE(was_told(lesson, "spin-cut-short"));
  EXPECT_EQ(lesson.sentry.turned, 3) << "cut short, taught once more, and on another pin";
  EXPECT_FALSE(was_left_turning(lesson.port.controller()));
}

// What a person takes for granted is put right by what they see.
TEST(Teach, WhenASettingTakesEffectIsSeen) {
  for (const char* dialect : {"tarn", "moor"}) {
    Lesson lesson(fixture_profile(dialect));
    const bool late = lesson.known.map->takes_effect == console::TakesEffect::after_restart;
    EXPECT_EQ(late, dialect == std::string("moor")) << "what they say when they are asked";
    lesson.person.first["effect-seen"] = {late ? "other" : "same"};
    const practice::SettingsView before = lesson.port.controller().running();
    lesson.run();
    ASSERT_TRUE(lesson.result) << lesson.story();
    EXPECT_NE(lesson.result->profile.map->takes_effect, lesson.known.map->takes_effect);
    const auto told =
        late ? session::StatementId("effect-at-once") : session::StatementId("effect-after-restart");
    EXPECT_TRUE(was_told(lesson, told)) << lesson.story();
    EXPECT_EQ(lesson.port.controller().running(), before);
  }
}

TEST(Teach, SignalsAgainAndAgainDoNotCutTheStopShort) {
  Lesson lesson(fixture_profile("tarn"));
  lesson.tampering.after_write = [&] {
    if (lesson.sentry.is_turning()) lesson.signal.emit(boost::asio::cancellation_type::terminal);
  };
  lesson.run();
  EXPECT_TRUE(lesson.ended_by_signal) << (lesson.fault ? lesson.fault->sentence() : "");
  EXPECT_FALSE(lesson.sentry.is_turning());
  EXPECT_FALSE(was_left_turning(lesson.port.controller()));
}

// What a typed command has changed, nobody knows before it is read again; what is kept is not as before.
TEST(Teach, AStopSaysOfTheSettingsWhatIsKnown) {
  const auto left_at = [](const std::string& question) {
    Lesson lesson(fixture_profile("tarn"));
    lesson.person.first[question] = {"stop"};
    lesson.run();
    EXPECT_TRUE(lesson.stopped) << question << lesson.story();
    return lesson.left;
  };
  EXPECT_EQ(left_at("identify"), "") << "nothing was sent that a person typed";
  EXPECT_NE(left_at("assign-pin").find("restarting the controller undoes it"), std::string::npos);
  EXPECT_NE(left_at("leave").find("Settings that you saved stay saved."), std::string::npos);
}

TEST(Teach, ACommandThatIsTaughtAsSomethingElseIsNotTakenForAStopOrForKeeping) {
  Lesson lesson(fixture_profile("tarn"));
  lesson.person.first["stop-command"] = {"tell wiring"};
  lesson.person.first["keep"] = {"halt every motor"};
  lesson.person.first["restarts"] = {"tell feel"};
  lesson.person.first["leave"] = {"keep it"};
  expect_taught(lesson);
  EXPECT_TRUE(was_told(lesson, "known-command", {{"does", "shows which pin drives each motor"}}));
  EXPECT_TRUE(was_told(lesson, "known-command", {{"does", "stops all motors"}}));
  EXPECT_TRUE(was_told(lesson, "known-command", {{"does", "makes the settings last"}}));
  EXPECT_TRUE(was_told(lesson, "known-command", {{"does", "shows the readings"}}));
  EXPECT_TRUE(lesson.result && lesson.result->profile.keep && lesson.result->profile.keep->restart);
  EXPECT_TRUE(was_told(lesson, "ability", {{"line", "To stop all motors it sends: halt every motor"}}));
}

TEST(Teach, AnglesInTheWrongPlacesAreNotSent) {
  Lesson lesson(fixture_profile("tarn"));
  lesson.person.first["set-yaw"] = {"mount at yaw 20 pitch 10 roll 30"};
  expect_taught(lesson);
  EXPECT_TRUE(was_told(lesson, "not-understood", {{"why", "yaw 20"}}));
  for (const std::string& sent : lesson.sent) EXPECT_EQ(sent.find("yaw 20 pitch 10"), std::string::npos);
  if (lesson.result) expect_a_bench_session(lesson, {90, 0, 0});
}

// "normal" and "reversed" say nothing of clockwise: whatever was answered, the spins show the truth.
TEST(Teach, WhichWayAWordTurnsDoesNotMatter) {
  for (const char* dialect : {"sedge", "tarn", "fell"}) {
    for (const char* answer : {"cw", "ccw"}) {
      Lesson lesson(fixture_profile(dialect));
      lesson.person.first["turn-now"] = {answer};
      lesson.run();
      ASSERT_TRUE(lesson.result) << lesson.story();
      expect_a_bench_session(lesson);
    }
  }
}

// A defect found: while the answer to the spin was waited for, nobody looked at the keys or at the time.
TEST(Teach, NoMotorTurnsLongerBecauseTheAnswerIsLate) {
  InTurn turn;
  for (const char* dialect : {"tarn", "sedge", "fell", "moor"}) {
    for (const int late : {0, 200, 300, 700, 2500}) {
      if (turn.is_left_out()) continue;
      practice::Habits habits;
      habits.latency = Duration(late);
      Lesson lesson(fixture_profile(dialect), habits);
      lesson.run();
      EXPECT_TRUE(lesson.result && lesson.result->profile.spin) << dialect << late << lesson.story();
      EXPECT_LE(longest_spin(lesson.port.controller()), Duration(1400)) << dialect << late;
      EXPECT_TRUE(lesson.port.turning(lesson.clock.now()).empty());
    }
  }
}

// A defect found: where a step was typed behind that which turns the motor, as the way out of a menu, its
// answer was waited for as in any menu; at 2.5 s late the motor turned for 5.4 s, and no key was looked at.
TEST(Teach, NoMotorTurnsLongerBecauseAStepFollowsTheSpin) {
  for (const int late : {0, 300, 700, 2500}) {
    practice::Habits habits;
    habits.latency = Duration(late);
    Lesson lesson(fixture_profile("fell"), habits);
    lesson.person.first["spin-command"] = {"4 ; 103 ; 1040 ; 0"};
    lesson.run();
    EXPECT_TRUE(lesson.result && lesson.result->profile.spin) << late << lesson.story();
    EXPECT_LE(longest_spin(lesson.port.controller()), Duration(1700)) << late;
    EXPECT_FALSE(lesson.sentry.stepped_in) << late;
  }
}

// Defects found: silence was taken for the answer to the stop, and the motor turned on, unsaid; and where a
// console is 2.5 s late, the guard was told to wait only after it had stepped in.
TEST(Teach, AStopThatIsLostIsSaidAgain) {
  InTurn turn;
  for (const char* dialect : {"tarn", "sedge", "fell", "brook", "moor"}) {
    for (const int late : {2, 700, 2500}) {
      for (const std::uint64_t lost :
           {std::uint64_t{2}, std::uint64_t{1000}}) {  // the first is that which is tried
        if (turn.is_left_out()) continue;
        practice::Habits habits;
        habits.latency = Duration(late);
        Lesson lesson(fixture_profile(dialect), habits, plain_craft(*craft::frame_named("quad-x")),
                      {practice::Mischief::swallow_stop, lost});
        bool spun_on = false;
        lesson.tampering.after_write = [&] {
          const bool spun = lesson.sentry.turned > 0 && !lesson.sentry.is_turning();
          spun_on = spun_on || (spun && was_left_turning(lesson.port.controller()));
        };
        lesson.run();
        EXPECT_TRUE(lesson.result && lesson.result->profile.spin)
            << dialect << late << (lesson.fault ? lesson.fault->sentence() : "") << lesson.story();
        EXPECT_FALSE(spun_on) << dialect << late << " " << lost;
        EXPECT_LE(longest_spin(lesson.port.controller()), Duration(2600)) << dialect << late;
        EXPECT_FALSE(lesson.sentry.stepped_in) << dialect << late << " " << lost;
      }
    }
  }
}

// Nothing passes any more once a motor turns. It was said only after a whole try of the stop, after 5 to 8 s.
TEST(Teach, AStopThatIsNotAnsweredIsSaidAsSoonAsAnAnswerIsOverdue) {
  for (const char* dialect : {"tarn", "sedge", "fell", "brook", "moor"}) {
    for (const int late : {0, 300, 700}) {
      practice::Habits habits;
      habits.latency = Duration(late);
      Lesson lesson(fixture_profile(dialect), habits);
      bool dead = false;
      lesson.tampering.swallows = [&](std::string_view) {
        dead = dead || was_left_turning(lesson.port.controller());
        return dead;
      };
      lesson.mangle = [&](std::string bytes) {
        dead = dead || was_left_turning(lesson.port.controller());
        return dead ? std::string() : bytes;
      };
      WarnedPerson warned(lesson.person, lesson.clock);
      lesson.run(warned);
      ASSERT_TRUE(warned.at) << dialect << late << lesson.story();
      const Duration overdue = std::max(Duration(1000), Duration(2 * late));
      EXPECT_LE(*warned.at - warned.stop_is_due, overdue + Duration(late + 400)) << dialect << late;
    }
  }
}

TEST(Teach, AConsoleThatIsKnownToBeSlowIsNoCauseForAlarm) {
  InTurn turn;
  for (const char* dialect : {"tarn", "sedge", "fell", "brook", "moor"}) {
    for (const int late : {0, 300, 700, 2500}) {
      if (turn.is_left_out()) continue;
      practice::Habits habits;
      habits.latency = Duration(late);
      Lesson lesson(fixture_profile(dialect), habits);
      WarnedPerson warned(lesson.person, lesson.clock);
      lesson.run(warned);
      EXPECT_TRUE(lesson.result) << dialect << late << lesson.story();
      EXPECT_FALSE(warned.at) << dialect << late;
    }
  }
}

// Where no words tell of the stop, its prompt alone does, and silence does not.
TEST(Teach, AStopThatIsLostIsSaidAgainWhereOnlyThePromptAnswersIt) {
  for (const char* dialect : {"tarn", "sedge", "fell", "moor"}) {
    console::Profile known = fixture_profile(dialect);
    known.spin->stop_all.confirms.reset();
    Lesson lesson(known, {}, plain_craft(*craft::frame_named("quad-x")),
                  {practice::Mischief::swallow_stop, 4});  // the first three are tried
    lesson.run();
    ASSERT_TRUE(lesson.result && lesson.result->profile.spin) << dialect << lesson.story();
    EXPECT_FALSE(lesson.result->profile.spin->stop_all.confirms) << dialect;
    EXPECT_LE(longest_spin(lesson.port.controller()), Duration(2600)) << dialect;
    EXPECT_TRUE(was_told(lesson, "stop-lost")) << dialect;
  }
}

TEST(Teach, GoesBack) {
  Lesson lesson(fixture_profile("tarn"));
  lesson.person.first["assign-pin"] = {"back"};
  lesson.person.first["keep"] = {"back"};
  expect_taught(lesson);
}

// After a restart the word that gets in was sent once, and nobody looked whether it was heard.
TEST(Teach, AWordThatIsLostAfterARestartIsSentAgain) {
  Lesson lesson(fixture_profile("sedge"));
  int lost = 0;
  lesson.tampering.swallows = [&](std::string_view bytes) {
    return bytes == "edit\n" && lesson.port.controller().restarts() == 1 && lost++ == 0;
  };
  expect_taught(lesson);
  EXPECT_EQ(lost, 2) << "lost once, and heard the second time";
  EXPECT_TRUE(lesson.result->profile.leave) << lesson.story();
}

// It was also sent to a console that was open already, which takes it for a command.
TEST(Teach, NoWordIsSentToAConsoleThatIsOpenAfterItsRestart) {
  console::Profile known = fixture_profile("tarn");
  known.open.send = "knock knock";
  known.keep.reset();
  Lesson lesson(fixture_profile("tarn"));
  lesson.options.from = known;
  expect_taught(lesson);
  EXPECT_EQ(lesson.port.controller().restarts(), 1);
  for (const std::string& sent : lesson.sent) EXPECT_FALSE(sent.starts_with("knock")) << sent;
}

// The console may have taken half a line before its restart failed: a bare line end would carry it out.
TEST(Teach, TheFirstLineEndAfterARestartCarriesNothingOut) {
  Lesson lesson(fixture_profile("sedge"));
  std::string first;
  lesson.tampering.after_write = [&] {
    if (first.empty() && lesson.port.controller().restarts() == 1) first = lesson.sent.back();
  };
  expect_taught(lesson);
  EXPECT_TRUE(first.starts_with("qzvakw\n")) << first;
}

// A bare line end carried out what had been cut off, and no stop stood behind it.
TEST(Teach, WhatIsLeftHalfTypedInATrialIsSpoiledAndTheStopFollowsWhereItIsKnown) {
  for (const bool knows_the_stop : {false, true}) {
    Lesson lesson(fixture_profile("tarn"));
    console::Profile known = fixture_profile("tarn");
    known.mount.reset();
    if (!knows_the_stop) known.spin.reset();
    lesson.options.from = known;
    std::size_t cut = 0;
    lesson.tampering.cuts = [&](std::string_view bytes) {
      const bool now = cut == 0 && bytes.starts_with("mount at yaw 10");
      if (now) cut = lesson.sent.size();
      return now;
    };
    const practice::SettingsView before = lesson.port.controller().running();
    lesson.run();
    ASSERT_GT(cut, 0U) << lesson.story();
    EXPECT_EQ(lesson.sent.at(cut), knows_the_stop ? "qzqz\nhalt every motor\n" : "qzqz\n");
    EXPECT_EQ(lesson.port.controller().running(), before);
  }
}

// A defect found: killed in a trial, it left the other value, and the next bench took that for the owner's.
TEST(Teach, LeavesWordOfAValueBeforeItIsSentAndTakesItBackOnceItReadsAsBefore) {
  for (const char* dialect : {"tarn", "sedge", "fell", "moor"}) {
    Lesson lesson(fixture_profile(dialect));
    MemoryStore store;
    const auto journal = store.start_journal({}, {});
    lesson.options.journal = [&]() -> record::Journal& { return *journal; };
    const practice::SettingsView start = lesson.port.controller().running();
    int otherwise = 0;
    lesson.tampering.after_write = [&] {
      if (lesson.port.controller().running() == start) return;
      ++otherwise;
      EXPECT_EQ(store.open_sessions().size(), 1U) << dialect << ", after " << lesson.sent.back();
    };
    lesson.run();
    ASSERT_TRUE(lesson.result) << dialect << lesson.story();
    EXPECT_GT(otherwise, 5) << dialect;
    EXPECT_TRUE(store.open_sessions().empty()) << dialect << " is as it was, and word of it is left";
    for (const record::JournalEntry& entry : store.journals.begin()->second) {
      if (entry.what != record::JournalEntry::What::trying) continue;
      ASSERT_FALSE(entry.lines.empty()) << dialect;
      // What is said to put it back is what put it back.
      const std::string first = entry.lines.front().substr(1, entry.lines.front().find('"', 1) - 1);
      const std::string step = first.substr(0, first.find(" ; "));
      EXPECT_TRUE(std::any_of(lesson.sent.begin(), lesson.sent.end(),
                              [&](const std::string& sent) { return sent.find(step) != std::string::npos; }))
          << dialect << ": " << entry.lines.front();
      EXPECT_NE(entry.text.find("Before, it read \""), std::string::npos) << entry.text;
    }
  }
}

TEST(Teach, TriesNothingOfWhichNoWordCanBeLeft) {
  Lesson lesson(fixture_profile("tarn"));
  MemoryStore store;
  store.full_at = 1;
  const auto journal = store.start_journal({}, {});
  lesson.options.journal = [&]() -> record::Journal& { return *journal; };
  const practice::SettingsView start = lesson.port.controller().running();
  lesson.tampering.after_write = [&] { EXPECT_EQ(lesson.port.controller().running(), start); };
  lesson.run();
  ASSERT_TRUE(lesson.fault);
  EXPECT_EQ(lesson.fault->kind(), FaultKind::file);
}

TEST(Teach, TheStopIsBehindTheFirstLineEndAfterARestartWhereItIsKnown) {
  Lesson lesson(fixture_profile("sedge"));
  std::string first;
  lesson.tampering.after_write = [&] {
    if (first.empty() && lesson.port.controller().restarts() == 1) first = lesson.sent.back();
  };
  expect_taught(lesson);
  EXPECT_EQ(first, "qzvakw\ntest.* = stop\n");
}

// Somebody who remembers how they were asked for the props to be off, and the cautions before.
struct CeremonyHeard {
  explicit CeremonyHeard(session::Person& practised)
      : person(practised, [this](int, const session::Question& asked) -> std::optional<session::Answer> {
          if (asked.id != "props-off") return std::nullopt;
          question = asked;
          for (const session::Statement& told : person.told) {
            if (told.level == session::Level::danger) cautions.push_back(told.text);
          }
          return std::nullopt;
        }) {}

  RehearsedPerson person;
  session::Question question;
  std::vector<std::string> cautions;
};

TEST(Teach, AsksForThePropsOffInTheSameWordsAsBench) {
  Lesson lesson(fixture_profile("tarn"));
  CeremonyHeard teach(lesson.person);
  lesson.run(teach.person);
  ASSERT_TRUE(lesson.result) << lesson.story();
  PracticeSession first_day("tarn", worked_craft());
  CeremonyHeard bench(first_day.person);
  ASSERT_TRUE(first_day.bench_by(bench.person, first_day.profile, worked_options()).result);
  EXPECT_EQ(teach.question.kind, session::Question::Kind::typed_word);
  EXPECT_EQ(teach.question.level, session::Level::danger);
  EXPECT_FALSE(teach.question.word.empty());
  EXPECT_EQ(bench.question.kind, teach.question.kind);
  EXPECT_EQ(bench.question.level, teach.question.level);
  EXPECT_EQ(bench.question.word, teach.question.word);
  EXPECT_EQ(bench.question.text, teach.question.text);
  ASSERT_FALSE(teach.cautions.empty());
  // The question says that the props come off; three that are read say the rest: fingers, what stops a motor,
  // the battery.
  EXPECT_NE(teach.question.text.find("Props off"), std::string::npos) << teach.question.text;
  for (const char* about : {"Fingers", "Pull the battery", "Never leave"})
    EXPECT_NE(teach.cautions.front().find(about), std::string::npos) << about;
  EXPECT_EQ(bench.cautions, teach.cautions);
}

TEST(Teach, WhatIsSkippedIsLeftOut) {
  Lesson lesson(fixture_profile("tarn"));
  lesson.person.first["identify"] = {"skip"};
  lesson.person.first["sense"] = {"skip"};
  lesson.person.first["stop-command"] = {"skip"};
  lesson.run();
  ASSERT_TRUE(lesson.result) << lesson.story();
  EXPECT_FALSE(lesson.result->profile.identify);
  EXPECT_FALSE(lesson.result->profile.sense);
  EXPECT_FALSE(lesson.result->profile.spin);
  EXPECT_EQ(lesson.sentry.turned, 0);
}

// The map of tarn, listed otherwise.
console::Profile with_list(const std::vector<std::string>& headings, const std::vector<std::string>& lines) {
  console::Profile profile = fixture_profile("tarn");
  console::Query& list = profile.map->list;
  list.lines.clear();
  list.item.reset();
  for (const std::string& each : headings) list.headings.push_back(console::Template::parse(each));
  for (const std::string& each : lines) list.lines.push_back(console::Template::parse(each));
  return profile;
}

TEST(TeachMap, InSectionsIsReadWithoutPointing) {
  Lesson lesson(with_list({"[drive.{motor:int}]"}, {"pin = \"{pin}\""}));
  expect_taught_and_benched(lesson);
  EXPECT_EQ(lesson.result->profile.map->list.headings.front().source(), "[drive.{motor:int}]");
}

TEST(TeachMap, ThePinMayBePointedAtBelowTheMotor) {
  Lesson lesson(with_list({"[drive.{motor:int}]"}, {"pin = \"{pin}\""}));
  lesson.person.declines = "I read: motor 1 on pin P1";
  lesson.person.first["point-line"] = {"1", "none"};
  lesson.person.first["point-motor"] = {"1c"};
  lesson.person.first["point-pin"] = {"+1.3b"};
  lesson.run();
  const auto is_pin = [&](const std::string& asked) { return asked.find("-> +1.3b") != std::string::npos; };
  EXPECT_TRUE(std::any_of(lesson.person.asked.begin(), lesson.person.asked.end(), is_pin)) << lesson.story();
}

// A line that reads like a motor's in every way but what it is about.
TEST(TeachMap, ALineThatIsNotAboutAMotorIsSaidToBeNone) {
  Lesson lesson(with_list({}, {"{motor:int} {pin}", "5 total"}));
  lesson.person.declines = "motor 5 on no pin";
  lesson.person.first["point-line"] = {"1", "2", "3"};
  lesson.person.first["point-motor"] = {"1", "1", "1"};
  lesson.person.first["point-pin"] = {"2", "2", "2"};
  lesson.person.first["point-other"] = {"5"};
  expect_taught_and_benched(lesson);
  EXPECT_EQ(lesson.result->profile.map->list.lines.front().source(), "{skip} total");
}

// Both the motor and its pin stand in the answer: by which of them a direction goes, the command tells.
TEST(TeachTurn, GoesByWhatTheCommandNames) {
  for (const solve::TurnKey key : {solve::TurnKey::motor, solve::TurnKey::pin}) {
    console::Profile profile = fixture_profile("tarn");
    const std::string blank = key == solve::TurnKey::pin ? "pin" : "motor",
                      name = blank + " {" + blank + "} ";
    profile.turn->key = key;
    profile.turn->read.lines = {console::Template::parse(name + "turns {turn}")};
    profile.turn->set->steps.front().send = console::Template::parse("turn " + name + "{turn}");
    profile.turn->set->confirms = console::Template::parse(name + "now turns {turn}");
    Lesson lesson(profile);
    lesson.mangle = [&](std::string bytes) {
      for (const std::string number : {"1", "2", "3", "4"})
        bytes = replaced(bytes, (blank == "pin" ? "pin P" : "motor ") + number + " turns ",
                         "motor " + number + " on P" + number + " turns ");
      return bytes;
    };
    expect_taught(lesson);
    ASSERT_TRUE(lesson.result && lesson.result->profile.turn && lesson.result->profile.turn->set)
        << lesson.story();
    EXPECT_EQ(lesson.result->profile.turn->key, key) << lesson.story();
    EXPECT_TRUE(lesson.result->profile.turn->set->steps.front().send.has(blank));
  }
}

TEST(Teach, WhoItIsMayBePointedAtWhereItWasReadWrong) {
  Lesson lesson(fixture_profile("tarn"));
  lesson.person.first["right"] = {"no"};
  // Of "board practice-board-6 running rehearsal 1.4.2", less what was pointed at before.
  lesson.person.first["identify-board"] = {"2"};
  lesson.person.first["identify-firmware"] = {"3"};
  lesson.person.first["identify-version"] = {"3"};
  lesson.person.first["identify-serial"] = {"none"};
  expect_taught(lesson);
  const auto& identify = lesson.result->profile.identify;
  ASSERT_TRUE(identify);
  ASSERT_EQ(identify->lines.size(), 1U);
  EXPECT_EQ(identify->lines[0].source(), "board {board} running {firmware} {version}");
}

TEST(Teach, WhoItIsIsLeftOutOnlyWhereNoWordIsPointedAt) {
  Lesson lesson(fixture_profile("tarn"));
  lesson.person.first["right"] = {"no"};
  for (const char* name : {"board", "firmware", "version", "serial"})
    lesson.person.first[std::string("identify-") + name] = {"none"};
  expect_taught(lesson);
  EXPECT_FALSE(lesson.result->profile.identify);
  EXPECT_TRUE(was_told(lesson, "identity-left-out"));
}

TEST(Teach, AConsolesOwnCommandNamedSkipIsTypedInQuotes) {
  console::Profile console = fixture_profile("tarn");
  console.leave->steps.front().send = console::Template::literal("skip");
  Lesson lesson(console);
  lesson.person.first["leave"] = {"\"skip\""};
  expect_taught(lesson);
  ASSERT_TRUE(lesson.result->profile.leave);
  EXPECT_EQ(lesson.result->profile.leave->steps.front().send.source(), "skip");
}

TEST(Teach, NothingTurnsWithoutTheCeremony) {
  Lesson lesson(fixture_profile("tarn"));
  lesson.person.first["props-off"] = {"yes"};
  lesson.run();
  ASSERT_TRUE(lesson.result) << lesson.story();
  EXPECT_FALSE(lesson.result->profile.spin);
  EXPECT_EQ(lesson.sentry.turned, 0);
}

TEST(Teach, IsTakenUpAgainAfterAStop) {
  Lesson first(fixture_profile("sedge"));
  std::optional<console::Profile> kept;
  first.options.keep_draft = [&](const console::Profile& draft) {
    kept = console::load_profile(console::profile_text(draft));
  };
  first.person.first["set-yaw"] = {"stop"};
  first.run();
  EXPECT_TRUE(first.stopped);
  ASSERT_TRUE(kept);
  EXPECT_TRUE(kept->map && kept->map->put && kept->props && kept->turn);
  EXPECT_FALSE(kept->mount);
  Lesson second(fixture_profile("sedge"));
  second.options.from = kept;
  expect_taught(second);
  EXPECT_LT(second.result->typed, 10);
  expect_a_bench_session(second);
}

// A session with such a console as a terminal saves it: what it says while these commands are typed.
std::string typed_into(const console::Profile& profile, const std::vector<std::string>& commands) {
  practice::PracticeController controller(profile, plain_craft(*craft::frame_named("quad-x")));
  Instant now{0};
  std::string log;
  for (const std::string& command : commands) {
    now += Duration(2000);
    log += controller.take(now);
    controller.receive(command + std::string(console::line_end_of(profile)), now);
  }
  return log + controller.take(now + Duration(2000));
}

// What was typed then about other motors, pins and values.
TEST(Teach, WhatASavedSessionHoldsIsProposedAndProven) {
  Lesson lesson(fixture_profile("tarn"));
  lesson.options.log = typed_into(
      lesson.known, {"who are you", "tell everything", "tell wiring", "wire motor 2 to P3",
                     "wire motor 2 to nothing", "tell props", "sweep props outward", "tell turning",
                     "turn motor 3 flipped", "tell mount", "mount at yaw 90 pitch 0 roll 10", "tell feel",
                     "halt every motor", "spin motor 2 at 6 for 1000", "keep it", "goodbye"});
  expect_taught(lesson);
  EXPECT_LE(lesson.result->typed, 3) << lesson.options.log << lesson.story();
  EXPECT_TRUE(lesson.result->profile.spin);
  expect_a_bench_session(lesson);
}

TEST(Teach, WhatALogOfATerminalHoldsIsProposedAndProven) {
  const std::map<std::string, int> typed{
      {"profiles/tarn", 9}, {"profiles/moor", 9}, {"dialects-for-teaching/larch", 9}};
  for (const auto& [dialect, most] : typed) {
    Lesson lesson(console::load_profile_file(std::string(ARMWISE_FIXTURES) + "/" + dialect + ".json"));
    std::ifstream in(std::string(ARMWISE_FIXTURES) + "/conversations/logs/" + lesson.known.name + ".log");
    lesson.options.log.assign(std::istreambuf_iterator<char>(in), {});
    expect_taught(lesson);
    EXPECT_LE(lesson.result->typed, most) << lesson.story();
  }
}

TEST(Teach, ATextWithoutAPromptIsSaidToHoldNoSession) {
  Lesson lesson(fixture_profile("tarn"));
  lesson.options.log = "one\ntwo\nthree\n";
  lesson.run();
  ASSERT_TRUE(lesson.fault);
  EXPECT_EQ(lesson.fault->kind(), FaultKind::bad_data);
}

// Whatever cuts a lesson short, and wherever: a setting that was tried is as it was, and nothing turns.
class CutShort : public ::testing::TestWithParam<const char*> {
 protected:
  // A lesson is hundreds of lines, and most of them are followed by the same code: as many commits take all.
  inline static const int line_step = one_in(5, 87), byte_step = one_in(65, 1131),
                          mischief_step = one_in(3, 29);
  static void expect_as_it_was(Lesson& lesson, const practice::SettingsView& before,
                               const std::string& where) {
    EXPECT_EQ(lesson.port.controller().running(), before) << where << "\n" << lesson.story();
    EXPECT_EQ(lesson.port.controller().saved(), before) << where;
    EXPECT_TRUE(lesson.port.turning(lesson.clock.now()).empty()) << where;
  }
};

TEST_P(CutShort, ByThePersonAtEachQuestion) {
  std::size_t stops = 0;
  for (auto question = static_cast<std::size_t>(first_of(every)); question < 100;
       question += static_cast<std::size_t>(every)) {
    Lesson lesson(fixture_profile(GetParam()));
    const practice::SettingsView before = lesson.port.controller().running();
    lesson.person.stops_at = question;
    lesson.run();
    if (!lesson.stopped) break;
    ++stops;
    expect_as_it_was(lesson, before, "question " + std::to_string(question));
  }
  EXPECT_GE(stops, sanitized ? 0U : 21U);
}

TEST_P(CutShort, ByASignalAfterEachLineThatGoesOut) {
  int ended = 0;
  for (int line = 1 + first_of(line_step); line < 1000; line += line_step) {
    Lesson lesson(fixture_profile(GetParam()));
    const practice::SettingsView before = lesson.port.controller().running();
    int written = 0;
    lesson.tampering.after_write = [&] {
      if (++written == line) lesson.signal.emit(boost::asio::cancellation_type::terminal);
    };
    lesson.run();
    if (written < line) break;
    EXPECT_TRUE(lesson.ended_by_signal || lesson.result) << line << lesson.story();
    if (lesson.ended_by_signal) ++ended;
    expect_as_it_was(lesson, before, "line " + std::to_string(line));
  }
  EXPECT_GT(ended, sanitized ? 0 : 7);
}

TEST_P(CutShort, ByAFaultAfterEachLineThatGoesOut) {
  int faults = 0;
  // Not the lines of the signal's sweep of the same commit.
  for (int line = 1 + (first_of(line_step) + 1) % line_step; line < 1000; line += line_step) {
    Lesson lesson(fixture_profile(GetParam()));
    const practice::SettingsView before = lesson.port.controller().running();
    int written = 0;
    lesson.tampering.after_write = [&] {
      if (++written == line) throw Fault(FaultKind::no_reply, "the test says that nothing answers");
    };
    lesson.run();
    if (written < line) break;
    if (lesson.fault) ++faults;
    expect_as_it_was(lesson, before, "line " + std::to_string(line));
  }
  EXPECT_GT(faults, sanitized ? 0 : 7);
}

INSTANTIATE_TEST_SUITE_P(Dialects, CutShort, ::testing::Values("tarn", "sedge", "fell", "moor"));

// The cable is pulled, and the battery is connected: the controller runs on, and so does what it was told.
TEST_P(CutShort, ByThePortThatVanishes) {
  int faults = 0, taught = 0;
  for (auto byte = static_cast<std::uint64_t>(1 + first_of(byte_step)); byte < 6000;
       byte += static_cast<std::uint64_t>(byte_step)) {
    Lesson lesson(fixture_profile(GetParam()), {}, plain_craft(*craft::frame_named("quad-x")),
                  {practice::Mischief::vanish_same_name, byte, practice::Way::to_controller, false, 1});
    const practice::SettingsView before = lesson.port.controller().running();
    lesson.run();
    EXPECT_TRUE(lesson.fault || lesson.result) << byte << lesson.story();
    lesson.fault ? ++faults : ++taught;
    if (lesson.fault && lesson.fault->kind() == FaultKind::unsafe) continue;
    expect_as_it_was(lesson, before, "byte " + std::to_string(byte));
  }
  std::cout << GetParam() << ": " << faults << " ended with a fault, " << taught
            << " were taught all the same\n";
}

// Whatever else goes wrong: it is said, and nothing is left set or turning.
TEST_P(CutShort, ByEveryMischiefOnce) {
  std::map<std::string, std::string> left;
  const auto kinds = static_cast<int>(practice::mischiefs().size());
  InTurn in_turn(mischief_step);
  for (int number = 1; number <= kinds; ++number) {
    for (std::uint64_t seed = 1; seed <= 2; ++seed) {
      if (in_turn.is_left_out()) continue;
      const practice::MischiefPlan plan = practice::mischief_numbered(number, seed);
      Lesson lesson(fixture_profile(GetParam()), {}, plain_craft(*craft::frame_named("quad-x")), plan);
      const practice::SettingsView before = lesson.port.controller().running();
      lesson.run();
      const std::string where =
          std::string(practice::mischiefs()[static_cast<std::size_t>(number) - 1].name) + " seed " +
          std::to_string(seed);
      EXPECT_TRUE(lesson.fault || lesson.result || lesson.stopped) << where << lesson.story();
      // Said to be left changed, or to turn, is said.
      const bool said = lesson.fault && (lesson.fault->kind() == FaultKind::left_changed ||
                                         lesson.fault->kind() == FaultKind::unsafe);
      if (said) left[where] = lesson.fault->sentence();
      if (!said) expect_as_it_was(lesson, before, where);
    }
  }
  for (const auto& [where, sentence] : left)
    std::cout << GetParam() << ", " << where << ": " << sentence << "\n";
}

TEST(Teach, ASlipThatWouldSetSomethingElseIsNotSent) {
  Lesson lesson(fixture_profile("tarn"));
  const practice::SettingsView before = lesson.port.controller().running();
  lesson.person.first["assign-pin"] = {"wire motor 2 to P3"};
  lesson.person.first["set-turn-cw"] = {"turn motor 4 flipped"};
  expect_taught(lesson);
  EXPECT_EQ(lesson.port.controller().running(), before);
  for (const std::string& sent : lesson.sent) EXPECT_EQ(sent.find("wire motor 2 to P3"), std::string::npos);
}

TEST(Teach, WhatACommandChangedUnasked_IsSaidBeforeItIsKept) {
  Lesson lesson(fixture_profile("tarn"));
  lesson.person.first["sense"] = {"wire motor 1 to P6"};
  lesson.person.first["try-change"] = {"yes", "yes", "yes", "yes", "no", "no"};
  lesson.run();
  ASSERT_TRUE(lesson.result) << lesson.story();
  EXPECT_FALSE(lesson.result->profile.keep);
}

TEST(Teach, AndPutBackByWhatWasTaughtSince) {
  Lesson lesson(fixture_profile("tarn"));
  const practice::SettingsView before = lesson.port.controller().running();
  lesson.person.first["sense"] = {"wire motor 1 to P6"};
  lesson.run();
  ASSERT_TRUE(lesson.result) << lesson.story();
  EXPECT_TRUE(lesson.result->profile.keep);
  EXPECT_EQ(lesson.port.controller().running(), before);
}

TEST(Teach, BackGoesToTheQuestionBeforeAndForgetsIt) {
  Lesson lesson(fixture_profile("tarn"));
  lesson.person.first["sense"] = {"back"};
  expect_taught(lesson);
  const auto asked = [&](const std::string& id) {
    return std::count_if(lesson.person.asked.begin(), lesson.person.asked.end(),
                         [&](const std::string& line) { return line.rfind(id + ":", 0) == 0; });
  };
  const auto effect = std::count_if(
      lesson.person.asked.begin(), lesson.person.asked.end(),
      [](const std::string& line) { return line.find("takes effect at once") != std::string::npos; });
  EXPECT_EQ(effect, 2);
  EXPECT_EQ(asked("sense"), 2);
  EXPECT_EQ(asked("set-yaw"), 1);
}

// What was answered before is handed out from memory, and what was said is not said again.
TEST(Teach, WithinALessonBackIsOneQuestionBack) {
  Lesson lesson(fixture_profile("tarn"));
  lesson.person.first["set-turn-cw"] = {"back"};
  expect_taught(lesson);
  const auto asked = [&](const std::string& part) {
    return std::count_if(lesson.person.asked.begin(), lesson.person.asked.end(),
                         [&](const std::string& line) { return line.find(part) != std::string::npos; });
  };
  EXPECT_EQ(asked("read-turn:"), 1);
  EXPECT_EQ(asked("turn-now:"), 1);
  EXPECT_EQ(asked("for the other way round"), 2);
  EXPECT_EQ(asked("set-turn-cw:"), 2);
}

// Whoever typed 10 for ten degrees to a console that counts tenths, and whose readings do not follow the
// mount.
TEST(TeachMount, AUnitThatNothingHasShownIsAskedFor) {
  for (const char* unit : {"tenths", "unknown"}) {
    console::Profile known = fixture_profile("tarn");
    known.sense->after_mount = false;
    Lesson lesson(known);
    lesson.person.declines = "is 10 ten degrees";
    lesson.person.first["angle-unit"] = {unit};
    lesson.run();
    ASSERT_TRUE(lesson.result) << lesson.story();
    const console::MountAbility& taught = *lesson.result->profile.mount;
    EXPECT_EQ(taught.settable(), std::string(unit) == "tenths") << lesson.story();
    if (taught.settable()) {
      EXPECT_EQ(taught.per_degree, 10);
    }
  }
}

// What the practice controller makes of a mount is worked out apart from armwise's own rotations
// (practice/craft.hpp), so that the two are held against each other here.
console::Profile turned_readings(const std::string& dialect) {
  console::Profile profile = fixture_profile(dialect);
  profile.sense->after_mount = true;
  return profile;
}
bool has_note(const console::Profile& profile, const std::string& part) {
  return std::any_of(profile.notes.begin(), profile.notes.end(),
                     [&](const std::string& note) { return note.find(part) != std::string::npos; });
}
const std::vector<std::string>& six_orders() {
  static const std::vector<std::string> orders{"yaw-pitch-roll", "yaw-roll-pitch", "pitch-yaw-roll",
                                               "pitch-roll-yaw", "roll-yaw-pitch", "roll-pitch-yaw"};
  return orders;
}

TEST(TeachMount, EveryConventionIsFoundByHowTheReadingsMove) {
  InTurn turn;
  for (const std::string& order : six_orders()) {
    for (unsigned bits = 0; bits < 8; ++bits) {
      if (turn.is_left_out()) continue;
      console::Profile known = turned_readings(bits % 2 ? "sedge" : "tarn");
      known.mount->order = order;
      for (std::size_t axis = 0; axis < 3; ++axis) known.mount->signs.at(axis) = (bits >> axis & 1U) ? -1 : 1;
      Lesson lesson(known);
      const practice::SettingsView before = lesson.port.controller().running();
      lesson.run();
      ASSERT_TRUE(lesson.result) << order << bits << lesson.story();
      const console::Profile& taught = lesson.result->profile;
      ASSERT_TRUE(taught.mount && taught.sense) << lesson.story();
      EXPECT_TRUE(taught.sense->after_mount) << lesson.story();
      EXPECT_EQ(taught.mount->order, order) << lesson.story();
      EXPECT_EQ(taught.mount->signs, known.mount->signs) << lesson.story();
      EXPECT_FALSE(has_note(taught, "is assumed"));
      EXPECT_EQ(lesson.port.controller().running(), before);
    }
  }
}

// With the convention that was found, bench tells the controller a mount on edge as it takes it.
TEST(TeachMount, BenchSetsTheTrueMountInTheConventionFound) {
  const std::vector<craft::YawPitchRoll> mounts{{90, 0, 0}, {-135, 0, 180}, {90, 90, 0}, {180, 0, -90}};
  for (std::size_t i = 0; i < 12; ++i) {
    console::Profile known = turned_readings(i % 2 ? "sedge" : "tarn");
    known.mount->order = six_orders()[i % 6];
    known.mount->signs = {i % 2 ? -1 : 1, i % 3 ? -1 : 1, i % 4 < 2 ? -1 : 1};
    Lesson lesson(known);
    lesson.run();
    ASSERT_TRUE(lesson.result) << lesson.story();
    expect_a_bench_session(lesson, mounts[i % mounts.size()]);
  }
}

// Radians, and the opposite rotation: the same as the other signs in the other order.
TEST(TeachMount, TheOppositeRotationIsFoundAsWhatItMeans) {
  console::Profile known = turned_readings("brook");
  known.mount->craft_to_board = true;
  Lesson lesson(known);
  lesson.run();
  ASSERT_TRUE(lesson.result && lesson.result->profile.mount) << lesson.story();
  const craft::AngleConvention found = lesson.result->profile.mount->convention();
  const craft::AngleConvention truth = known.mount->convention();
  for (const craft::ConsoleAngles told : {craft::ConsoleAngles{0.3, 0.7, -1}, {-2, 0.1, 0.4}, {1, -1, 1}}) {
    EXPECT_LT(angle_between(craft_from_board(found, told), craft_from_board(truth, told)).value, 1e-6);
  }
}

TEST(TeachMount, ASlipInASignIsPutRightByTheReadings) {
  Lesson lesson(turned_readings("tarn"));
  lesson.person.first["set-yaw"] = {"mount at yaw 10 pitch -20 roll 30"};
  lesson.run();
  ASSERT_TRUE(lesson.result && lesson.result->profile.mount) << lesson.story();
  EXPECT_EQ(lesson.result->profile.mount->signs, (std::array{1, 1, 1})) << lesson.story();
  EXPECT_TRUE(was_told(lesson, "signs-differ"));
}

// Whoever types ten degrees into a console that counts tenths has set one degree, and does not see it.
TEST(TeachMount, AWrongUnitIsPutRightByTheReadings) {
  Lesson lesson(turned_readings("sedge"));
  lesson.person.first["set-yaw"] = {"mount.yaw = 10"};
  const practice::SettingsView before = lesson.port.controller().running();
  lesson.run();
  ASSERT_TRUE(lesson.result && lesson.result->profile.mount) << lesson.story();
  EXPECT_EQ(lesson.result->profile.mount->per_degree, 10) << lesson.story();
  EXPECT_EQ(lesson.result->profile.mount->signs, (std::array{1, 1, 1}));
  EXPECT_TRUE(was_told(lesson, "unit-differs", {{"per_degree", "10"}}));
  EXPECT_EQ(lesson.port.controller().running(), before);
  expect_a_bench_session(lesson, {90, 0, 180});
}

// A mount is set already: it is told none while the axes are read, and is as it was in the end.
TEST(TeachMount, AMountThatIsSetAlreadyDoesNotSpoilTheAxes) {
  practice::StartSettings start;
  start.mount = craft::YawPitchRoll{90, 0, 180};
  Lesson lesson(turned_readings("tarn"), practice::Habits{}, start);
  const practice::SettingsView before = lesson.port.controller().running();
  EXPECT_EQ(before.mount[0], 90);
  lesson.run();
  ASSERT_TRUE(lesson.result && lesson.result->profile.sense) << lesson.story();
  EXPECT_EQ(lesson.result->profile.sense->axes, lesson.known.sense->axes);
  EXPECT_TRUE(lesson.result->profile.sense->after_mount);
  EXPECT_EQ(lesson.port.controller().running(), before);
}

TEST(TeachMount, ReadingsTakenBeforeTheMountAreKnownForWhatTheyAre) {
  Lesson lesson(fixture_profile("tarn"));
  lesson.run();
  ASSERT_TRUE(lesson.result && lesson.result->profile.sense) << lesson.story();
  EXPECT_FALSE(lesson.result->profile.sense->after_mount);
  EXPECT_TRUE(has_note(lesson.result->profile, "before the set mount"));
  EXPECT_TRUE(has_note(lesson.result->profile, "is assumed"));
}

// A controller that applies its mount only after a restart shows nothing: so the person is asked, unless the
// readings themselves tell.
TEST(TeachMount, WhereNothingMovesBeforeARestart_ThePersonIsAsked) {
  Lesson lesson(fixture_profile("moor"));
  lesson.run();
  ASSERT_TRUE(lesson.result && lesson.result->profile.sense) << lesson.story();
  EXPECT_TRUE(lesson.result->profile.sense->after_mount);
}

TEST(TeachMount, AMountOf45DegreesInTheReadingsTellsWithoutAQuestion) {
  practice::StartSettings start;
  start.mount = craft::YawPitchRoll{45, 0, 0};
  Lesson lesson(fixture_profile("moor"), practice::Habits{}, start);
  lesson.run();
  ASSERT_TRUE(lesson.result && lesson.result->profile.sense) << lesson.story();
  EXPECT_TRUE(lesson.result->profile.sense->after_mount);
  EXPECT_EQ(lesson.result->profile.sense->axes, lesson.known.sense->axes);
  for (const std::string& line : lesson.person.asked) EXPECT_FALSE(line.starts_with("sense-mount:")) << line;
}

TEST(TeachMount, WhoDeclinesTheTrialIsAskedInstead) {
  Lesson lesson(turned_readings("tarn"));
  lesson.person.declines = "You will hold the board";
  lesson.run();
  ASSERT_TRUE(lesson.result && lesson.result->profile.sense) << lesson.story();
  EXPECT_TRUE(lesson.result->profile.sense->after_mount);
  EXPECT_TRUE(has_note(lesson.result->profile, "is assumed"));
}

// The board is turned in the hand between one reading and the next: the first time that is noticed, and asked
// for again.
TEST(TeachMount, ABoardThatMovesMeanwhileIsMeasuredAgain) {
  Lesson lesson(turned_readings("tarn"));
  // Once the trial mount was set and taken away again.
  int turned_over = 0;
  lesson.mangle = [&](std::string bytes) {
    int others = 0;
    bool none = false;
    for (const std::string& sent : lesson.sent) {
      const bool other = sent.find("yaw 20 pitch 30 roll 40") != std::string::npos;
      others += other ? 1 : 0;
      if (other || sent.find("yaw 0 pitch 0 roll 0") != std::string::npos) none = !other;
    }
    const bool at_last = others == 1 && none && bytes.find("feels ") != std::string::npos;
    if (!at_last || ++turned_over > 4) return bytes;
    return replaced(std::move(bytes), "z -", "z ");
  };
  lesson.run();
  ASSERT_TRUE(lesson.result && lesson.result->profile.sense) << lesson.story();
  EXPECT_TRUE(was_told(lesson, "hold-moved")) << lesson.story();
  EXPECT_EQ(lesson.result->profile.mount->order, "yaw-pitch-roll");
}

// As a hand holds it, and with noise.
TEST(TeachMount, IsFoundWithAHandThatMissesThePoses) {
  InTurn turn;
  for (std::uint64_t seed = 1; seed <= 20; ++seed) {
    if (turn.is_left_out()) continue;
    console::Profile known = turned_readings("tarn");
    known.mount->order = six_orders()[seed % 6];
    practice::PracticeCraft craft = plain_craft(*craft::frame_named("quad-x"));
    craft.noise_g = 0.02;
    craft.pose_error = 5;
    craft.seed = seed;
    Lesson lesson(known, practice::Habits{}, craft);
    lesson.run();
    ASSERT_TRUE(lesson.result && lesson.result->profile.mount) << seed << lesson.story();
    EXPECT_EQ(lesson.result->profile.mount->order, known.mount->order) << seed << lesson.story();
  }
}

// The console cannot be told such a mount: the lesson goes on without the trial, and everything is as it was.
TEST(TeachMount, ARefusedTrialIsGivenUp) {
  Lesson lesson(turned_readings("tarn"));
  // "no: …" is this console's refusal.
  lesson.mangle = [](std::string bytes) {
    const std::string sent = "mount at yaw 20 pitch 30 roll 40\r\n";
    return replaced(std::move(bytes), sent, sent + "no: not such a mount\r\n");
  };
  const practice::SettingsView before = lesson.port.controller().running();
  lesson.run();
  ASSERT_TRUE(lesson.result) << lesson.story();
  EXPECT_TRUE(was_told(lesson, "trial-mount-refused")) << lesson.story();
  EXPECT_TRUE(lesson.result->profile.sense);
  EXPECT_EQ(lesson.port.controller().running(), before);
}

// What bench makes of a turn to the right with the taught profile, where that mount is set. Reads a
// controller that speaks the true profile, and is screwed down as `true_mount` says.
solve::TurnCheck turn_check(const Lesson& lesson, const craft::YawPitchRoll& true_mount,
                            const craft::YawPitchRoll& set_mount) {
  practice::ManualClock clock;
  practice::PracticeCraft craft = plain_craft(lesson.frame);
  craft.mount = true_mount;
  craft.start.mount = set_mount;
  craft.pose = "turning-right";
  practice::PracticePort port(lesson.known, craft, {}, lesson.habits);
  practice::PracticePlug plug(port, clock);
  GuardOnPaper sentry(clock);
  console::ProfileConsole console(plug, lesson.result->profile, clock, sentry);
  std::vector<std::array<double, 3>> told;
  const auto flow = [&]() -> Task<void> {
    co_await console.open();
    for (int i = 0; i < 5; ++i) {
      const console::SenseReading reading = co_await console.sense();
      if (!reading.gyro) co_return;
      const auto& rate = *reading.gyro;
      const craft::InTold turned =
          craft::ToldFromBoard(set_mount) * craft::InBoard{rate[0], rate[1], rate[2]};
      told.push_back({turned.x, turned.y, turned.z});
    }
  };
  boost::asio::io_context loop;
  boost::asio::co_spawn(loop, flow, [](std::exception_ptr error) {
    if (error) std::rethrow_exception(error);
  });
  loop.run();
  return solve::check_turn_to_the_right(told);
}

class GyroOfDialect : public ::testing::TestWithParam<const char*> {};

TEST_P(GyroOfDialect, BenchsTurnCheckPassesTheRightMountAndFindsAWrongOne) {
  using Result = solve::TurnCheck::Result;
  for (const bool after_mount : {false, true}) {
    console::Profile known = fixture_profile(GetParam());
    known.sense->after_mount = after_mount;
    Lesson lesson(known);
    lesson.run();
    ASSERT_TRUE(lesson.result && lesson.result->profile.sense) << lesson.story();
    ASSERT_GT(lesson.result->profile.sense->per_dps, 0) << lesson.story();
    for (const craft::YawPitchRoll& mount :
         {craft::YawPitchRoll{0, 0, 0}, {90, 0, 0}, {0, 0, 180}, {0, 90, 0}, {180, 0, -90}}) {
      EXPECT_EQ(turn_check(lesson, mount, mount).result, Result::right) << after_mount;
    }
    EXPECT_EQ(turn_check(lesson, {0, 0, 180}, {0, 0, 0}).result, Result::reversed) << after_mount;
    EXPECT_EQ(turn_check(lesson, {0, 0, 0}, {90, 0, 180}).result, Result::reversed);
    EXPECT_EQ(turn_check(lesson, {0, 90, 0}, {0, 0, 0}).result, Result::other_axis);
    EXPECT_EQ(turn_check(lesson, {0, 0, 0}, {0, 0, 90}).result, Result::other_axis);
  }
}

INSTANTIATE_TEST_SUITE_P(Dialects, GyroOfDialect, ::testing::Values("tarn", "sedge", "fell", "brook"));

console::Profile with_gyro(const std::string& dialect, const std::vector<std::string>& lines,
                           double per_dps) {
  console::Profile known = fixture_profile(dialect);
  known.sense->per_dps = per_dps;
  known.sense->read.lines.clear();
  for (const std::string& line : lines) known.sense->read.lines.push_back(console::Template::parse(line));
  return known;
}

void expect_gyro_as_known(Lesson& lesson) {
  lesson.run();
  ASSERT_TRUE(lesson.result && lesson.result->profile.sense) << lesson.story();
  const console::SenseAbility& taught = *lesson.result->profile.sense;
  EXPECT_EQ(taught.read.lines, lesson.known.sense->read.lines) << lesson.story();
  EXPECT_NEAR(taught.per_dps, lesson.known.sense->per_dps, 1e-6) << lesson.story();
  EXPECT_EQ(taught.axes, lesson.known.sense->axes) << lesson.story();
  EXPECT_EQ(taught.specific_force, lesson.known.sense->specific_force) << lesson.story();
}

TEST(TeachGyro, InAnotherOrderThanTheAccelerometer) {
  for (const char* turn : {"Turn {gz} {gx} {gy} tenths", "Turn {gy} {gx} {gz} tenths"}) {
    Lesson lesson(with_gyro("fell", {"Pull {x} {y} {z} mg", turn}, 10));
    expect_gyro_as_known(lesson);
  }
}

TEST(TeachGyro, InRawCounts) {
  for (const double counts : {131.0, 65.5, 32.8, 16.4, 1000.0}) {
    Lesson lesson(with_gyro("fell", {"Pull {x} {y} {z} mg", "Turn {gx} {gy} {gz} counts"}, counts));
    expect_gyro_as_known(lesson);
    EXPECT_FALSE(has_note(lesson.result->profile, "no usual unit"));
  }
}

TEST(TeachGyro, InAUnitOfItsOwnIsKeptAsMeasuredAndSaid) {
  Lesson lesson(with_gyro("fell", {"Pull {x} {y} {z} mg", "Turn {gx} {gy} {gz} odds"}, 3.1));
  expect_gyro_as_known(lesson);
  EXPECT_TRUE(has_note(lesson.result->profile, "no usual unit"));
}

// x forward, y right and z up is left-handed; at rest that reads like gravity on other axes.
TEST(TeachGyro, PutsRightWhatTheAccelerometerCouldNotTell) {
  console::Profile known = fixture_profile("tarn");
  known.sense->axes = {"x", "y", "-z"};
  Lesson lesson(known);
  expect_gyro_as_known(lesson);
  EXPECT_TRUE(was_told(lesson, "axes-mirrored"));
}

// The same numbers come of turning to the left three times, so that is asked.
TEST(TeachGyro, WhoTurnedItToTheLeftIsAskedForItAgain) {
  console::Profile known = fixture_profile("tarn");
  Lesson lesson(known);
  int lefts = 0;
  lesson.person.in_hands = [&](session::Question& question) {
    if (question.pose == "turning-right" && lefts++ == 0) question.pose = "turning-left";
  };
  expect_gyro_as_known(lesson);
  EXPECT_EQ(lefts, 2);
}

TEST(TeachGyro, IsLeftOutWhereThePersonWantsItSo) {
  Lesson lesson(fixture_profile("tarn"));
  lesson.person.first["gyro"] = {"no"};
  expect_taught(lesson);
  EXPECT_TRUE(std::any_of(lesson.person.asked.begin(), lesson.person.asked.end(),
                          [](const std::string& line) { return line.starts_with("gyro: "); }));
  EXPECT_EQ(lesson.result->profile.sense->per_dps, 0);
  EXPECT_EQ(lesson.result->profile.sense->axes, lesson.known.sense->axes);
}

TEST(TeachGyro, IsAskedForAgainAfterGoingBack) {
  Lesson lesson(fixture_profile("tarn"));
  lesson.person.first["turn-right"] = {"back"};
  expect_gyro_as_known(lesson);
}

TEST(TeachGyro, OtherNumbersBesidesAreNotTakenForOne) {
  Lesson lesson(fixture_profile("moor"));
  lesson.mangle = [](std::string bytes) {
    const std::size_t at = bytes.find("+AC "), end = bytes.find('\n', at);
    if (at == std::string::npos || end == std::string::npos) return bytes;
    return bytes.insert(end + 1, "+CELLS 4 410 398\r\n");
  };
  lesson.run();
  ASSERT_TRUE(lesson.result && lesson.result->profile.sense) << lesson.story();
  EXPECT_EQ(lesson.result->profile.sense->per_dps, 0) << lesson.story();
  EXPECT_TRUE(was_told(lesson, "gyro-left-out")) << lesson.story();
}

// It does not read zero at rest: bench would take that for a craft that moves.
TEST(TeachGyro, ThatIsFarFromZeroAtRestIsLeftOut) {
  Lesson lesson(fixture_profile("tarn"));
  lesson.mangle = [](std::string bytes) {
    const std::size_t at = bytes.find("turns x ");
    if (at == std::string::npos) return bytes;
    const std::size_t from = at + 8, to = bytes.find(' ', from);
    if (to == std::string::npos) return bytes;
    const double rate = std::strtod(bytes.substr(from, to - from).c_str(), nullptr);
    return bytes.replace(from, to - from, std::to_string(rate + 14));
  };
  lesson.run();
  ASSERT_TRUE(lesson.result && lesson.result->profile.sense) << lesson.story();
  EXPECT_EQ(lesson.result->profile.sense->per_dps, 0) << lesson.story();
  EXPECT_TRUE(was_told(lesson, "gyro-left-out", {{"why", "zero at rest"}})) << lesson.story();
}

}  // namespace
}  // namespace armwise::test::teach_test
