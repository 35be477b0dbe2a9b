// Journals of which a line, or all, cannot be read: never finished, never passed over, never a dead end. On
// disk, as a journal in memory cannot be damaged.
#include <gtest/gtest.h>

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <sstream>
#include <string>
#include <vector>

#include "armwise/record/files.hpp"
#include "record/temporary_folder.hpp"
#include "support/torn.hpp"
#include "support/worked_craft.hpp"

namespace armwise::test::damaged_journal_test {
namespace {

namespace fs = std::filesystem;
using practice::Mischief;
using Ending = session::RecoverResult::Ending;

// Takes one choice where it is offered, and else sets aside.
class Chooser : public session::Person {
 public:
  explicit Chooser(std::string wanted) : wanted_(std::move(wanted)) {}
  Task<session::Answer> ask(const session::Question& question) override {
    for (const session::Choice& choice : question.choices) offered.push_back(choice.key);
    co_return session::Answer(offers(wanted_) ? wanted_ : std::string("aside"));
  }
  void tell(const session::Statement& statement) override { told += statement.id + "\n"; }
  Task<bool> interrupted(craft::Motor, Duration) override { co_return false; }
  bool offers(const std::string& key) const {
    return std::find(offered.begin(), offered.end(), key) != offered.end();
  }

  std::vector<std::string> offered;
  std::string told;

 private:
  std::string wanted_;
};

practice::PracticeCraft craft() {
  practice::PracticeCraft made =
      worked_craft({"rear-left", "front-right", "rear-right", "front-left"}, {false, true});
  made.mount = {90, 0, 0};
  return made;
}

// As the tool wrongly believes: the first mount that it plans is refuted by the poses, so it plans again.
console::Profile mistaken() {
  console::Profile profile = fixture_profile("tarn");
  profile.sense->after_mount = true;
  profile.mount->signs = {-1, 1, 1};
  return profile;
}

console::Profile right() {
  console::Profile profile = fixture_profile("tarn");
  profile.sense->after_mount = true;
  return profile;
}

// A session with two plans, the second one proven; the controller was told to keep it, and never came back.
struct CutSession {
  CutSession() {
    before = port.controller().saved();
    practice::PracticePlug plug(port, clock);
    practice::PortSight sight(port, clock);
    practice::PracticePerson person(sight, clock);
    const Outcome cut =
        bench_on(plug, mistaken(), person, store, clock, worked_options(session::MountWish::find));
    EXPECT_TRUE(cut.fault && cut.fault->kind() == FaultKind::not_back);
    port.plug_in_again(clock.now());
    EXPECT_EQ(store.open_sessions().size(), 1U);
    journal = store.open_sessions().front().journal;
  }
  std::vector<std::string> lines() const {
    std::istringstream in(record::read_whole(journal));
    std::vector<std::string> all;
    for (std::string line; std::getline(in, line);) all.push_back(line);
    return all;
  }
  void rewrite(const std::vector<std::string>& lines) const {
    std::ofstream out(journal, std::ios::binary);
    for (const std::string& line : lines) out << line << "\n";
  }
  Outcome recover(session::Person& person) { return recover_by(port, mistaken(), person, store, clock); }
  Outcome dry_run() {
    practice::PracticePlug plug(port, clock);
    practice::PortSight sight(port, clock);
    practice::PracticePerson person(sight, clock);
    session::BenchOptions options = worked_options();
    options.dry_run = true;
    return bench_on(plug, mistaken(), person, store, clock, options);
  }

