#include "armwise/teach/number_ways.hpp"

#include <algorithm>
#include <map>
#include <optional>

#include "armwise/base/text.hpp"
#include "armwise/console/template.hpp"
#include "words.hpp"

namespace armwise::teach {
namespace {

using NumbersOfALine = std::vector<NumberAt>;

constexpr std::string_view far_minus = "\xE2\x88\x92";

bool is_hex(std::string_view text) {
  return !text.empty() && std::all_of(text.begin(), text.end(), [](char c) {
    return is_digit(c) || (c >= 'a' && c <= 'f') || (c >= 'A' && c <= 'F');
  });
}

std::string with_usual_minus(std::string text) {
  if (text.starts_with(far_minus)) text.replace(0, far_minus.size(), "-");
  return text;
}

NumbersOfALine words_that_are_numbers(const std::string& line) {
  NumbersOfALine found;
  for (const Span& word : words_of(line)) {
    const std::string text = with_usual_minus(word.of(line));
    if (is_number(text)) found.push_back({word, text, ""});
  }
  return found;
}

// Nothing where no comma stands inside a number, or two do: then commas stand between numbers.
NumbersOfALine with_decimal_comma(const std::string& line) {
  NumbersOfALine found;
  bool any = false;
  for (const Span& word : words_of(line, ";:=()[]{}<>|\"'")) {
    std::string text = with_usual_minus(word.of(line));
    const auto commas = std::count(text.begin(), text.end(), ',');
    if (commas > 1 || text.find('.') != std::string::npos) return {};
    std::replace(text.begin(), text.end(), ',', '.');
    if (!is_number(text)) continue;
    any = any || commas == 1;
    found.push_back({word, text, "comma"});
  }
  return any ? found : NumbersOfALine{};
}

// Of the same width each, or marked as such.
NumbersOfALine in_base_16(const std::string& line) {
  struct Hex {
    Span digits;
    bool marked = false;
  };
  std::vector<Hex> all;
  std::map<std::size_t, int> widths;
  bool letters = false, small = false, marked = false;
  for (Span word : words_of(line)) {
    const Span whole = word;
    const auto text = [&] { return std::string_view(line).substr(word.begin, word.end - word.begin); };
    for (const std::string_view mark : {"0x", "0X", "$", "#"}) {
      if (word == whole && text().starts_with(mark)) word.begin += mark.size();
    }
    if (word == whole && text().size() > 1 && (text().ends_with('h') || text().ends_with('H'))) --word.end;
    if (!is_hex(text())) continue;
    all.push_back({word, word != whole});
    ++widths[word.end - word.begin];
    marked = marked || word != whole;
    letters = letters || (has_letter(text()) && std::any_of(text().begin(), text().end(), is_digit));
    small = small || std::any_of(text().begin(), text().end(), [](char c) { return c >= 'a' && c <= 'f'; });
  }
  if (all.empty()) return {};
  const auto usual = std::max_element(widths.begin(), widths.end(),
                                      [](const auto& a, const auto& b) { return a.second < b.second; });
  // "08 14 FF": nothing else stands there.
  const bool nothing_else = widths.size() == 1 && all.size() == words_of(line).size() && all.size() > 2;
  for (const Hex& each : all) letters = letters || (nothing_else && has_letter(each.digits.of(line)));
  const bool one_width = !marked || widths.size() == 1;
  const bool fixed = one_width && usual->first >= 2 && usual->first <= 8 && usual->second > 1;
  const bool padded = fixed && usual->first >= 3;
  if (!marked && !letters && !padded) return {};
  const std::string notation =
      (small ? "hex" : "HEX") + (fixed ? std::to_string(usual->first) : std::string());
  NumbersOfALine found;
  for (const Hex& each : all) {
    if (marked ? !each.marked : fixed && each.digits.end - each.digits.begin != usual->first) continue;
    const std::string text = each.digits.of(line);
    // Whether it is below zero, the blank's name decides.
    const auto read = console::Template::parse("{x:" + notation + "}").match(text);
    if (read) found.push_back({each.digits, read->at("x"), notation});
  }
  return found;
}

NumbersOfALine touched_by_others(const std::string& line) {
  NumbersOfALine found;
  for (std::size_t at = 0; at < line.size();) {
    if (!is_digit(line[at])) {
      ++at;
      continue;
    }
    Span number{at, at};
    const auto digits = [&] {
      while (number.end < line.size() && is_digit(line[number.end])) ++number.end;
    };
    digits();
    if (number.end + 1 < line.size() && line[number.end] == '.' && is_digit(line[number.end + 1])) {
      ++number.end;
      digits();
    }
    at = number.end;
    for (const std::string_view sign : {std::string_view("-"), std::string_view("+"), far_minus}) {
      if (std::string_view(line).substr(0, number.begin).ends_with(sign)) number.begin -= sign.size();
    }
    const std::string text = number.of(line);
    found.push_back({number, with_usual_minus(text), ""});
  }
  return found;
}

}  // namespace

void point_at(Pointed& example, const std::string& blank, const NumberAt& number) {
  example.at[blank] = number.at;
  if (!number.notation.empty()) example.notations[blank] = number.notation;
}

std::vector<std::vector<NumberAt>> number_ways(const std::string& line) {
  std::vector<NumbersOfALine> ways;
  const NumbersOfALine words = words_that_are_numbers(line), hex = in_base_16(line);
  // Letters among the digits say so; zeros in front do not.
  const bool surely_hex = std::any_of(hex.begin(), hex.end(),
                                      [&](const NumberAt& number) { return has_letter(number.at.of(line)); });
  if (surely_hex) ways.push_back(hex);
  ways.push_back(with_decimal_comma(line));
  ways.push_back(words);
  if (!surely_hex) ways.push_back(hex);
  ways.push_back(touched_by_others(line));
  std::erase_if(ways, [](const NumbersOfALine& numbers) { return numbers.empty(); });
  return ways;
}

}  // namespace armwise::teach
