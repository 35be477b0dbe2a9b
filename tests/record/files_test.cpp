#include "armwise/record/files.hpp"

#include <gtest/gtest.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

#include <csignal>
#include <set>
#include <string>
#include <vector>

#include "armwise/base/fault.hpp"
#include "armwise/record/paths.hpp"
#include "armwise/record/store.hpp"
#include "record/temporary_folder.hpp"

namespace armwise::record::files_test {
namespace {

TEST(Files, WritesWholeAndLeavesNothingBeside) {
  const TemporaryFolder folder;
  const auto file = folder.path() / "deep" / "er" / "file.txt";
  write_whole(file, "one");
  write_whole(file, "two");
  EXPECT_EQ(read_whole(file), "two");
  int entries = 0;
  for ([[maybe_unused]] const auto& entry : std::filesystem::directory_iterator(file.parent_path()))
    ++entries;
  EXPECT_EQ(entries, 1);
}

unsigned mode_of(const std::filesystem::path& file) {
  struct stat status {};
  EXPECT_EQ(::stat(file.c_str(), &status), 0);
  return status.st_mode & 0777U;
}

TEST(Files, WhatIsNewReplacesNothing) {
  const TemporaryFolder folder;
  const auto file = folder.path() / "file.txt";
  EXPECT_TRUE(write_new(file, "one"));
  EXPECT_FALSE(write_new(file, "two"));
  EXPECT_EQ(read_whole(file), "one");
  EXPECT_EQ(mode_of(file), 0600U);
  // A name that leads nowhere is somebody's name all the same.
  EXPECT_EQ(::symlink("/nowhere", (folder.path() / "link").c_str()), 0);
  EXPECT_FALSE(write_new(folder.path() / "link", "two"));
  int entries = 0;
  for ([[maybe_unused]] const auto& entry : std::filesystem::directory_iterator(folder.path())) ++entries;
  EXPECT_EQ(entries, 2) << "nothing is left beside";
}

TEST(Files, ASavedConfigurationIsForItsOwnerOnly) {
  const TemporaryFolder folder;
  DiskStore store({folder.path(), folder.path(), folder.path()});
  const std::string text = "key = secret \t\r\n\r\nlast\r";
  const std::string file = store.save_configuration("board", "2026-11-25T10:00:00+01:00", text);
  EXPECT_EQ(mode_of(file), 0600U);
  EXPECT_EQ(read_whole(file), text);
  EXPECT_EQ(store.read_configuration(file), (std::vector<std::string>{"key = secret", "last"}));
}

TEST(Files, AFullDiskIsSaidAndTheOldFileStays) {
  if (!std::filesystem::exists("/dev/full")) GTEST_SKIP() << "no /dev/full here";
  const TemporaryFolder folder;
  const auto file = folder.path() / "file.txt";
  write_whole(file, "old");
  // The file that is written beside leads to a device that is always full.
  EXPECT_EQ(
      ::symlink("/dev/full", (folder.path() / (".file.txt." + std::to_string(::getpid()) + ".part")).c_str()),
      0);
  EXPECT_THROW(write_whole(file, "new"), Fault);
  EXPECT_EQ(read_whole(file), "old");
}

// Two sessions of two controllers of one make, started within the same second: neither backup may be lost.
TEST(Files, ConfigurationsSavedByManyProcessesAtOnceAreAllKept) {
  constexpr int processes = 8, each = 10;
  const TemporaryFolder folder;
  const Folders folders{folder.path(), folder.path(), folder.path()};
  std::vector<pid_t> children;
  for (int number = 0; number < processes; ++number) {
    const pid_t child = ::fork();
    if (child == 0) {
      DiskStore store(folders);
      try {
        for (int i = 0; i < each; ++i)
          store.save_configuration("board", "2026-11-25T10:00:00+01:00",
                                   std::to_string(number) + " " + std::to_string(i));
      } catch (const Fault&) {
        ::_exit(1);
      }
      ::_exit(0);
    }
    children.push_back(child);
  }
  for (const pid_t child : children) {
    int status = 0;
    ::waitpid(child, &status, 0);
    EXPECT_EQ(status, 0);
  }
  std::set<std::string> kept;
  for (const auto& entry : std::filesystem::directory_iterator(folder.path() / "configurations"))
    kept.insert(read_whole(entry.path()));
  EXPECT_EQ(kept.size(), static_cast<std::size_t>(processes * each));
}

TEST(Files, WhatCannotBeReadIsSaid) {
  const TemporaryFolder folder;
  EXPECT_THROW(read_whole(folder.path() / "none"), Fault);
  EXPECT_THROW(read_whole(folder.path()), Fault);
  write_whole(folder.path() / "long", std::string(100, 'x'));
  EXPECT_THROW(read_whole(folder.path() / "long", 99), Fault);
  EXPECT_EQ(read_whole(folder.path() / "long", 100).size(), 100U);
}

// A defect found: this was "something went wrong inside", as reading it throws in the library.
TEST(Files, WhatIsNoFileOfBytesIsSaidAndNotWaitedFor) {
  const TemporaryFolder folder;
  ::alarm(20);
  ASSERT_EQ(::mkfifo((folder.path() / "pipe").c_str(), 0600), 0);
  EXPECT_THROW(read_whole(folder.path() / "pipe"), Fault);
  EXPECT_THROW(read_whole("/proc/self/mem"), Fault);
  EXPECT_THROW(read_whole("/dev/zero"), Fault);
  EXPECT_NE(read_whole("/proc/self/status"), "") << "has no size, and can be read";
  ::alarm(0);
}

// A defect found: with a umask of 0 anybody could write there, and with the usual one read.
TEST(Files, AreForTheirOwnerAloneWhateverTheUmask) {
  const TemporaryFolder folder;
  const mode_t before = ::umask(0);
  DiskStore store({folder.path() / "c", folder.path() / "d/e", folder.path() / "s/t"});
  store.save_configuration("board", "2026-01-01T00:00:00+00:00", {"a"});
  store.start_journal("board", "2026-01-01T00:00:00+00:00")->append({});
  CraftRecord record;
  record.craft_name = "one";
  store.save_record(record);
  ::umask(before);
  int seen = 0;
  for (const auto& entry : std::filesystem::recursive_directory_iterator(folder.path())) {
    ++seen;
    const auto wanted = entry.is_directory() ? 0700U : 0600U;
    EXPECT_EQ(static_cast<unsigned>(entry.status().permissions()), wanted) << entry.path();
  }
  EXPECT_GE(seen, 9);
}

TEST(Paths, FileNamesHoldNoPath) {
  EXPECT_EQ(file_name_for("Workbench Quad 5"), "Workbench-Quad-5");
  EXPECT_EQ(file_name_for("../../etc/passwd"), "etc-passwd");
  EXPECT_EQ(file_name_for("<b>&\"'"), "b");
  EXPECT_EQ(file_name_for("試験機"), "試験機");
  EXPECT_EQ(file_name_for("///"), "craft");
  EXPECT_EQ(file_name_for(".hidden"), "hidden");
  EXPECT_EQ(file_name_for(std::string("a\0b", 3)), "ab");
  const std::string longest = file_name_for(std::string(99, 'a') + "試験機");
  EXPECT_LE(longest.size(), 100U);
  EXPECT_EQ(longest, std::string(99, 'a'));  // cut at a whole character
}

// XDG Base Directory Specification 0.8: "All paths ... must be absolute. If an implementation encounters a
// relative path ... it should consider the path invalid and ignore it."
TEST(Paths, FollowTheBaseDirectorySpecification) {
  ::setenv("HOME", "/home/someone", 1);
  ::setenv("XDG_DATA_HOME", "relative", 1);
  ::setenv("XDG_STATE_HOME", "/state", 1);
  ::unsetenv("XDG_CONFIG_HOME");
  const Folders folders = Folders::from_environment();
  EXPECT_EQ(folders.data, "/home/someone/.local/share/armwise");
  EXPECT_EQ(folders.state, "/state/armwise");
  EXPECT_EQ(folders.config, "/home/someone/.config/armwise");
}

CraftRecord record_named(const std::string& name, const std::string& when) {
  CraftRecord record;
  record.id = name;
  record.made_at = when;
  record.craft_name = name;
  record.frame = "quad-x";
  record.port = "p";
  record.identity = {"slate", "fw", "1", "A7", ""};
  return record;
}

TEST(Store, KeepsTheOlderRecordOfACraft) {
  const TemporaryFolder folder;
  DiskStore store({folder.path() / "c", folder.path() / "d", folder.path() / "s"});
  store.save_record(record_named("one", "2026-01-01T00:00:00+00:00"));
  const std::string file = store.save_record(record_named("one", "2026-02-01T00:00:00+00:00"));
  EXPECT_EQ(file, (folder.path() / "d" / "crafts" / "one.armwise.json").string());
  EXPECT_TRUE(std::filesystem::exists(folder.path() / "d" / "crafts" / "older" / "one.json"));
  const auto known = store.records_of({"slate", "fw", "2", "A7", ""});
  ASSERT_EQ(known.size(), 1U);
  EXPECT_EQ(known[0].made_at, "2026-02-01T00:00:00+00:00");
}

// A defect found: that the record could not be written was noticed once everything was kept.
TEST(Store, SaysBeforehandWhereNotEverythingCouldBeWritten) {
  const TemporaryFolder folder;
  const auto at = [&](const char* name) { return folder.path() / name; };
  DiskStore({at("c"), at("d"), at("s")}).require_room();
  EXPECT_TRUE(std::filesystem::is_empty(at("s") / "journals"));
  EXPECT_TRUE(std::filesystem::is_empty(at("d") / "crafts"));
  write_whole(at("file"), "no folder");
  EXPECT_THROW(DiskStore({at("c"), at("file"), at("s")}).require_room(), Fault);
  EXPECT_THROW(DiskStore({at("c"), at("d"), at("file")}).require_room(), Fault);
  EXPECT_THROW(DiskStore({at("c"), at("d"), at("s")}, at("file") / "record.json").require_room(), Fault);
  EXPECT_THROW(DiskStore({at("c"), at("d"), at("s")}, at("d")).require_room(), Fault);
  DiskStore({at("c"), at("file"), at("s")}, at("record.json")).require_room();
  // No room for more than a few bytes: as on a full disk.
  const pid_t child = ::fork();
  if (child == 0) {
    const rlimit small{4096, 4096};
    ::setrlimit(RLIMIT_FSIZE, &small);
    ::signal(SIGXFSZ, SIG_IGN);
    try {
      DiskStore({at("c"), at("d"), at("s")}).require_room();
    } catch (const Fault& fault) {
      ::_exit(fault.sentence().find("ulimit -f") != std::string::npos ? 0 : 2);
    }
    ::_exit(1);
  }
  int status = 0;
  ::waitpid(child, &status, 0);
  EXPECT_EQ(status, 0);
  EXPECT_TRUE(std::filesystem::is_empty(at("s") / "journals")) << "what was tried is gone again";
}

TEST(Store, TwoConfigurationsOfOneSecondHaveTwoNames) {
  const TemporaryFolder folder;
  DiskStore store({folder.path() / "c", folder.path() / "d", folder.path() / "s"});
  const std::string when = "2026-01-01T00:00:00+00:00";
  const std::string first = store.save_configuration("b/../oard", when, "a\nb\n");
  const std::string second = store.save_configuration("b/../oard", when, "c\n");
  EXPECT_NE(first, second);
  EXPECT_EQ(read_whole(first), "a\nb\n");
  EXPECT_TRUE(first.starts_with((folder.path() / "s" / "configurations").string()));
}

}  // namespace
}  // namespace armwise::record::files_test
