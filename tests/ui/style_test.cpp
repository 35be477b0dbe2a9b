#include "armwise/ui/style.hpp"

#include <gtest/gtest.h>

namespace armwise::ui {
namespace {

Surroundings terminal_with(std::map<std::string, std::string> variables) {
  Surroundings around;
  around.variables = std::move(variables);
  around.input_is_terminal = around.output_is_terminal = around.error_is_terminal = true;
  return around;
}

TEST(Colour, IsOnForATerminalOnly) {
  const Surroundings around = terminal_with({{"TERM", "xterm"}});
  EXPECT_TRUE(colour_wanted(ColourChoice::automatic, around, true));
  EXPECT_FALSE(colour_wanted(ColourChoice::automatic, around, false));
}

// no-color.org: set and not empty, whatever the value.
TEST(Colour, IsSwitchedOffByTheEnvironmentUnlessAskedFor) {
  EXPECT_FALSE(
      colour_wanted(ColourChoice::automatic, terminal_with({{"TERM", "xterm"}, {"NO_COLOR", "0"}}), true));
  EXPECT_TRUE(
      colour_wanted(ColourChoice::automatic, terminal_with({{"TERM", "xterm"}, {"NO_COLOR", ""}}), true));
  EXPECT_FALSE(colour_wanted(ColourChoice::automatic, terminal_with({{"TERM", "dumb"}}), true));
  EXPECT_FALSE(colour_wanted(ColourChoice::automatic, terminal_with({}), true));
  EXPECT_TRUE(
      colour_wanted(ColourChoice::always, terminal_with({{"TERM", "dumb"}, {"NO_COLOR", "1"}}), false));
  EXPECT_FALSE(colour_wanted(ColourChoice::never, terminal_with({{"TERM", "xterm"}}), true));
}

TEST(Colour, PaintsNothingWithoutDepthAndAlwaysSwitchesOff) {
  Style style;
  EXPECT_EQ(painted("cw", Ink::clockwise, style), "cw");
  style.colour = ColourDepth::full;
  // Okabe-Ito's blue is #0072B2.
  EXPECT_EQ(painted("cw", Ink::clockwise, style), "\x1B[38;2;0;114;178mcw\x1B[0m");
  EXPECT_EQ(painted("", Ink::clockwise, style), "");
}

TEST(Glyphs, AreUnicodeOnlyWhereTheLocaleSaysSo) {
  const auto unicode = [](std::map<std::string, std::string> variables, bool ascii = false) {
    return style_for(ColourChoice::automatic, terminal_with(std::move(variables)), true, ascii).unicode;
  };
  EXPECT_TRUE(unicode({{"LANG", "en_GB.UTF-8"}}));
  EXPECT_FALSE(unicode({{"LANG", "en_GB.UTF-8"}, {"LC_ALL", "C"}}));
  EXPECT_FALSE(unicode({}));
  EXPECT_FALSE(unicode({{"LANG", "en_GB.UTF-8"}}, true));
}

// Widths as Unicode's EastAsianWidth.txt gives them: U+6C49 is wide, U+0301 combines.
TEST(Columns, CountWhatATerminalDraws) {
  EXPECT_EQ(columns_of("front-left"), 10);
  EXPECT_EQ(columns_of("\u00E9t\u00E9"), 3);
  EXPECT_EQ(columns_of("e\u0301"), 1);
  EXPECT_EQ(columns_of("\u6C49"), 2);
}

TEST(Wrapping, KeepsEveryWordAndTheWidth) {
  const std::string text =
      "Take every propeller off. Fix the craft down. averyveryverylongwordwithoutanyspace end";
  std::string together;
  for (const std::string& line : wrapped(text, 20, "  ")) {
    EXPECT_LE(columns_of(line), 20) << line;
    EXPECT_EQ(line.substr(0, 2), "  ");
    together += line.substr(2);
  }
  std::string squeezed;
  for (const char c : text) {
    if (c != ' ') squeezed += c;
  }
  std::erase(together, ' ');
  EXPECT_EQ(together, squeezed);
  EXPECT_EQ(wrapped("", 20).size(), 1U);
}

}  // namespace
}  // namespace armwise::ui
