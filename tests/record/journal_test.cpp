#include "armwise/record/journal.hpp"

#include <gtest/gtest.h>

#include <fstream>

#include "armwise/base/fault.hpp"
#include "armwise/record/files.hpp"
#include "record/temporary_folder.hpp"

namespace armwise::record {
namespace {

using What = JournalEntry::What;

solve::Snapshot some_snapshot() {
  solve::Snapshot snapshot;
  snapshot.map.pins = {{"P1"}, {"P2"}, {"P3"}, {"P4"}};
  snapshot.props = craft::PropScheme::out;
  snapshot.turns = {craft::Turn::cw, craft::Turn::ccw, craft::Turn::cw, craft::Turn::ccw};
  snapshot.turn_key = solve::TurnKey::pin;
  snapshot.mount = craft::YawPitchRoll{45, 0, 180};
  snapshot.map_rules = {solve::MapKept::per_pin, false};
  return snapshot;
}

JournalEntry entry(What what, int step = 0) {
  JournalEntry made;
  made.what = what;
  made.when = "2026-11-25T07:10:00+01:00";
  made.step = step;
  return made;
}

TEST(Journal, GivesBackWhatWasWritten) {
  const TemporaryFolder folder;
  const auto file = folder.path() / "journals" / "a.journal";
  {
    const auto journal = create_journal(file);
    JournalEntry planned = entry(What::planned);
    planned.before = some_snapshot();
    planned.after = some_snapshot();
    planned.after->map.pins[0] = {"P9"};
    planned.lines = {"put 1 P9"};
    journal->append(planned);
    JournalEntry began = entry(What::began);
    began.identity = console::Identity{"board", "firmware", "1.2", "S1", "USB 1209:0001"};
    began.text = "/dev/ttyACM0";
    journal->append(began);
  }
  const JournalRead read = read_journal(file);
  ASSERT_EQ(read.entries.size(), 2U);
  EXPECT_FALSE(read.torn_end);
  EXPECT_EQ(read.damage, "");
  const JournalEntry& planned = read.entries[0];
  EXPECT_EQ(planned.what, What::planned);
  ASSERT_TRUE(planned.before && planned.after);
  EXPECT_EQ(planned.before->map.pins[0].name, "P1");
  EXPECT_EQ(planned.after->map.pins[0].name, "P9");
  EXPECT_EQ(planned.before->turn_key, solve::TurnKey::pin);
  EXPECT_EQ(planned.before->turns, some_snapshot().turns);
  EXPECT_EQ(planned.before->mount, some_snapshot().mount);
  EXPECT_EQ(planned.before->map_rules.kept, solve::MapKept::per_pin);
  EXPECT_FALSE(planned.before->map_rules.shared_meanwhile);
  ASSERT_TRUE(read.entries[1].identity);
  EXPECT_EQ(read.entries[1].identity->serial, "S1");
}

TEST(Journal, ATornLastLineIsPassedOverAtEveryByte) {
  const TemporaryFolder folder;
  const auto file = folder.path() / "a.journal";
  {
    const auto journal = create_journal(file);
    journal->append(entry(What::writing, 1));
    journal->append(entry(What::wrote, 1));
  }
  const std::string content = read_whole(file);
  const std::size_t first = content.find('\n') + 1;
  for (std::size_t length = first; length < content.size(); ++length) {
    const auto cut = folder.path() / "cut.journal";
    std::ofstream(cut, std::ios::binary) << content.substr(0, length);
    const JournalRead read = read_journal(cut);
    EXPECT_EQ(read.entries.size(), 1U) << length;
    EXPECT_EQ(read.torn_end, length > first) << length;
    EXPECT_EQ(read.damage, "") << length;
    // What is taken up again must not join the torn line to the next one.
    continue_journal(cut)->append(entry(What::closed));
    const JournalRead again = read_journal(cut);
    ASSERT_EQ(again.entries.size(), 2U) << length;
    EXPECT_EQ(again.entries[1].what, What::closed);
    EXPECT_FALSE(again.torn_end);
    std::filesystem::remove(cut);
  }
}

TEST(Journal, DamageInTheMiddleIsSaid) {
  const TemporaryFolder folder;
  const auto file = folder.path() / "a.journal";
  {
    const auto journal = create_journal(file);
    journal->append(entry(What::writing, 1));
    journal->append(entry(What::wrote, 1));
    journal->append(entry(What::writing, 2));
  }
  std::string content = read_whole(file);
  const std::size_t second = content.find('\n') + 1;
  const std::size_t step = content.find("\"step\":1", second);
  ASSERT_NE(step, std::string::npos);
  content[step + 7] = '3';
  std::ofstream(file, std::ios::binary) << content;
  const JournalRead read = read_journal(file);
  EXPECT_EQ(read.entries.size(), 2U);
  EXPECT_NE(read.damage.find("Line 2"), std::string::npos) << read.damage;
  EXPECT_NE(read.damage.find("checksum"), std::string::npos) << read.damage;
}

TEST(Journal, NeedsRecoveryUntilClosed) {
  EXPECT_FALSE(needs_recovery({entry(What::began), entry(What::planned)}));
  EXPECT_TRUE(needs_recovery({entry(What::began), entry(What::planned), entry(What::writing, 1)}));
  EXPECT_TRUE(needs_recovery({entry(What::writing, 1), entry(What::keeping), entry(What::verified)}));
  EXPECT_FALSE(needs_recovery({entry(What::writing, 1), entry(What::closed)}));
}

TEST(Journal, RefusesToWriteOverAnother) {
  const TemporaryFolder folder;
  const auto file = folder.path() / "a.journal";
  create_journal(file)->append(entry(What::began));
  EXPECT_THROW(create_journal(file), Fault);
}

}  // namespace
}  // namespace armwise::record
