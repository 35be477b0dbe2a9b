// What is saved of a whole configuration: the bytes that came, and the lines that are compared and played
// back.
#include "armwise/console/whole_configuration.hpp"

#include <gtest/gtest.h>

#include <filesystem>

#include "armwise/console/profile_console.hpp"
#include "console/hand_controllers.hpp"
#include "support/hand_console.hpp"
#include "support/manual_clock.hpp"
#include "support/scripted_plug.hpp"

namespace armwise::console::whole_configuration_test {
namespace {

using Lines = std::vector<std::string>;

class Untidy : public test::Tarn {
 public:
  std::string everything;
  std::string answer(const std::string& command) {
    return command == "tell everything" ? everything : Tarn::answer(command);
  }
};

// What `everything` is saved as, through the whole conversation. A "\n" in it comes as "\r\n".
struct Saving {
  Saving(const std::string& everything, std::size_t chunk_size) {
    profile = load_profile_file(std::filesystem::path(ARMWISE_FIXTURES) / "profiles" / "tarn.json");
    profile.open.more = "-- more --";
    profile.open.more_send = " ";
    controller.everything = everything;
    plug.chunk_size = chunk_size;
    far_side.prompt = profile.open.prompt;
  }
  std::string text() {
    ProfileConsole console(plug, profile, clock, sentry);
    test::run(console.open());
    return test::run(console.whole_configuration());
  }

  Profile profile;
  Untidy controller;
  test::ManualClock clock;
  test::HandConsole far_side{[this](const std::string& command) { return controller.answer(command); }};
  test::ScriptedPlug plug{clock, far_side};
  test::NotingSentry sentry;
};

class EveryChunkSize : public ::testing::TestWithParam<std::size_t> {};
INSTANTIATE_TEST_SUITE_P(Whole, EveryChunkSize, ::testing::Values(1U, 7U, 1000U));

TEST_P(EveryChunkSize, IsSavedByteForByte) {
  const Lines untidy{
      "name = \"two  blanks\"   \nlist\ta\tb\t\n\n\n# a remark \n\nlast = 1\n",  // tabs, ends, empty lines
      "\nfirst is empty\nlast, too\n\n",
      "progress 1 %\rprogress 100 %\ndone\n",  // a lone CR
      "\xC3\xA9t\xC3\xA9 = \xFF\xFE\n",        // text and no text
      "tell everything\nlast\n",               // reads like the echo
      "a\na\na\n",
      std::string(500, 'x') + "  \nend\n"};
  for (const std::string& text : untidy) {
    std::string came;
    for (const char c : text) came += c == '\n' ? std::string("\r\n") : std::string(1, c);
    EXPECT_EQ(Saving(text, GetParam()).text(), came);
  }
}

TEST_P(EveryChunkSize, IsSavedWithoutItsColours) {
  EXPECT_EQ(Saving("\x1b[1;32mlamp\x1b[0m = on \t\n\x1b[Klast\n", GetParam()).text(),
            "lamp = on \t\r\nlast\r\n");
}

TEST_P(EveryChunkSize, BehindItsLastLineThePromptIsLeftOut) {
  EXPECT_EQ(Saving("one\ntwo\t= 2", GetParam()).text(), "one\r\ntwo = 2\n");
}

// As read by armwise itself; the rest of the page is what the console sends to clear its own mark.
TEST(WholeConfiguration, PageStopsAreLeftOut) {
  EXPECT_EQ(
      as_it_came("dump\r\none \r\n-- more --\n\r          \rtwo\r\n\r\nthree\r\n# ", {"one", "two", "three"}),
      "one \r\ntwo\r\n\r\nthree\r\n");
}

TEST(WholeConfiguration, TheEchoIsLeftOutWhereverTheConsoleBrokeIntoIt) {
  EXPECT_EQ(as_it_came("du\r\nlow battery\r\nmp\r\na\tb\r\n# ", {"low battery", "a b"}),
            "low battery\r\na\tb\r\n");
  EXPECT_EQ(as_it_came("# dumpone\r\ntwo \r\n# ", {"one", "two"}), "one\r\ntwo \r\n");
}

// A profile that was made before, a record that is years old: lines joined by line feeds.
TEST(WholeConfiguration, WhatWasSavedAsLinesReadsAsTheSameLines) {
  const Lines lines{"a = 1", "b  = \"x\"", "\xC3\xA9"};
  EXPECT_EQ(configuration_lines("a = 1\nb  = \"x\"\n\xC3\xA9\n"), lines);
}

TEST(WholeConfiguration, TheLinesOfWhatIsSavedAreThoseOfTheReply) {
  const Lines reply{"a b", "c", "low"};
  for (const std::string bytes :
       {"x\r\na\tb \r\n\r\nc\rlow\r\n> ", "a b\nc\nlow", "a b\r\nc low > ", "nothing of the kind"}) {
    EXPECT_EQ(configuration_lines(as_it_came(bytes, reply)), reply) << bytes;
  }
}

}  // namespace
}  // namespace armwise::console::whole_configuration_test
