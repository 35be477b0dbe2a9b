// Mounts found, told, proven and kept through the whole session.
#include <gtest/gtest.h>

#include <array>
#include <cmath>
#include <map>
#include <memory>
#include <string>
#include <utility>
#include <vector>

#include "armwise/base/task.hpp"
#include "armwise/craft/mounts.hpp"
#include "armwise/session/bench.hpp"
#include "support/practice_session.hpp"
#include "support/some_mounts.hpp"

namespace armwise::test::mount_test {
namespace {

const craft::Frame& quad() {
  return *craft::frame_named("quad-x");
}

session::BenchOptions options() {
  session::BenchOptions made;
  made.frame = "quad-x";
  made.scheme = craft::PropScheme::in;
  made.craft_name = "test craft";
  return made;
}

practice::PracticeCraft mounted(const craft::YawPitchRoll& mount, std::uint64_t seed = 1) {
  practice::PracticeCraft craft = practice::seeded_craft(quad(), seed);
  craft.mount = mount;
  return craft;
}

// What the record says that the controller keeps, against the truth.
double kept_off(const PracticeSession& session, const craft::YawPitchRoll& truth) {
  const auto& after = session.store.records.at(0).after.mount;
  if (!after) return 180;
  return craft::angle_between(craft::CraftFromBoard(*after), craft::CraftFromBoard(truth)).value;
}

class EveryFlatMount : public ::testing::TestWithParam<const char*> {};

// Yaw by 45, upright and upside down, with a hand that misses each pose by a few degrees.
TEST_P(EveryFlatMount, IsFoundToldProvenAndKept) {
  int one_more_pose = 0;
  for (const craft::Mount& mount : craft::testing::flat_mounts()) {
    // The menu dialect has no code for the board upside down and turned by an odd 45.
    const bool odd = std::abs(std::remainder(mount.angles.yaw, 90)) > 1;
    if (std::string(GetParam()) == "fell" && odd && mount.side == craft::BoardSide::upside_down) continue;
    PracticeSession session(GetParam(), mounted(mount.angles, 3));
    const Outcome outcome = session.bench(options());
    ASSERT_FALSE(outcome.fault) << GetParam() << " " << mount.words << ": " << outcome.fault->sentence();
    ASSERT_TRUE(outcome.result);
    EXPECT_LT(kept_off(session, mount.angles), 1) << GetParam() << " " << mount.words;
    EXPECT_TRUE(session.told("flies")) << mount.words;
    if (session.told("mount-unsure")) ++one_more_pose;
  }
  EXPECT_LE(one_more_pose, 4);
}

INSTANTIATE_TEST_SUITE_P(Dialects, EveryFlatMount,
                         ::testing::Values("tarn", "sedge", "fell", "brook", "moor"));

// A defect found: "will stabilise" stood beside "not seen whether the controller uses its mount".
TEST(Mount, IsNotSaidToFlyWhereNobodySawThatItIsUsed) {
  practice::PersonScript script;
  script.answers["display"] = {"none"};
  PracticeSession session("tarn", mounted({90, 0, 0}), script);
  const Outcome outcome = session.bench(options());
  ASSERT_TRUE(outcome.result) << session.all_told();
  EXPECT_TRUE(session.told("flies-if-used"));
  EXPECT_FALSE(session.told("flies"));
}

TEST(Mount, OnEdgeIsFoundToo) {
  for (const craft::Mount& mount : craft::testing::axis_aligned_mounts()) {
    PracticeSession session("tarn", mounted(mount.angles, 5));
    const Outcome outcome = session.bench(options());
    ASSERT_FALSE(outcome.fault) << mount.words << ": " << outcome.fault->sentence();
    EXPECT_LT(kept_off(session, mount.angles), 1) << mount.words;
  }
}

TEST(Mount, LeftAloneWhereThePersonSaysSo) {
  PracticeSession session("tarn", mounted({90, 0, 0}));
  session::BenchOptions leave = options();
  leave.mount = session::MountWish::leave;
  const Outcome outcome = session.bench(leave);
  ASSERT_TRUE(outcome.result);
  EXPECT_EQ(session.person.asked("pose"), 0);
  EXPECT_LT(kept_off(session, {0, 0, 0}), 1);
}

TEST(Mount, FreeAnglesWithExact) {
  PracticeSession session("brook", mounted({37, 4, -6}));
  session::BenchOptions exact = options();
  exact.mount = session::MountWish::exact;
  const Outcome outcome = session.bench(exact);
  ASSERT_FALSE(outcome.fault) << outcome.fault->sentence();
  // The craft's own hand misses poses by about two degrees.
  EXPECT_LT(kept_off(session, {37, 4, -6}), 8);
}

// Left alone or not to be set, the board is still asked about: a board upside down is never kept as designed.
TEST(Mount, ThatIsLeftAloneIsLookedAt) {
  practice::PersonScript script;
  script.answers = {{"arrow", {"nose"}}, {"side-up", {"down"}}};
  PracticeSession session("tarn", mounted({0, 0, 180}), script);
  const practice::SettingsView before = session.port.controller().saved();
  session::BenchOptions leave = options();
  leave.mount = session::MountWish::leave;
  const Outcome outcome = session.bench(leave);
  ASSERT_TRUE(outcome.fault);
  EXPECT_NE(outcome.fault->sentence().find("would flip"), std::string::npos) << outcome.fault->sentence();
  EXPECT_EQ(session.port.controller().saved(), before);
  EXPECT_TRUE(session.store.records.empty());
}

TEST(Mount, ThatNobodyCanSeeIsAWarningInTheRecord) {
  practice::PersonScript script;
  script.answers = {{"arrow", {"unknown"}}};
  PracticeSession session("tarn", mounted({0, 0, 180}), script);
  session::BenchOptions leave = options();
  leave.mount = session::MountWish::leave;
  const Outcome outcome = session.bench(leave);
  ASSERT_TRUE(outcome.result) << outcome.fault->sentence();
  const record::CraftRecord& record = session.store.records.at(0);
  EXPECT_TRUE(record.flight_sense.starts_with("As far as the motors go")) << record.flight_sense;
  ASSERT_FALSE(record.warnings.empty());
  EXPECT_NE(record.warnings.back().find("Nobody checked how the board sits"), std::string::npos);
}

// A profile that knows neither mount nor readings: eyes, and a display where there is one.
TEST(Mount, ThatCannotBeSetIsAskedAbout) {
  struct Case {
    const char *side, *display;
    bool kept;
  };
  for (const Case& one : {Case{"up", "none", true}, {"down", "none", false}, {"down", "follows", true}}) {
    console::Profile profile = fixture_profile("tarn");
    profile.sense.reset();
    profile.mount.reset();
    practice::PersonScript script;
    script.answers = {{"arrow", {"nose"}}, {"side-up", {one.side}}, {"display", {one.display}}};
    practice::ManualClock clock;
    MemoryStore store;
    practice::PracticePort port(profile, mounted({}));
    practice::PracticePlug plug(port, clock);
    practice::PortSight sight(port, clock);
    practice::PracticePerson person(sight, clock, script);
    const Outcome outcome = bench_on(plug, profile, person, store, clock, options());
    EXPECT_EQ(person.asked("arrow"), 1);
    EXPECT_EQ(person.asked("display"), 1);
    EXPECT_EQ(outcome.result.has_value(), one.kept) << one.side << one.display;
    if (one.kept) {
      EXPECT_FALSE(store.records.at(0).warnings.empty());
    }
  }
}

// At 15 to 30 degrees no usual mount fits, and the poses agree: the angles as measured are offered.
TEST(Mount, BetweenTheUsualAnglesIsOfferedAsMeasured) {
  for (const craft::YawPitchRoll& truth :
       {craft::YawPitchRoll{15, 0, 0}, {20, 0, 0}, {-22.5, 0, 180}, {30, 0, 0}, {0, 0, 45}}) {
    for (const auto wish : {session::MountWish::find, session::MountWish::exact}) {
      PracticeSession session("tarn", mounted(truth, 4));
      session::BenchOptions wanted = options();
      wanted.mount = wish;
      const Outcome outcome = session.bench(wanted);
      ASSERT_FALSE(outcome.fault) << truth.yaw << " " << truth.roll << ": " << outcome.fault->sentence();
      EXPECT_EQ(session.person.asked("mount") + session.person.asked("lean") > 0,
                wish == session::MountWish::find)
          << truth.yaw << " " << truth.roll;
      EXPECT_LT(kept_off(session, truth), 4) << truth.yaw << " " << truth.roll;
      EXPECT_TRUE(session.told("flies"));
    }
  }
}

// A board that leans is told to lean, with what that costs, and the person chooses.
TEST(Mount, ThatLeansIsSaidToLean) {
  PracticeSession session("tarn", mounted({0, 0, 20}));
  const Outcome outcome = session.bench(options());
  ASSERT_FALSE(outcome.fault) << outcome.fault->sentence();
  EXPECT_EQ(session.person.asked("lean"), 1);
  EXPECT_LT(kept_off(session, {0, 0, 20}), 4);
  PracticeSession upright("tarn", mounted({0, 0, 0}));
  ASSERT_FALSE(upright.bench(options()).fault);
  EXPECT_EQ(upright.person.asked("lean"), 0);
}

// Where nothing can be made of the poses, the reason given is what the poses said.
TEST(Mount, TheReasonForGivingUpIsTheTrueOne) {
  PracticeSession session("tarn", mounted({0, 0, 20}));
  practice::PersonScript script;
  script.answers = {{"lean", {"again"}}};
  practice::PracticePerson stubborn(session.sight, session.clock, script);
  const Outcome outcome = session.bench_by(stubborn, session.profile, options());
  ASSERT_TRUE(outcome.fault);
  EXPECT_NE(outcome.fault->sentence().find("the board leans by"), std::string::npos)
      << outcome.fault->sentence();
  EXPECT_EQ(outcome.fault->sentence().find("do not agree"), std::string::npos);
}

// A controller whose readings are turned by its set mount, spoken with a profile that has one sign wrong.
TEST(Mount, AWrongSignInTheProfileIsFoundOutAndPutRight) {
  console::Profile right = fixture_profile("tarn");
  right.sense->after_mount = true;
  console::Profile wrong = right;
  wrong.mount->signs = {-1, 1, 1};
  PracticeSession session("tarn", mounted({90, 0, 0}));
  practice::PracticePort port(right, mounted({90, 0, 0}));
  practice::PracticePlug plug(port, session.clock);
  practice::PortSight sight(port, session.clock);
  practice::PracticePerson person(sight, session.clock);
  const Outcome outcome = bench_on(plug, wrong, person, session.store, session.clock, options());
  ASSERT_FALSE(outcome.fault) << outcome.fault->sentence();
  EXPECT_EQ(person.asked("try-mount"), 1);
  const auto kept = port.controller().saved().mount;
  EXPECT_EQ(kept[0], 90) << "the controller itself counts yaw to the right";
  EXPECT_FALSE(session.store.records.at(0).warnings.empty());
}

// The profile is wrong about when the readings are taken. Whatever is found then is wrong, and so would be
// what the proof would try: so it says what is wrong with the profile.
struct Misread {
  const char* dialect;
  bool truth;
  craft::YawPitchRoll start;
};
class WrongAboutAfterMount : public ::testing::TestWithParam<Misread> {};

TEST_P(WrongAboutAfterMount, IsSaidAtTheProof) {
  console::Profile right = fixture_profile(GetParam().dialect);
  right.sense->after_mount = GetParam().truth;
  console::Profile wrong = right;
  wrong.sense->after_mount = !GetParam().truth;
  for (const craft::YawPitchRoll& mount : {craft::YawPitchRoll{90, 0, 0}, {180, 0, 0}, {-90, 0, 180}}) {
    practice::PracticeCraft craft = mounted(mount);
    craft.start.mount = GetParam().start;
    practice::ManualClock clock;
    practice::PracticePort port(right, craft);
    const practice::SettingsView before = port.controller().saved();
    practice::PracticePlug plug(port, clock);
    practice::PortSight sight(port, clock);
    practice::PracticePerson person(sight, clock);
    MemoryStore store;
    const Outcome outcome = bench_on(plug, wrong, person, store, clock, options());
    ASSERT_TRUE(outcome.fault) << GetParam().dialect;
    const std::string should = std::string("after_mount to ") + (GetParam().truth ? "true" : "false");
    EXPECT_NE(outcome.fault->why().find(should), std::string::npos) << outcome.fault->sentence();
    EXPECT_EQ(person.asked("try-mount"), 0);
    const bool late = right.mount->takes_effect == console::TakesEffect::after_restart;
    EXPECT_EQ(outcome.fault->kind(), late ? FaultKind::left_changed : FaultKind::mismatch);
    if (late) continue;
    EXPECT_EQ(port.controller().saved(), before);
  }
}

INSTANTIATE_TEST_SUITE_P(Dialects, WrongAboutAfterMount,
                         ::testing::Values(Misread{"tarn", true, {}}, Misread{"tarn", true, {180, 0, 180}},
                                           Misread{"tarn", false, {0, 0, 180}}, Misread{"brook", true, {}},
                                           Misread{"moor", true, {}}, Misread{"moor", false, {180, 0, 0}}));

// Holds the craft another way than asked, the first few times.
class Muddled : public session::Person {
 public:
  Muddled(session::Person& person, std::map<std::string, std::string> instead, int times)
      : person_(person), instead_(std::move(instead)), times_(times) {}
  Task<session::Answer> ask(const session::Question& question) override {
    session::Question held = question;
    if (const auto other = instead_.find(question.pose); other != instead_.end() && times_ > 0) {
      held.pose = other->second;
      --times_;
    }
    const session::Answer answer = co_await person_.ask(held);
    co_return answer;
  }
  void tell(const session::Statement& statement) override { person_.tell(statement); }
  Task<bool> interrupted(craft::Motor motor, Duration within) override {
    return person_.interrupted(motor, within);
  }