  TemporaryFolder folder;
  record::DiskStore store{{folder.path() / "c", folder.path() / "d", folder.path() / "s"}};
  practice::ManualClock clock;
  const console::Profile spoken = right();
  practice::PracticePort port{spoken, craft(), {Mischief::never_back, 1, practice::Way::from_controller}};
  practice::SettingsView before;
  std::string journal;
};

bool is_a_plan(const std::string& line) {
  return line.find(R"("what":"planned")") != std::string::npos;
}

// Whatever is damaged and whichever way out is taken: bench asks for recover, recover says what is damaged
// and ends the matter, and bench goes on.
void expect_a_way_out(CutSession& cut, const std::string& wanted, bool back_is_possible) {
  const Outcome refused = cut.dry_run();
  ASSERT_TRUE(refused.fault);
  EXPECT_EQ(refused.fault->id(), "session-left-over");
  const practice::SettingsView as_left = cut.port.controller().saved();
  Chooser person(wanted);
  const Outcome outcome = cut.recover(person);
  ASSERT_TRUE(outcome.recovered) << (outcome.fault ? outcome.fault->sentence() : "stopped") << person.told;
  EXPECT_NE(person.told.find("journal-damaged"), std::string::npos) << person.told;
  EXPECT_FALSE(person.offers("finish"));
  EXPECT_EQ(person.offers("back"), back_is_possible);
  EXPECT_TRUE(person.offers("aside"));
  const bool back = wanted == "back" && back_is_possible;
  EXPECT_EQ(outcome.recovered->ending, back ? Ending::all_old : Ending::set_aside);
  EXPECT_TRUE(holds(back ? cut.before : as_left, cut.port));
  EXPECT_TRUE(cut.store.open_sessions().empty());
  EXPECT_EQ(fs::exists(cut.journal + ".damaged"), !back) << "kept";
  const Outcome again = cut.dry_run();
  EXPECT_TRUE(again.result) << (again.fault ? again.fault->sentence() : "stopped");
}

class Damaged : public ::testing::TestWithParam<const char*> {};

// Defects found: a damaged line was passed over, so that the plan before it was finished, which the proof had
// refuted; and without a beginning or a plan neither bench nor recover went on, ever.
TEST_P(Damaged, AnyLineEndsInBackOrAside) {
  std::size_t count = 1;
  for (std::size_t at = 0; at < count; ++at) {
    SCOPED_TRACE("line " + std::to_string(at + 1));
    CutSession cut;
    std::vector<std::string> lines = cut.lines();
    count = lines.size();
    ASSERT_EQ(std::count_if(lines.begin(), lines.end(), is_a_plan), 2);
    lines[at][lines[at].size() / 2] ^= 1;
    cut.rewrite(lines);
    expect_a_way_out(cut, GetParam(), true);
  }
  EXPECT_GT(count, 15U);
}

TEST_P(Damaged, EveryPlanEndsInAside) {
  CutSession cut;
  std::vector<std::string> lines = cut.lines();
  for (std::string& line : lines) {
    if (is_a_plan(line)) line = line.substr(1);
  }
  cut.rewrite(lines);
  expect_a_way_out(cut, GetParam(), false);
}

TEST_P(Damaged, AllOfItEndsInAside) {
  CutSession cut;
  cut.rewrite({std::string(4096, '\0')});
  expect_a_way_out(cut, GetParam(), false);
}

INSTANTIATE_TEST_SUITE_P(Choices, Damaged, ::testing::Values("back", "aside", "finish"));

// The control: the same session, undamaged, is finished.
TEST(Undamaged, IsFinished) {
  CutSession cut;
  Chooser person("finish");
  const Outcome outcome = cut.recover(person);
  ASSERT_TRUE(outcome.recovered) << outcome.fault->sentence();
  EXPECT_EQ(outcome.recovered->ending, Ending::all_new);
  EXPECT_EQ(cut.port.controller().saved().mount[0], 90);
}

// The journal does not say whose it is: what another controller holds is not mistaken for what was before.
TEST(DamagedOfNobody, OnAControllerOfAnotherSizeCanOnlyBeSetAside) {
  CutSession cut;
  std::vector<std::string> lines = cut.lines();
  lines[0][lines[0].size() / 2] ^= 1;
  cut.rewrite(lines);
  const craft::Frame& hex = *craft::frame_named("hex-x");
  practice::PracticePort other(cut.spoken, practice::seeded_craft(hex, 5));
  Chooser person("aside");
  const Outcome outcome = recover_by(other, cut.spoken, person, cut.store, cut.clock);
  ASSERT_TRUE(outcome.recovered) << outcome.fault->sentence();
  EXPECT_EQ(outcome.recovered->ending, Ending::set_aside);
  EXPECT_NE(person.told.find("journal-of-nobody"), std::string::npos) << person.told;
}

// A defect found: this was noticed once everything was proven and kept.
TEST(NoRoom, IsSaidBeforeAnythingTurnsOrIsWritten) {
  PracticeSession session("tarn", worked_craft({"rear-left", "front-right", "rear-right", "front-left"}));
  session.store.no_room = true;
  const practice::SettingsView before = session.port.controller().saved();
  const Outcome outcome = session.bench(worked_options());
  ASSERT_TRUE(outcome.fault);
  EXPECT_EQ(outcome.fault->kind(), FaultKind::file);
  EXPECT_EQ(session.spins(), 0);
  EXPECT_TRUE(holds(before, session.port));
}

}  // namespace
}  // namespace armwise::test::damaged_journal_test
