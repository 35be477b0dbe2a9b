// `armwise bench` at a real terminal: a pseudo-terminal is its screen and keyboard, another one its serial
// port. The checks are those that anyone can run by hand with script(1), tmux and stty.
#include <gtest/gtest.h>
#include <pty.h>
#include <termios.h>
#include <utmp.h>

#include <chrono>
#include <cstring>

#include "app/workshop.hpp"

namespace armwise::test::terminal_process_test {
namespace {

using Clock = std::chrono::steady_clock;

class AtATerminal {
 public:
  AtATerminal(const std::vector<std::string>& arguments, const Workshop& workshop,
              const std::map<std::string, std::string>& more = {}) {
    int slave = -1;
    winsize size{40, 80, 0, 0};
    if (::openpty(&master_, &slave, nullptr, nullptr, &size) != 0) std::abort();
    ::tcgetattr(slave, &before_);
    keep_ = slave;
    process_ = ::fork();
    if (process_ == 0) become(arguments, workshop, more, slave);
  }
  ~AtATerminal() {
    if (process_ > 0 && !status_) {
      ::kill(process_, SIGTERM);
      ::waitpid(process_, nullptr, 0);
    }
    ::close(keep_);
    ::close(master_);
  }
  AtATerminal(const AtATerminal&) = delete;
  AtATerminal& operator=(const AtATerminal&) = delete;

  void type(std::string_view keys) const {
    ASSERT_EQ(::write(master_, keys.data(), keys.size()), static_cast<ssize_t>(keys.size()));
  }
  // Reads on until this has been shown since the last call; false where it never is.
  bool shows(const std::string& text) {
    const auto last = Clock::now() + std::chrono::seconds(60);
    while (screen.find(text, looked_at_) == std::string::npos) {
      if (Clock::now() > last || !read_more()) return false;
    }
    looked_at_ = screen.find(text, looked_at_) + text.size();
    return true;
  }
  // The wait status.
  int ended() {
    while (!status_) {
      read_more();
      int status = 0;
      if (::waitpid(process_, &status, WNOHANG) == process_) status_ = status;
    }
    while (read_more()) {
    }
    return *status_;
  }
  bool modes_as_before() const {
    termios now{};
    ::tcgetattr(keep_, &now);
    return now.c_iflag == before_.c_iflag && now.c_oflag == before_.c_oflag &&
           now.c_cflag == before_.c_cflag && now.c_lflag == before_.c_lflag &&
           std::memcmp(now.c_cc, before_.c_cc, sizeof now.c_cc) == 0;
  }

  std::string screen;

 private:
  bool read_more() {
    pollfd wait{master_, POLLIN, 0};
    if (::poll(&wait, 1, 100) <= 0) return !status_;
    char bytes[4096];
    const ssize_t length = ::read(master_, bytes, sizeof bytes);
    if (length <= 0) return false;
    screen.append(bytes, static_cast<std::size_t>(length));
    return true;
  }
  [[noreturn]] static void become(const std::vector<std::string>& arguments, const Workshop& workshop,
                                  const std::map<std::string, std::string>& more, int terminal) {
    ::login_tty(terminal);
    ::setenv("HOME", workshop.home().c_str(), 1);
    ::setenv("TERM", "xterm-256color", 1);
    for (const char* name : {"XDG_CONFIG_HOME", "XDG_DATA_HOME", "XDG_STATE_HOME", "NO_COLOR", "ACCESSIBLE"})
      ::unsetenv(name);
    for (const auto& [name, value] : more) ::setenv(name.c_str(), value.c_str(), 1);
    std::vector<char*> argv{const_cast<char*>(ARMWISE_PROGRAM)};
    for (const std::string& argument : arguments) argv.push_back(const_cast<char*>(argument.c_str()));
    argv.push_back(nullptr);
    ::execv(ARMWISE_PROGRAM, argv.data());
    ::_exit(127);
  }