 private:
  session::Person& person_;
  std::map<std::string, std::string> instead_;
  int times_;
};

// Two reversed poses look just like a board turned by 180: the fit cannot tell, the proof does.
TEST(Mount, TwoReversedPosesAreCaughtByTheProof) {
  PracticeSession session("tarn", mounted({0, 0, 0}));
  Muddled muddled(session.person, {{"nose-down", "nose-up"}, {"right-side-down", "left-side-down"}}, 2);
  const practice::SettingsView before = session.port.controller().saved();
  const Outcome outcome = session.bench_by(muddled, session.profile, options());
  ASSERT_TRUE(outcome.fault);
  EXPECT_EQ(outcome.fault->id(), "mount-refuted") << outcome.fault->sentence();
  EXPECT_EQ(session.port.controller().saved(), before);
  EXPECT_EQ(session.port.controller().running(), before);
}

// One reversed pose is a mirror image, which no mount is: it is said at once, and asked again.
TEST(Mount, OneReversedPoseIsSaidAndAskedAgain) {
  PracticeSession session("tarn", mounted({90, 0, 180}));
  Muddled muddled(session.person, {{"right-side-down", "left-side-down"}}, 1);
  const Outcome outcome = session.bench_by(muddled, session.profile, options());
  ASSERT_FALSE(outcome.fault) << outcome.fault->sentence();
  EXPECT_TRUE(session.told("mount-contradiction", {{"why", "mirror"}}));
  EXPECT_LT(kept_off(session, {90, 0, 180}), 1);
}

// A console without readings: the person says where the arrow points, and what their display then shows.
struct ByArrow {
  explicit ByArrow(const std::string& display) : profile(fixture_profile("tarn")) {
    profile.sense.reset();
    script.answers = {{"arrow", {"right"}}, {"side-up", {"down"}}, {"display", {display}}};
  }
  Outcome run() {
    port = std::make_unique<practice::PracticePort>(profile, mounted({90, 0, 180}));
    practice::PracticePlug plug(*port, clock);
    practice::PortSight sight(*port, clock);
    practice::PracticePerson person(sight, clock, script);
    Outcome outcome = bench_on(plug, profile, person, store, clock, options());
    for (const session::Statement& statement : person.told()) told.push_back(statement.text);
    return outcome;
  }
  console::Profile profile;
  practice::PersonScript script;
  practice::ManualClock clock;
  MemoryStore store;
  std::unique_ptr<practice::PracticePort> port;
  std::vector<std::string> told;
};

TEST(Mount, IsSaidByThePersonWhereThereAreNoReadings) {
  ByArrow session("follows");
  const Outcome outcome = session.run();
  ASSERT_FALSE(outcome.fault) << outcome.fault->sentence();
  const auto kept = session.port->controller().saved().mount;
  EXPECT_EQ(kept, (std::array<double, 3>{90, 0, 180}));
  EXPECT_TRUE(session.store.records.at(0).warnings.empty());
}

// Whose hands are full: brings the craft into the pose and waits until it takes itself.
class HandsFull : public session::Person {
 public:
  HandsFull(practice::PracticePerson& person, practice::Sight& sight) : person_(person), sight_(sight) {}
  Task<session::Answer> ask(const session::Question& question) override {
    if (!question.look) {
      const session::Answer answer = co_await person_.ask(question);
      co_return answer;
    }
    // Held as before, it is never taken.
    for (int i = 0; i < 20; ++i) {
      const session::Question::Look look = co_await question.look();
      EXPECT_FALSE(look.taken) << question.pose;
    }
    co_await sight_.hold(question.pose);
    session::Question::Look look;
    for (int i = 0; i < 80 && !look.taken; ++i) look = co_await question.look();
    EXPECT_TRUE(look.taken) << question.pose << ": " << look.words;
    ++taken;
    co_return session::Answer{std::string("ready")};
  }
  void tell(const session::Statement& statement) override { person_.tell(statement); }
  Task<bool> interrupted(craft::Motor motor, Duration within) override {
    return person_.interrupted(motor, within);
  }
  int taken = 0;

