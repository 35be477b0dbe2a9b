#include "armwise/link/guard_note.hpp"

#include <gtest/gtest.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <fstream>
#include <string>

#include "armwise/base/text.hpp"
#include "guarded_tool.hpp"

namespace armwise::link::guard_note_test {
namespace {

namespace fs = std::filesystem;
using namespace std::chrono_literals;
using testing::GuardedTool;
using testing::Stage;
using Ending = GuardNote::Ending;

class GuardNoteTest : public ::testing::Test {
 protected:
  GuardNoteTest() {
    std::string name = (fs::temp_directory_path() / "guard-note-XXXXXX").string();
    folder = mkdtemp(name.data());
  }
  ~GuardNoteTest() override { fs::remove_all(folder); }

  // A tool that spins for ever, with word to be left of it.
  GuardedTool::Play spins() const {
    return [file = guard_note_file(folder, 7)](Stage& stage) {
      stage.guard.leave_word_in(file);
      testing::spin_for_ever(stage);
    };
  }
  void write(const std::string& name, const std::string& text) const { std::ofstream(folder / name) << text; }

  testing::PseudoTerminal far_side;
  GuardTiming timing;
  fs::path folder;
};

TEST_F(GuardNoteTest, SaysThatTheStopWasAnswered) {
  for (const int number : {SIGKILL, SIGSTOP}) {
    GuardedTool tool(far_side, timing, spins());
    ASSERT_EQ(far_side.until("spin 1\r\n", 5s), "spin 1\r\n");
    kill(tool.tool(), number);
    far_side.until("stop all\r\n", 5s);
    far_side.until("stop all\r\n", 5s);
    far_side.send("> ");
    ASSERT_TRUE(tool.guard_ends_within(5s));
    const std::vector<GuardNote> notes = take_guard_notes(folder);
    ASSERT_EQ(notes.size(), 1U);
    EXPECT_EQ(notes[0].ending, Ending::acknowledged);
    EXPECT_NE(notes[0].in_words().find("the controller answered"), std::string::npos);
    EXPECT_TRUE(take_guard_notes(folder).empty()) << "said once";
  }
}

TEST_F(GuardNoteTest, SaysThatAMotorMayBeTurningWhereNoAnswerCame) {
  timing.insist = 300ms;
  GuardedTool tool(far_side, timing, spins());
  ASSERT_EQ(far_side.until("spin 1\r\n", 5s), "spin 1\r\n");
  kill(tool.tool(), SIGKILL);
  ASSERT_TRUE(tool.guard_ends_within(5s));
  const std::vector<GuardNote> notes = take_guard_notes(folder);
  ASSERT_EQ(notes.size(), 1U);
  EXPECT_EQ(notes[0].ending, Ending::unanswered);
  EXPECT_NE(notes[0].in_words().find("pull the battery plug"), std::string::npos);
}

TEST_F(GuardNoteTest, SaysThatTheLineWasGone) {
  GuardedTool tool(far_side, timing, spins());
  ASSERT_EQ(far_side.until("spin 1\r\n", 5s), "spin 1\r\n");
  far_side.hang_up();
  kill(tool.tool(), SIGKILL);
  ASSERT_TRUE(tool.guard_ends_within(5s));
  const std::vector<GuardNote> notes = take_guard_notes(folder);
  ASSERT_EQ(notes.size(), 1U);
  EXPECT_EQ(notes[0].ending, Ending::line_gone);
}

TEST_F(GuardNoteTest, IsNotLeftWhereTheToolStoppedTheMotorItself) {
  GuardedTool tool(far_side, timing, [file = guard_note_file(folder, 7)](Stage& stage) {
    stage.guard.leave_word_in(file);
    stage.guard.turning(60s);
    stage.write("spin 1\r\nstop\r\n");
    stage.guard.stopped();
  });
  EXPECT_EQ(tool.wait_for_tool(), 0);
  ASSERT_TRUE(tool.guard_ends_within(5s));
  EXPECT_TRUE(take_guard_notes(folder).empty());
}

// Defects found: a pipe of such a name was waited for, and a link was followed and its target emptied.
TEST_F(GuardNoteTest, APipeOrALinkIsNeitherWaitedForNorFollowed) {
  write("precious", "2026-05-04T08:00:00Z acknowledged\n");
  ASSERT_EQ(mkfifo((folder / "guard-1.note").c_str(), 0600), 0);
  fs::create_symlink("precious", folder / "guard-2.note");
  fs::create_directory(folder / "guard-3.note");
  fs::create_symlink("/dev/zero", folder / "guard-4.note");
  alarm(20);
  EXPECT_TRUE(take_guard_notes(folder).empty());
  for (const char* part : {"guard-7.note.part", "guard-8.note.part"}) {
    const fs::path beside = folder / part;
    fs::path note = beside;
    note.replace_extension();
    if (part[6] == '7') {
      fs::create_symlink("precious", beside);
    } else {
      ASSERT_EQ(mkfifo(beside.c_str(), 0600), 0);
    }
    leave_word(note, Ending::unanswered);
    EXPECT_TRUE(fs::is_regular_file(fs::symlink_status(note))) << note;
  }
  alarm(0);
  EXPECT_EQ(take_guard_notes(folder).size(), 2U);
  EXPECT_EQ(fs::file_size(folder / "precious"), 34U);
}

TEST_F(GuardNoteTest, OfAStrangerIsPassedOver) {
  write("guard-1.note", "2026-05-04T08:00:00Z acknowledged\n");
  write("guard-2.note", "2026-05-04T07:00:00Z unanswered\n");
  write("guard-3.note", "\x1b[2J2026-05-04 acknowledged\n");
  write("guard-4.note", std::string(1 << 20, 'x'));
  write("guard-5.note", "2026-05-04T08:00:00Z turning\n");
  write("guard-6.note", "");
  write("other.note", "2026-05-04T08:00:00Z acknowledged\n");
  const std::vector<GuardNote> notes = take_guard_notes(folder);
  ASSERT_EQ(notes.size(), 2U);
  EXPECT_EQ(notes[0].when, "2026-05-04T07:00:00Z");
  EXPECT_TRUE(std::all_of(notes.begin(), notes.end(),
                          [](const GuardNote& note) { return is_printable(note.in_words()); }));
  EXPECT_TRUE(fs::exists(folder / "other.note"));
  EXPECT_TRUE(take_guard_notes(folder / "missing").empty());
}

}  // namespace
}  // namespace armwise::link::guard_note_test
