#include "armwise/ui/style.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <sstream>
#include <string>
#include <vector>

namespace armwise::ui::style_test {
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
  style.colour = ColourDepth::two_hundred_and_fifty_six;
  EXPECT_EQ(painted("cw", Ink::clockwise, style), "\x1B[38;5;63mcw\x1B[0m");
  EXPECT_EQ(painted("", Ink::clockwise, style), "");
}

struct Rgb {
  int red, green, blue;
};

// WCAG 2.1, "relative luminance" and "contrast ratio".
double luminance(const Rgb& colour) {
  const auto linear = [](int eight_bits) {
    const double part = eight_bits / 255.0;
    return part <= 0.03928 ? part / 12.92 : std::pow((part + 0.055) / 1.055, 2.4);
  };
  return 0.2126 * linear(colour.red) + 0.7152 * linear(colour.green) + 0.0722 * linear(colour.blue);
}

double contrast(const Rgb& a, const Rgb& b) {
  const auto [dark, bright] = std::minmax({luminance(a), luminance(b)});
  return (bright + 0.05) / (dark + 0.05);
}

// The palette of xterm(1): XTerm-col.ad for the first sixteen, 256colres.h for the cube and the greys.
Rgb of_the_256(int index) {
  static constexpr std::array<Rgb, 16> first{{{0, 0, 0},
                                              {205, 0, 0},
                                              {0, 205, 0},
                                              {205, 205, 0},
                                              {0, 0, 238},
                                              {205, 0, 205},
                                              {0, 205, 205},
                                              {229, 229, 229},
                                              {127, 127, 127},
                                              {255, 0, 0},
                                              {0, 255, 0},
                                              {255, 255, 0},
                                              {92, 92, 255},
                                              {255, 0, 255},
                                              {0, 255, 255},
                                              {255, 255, 255}}};
  if (index < 16) return first.at(static_cast<std::size_t>(index));
  if (index >= 232) return {8 + 10 * (index - 232), 8 + 10 * (index - 232), 8 + 10 * (index - 232)};
  const auto level = [](int step) { return step == 0 ? 0 : 55 + 40 * step; };
  const int cube = index - 16;
  return {level(cube / 36), level(cube / 6 % 6), level(cube % 6)};
}

// What an ink comes to on a ground, read from the codes that are written.
double contrast_of(Ink ink, ColourDepth depth, const Rgb& ground) {
  Style style;
  style.colour = depth;
  Rgb front = luminance(ground) > 0.5 ? Rgb{0, 0, 0} : Rgb{255, 255, 255}, back = ground;
  std::string codes = painted("x", ink, style);
  if (codes == "x") return contrast(front, back);
  codes = codes.substr(2, codes.find('m') - 2);
  std::vector<int> numbers;
  for (std::istringstream parts(codes); std::getline(parts, codes, ';');) numbers.push_back(std::stoi(codes));
  for (std::size_t i = 0; i < numbers.size(); ++i) {
    const int code = numbers[i];
    if (code == 38 || code == 48) {
      (code == 38 ? front : back) = of_the_256(numbers.at(i + 2));
      i += 2;
    } else if (code >= 30 && code <= 37) {
      front = of_the_256(code - 30);
    } else if (code >= 40 && code <= 47) {
      back = of_the_256(code - 40);
    }
  }
  return contrast(front, back);
}

// WCAG 2.1, 1.4.3: at least 4.5 : 1.
TEST(Colour, CanBeReadOnBlackAndOnWhite) {
  for (const ColourDepth depth : {ColourDepth::eight, ColourDepth::two_hundred_and_fifty_six}) {
    for (const Ink ink : all_inks) {
      for (const Rgb& ground : {Rgb{0, 0, 0}, Rgb{255, 255, 255}})
        EXPECT_GE(contrast_of(ink, depth, ground), 4.5) << static_cast<int>(ink) << " on " << ground.red;
    }
  }
  EXPECT_NEAR(contrast({0, 0, 0}, {255, 255, 255}), 21, 1e-9);  // the worked example of WCAG
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
}  // namespace armwise::ui::style_test
