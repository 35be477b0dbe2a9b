#include "armwise/console/template.hpp"

#include <gtest/gtest.h>

#include <array>
#include <random>
#include <string>

#include "armwise/base/fault.hpp"
#include "support/sweep.hpp"

namespace armwise::console::template_test {
namespace {

std::optional<Values> match(const std::string& source, const std::string& line, bool case_sensitive = false) {
  return Template::parse(source).match(line, case_sensitive);
}

std::string refusal(const std::string& source) {
  try {
    Template::parse(source);
  } catch (const Fault& fault) {
    EXPECT_EQ(fault.kind(), FaultKind::bad_profile);
    return fault.happened();
  }
  return {};
}

TEST(Template, WritesAndReads) {
  const Template put = Template::parse("wire motor {motor} to {pin}");
  EXPECT_EQ(put.format({{"motor", "2"}, {"pin", "P4"}}), "wire motor 2 to P4");
  EXPECT_EQ(put.match("wire motor 2 to P4"), (Values{{"motor", "2"}, {"pin", "P4"}}));
  EXPECT_EQ(put.match("wire motor 2"), std::nullopt);
  EXPECT_EQ(put.match("wire motor 2 to P4 now"), std::nullopt);
}

TEST(Template, TakesWhiteSpaceAndLettersLoosely) {
  EXPECT_EQ(match("motor {motor} on {pin}", "\t MOTOR   1\t on P3  "),
            (Values{{"motor", "1"}, {"pin", "P3"}}));
  EXPECT_EQ(match("motor {motor} on {pin}", "MOTOR 1 on P3", true), std::nullopt);
  EXPECT_EQ(match("a = {value}", "a= 1"), std::nullopt);  // a blank in the template stands for at least one
}

TEST(Template, HasLiteralBraces) {
  const Template json = Template::parse(R"({{"m":{motor:int},"pin":"{pin}"}})");
  EXPECT_EQ(json.format({{"motor", "1"}, {"pin", "J3"}}), R"({"m":1,"pin":"J3"})");
  EXPECT_EQ(json.match(R"({"m":1,"pin":"J3"})"), (Values{{"motor", "1"}, {"pin", "J3"}}));
}

TEST(Template, ReadsEachType) {
  EXPECT_EQ(match("{x:int}", "-12"), (Values{{"x", "-12"}}));
  EXPECT_EQ(match("{x:int}", "1.5"), std::nullopt);
  EXPECT_EQ(match("{x:int}", "12abc"), std::nullopt);
  for (const std::string number : {"1", "-1.5", "+.5", "1e3", "2.5E-2", "0"}) {
    EXPECT_EQ(match("{yaw}", number), (Values{{"yaw", number}})) << number;
  }
  for (const std::string other : {"", "-", ".", "1.2.3", "x", "1e"})
    EXPECT_EQ(match("{yaw}", other), std::nullopt);
  EXPECT_EQ(match("{motor}", "two words"), std::nullopt);
  EXPECT_EQ(match("say {rest}", "say"), (Values{{"rest", ""}}));
  EXPECT_EQ(match("say {rest}", "say a  b "), (Values{{"rest", "a b"}}));
  EXPECT_EQ(match("[{note:text}] {x:int}", "[a b] 3"), (Values{{"note", "a b"}, {"x", "3"}}));
}

// Found by the fuzzer: the blank may be missing at a line's start, so the text ended there, empty.
TEST(Template, ATextAtTheStartEndsWithTheBlankBehindIt) {
  EXPECT_EQ(Template::parse("{a:text} {b}").match("hello world"), (Values{{"a", "hello"}, {"b", "world"}}));
  EXPECT_EQ(Template::parse("{a:text} ").match("hello "), (Values{{"a", "hello"}}));
  EXPECT_EQ(Template::parse("{a:text} = {b}").match("= world"), (Values{{"a", ""}, {"b", "world"}}));
  EXPECT_EQ(Template::parse("{a:text} ").match(""), (Values{{"a", ""}}));
}

// Found by the fuzzer: a word of line ends alone was read as an empty one.
TEST(Template, AWordIsNeverEmpty) {
  EXPECT_EQ(Template::parse("d:{pin}").match("d:\r\r"), (Values{{"pin", "\r\r"}}));
  EXPECT_EQ(Template::parse("d:{pin}").match("d:"), std::nullopt);
}

// Found by the fuzzer: only words and texts kept to the limit.
TEST(Template, NoValueInsideATextIsLongerThanTheLimit) {
  const std::string digits(257, '7');
  EXPECT_TRUE(Template::parse("{motor:int}").match_all(digits).empty());
  EXPECT_TRUE(Template::parse("x {rest}").match_all("x " + digits).empty());
  EXPECT_TRUE(Template::parse("x {items}").match_all("x " + digits).empty());
  EXPECT_EQ(Template::parse("{motor:int}").match_all(digits.substr(1)).size(), 1U);
  EXPECT_TRUE(Template::parse("{motor:int}").match(digits));
}

TEST(Template, ABlankThatOccursTwiceReadsTheSame) {
  EXPECT_TRUE(match("{pin} is {pin}", "P1 is P1"));
  EXPECT_FALSE(match("{pin} is {pin}", "P1 is P2"));
  EXPECT_TRUE(match("{skip} is {skip}", "P1 is P2"));
}

TEST(Template, SaysWhichCharacterIsWrong) {
  EXPECT_EQ(refusal("m {motor"),
            "character 3: an opening brace that is never closed; write {{ for the brace itself");
  EXPECT_EQ(refusal("m motor}"),
            "character 8: a closing brace that nothing opened; write }} for the brace itself");
  EXPECT_EQ(refusal("{}"), "character 1: {} is no blank: a name is made of a-z, 0-9 and _");
  EXPECT_EQ(refusal("{Pin}"), "character 1: {Pin} is no blank: a name is made of a-z, 0-9 and _");
  EXPECT_EQ(refusal("{x:real}"),
            "character 1: {x:real}: a type is int, decimal, comma, hex, HEX, oct, bin, number, word, name, "
            "letters, digits, "
            "sign, rest or text; behind hex, oct, bin and int may stand which bits of it: int.0-3");
  EXPECT_EQ(refusal("{motor}{pin}"),
            "character 8: {pin} follows {motor} with nothing between to tell where one ends");
  EXPECT_EQ(refusal("{rest} x"), "character 7: text after {rest}, which takes it all");
  EXPECT_EQ(refusal("{yaw}0"), "character 6: \"0\" right after {yaw} would be read as more of it");
  EXPECT_EQ(refusal("{pin:name}_x"), "character 11: \"_\" right after {pin} would be read as more of it");
  EXPECT_EQ(refusal("a\nb"), "holds a control character");
  EXPECT_EQ(refusal(std::string(501, 'x')), "character 501: longer than 500 characters");
}

TEST(Template, ReadsBelowTheLevelOfWords) {
  EXPECT_EQ(match("{motor:digits}:{skip:name}{turn:sign}", "1:B2+"),
            (Values{{"motor", "1"}, {"skip", "B2"}, {"turn", "+"}}));
  EXPECT_EQ(match("{motor:digits} {turn:sign}", "3 \xE2\x86\xBA"),
            (Values{{"motor", "3"}, {"turn", "\xE2\x86\xBA"}}));
  EXPECT_EQ(match("{motor:letters}{pin:digits}", "A12"), (Values{{"motor", "A"}, {"pin", "12"}}));
  EXPECT_EQ(match("{motor:letters}{pin:digits}", "12"), std::nullopt);
  EXPECT_EQ(refusal("{motor:digits}{pin:digits}"),
            "character 15: {pin} follows {motor} with nothing between to tell where one ends");
}

// What stands in the line on the left, what armwise counts with on the right.
TEST(Template, KnowsNotations) {
  const auto both_ways = [](const std::string& source, const std::string& line, const std::string& value) {
    const Template like = Template::parse(source);
    const auto read = like.match(line);
    ASSERT_TRUE(read) << source << line;
    EXPECT_EQ(read->begin()->second, value) << source;
    EXPECT_EQ(like.format(*read), line) << source;
  };
  both_ways("run {strength:comma}", "run 0,03", "0.03");
  both_ways("{x:comma}", "-9,81", "-9.81");
  both_ways("tilt {yaw:HEX3}", "tilt 01E", "30");
  both_ways("tilt {yaw:HEX4}", "tilt FFF6", "-10");  // two's complement
  both_ways("tilt 0x{yaw:hex}", "tilt 0x1e", "30");
  both_ways("tilt {yaw:hex}", "tilt -a", "-10");
  both_ways("pad {pin:hex2}", "pad f8", "248");  // no pin is below zero
  both_ways("beat {motor:number-1}", "beat 2", "3");
  both_ways("beat {motor:number+1}", "beat 3", "2");
  both_ways("{motor:number+19}=1", "23=1", "4");
  EXPECT_EQ(Template::parse("beat {motor:number-1}").format({{"motor", "D"}}), "beat 3");
  EXPECT_EQ(Template::parse("put {pin:number}").format({{"pin", "P12"}}), "put 12");
  EXPECT_THROW(Template::parse("put {pin:number}").format({{"pin", "none"}}), Fault);
  EXPECT_THROW(Template::parse("tilt {yaw:HEX2}").format({{"yaw", "300"}}), Fault);
  EXPECT_THROW(Template::parse("tilt {yaw:HEX2}").format({{"yaw", "1.5"}}), Fault);
  EXPECT_EQ(match("{yaw:HEX3}", "1E"), std::nullopt);
  EXPECT_EQ(match("{yaw:comma}", "1.5"), std::nullopt);
}

TEST(Template, PutsNothingIntoACommandThatDoesNotBelongThere) {
  const Template put = Template::parse("put {pin} {yaw}");
  const auto kind_of = [&](const Values& values) {
    try {
      put.format(values);
    } catch (const Fault& fault) {
      return fault.kind();
    }
    return FaultKind::usage;
  };
  EXPECT_EQ(kind_of({{"pin", "P1"}}), FaultKind::internal);
  EXPECT_EQ(kind_of({{"pin", "P1\rerase"}, {"yaw", "1"}}), FaultKind::bad_data);
  EXPECT_EQ(kind_of({{"pin", "P1 erase"}, {"yaw", "1"}}), FaultKind::bad_data);
  EXPECT_EQ(kind_of({{"pin", ""}, {"yaw", "1"}}), FaultKind::bad_data);
  EXPECT_EQ(kind_of({{"pin", "P1"}, {"yaw", "nan"}}), FaultKind::bad_data);
  EXPECT_EQ(kind_of({{"pin", "P1"}, {"yaw", "-1.5"}}), FaultKind::usage);
}

TEST(Template, FindsAllItemsOfALine) {
  const Template item = Template::parse("{motor}:{pin}");
  const std::vector<Values> two{{{"motor", "1"}, {"pin", "P3"}}, {{"motor", "2"}, {"pin", "P4"}}};
  for (const std::string line : {"1:P3 2:P4", "1:P3,2:P4", "[1:P3; 2:P4]", "map (1:P3) (2:P4) end"}) {
    EXPECT_EQ(item.match_all(line), two) << line;
  }
  EXPECT_TRUE(item.match_all("nothing here").empty());
  EXPECT_EQ(Template::parse("M{motor:int}={pin}").match_all("XM9=P9 M1=P3 M2=P4").size(), 2U);
}

// Linear work: a megabyte of what almost matches is read at once.
TEST(Template, TakesNoLongerForAHostileLine) {
  const std::string blanks(1'000'000, ' ');
  const std::string letters(1'000'000, 'a');
  EXPECT_FALSE(match("{a:text} b {b:text} c", blanks));
  EXPECT_FALSE(match("{a}x{b}y", letters));
  EXPECT_TRUE(Template::parse("{a}x{b}y").match_all(letters).empty());
  EXPECT_TRUE(Template::parse("a{b}:{c}").match_all(letters).empty());
}

// Random templates and values, both ways.
class AnyTemplate : public testing::Test {
 protected:
  std::mt19937 random{20260504};