  int master_ = -1, keep_ = -1;
  pid_t process_ = -1;
  std::optional<int> status_;
  std::size_t looked_at_ = 0;
  termios before_{};
};

class Terminal : public ::testing::Test {
 protected:
  Terminal() { workshop.make_craft("craft.json", *craft::frame_named("quad-x"), 7); }

  std::vector<std::string> bench() const {
    return {"bench",        "--practice", "--practice-craft", workshop.file("craft.json"),
            "--baud",       "0",          "--frame",          "quad-x",
            "--props",      "in",         "--spin-time",      "3000",
            "--craft",      "at a desk",  "--capture",        workshop.file("capture"),
            "--leave-mount"};
  }
  // Up to the question before the first spin.
  static void get_to_the_spins(AtATerminal& person) {
    ASSERT_TRUE(person.shows("props off\"")) << person.screen;
    ASSERT_TRUE(person.shows("> ")) << person.screen;
    person.type("props off\r");
    for (const char* about_the_board : {"arrow on the board", "Which side"}) {
      ASSERT_TRUE(person.shows(about_the_board)) << person.screen;
      person.type("1");
    }
    ASSERT_TRUE(person.shows("near the plug")) << person.screen;
    person.type("y");
    ASSERT_TRUE(person.shows("Eyes on the craft. Space spins P1.")) << person.screen;
  }
  // Up to the moment in which the first motor turns.
  static void spin_first(AtATerminal& person) {
    get_to_the_spins(person);
    person.type(" ");
    ASSERT_TRUE(person.shows("ny key stops it")) << person.screen;
  }
  // All that was sent, in order.
  std::vector<std::string> sent() const {
    std::vector<std::string> all;
    std::istringstream lines(contents(workshop.file("capture")));
    for (std::string line; std::getline(lines, line);) {
      const auto entry = nlohmann::json::parse(line);
      if (entry.contains("sent")) all.push_back(entry["sent"]);
    }
    return all;
  }

  int spins() const {
    const std::vector<std::string> all = sent();
    return static_cast<int>(std::count_if(all.begin(), all.end(),
                                          [](const std::string& line) { return line.starts_with("spin "); }));
  }

