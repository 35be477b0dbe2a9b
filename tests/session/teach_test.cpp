// Dialects taught from scratch to a tool that knows nothing of them, by someone who knows them by heart, on a
// practice controller in process; then a whole bench session with what was taught.
#include "armwise/session/teach.hpp"

#include <gtest/gtest.h>

#include <boost/asio/co_spawn.hpp>
#include <boost/asio/io_context.hpp>

#include "support/dialect_person.hpp"
#include "support/practice_session.hpp"

namespace armwise::test {
namespace {

practice::PracticeCraft plain_craft(const craft::Frame& frame) {
  std::vector<practice::Soldered> wiring;
  for (std::size_t i = 0; i < frame.places.size(); ++i) wiring.push_back({i, craft::Turn::cw});
  practice::PracticeCraft craft = craft_with(frame, wiring);
  craft.noise_g = 0;
  craft.pose_error = 0;
  return craft;
}

struct Lesson {
  explicit Lesson(const console::Profile& profile, practice::Habits habits = {})
      : frame(*craft::frame_named("quad-x")),
        known(profile),
        port(known, plain_craft(frame), {}, std::move(habits)),
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
    for (const std::string motor : {"1", "2", "3", "4"})
      text += (text.empty() ? "" : ", ") + std::string("motor ") + motor + " on pin P" + motor;
    return text;
  }

  void run() {
    boost::asio::io_context loop;
    std::exception_ptr trouble;
    boost::asio::co_spawn(loop, session::teach(plug, person, clock, options),
                          [&](std::exception_ptr error, session::TeachResult value) {
                            trouble = error;
                            if (!error) result = std::move(value);
                          });
    loop.run();
    try {
      if (trouble) std::rethrow_exception(trouble);
    } catch (const Fault& caught) {
      fault = caught;
    } catch (const StoppedByPerson&) {
      stopped = true;
    }
  }

  std::string story() const {
    std::string text;
    for (const std::string& line : person.asked) text += line + "\n";
    for (const std::string& line : person.told) text += "  " + line + "\n";
    if (result) text += console::profile_text(result->profile);
    return text;
  }

  const craft::Frame& frame;
  console::Profile known;
  practice::ManualClock clock;
  practice::PracticePort port;
  practice::PracticePlug plug;
  practice::PortSight sight;
  practice::PracticePerson hands;
  DialectPerson person;
  CountingSentry sentry;
  session::TeachOptions options;
  std::optional<session::TeachResult> result;
  std::optional<Fault> fault;
  bool stopped = false;
};

// A bench session spoken with the taught profile to a controller that speaks the true one.
void expect_a_bench_session(const Lesson& lesson) {
  practice::ManualClock clock;
  practice::PracticeCraft craft = practice::seeded_craft(lesson.frame, 12);
  craft.mount = {};
  practice::PracticePort port(lesson.known, craft);
  practice::PracticePlug plug(port, clock);
  practice::PortSight sight(port, clock);
  practice::PracticePerson person(sight, clock);
  CountingSentry sentry;
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
  ASSERT_EQ(store.records.size(), 1U);
  EXPECT_TRUE(store.records[0].read_back_matches);
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
  }
  EXPECT_EQ(taught.keep.has_value(), known.keep.has_value());
  EXPECT_EQ(taught.keep && taught.keep->restarts, known.keep && known.keep->restarts);
  EXPECT_EQ(taught.leave.has_value(), known.leave.has_value());
  EXPECT_LE(lesson.result->typed, 15) << lesson.story();
  std::cout << GetParam() << ": " << lesson.result->typed << " commands typed\n";
  expect_a_bench_session(lesson);
}

INSTANTIATE_TEST_SUITE_P(Dialects, EveryDialect, ::testing::Values("tarn", "sedge", "fell", "brook", "moor"));

}  // namespace
}  // namespace armwise::test