  int below(int limit) { return std::uniform_int_distribution<int>(0, limit - 1)(random); }
  template <typename Text>
  char one_of(const Text& text) {
    return text[static_cast<std::size_t>(below(static_cast<int>(text.size())))];
  }
  // Punctuation that no value holds, with or without blanks around it.
  std::string literal() {
    static const std::string marks = "=:;/|<>()[]{},!?\"";
    std::string text;
    for (int i = 1 + below(3); i > 0; --i) text += one_of(marks);
    if (below(2) == 0) text = " " + text;
    if (below(2) == 0) text += " ";
    return text;
  }
  static std::string escaped(const std::string& literal) {
    std::string source;
    for (const char c : literal) source += (c == '{' || c == '}') ? std::string(2, c) : std::string(1, c);
    return source;
  }
  std::string value_of(int type) {
    static const std::string letters = "abcXYZ019_.+*#";
    std::string text;
    switch (type) {
      case 0:
        return (below(2) == 0 ? "-" : "") + std::to_string(below(100'000));
      case 1:
        return std::to_string(below(1000)) + "." + std::to_string(below(1000));
      default:
        for (int i = 1 + below(8); i > 0; --i) text += one_of(letters);
        return text;
    }
  }
};

TEST_F(AnyTemplate, ReadsBackWhatItWrites) {
  constexpr std::array<const char*, 4> types{"int", "decimal", "word", "text"};
  test::InTurn in_turn;
  for (int round = 0; round < 20'000; ++round) {
    std::string source = below(2) == 0 ? "go " : escaped("go" + literal());
    Values values;
    const int blanks = 1 + below(4);
    for (int i = 0; i < blanks; ++i) {
      const int type = below(4);
      const std::string name = "b" + std::to_string(i);
      source += "{" + name + ":" + types.at(static_cast<std::size_t>(type)) + "}";
      values[name] = value_of(type);
      if (i + 1 < blanks || below(2) == 0) source += escaped(literal());
    }
    if (in_turn.is_left_out()) continue;
    const Template made = Template::parse(source);
    const std::string line = made.format(values);
    ASSERT_EQ(made.match(line), values) << source << "\n" << line;
    ASSERT_EQ(made.match("  " + line + "\t"), values) << source;
    // What a line that was cut short reads as, if anything, is what it says.
    const std::string cut = line.substr(0, static_cast<std::size_t>(below(static_cast<int>(line.size()))));
    const auto from_cut = made.match(cut);
    if (from_cut) {
      ASSERT_EQ(made.match(made.format(*from_cut)), from_cut) << source;
    }
  }
}

TEST_F(AnyTemplate, NeverFailsOnNoise) {
  static const std::string alphabet = "ab1.- {}:\"\t\x1b\xff";
  for (int round = 0; round < 20'000; ++round) {
    std::string source, line;
    for (int i = below(20); i > 0; --i) source += one_of(alphabet);
    for (int i = below(40); i > 0; --i) line += one_of(alphabet);
    try {
      const Template made = Template::parse(source);
      made.match(line);
      made.match_all(line);
    } catch (const Fault& fault) {
      ASSERT_EQ(fault.kind(), FaultKind::bad_profile);
    }
  }
}

}  // namespace
}  // namespace armwise::console::template_test
