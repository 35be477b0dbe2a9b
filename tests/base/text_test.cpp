#include "armwise/base/text.hpp"

#include <gtest/gtest.h>

namespace armwise::text_test {
namespace {

const std::string broken = "\xEF\xBF\xBD";  // U+FFFD

TEST(Printable, LeavesPlainTextAlone) {
  EXPECT_EQ(printable(""), "");
  EXPECT_EQ(printable("motor 1 on P3"), "motor 1 on P3");
  EXPECT_EQ(printable("Gr\xC3\xBC\xC3\x9F"
                      "e \xE2\x86\xBB \xF0\x9F\x9B\xA9"),
            "Gr\xC3\xBC\xC3\x9F"
            "e \xE2\x86\xBB \xF0\x9F\x9B\xA9");
}

// Source of the forms: ECMA-48 (control sequences and strings), ECMA-35 (escapes with intermediate bytes).
TEST(Printable, TakesEscapeSequencesOutWhole) {
  EXPECT_EQ(printable("\x1B[31mred\x1B[0m"), "red");
  EXPECT_EQ(printable("a\x1B[2J\x1B[1;1Hb"), "ab");
  EXPECT_EQ(printable("a\x1B[?25lb"), "ab");
  EXPECT_EQ(printable("a\x1B]0;a title\ab"), "ab");
  EXPECT_EQ(printable("a\x1B]8;;http://x.invalid\x1B\\b"), "ab");
  EXPECT_EQ(printable("a\x1BPq1;2\x1B\\b"), "ab");
  EXPECT_EQ(printable("a\x1B_hidden\x1B\\b"), "ab");
  EXPECT_EQ(printable("a\x1B"
                      "cb"),
            "ab");
  EXPECT_EQ(printable("a\x1B(Bb"), "ab");
  EXPECT_EQ(printable("a\x1B\x1B[31mb"), "ab");
}

TEST(Printable, LeavesNothingOfASequenceThatIsCutOff) {
  EXPECT_EQ(printable("a\x1B"), "a");
  EXPECT_EQ(printable("a\x1B["), "a");
  EXPECT_EQ(printable("a\x1B[31"), "a");
  EXPECT_EQ(printable("a\x1B]0;title"), "a");
  EXPECT_EQ(printable("a\x1B]0;title\x1B"), "a");
  EXPECT_EQ(printable("a\x1B("), "a");
}

TEST(Printable, TakesControlCharactersOut) {
  EXPECT_EQ(printable(std::string_view("a\0b", 3)), "ab");
  EXPECT_EQ(printable("a\rb\nc\x08"
                      "d\x7F"
                      "e\af"),
            "abcdef");
  EXPECT_EQ(printable("a\tb"), "a b");
  EXPECT_EQ(printable("a\xC2\x9B"
                      "b"),
            "ab")
      << "C1 as UTF-8";
  EXPECT_EQ(printable("a\x9B"
                      "b"),
            "a" + broken + "b")
      << "C1 as a bare byte is no UTF-8";
}

TEST(Printable, TakesOutWhatTurnsTextAround) {
  EXPECT_EQ(printable("a\xE2\x80\xAE"
                      "b"),
            "ab")
      << "U+202E right-to-left override";
  EXPECT_EQ(printable("a\xE2\x81\xA6"
                      "b\xE2\x81\xA9"),
            "ab")
      << "U+2066, U+2069 isolates";
  EXPECT_EQ(printable("a\xE2\x80\xA8"
                      "b"),
            "ab")
      << "U+2028 line separator";
}

// Source: The Unicode Standard, table 3-7 (well-formed byte sequences).
TEST(Printable, ReplacesBrokenUtf8) {
  EXPECT_EQ(printable("\xC0\xAF"), broken + broken) << "overlong";
  EXPECT_EQ(printable("\xE0\x80\xAF"), broken + broken + broken) << "overlong";
  EXPECT_EQ(printable("\xED\xA0\x80"), broken + broken + broken) << "surrogate";
  EXPECT_EQ(printable("\xF4\x90\x80\x80"), broken + broken + broken + broken) << "above U+10FFFF";
  EXPECT_EQ(printable("a\xC3"), "a" + broken) << "cut off";
  EXPECT_EQ(printable("\xE2\x82"), broken + broken) << "cut off";
  EXPECT_EQ(printable("\x80"), broken) << "continuation alone";
  EXPECT_EQ(printable("\xFF\xFE"), broken + broken);
}

TEST(Printable, GivesPrintableTextForEveryPairOfBytesAfterAnEscapeOrNot) {
  for (int first = 0; first < 256; ++first) {
    for (int second = 0; second < 256; ++second) {
      std::string raw{static_cast<char>(first), static_cast<char>(second), 'x'};
      EXPECT_TRUE(is_printable(printable(raw))) << first << ' ' << second;
      raw.insert(raw.begin(), '\x1B');
      EXPECT_TRUE(is_printable(printable(raw))) << "escape " << first << ' ' << second;
    }
  }
}

TEST(IsPrintable, RefusesWhatPrintableWouldChange) {
  EXPECT_TRUE(is_printable(""));
  EXPECT_TRUE(is_printable("P\xC3\xA9"));
  for (const char* text : {"\x1B[0m", "a\tb", "a\nb", "\x7F", "\xC2\x85", "\xE2\x80\xAE", "\xC3"}) {
    EXPECT_FALSE(is_printable(text));
    EXPECT_NE(printable(text), text);
  }
}

TEST(Text, IsTrimmedFoldedAndJoined) {
  EXPECT_EQ(trimmed(" \t a b\r\n"), "a b");
  EXPECT_EQ(trimmed(" \r\n"), "");
  EXPECT_EQ(trimmed(""), "");
  EXPECT_EQ(lower_case("CW Front-LEFT \xC3\x84"), "cw front-left \xC3\x84");
  EXPECT_EQ(joined({}, ", "), "");
  EXPECT_EQ(joined({"a"}, ", "), "a");
  EXPECT_EQ(joined({"a", "a", "b"}, ", "), "a, a, b");
}

TEST(Nearest, FindsTheWordThatWasMeant) {
  const std::vector<std::string> commands{"ports",   "bench", "teach",    "predict",
                                          "reapply", "sheet", "--dry-run"};
  EXPECT_EQ(nearest("benhc", commands), "bench") << "two letters swapped";
  EXPECT_EQ(nearest("port", commands), "ports");
  EXPECT_EQ(nearest("--dry-rum", commands), "--dry-run");
  EXPECT_EQ(nearest("reaply", commands), "reapply");
  EXPECT_EQ(nearest("predcit", commands), "predict");
}

TEST(Nearest, IsSilentWhereNothingIsNear) {
  EXPECT_EQ(nearest("banana", {"bench", "teach"}), "");
  EXPECT_EQ(nearest("bench", {}), "");
  EXPECT_EQ(nearest("xy", {"ab"}), "");
}

TEST(Nearest, PrefersTheSmallerDistance) {
  EXPECT_EQ(nearest("front-lft", {"front-right", "front-left", "rear-left"}), "front-left");
}

TEST(WithoutEscapes, LeavesEveryOtherByte) {
  EXPECT_EQ(without_escapes("\x1b[1;32ma\tb \x1b[0m\r\xFF\n\x1b]0;title\ac"), "a\tb \r\xFF\nc");
  EXPECT_EQ(without_escapes("\x1b"), "");
}

TEST(LineAndColumn, CountFromOne) {
  EXPECT_EQ(line_and_column("", 0), "line 1, column 1");
  EXPECT_EQ(line_and_column("ab\ncd", 1), "line 1, column 2");
  EXPECT_EQ(line_and_column("ab\ncd", 3), "line 2, column 1");
  EXPECT_EQ(line_and_column("ab\ncd", 99), "line 2, column 3");
}

TEST(Degrees, OneIsNotMany) {
  EXPECT_EQ(degrees_text(1.2, 0), "1 degree");
  EXPECT_EQ(degrees_text(0.4, 0), "0 degrees");
  EXPECT_EQ(degrees_text(2, 0), "2 degrees");
  EXPECT_EQ(degrees_text(1, 1), "1.0 degrees");
}

}  // namespace
}  // namespace armwise::text_test