 private:
  practice::PracticePerson& person_;
  practice::Sight& sight_;
};

TEST(Mount, IsFoundByPosesThatTakeThemselves) {
  for (const char* dialect : {"tarn", "sedge", "brook"}) {
    PracticeSession session(dialect, mounted({90, 0, 180}, 3));
    HandsFull person(session.person, session.sight);
    const Outcome outcome = session.bench_by(person, session.profile, options());
    ASSERT_FALSE(outcome.fault) << dialect << ": " << outcome.fault->sentence();
    EXPECT_LT(kept_off(session, {90, 0, 180}), 1) << dialect;
    EXPECT_GE(person.taken, 5) << "each, but the first of the second round: the battery comes out before it";
  }
}

TEST(Mount, IsNotKeptWhereTheDisplayShowsSomethingElse) {
  ByArrow session("wrong");
  const Outcome outcome = session.run();
  ASSERT_TRUE(outcome.fault);
  EXPECT_EQ(outcome.fault->id(), "mount-refuted") << outcome.fault->sentence();
  EXPECT_EQ(session.port->controller().saved().mount, (std::array<double, 3>{0, 0, 0}));
  EXPECT_EQ(session.port->controller().running().mount, (std::array<double, 3>{0, 0, 0}));
}

TEST(Mount, IsKeptWithAWarningWhereThereIsNoDisplay) {
  ByArrow session("none");
  const Outcome outcome = session.run();
  ASSERT_FALSE(outcome.fault) << outcome.fault->sentence();
  ASSERT_FALSE(session.store.records.at(0).warnings.empty());
  EXPECT_NE(session.store.records.at(0).warnings.front().find("display"), std::string::npos);
}

}  // namespace
}  // namespace armwise::test::mount_test
