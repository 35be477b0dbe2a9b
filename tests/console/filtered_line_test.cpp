#include "armwise/console/filtered_line.hpp"

#include <gtest/gtest.h>

#include <memory>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "armwise/console/screen_lines.hpp"
#include "support/scripted_line.hpp"

namespace armwise::console::filtered_line_test {
namespace {

Open console_of(const std::string& prompt, const std::string& stamp,
                const std::vector<std::string>& unasked) {
  Open open;
  open.prompt = prompt;
  if (!stamp.empty()) open.stamp = Template::parse(stamp);
  for (const std::string& line : unasked) open.unasked.push_back(Template::parse(line));
  return open;
}

// Whole, one byte at a time, and cut in two at each place: all alike.
std::string passed(const Open& open, const std::string& bytes) {
  const std::string whole = filtered(open, bytes);
  for (std::size_t size = 1; size < bytes.size(); ++size) {
    LineFilter filter(open);
    std::string out;
    if (size == 1) {
      for (const char c : bytes) out += filter.pass({&c, 1});
    } else {
      out = filter.pass(bytes.substr(0, size));
      out += filter.pass(bytes.substr(size));
    }
    out += filter.let_go();
    EXPECT_EQ(whole, out) << "cut at " << size;
  }
  return whole;
}

using Lines = std::vector<std::string>;
const std::string time_stamp = "[{skip:digits}.{skip:digits}] ";

TEST(FilteredLine, TakesTheStampOffEachLineOfTheConsole) {
  const Open open = console_of("> ", time_stamp, {});
  EXPECT_EQ("map list\r\nm1 P3\r\nm2 P1\r\n> ",
            passed(open, "map list\r\n[   12.345] m1 P3\r\n[12.3461] m2 P1\r\n[12.35] > "));
  EXPECT_EQ("[12.3] inside\r\n12.3 no bracket\r\n",
            passed(open, "[1.0] [12.3] inside\r\n12.3 no bracket\r\n"));
  EXPECT_EQ("\x1b[32mgreen\x1b[0m\r\n",
            passed(console_of("", "I {skip:digits}: ", {}), "\x1b[32mgreen\x1b[0m\r\n"));
  EXPECT_EQ((Lines{"ok"}), lines_in(passed(console_of("", "{skip:letters} {skip:digits}: ", {}),
                                           "\x1b[0;32mI 005: ok\x1b[0m\r\n")));
}

TEST(FilteredLine, LeavesOutWhatIsSaidUnaskedAsIfItHadNotBeen) {
  const Open open = console_of("> ", time_stamp, {"bat {skip:decimal} V", "link idle"});
  const std::string answer = "map list\r\n[1.0] m1 P3\r\n[1.1] m2 P1\r\n> ";
  const std::string wanted = "> map list\r\nm1 P3\r\nm2 P1\r\n> ";
  EXPECT_EQ(wanted, passed(open, "> " + answer));
  // Between two lines, behind the prompt, into what is typed and said once more, in front of the answer.
  EXPECT_EQ(wanted, passed(open, "> map list\r\n[1.0] m1 P3\r\n[1.05] bat 5.1 V\r\n[1.1] m2 P1\r\n> "));
  EXPECT_EQ(wanted, passed(open, "> [0.9] link idle\r\n" + answer));
  EXPECT_EQ(wanted, passed(open, "> [0.9] link idle\r\n> " + answer));
  EXPECT_EQ(wanted, passed(open, "> \r\n[0.9] link idle\r\n[0.9] bat 4 V\r\n> " + answer));
  EXPECT_EQ(wanted,
            passed(open, "> map li\r\n[0.9] link idle\r\n> map list\r\n[1.0] m1 P3\r\n[1.1] m2 P1\r\n> "));
  EXPECT_EQ("> \r\n> ", passed(open, "> [0.9] link idle\r\n\r\n> ")) << "an empty line was answered";
  EXPECT_EQ(wanted, passed(open, "> map list\r\n[0.9] link idle\r\n[1.0] m1 P3\r\n[1.1] m2 P1\r\n> "));
}

TEST(FilteredLine, WithoutAPromptToo) {
  const Open open = console_of("", time_stamp, {"link idle"});
  EXPECT_EQ("stop\r\ndown\r\ndone\r\n",
            passed(open, "st\r\n[1.0] link idle\r\nstop\r\n[1.1] down\r\n[1.2] link idle\r\n[1.3] done\r\n"));
  EXPECT_EQ("st", passed(console_of("", "", {"link idle"}), "link idle\r\nst"));
}

TEST(FilteredLine, KeepsAllThatItIsNotSureOf) {
  const Open open = console_of("> ", time_stamp, {"motors {skip:digits}"});
  for (const std::string bytes : {"motors 4\r\n", "> motors 4", "motors down\r\n", "x motors 4\r\n",
                                  "motors 4 down\r\n", "> motors 4\r\n"})
    EXPECT_EQ(bytes, passed(open, bytes));  // no stamp
  EXPECT_EQ("motors 4 down\r\nmot", passed(open, "[1.0] motors 4 down\r\n[1.1] mot"));
  EXPECT_EQ("", passed(open, "[1.0] motors 4\r\n"));
}

TEST(FilteredLine, HoldsBackOnlyForAMomentAndIsSilentWhereNothingElseCame) {
  class Nobody : public test::FarSide {
    std::vector<test::Chunk> receive(std::string_view) override { return {}; }
  } nobody;
  test::ManualClock clock;
  auto scripted = std::make_unique<test::ScriptedLine>(clock, nobody);
  test::ScriptedLine& far = *scripted;
  const Open open = console_of("> ", "", {"link idle"});
  FilteredLine line(std::move(scripted), open, clock);
  const Instant began = clock.now();
  far.come("> ");
  EXPECT_EQ("> ", test::run(line.read(Duration{1000})).bytes);
  EXPECT_EQ(began, clock.now());
  far.come("link ");
  EXPECT_EQ("link ", test::run(line.read(Duration{1000})).bytes);
  EXPECT_LE(clock.now(), began + Duration{100});
  far.come("up\r\nlink idle\r\n");
  EXPECT_EQ("up", test::run(line.read(Duration{1000})).bytes);
  EXPECT_EQ("\r\n", test::run(line.read(Duration{1000})).bytes) << "that of the prompt's line";
  far.come("link id");
  far.come("le\r\n", Duration{20});
  EXPECT_EQ(Received::Status::quiet, test::run(line.read(Duration{1000})).status);
  far.come("link");
  far.closed = true;
  EXPECT_EQ("link", test::run(line.read(Duration{1000})).bytes);
  EXPECT_EQ(Received::Status::closed, test::run(line.read(Duration{1000})).status);
}

TEST(FilteredLine, SaysWhatItLeftOut) {
  const Open open = console_of("> ", "", {"bat {skip:decimal} V"});
  LineFilter filter(open);
  filter.pass("> bat 5 V\r\nbat full\r\nbat 6 V\r\n");
  EXPECT_EQ((Lines{"bat 5 V", "bat 6 V"}), filter.take_left_out());
  EXPECT_TRUE(filter.take_left_out().empty());
}

}  // namespace
}  // namespace armwise::console::filtered_line_test