  Workshop workshop;
};

bool is_the_stop(const std::string& sent) {
  return sent.find("halt") != std::string::npos || sent.find("stop") != std::string::npos;
}

TEST_F(Terminal, CtrlCInMidSpinStopsTheMotorAndRestoresTheTerminal) {
  AtATerminal person(bench(), workshop);
  spin_first(person);
  person.type("\x03");
  const int status = person.ended();
  ASSERT_TRUE(WIFSIGNALED(status) || WEXITSTATUS(status) == 130) << person.screen;
  if (WIFSIGNALED(status)) {
    EXPECT_EQ(WTERMSIG(status), SIGINT);
  }
  EXPECT_TRUE(person.modes_as_before());
  const std::vector<std::string> all = sent();
  ASSERT_FALSE(all.empty());
  const auto spin = std::find_if(
      all.begin(), all.end(), [](const std::string& line) { return line.find("spin") != std::string::npos; });
  ASSERT_NE(spin, all.end());
  EXPECT_TRUE(std::any_of(spin, all.end(), is_the_stop));
  // The screen is as it was, and what was answered stays below.
  EXPECT_GT(person.screen.rfind("\x1b[?1049l"), person.screen.rfind("\x1b[?1049h"));
  EXPECT_NE(person.screen.find("battery", person.screen.rfind("\x1b[?1049l")), std::string::npos);
  // The cursor is shown again where it was hidden.
  const std::size_t hidden = person.screen.rfind("\x1b[?25l");
  if (hidden != std::string::npos) {
    EXPECT_NE(person.screen.find("\x1b[?25h", hidden), std::string::npos);
  }
}

// A defect found: the plug's "y", an answer's arrow and a pasted word each spun a motor.
TEST_F(Terminal, OnlySpaceSpinsAndAPasteDoesNothing) {
  AtATerminal person(bench(), workshop);
  get_to_the_spins(person);
  for (const char* paste : {"  ", "props off\r", "y \r", " 7\x1b[C "}) {
    person.type(paste);
    ASSERT_TRUE(person.shows("faster than a hand")) << person.screen;
    person.type("x");  // the same sentence is not drawn twice
    ASSERT_TRUE(person.shows("Only Space spins.")) << person.screen;
  }
  for (const char* key : {"y", "\r", "\x1b[C", "\x1b[D", "5", "0", "p"}) {
    person.type(key);
    ASSERT_TRUE(person.shows("Only Space spins.")) << person.screen;
  }
  EXPECT_EQ(spins(), 0);
  person.type(" ");
  ASSERT_TRUE(person.shows("ny key stops it")) << person.screen;
  person.type("x");
  ASSERT_TRUE(person.shows("Which motor spun")) << person.screen;
  person.type("5");
  // Nothing moved: that motor again, at once.
  ASSERT_TRUE(person.shows("Space spins P1.")) << person.screen;
  EXPECT_EQ(spins(), 1);
  person.type("u");
  ASSERT_TRUE(person.shows("Space spins P1.")) << person.screen;
  EXPECT_EQ(spins(), 1);
  person.type("\x03");
  person.ended();
}

// A defect found: in lines of text, too, a key in mid-spin comes without echo and line editing, and
// Ctrl-\ left the terminal so.
TEST_F(Terminal, CtrlBackslashInMidSpinRestoresThePlainTerminal) {
  std::vector<std::string> plain = bench();
  plain.emplace_back("--plain");
  AtATerminal person(plain, workshop);
  ASSERT_TRUE(person.shows("props off\"")) << person.screen;
  person.type("props off\r");
  for (const char* about_the_board : {"arrow on the board", "Which side"}) {
    ASSERT_TRUE(person.shows(about_the_board)) << person.screen;
    person.type("1\r");
  }
  ASSERT_TRUE(person.shows("near the plug")) << person.screen;
  person.type("yes\r");
  ASSERT_TRUE(person.shows("Eyes on the craft")) << person.screen;
  person.type("spin\r");
  ASSERT_TRUE(person.shows("ny key stops it")) << person.screen;
  EXPECT_FALSE(person.modes_as_before()) << "a key is there at once";
  person.type("\x1c");
  const int status = person.ended();
  EXPECT_TRUE(WIFSIGNALED(status) && WTERMSIG(status) == SIGQUIT) << person.screen;
  EXPECT_TRUE(person.modes_as_before());
}

TEST_F(Terminal, AKeyInMidSpinStopsItAndIsNoAnswer) {
  AtATerminal person(bench(), workshop);
  spin_first(person);
  person.type("7");
  // The question comes at once, long before the three seconds are over, and the key has not answered it.
  ASSERT_TRUE(person.shows("Which motor spun")) << person.screen;
  EXPECT_TRUE(is_the_stop(sent().back()) || is_the_stop(sent().at(sent().size() - 2))) << sent().back();
  person.type("\x03");
  person.ended();
}

TEST_F(Terminal, AccessibleHasNoEscapeCodeAndSaysThePictureInSentences) {
  std::vector<std::string> played = bench();
  played.emplace_back("--play");
  played[played.size() - 2] = "--leave-mount";
  *std::find(played.begin(), played.end(), "3000") = "200";
  AtATerminal person(played, workshop, {{"ACCESSIBLE", "1"}});
  const int status = person.ended();
  EXPECT_TRUE(WIFEXITED(status) && WEXITSTATUS(status) == 0) << person.screen;
  EXPECT_EQ(person.screen.find('\x1b'), std::string::npos);
  EXPECT_NE(person.screen.find("front-left"), std::string::npos);
}

TEST_F(Terminal, WithoutColourThereIsNoColourCodeOnTheScreen) {
  AtATerminal person(bench(), workshop, {{"NO_COLOR", "1"}});
  spin_first(person);
  person.type("\x03");
  person.ended();
  // Select Graphic Rendition (ECMA-48, 8.3.117) ends in "m".
  for (std::size_t at = person.screen.find("\x1b["); at != std::string::npos;
       at = person.screen.find("\x1b[", at + 1)) {
    std::size_t end = at + 2;
    while (end < person.screen.size() && (person.screen[end] < '@' || person.screen[end] > '~')) ++end;
    if (end == person.screen.size() || person.screen[end] != 'm') continue;
    const std::string parameters = person.screen.substr(at + 2, end - at - 2);
    EXPECT_TRUE(parameters.find('3') == std::string::npos && parameters.find('4') == std::string::npos)
        << parameters;
  }
}

// A defect found: the poses of practice ran away by themselves before they could be read.
TEST_F(Terminal, ThePracticeCraftIsHeldOnceThePersonSaysSo) {
  std::vector<std::string> arguments = bench();
  arguments.pop_back();
  AtATerminal person(arguments, workshop);
  ASSERT_TRUE(person.shows("props off\"")) << person.screen;
  ASSERT_TRUE(person.shows("> ")) << person.screen;
  person.type("props off");
  for (const char* pose : {"level", "nose straight down", "right side straight down"}) {
    ASSERT_TRUE(person.shows(pose)) << person.screen;
    ASSERT_TRUE(person.shows("Space ready")) << person.screen;
    person.type(" ");
  }
  EXPECT_TRUE(person.shows("near the plug")) << person.screen;
  EXPECT_EQ(person.screen.find("take it now"), std::string::npos) << person.screen;
  person.type("\x03");
  person.ended();
}

// A defect found: the end of a practice session proposed a command that found no controller.
TEST_F(Terminal, ProposesOnlyWhatReachesTheSameCraft) {
  std::vector<std::string> played = bench();
  played.emplace_back("--play");
  *std::find(played.begin(), played.end(), "3000") = "200";
  AtATerminal person(played, workshop);
  EXPECT_EQ(person.ended(), 0) << person.screen;
  EXPECT_NE(person.screen.find("armwise reapply \"at a desk\" --practice --practice-craft"),
            std::string::npos)
      << person.screen;
}

// What goes to the error stream is broken between words, not by the terminal in the middle of one.
TEST_F(Terminal, AFaultBreaksBetweenWords) {
  AtATerminal person({"bench", "--frame", "quad-y"}, workshop);
  person.ended();
  const std::string words =
      "armwise: --frame cannot be \"quad-y\": it takes quad-x, quad-plus, quad-wide, hex-x, hex-plus,";
  std::istringstream lines(person.screen);
  std::string told;
  for (std::string line; std::getline(lines, line);) {
    if (line.ends_with('\r')) line.pop_back();
    EXPECT_LE(line.size(), 80U) << line;
    told += (told.empty() ? "" : " ") + line;
  }
  EXPECT_EQ(told.substr(0, words.size()), words) << person.screen;
}

// A defect found: whoever chose a hexa was thrown out, since the practice craft was a quad.
TEST_F(Terminal, PracticeIsOnTheFrameThatIsChosen) {
  AtATerminal person({"bench", "--practice", "--seed", "5", "--baud", "0", "--leave-mount"}, workshop);
  ASSERT_TRUE(person.shows("practise on?")) << person.screen;
  person.type("4");
  EXPECT_TRUE(person.shows("props off\"")) << person.screen;
  EXPECT_TRUE(person.shows("> ")) << person.screen;
  person.type("\x03");
  EXPECT_TRUE(WIFSIGNALED(person.ended())) << person.screen;
  EXPECT_EQ(person.screen.find("Problem"), std::string::npos) << person.screen;
}

}  // namespace
}  // namespace armwise::test::terminal_process_test
