#include "armwise/record/journal.hpp"

#include <gtest/gtest.h>
#include <sys/stat.h>
#include <unistd.h>

#include <filesystem>
#include <fstream>
#include <vector>

#include "armwise/base/fault.hpp"
#include "armwise/record/files.hpp"
#include "armwise/record/store.hpp"
#include "record/temporary_folder.hpp"

namespace armwise::record::journal_test {
namespace {

namespace fs = std::filesystem;

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
    const auto journal = create_journal(folder.path() / "journals", "a");
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
    const auto journal = create_journal(folder.path(), "a");
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
    const auto journal = create_journal(folder.path(), "a");
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

JournalRead read_of(const std::vector<JournalEntry>& entries) {
  return {entries, false, {}};
}

TEST(Journal, NeedsRecoveryUntilClosed) {
  EXPECT_FALSE(needs_recovery(read_of({entry(What::began), entry(What::planned)})));
  EXPECT_TRUE(needs_recovery(read_of({entry(What::began), entry(What::planned), entry(What::writing, 1)})));
  EXPECT_TRUE(
      needs_recovery(read_of({entry(What::writing, 1), entry(What::keeping), entry(What::verified)})));
  EXPECT_FALSE(needs_recovery(read_of({entry(What::writing, 1), entry(What::closed)})));
  EXPECT_TRUE(needs_recovery(read_of({entry(What::began), entry(What::trying)})));
  EXPECT_FALSE(needs_recovery(read_of({entry(What::began), entry(What::trying), entry(What::put_back)})));
}

TEST(Journal, GetsItsNameWithItsFirstEntryAndNeverThatOfAnother) {
  const TemporaryFolder folder;
  const auto first = create_journal(folder.path(), "a");
  EXPECT_TRUE(DiskStore({{}, {}, folder.path()}).open_sessions().empty());
  EXPECT_FALSE(fs::exists(folder.path() / "a.journal")) << "an empty one looks like a damaged one";
  first->append(entry(What::began));
  const auto second = create_journal(folder.path(), "a");
  second->append(entry(What::playing));
  second->append(entry(What::closed));
  EXPECT_EQ(read_journal(folder.path() / "a.journal").entries.size(), 1U);
  EXPECT_EQ(read_journal(folder.path() / "a-2.journal").entries.size(), 2U);
  EXPECT_EQ(std::distance(fs::directory_iterator(folder.path()), fs::directory_iterator()), 2);
}

// A defect found: a damaged line could have been any, and was taken for none.
TEST(Journal, DamageInAnyLineNeedsRecoveryUnlessTheLastSaysThatItIsClosed) {
  const TemporaryFolder folder;
  for (const bool closed : {false, true}) {
    const std::string stem = closed ? "closed" : "open";
    const auto file = folder.path() / (stem + ".journal");
    {
      const auto journal = create_journal(folder.path(), stem);
      for (const What what : {What::began, What::configuration_saved, What::planned})
        journal->append(entry(what));
      if (closed) journal->append(entry(What::closed));
    }
    EXPECT_FALSE(needs_recovery(read_journal(file)));
    const std::string whole = read_whole(file);
    const std::size_t last = closed ? whole.rfind('\n', whole.size() - 2) : whole.size();
    for (std::size_t at = 0; at < last; ++at) {
      if (whole[at] == '\n') continue;  // joins two lines; the next byte damages one
      std::string damaged = whole;
      damaged[at] = static_cast<char>(damaged[at] ^ 1);
      std::ofstream(file, std::ios::binary) << damaged;
      const JournalRead read = read_journal(file);
      EXPECT_NE(read.damage, "") << at;
      EXPECT_EQ(needs_recovery(read), !closed) << at;
    }
  }
}

class Unreadable : public ::testing::Test {
 protected:
  Unreadable() {
    fs::create_directories(journals);
    ::alarm(20);  // a defect found: what waits for the other end of a pipe waits for ever
  }
  ~Unreadable() override { ::alarm(0); }

  TemporaryFolder folder;
  fs::path journals = folder.path() / "journals";
  DiskStore store{{{}, {}, folder.path()}};
};

// A defect found: "nothing to recover", or an end of bench and recover at a name.
TEST_F(Unreadable, JournalsOfAllKindsAreOpenAndDamagedAndCanBeSetAside) {
  std::ofstream(journals / "1-empty.journal").flush();
  std::ofstream(journals / "2-nul.journal") << std::string(5000, '\0');
  std::ofstream(journals / "3-nul-lines.journal") << std::string("\0\n\0\n", 4);
  fs::create_directory(journals / "4-folder.journal");
  ASSERT_EQ(::mkfifo((journals / "5-pipe.journal").c_str(), 0600), 0);
  std::ofstream(journals / "6-huge.journal").flush();
  fs::resize_file(journals / "6-huge.journal", std::uintmax_t{300} << 20U);
  fs::create_symlink("nowhere", journals / "7-link.journal");
  std::vector<OpenSession> open = store.open_sessions();
  ASSERT_EQ(open.size(), 7U);
  for (const OpenSession& session : open) {
    EXPECT_NE(session.damage.find(session.journal), std::string::npos) << session.damage;
    EXPECT_TRUE(session.entries.empty());
    const std::string aside = store.set_aside(session.journal);
    EXPECT_TRUE(fs::exists(fs::symlink_status(aside))) << aside;
    EXPECT_EQ(aside, session.journal + ".damaged");
  }
  EXPECT_TRUE(store.open_sessions().empty());
  // Nothing that was set aside is written over.
  std::ofstream(journals / "1-empty.journal") << "?";
  EXPECT_EQ(store.set_aside(journals / "1-empty.journal"), journals / "1-empty.journal.damaged-2");
}

TEST_F(Unreadable, AFolderOfJournalsThatIsNoneIsSaid) {
  fs::remove(journals);
  EXPECT_TRUE(store.open_sessions().empty()) << "none was ever made";
  std::ofstream(journals) << "a file";
  EXPECT_THROW(store.open_sessions(), Fault);
}

}  // namespace
}  // namespace armwise::record::journal_test
