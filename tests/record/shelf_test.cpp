#include "armwise/record/shelf.hpp"

#include <gtest/gtest.h>

#include "armwise/base/fault.hpp"
#include "armwise/record/files.hpp"
#include "armwise/record/sha256.hpp"
#include "armwise/record/store.hpp"
#include "record/temporary_folder.hpp"

namespace armwise::record::shelf_test {
namespace {

namespace fs = std::filesystem;

struct Shelf : ::testing::Test {
  TemporaryFolder folder;
  Folders folders{folder.path() / "c", folder.path() / "d", folder.path() / "s"};
  DiskStore store{folders};

  static CraftRecord craft(const std::string& name, const std::string& when = "2026-11-25T07:10:00+01:00") {
    CraftRecord record;
    record.id = record.craft_name = name;
    record.made_at = when;
    record.frame = "quad-x";
    return record;
  }
};

TEST_F(Shelf, KeepsCraftsWhoseNamesMakeOneFileName) {
  const std::string first = store.save_record(craft("b"));
  const std::string second = store.save_record(craft("<b>&\"'"));
  EXPECT_NE(first, second);
  // The second one again: its own file, its own older one; the first is untouched.
  EXPECT_EQ(store.save_record(craft("<b>&\"'", "2026-11-26T07:10:00+01:00")), second);
  store.save_record(craft("試験機"));
  const auto all = shelf(folders);
  ASSERT_EQ(all.size(), 3U);
  EXPECT_EQ(find_record(folders, "b").record->made_at, "2026-11-25T07:10:00+01:00");
  EXPECT_EQ(find_record(folders, "<b>&\"'").record->made_at, "2026-11-26T07:10:00+01:00");
  EXPECT_EQ(find_record(folders, "試験機").record->craft_name, "試験機");
}

TEST_F(Shelf, TheWholeConfigurationLiesBesideTheRecord) {
  CraftRecord record = craft("one");
  record.configuration_before = store.save_configuration("slate", record.made_at, "a\nb\n");
  record.configuration_after = (folder.path() / "gone.txt").string();
  const fs::path file = store.save_record(record);
  CraftRecord back = *find_record(folders, "one").record;
  EXPECT_EQ(back.configuration_before, "one-20261125T071000.before.txt");
  EXPECT_EQ(read_whole(file.parent_path() / back.configuration_before), "a\nb\n");
  EXPECT_EQ(back.configuration_before_sha256, sha256("a\nb\n"));
  EXPECT_EQ(back.configuration_after, "");
  ASSERT_EQ(back.warnings.size(), 1U);
  EXPECT_NE(back.warnings[0].find("gone.txt"), std::string::npos);
  // It goes along when the record is put aside for a newer one.
  store.save_record(craft("one", "2026-11-26T07:10:00+01:00"));
  EXPECT_EQ(read_whole(file.parent_path() / "older" / "one-20261125T071000.before.txt"), "a\nb\n");
}

TEST_F(Shelf, ADamagedRecordIsListedWithItsDamage) {
  store.save_record(craft("good"));
  write_whole(crafts_folder(folders) / "bad.armwise.json", "{\"armwise_record\": 1}");
  const auto all = shelf(folders);
  ASSERT_EQ(all.size(), 2U);
  EXPECT_FALSE(all[0].record);
  EXPECT_NE(all[0].damage.find("\"id\""), std::string::npos) << all[0].damage;
  EXPECT_TRUE(all[1].record);
}

TEST_F(Shelf, AMissingRecordIsSaidWithTheNearestName) {
  store.save_record(craft("workbench"));
  try {
    find_record(folders, "workbnech");
    FAIL();
  } catch (const Fault& fault) {
    EXPECT_NE(fault.sentence().find("the nearest craft is workbench"), std::string::npos) << fault.sentence();
  }
}

TEST_F(Shelf, KnowsWhetherASheetIsOutOfDate) {
  const std::string file = store.save_record(craft("one"));
  const auto state = [&] { return sheet_state(folders, shelved(file)); };
  EXPECT_EQ(state(), SheetState::never_made);
  const fs::path page = folder.path() / "page.html";
  write_whole(page, "<p>" + shelved(file).checksum);
  note_sheet(folders, file, page);
  EXPECT_EQ(state(), SheetState::up_to_date);
  store.save_record(craft("one", "2026-11-26T07:10:00+01:00"));
  EXPECT_EQ(state(), SheetState::out_of_date);
  fs::remove(page);
  EXPECT_EQ(state(), SheetState::gone);
  write_whole(folders.state / "sheets.json", "[damaged");
  EXPECT_EQ(state(), SheetState::never_made);
}

TEST_F(Shelf, AnEmptyShelfIsNoFault) {
  EXPECT_TRUE(shelf(folders).empty());
}

}  // namespace
}  // namespace armwise::record::shelf_test
