#include "armwise/teach/pointing.hpp"

#include <algorithm>
#include <charconv>
#include <map>
#include <set>

#include "armwise/base/fault.hpp"
#include "armwise/base/text.hpp"
#include "motor_column.hpp"
#include "sites.hpp"
#include "words.hpp"

namespace armwise::teach {
namespace {

using console::Template;

constexpr std::size_t most_parts_of_a_word = 12, usual_motors = 8;

bool is_ascii_letter(char c) {
  return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z');
}

// The end of the atom that begins at `at`: a run of letters, a run of digits, a sign (outside ASCII: all its
// bytes).
std::size_t end_of_atom(std::string_view line, std::size_t at) {
  std::size_t end = at + 1;
  const auto run = [&](auto of) {
    while (end < line.size() && of(line[end])) ++end;
  };
  if (is_digit(line[at])) run(is_digit);
  if (is_ascii_letter(line[at])) run(is_ascii_letter);
  run([](char c) { return (static_cast<unsigned char>(c) & 0xC0U) == 0x80U; });
  return end;
}

std::vector<Span> atoms_of(std::string_view line, Span word) {
  std::vector<Span> atoms;
  for (std::size_t at = word.begin; at < word.end; at = atoms.back().end)
    atoms.push_back({at, end_of_atom(line, at)});
  return atoms;
}

// Runs of atoms that begin and end with a letter or digit, the shortest first; then the signs by themselves.
std::vector<Span> parts_of_word(std::string_view line, Span word) {
  const std::vector<Span> atoms = atoms_of(line, word);
  const auto is_sign = [&](const Span& atom) {
    return !is_digit(line[atom.begin]) && !is_ascii_letter(line[atom.begin]);
  };
  std::vector<Span> parts;
  for (std::size_t length = 1; length <= atoms.size(); ++length) {
    for (std::size_t first = 0; first + length <= atoms.size(); ++first) {
      const Span part{atoms[first].begin, atoms[first + length - 1].end};
      const bool cut_at_signs = is_sign(atoms[first]) || is_sign(atoms[first + length - 1]);
      if (part != word && !cut_at_signs) parts.push_back(part);
    }
  }
  for (const Span& atom : atoms) {
    if (atom != word && is_sign(atom)) parts.push_back(atom);
  }
  if (parts.size() > most_parts_of_a_word) parts.resize(most_parts_of_a_word);
  return parts;
}

// How the words are taken that nobody pointed at, and that touch nothing that was.
struct Taken {
  bool in_front_as_text = true;
};

class LineMaker {
 public:
  LineMaker(const Pointed& example, Taken taken) : line_(example.line), taken_(taken) {
    for (const auto& [blank, span] : example.at) at_[span.begin] = {blank, span.end};
  }

  std::string source() {
    std::size_t done = 0;
    for (const auto& [begin, blank] : at_) {
      between(done, begin, blank.first);
      done = blank.second;
    }
    behind(done);
    return source_;
  }

 private:
  // From one blank (or the beginning) to the next.
  void between(std::size_t from, std::size_t to, const std::string& blank) {
    const Tokens tokens = tokens_in(from, to);
    for (std::size_t i = 0; i < tokens.size(); ++i) {
      const bool touches = (i == 0 && from > 0) || i + 1 == tokens.size();
      const bool as_text =
          !tokens[i].word || touches || (from == 0 && taken_.in_front_as_text && !is_number(tokens[i].text));
      source_ += as_text ? as_literal(tokens[i].text) : std::string("{skip}");
    }
    const std::string value = line_.substr(to, at_.at(to).second - to);
    const bool whole =
        blank == "motor" && !value.empty() && std::all_of(value.begin(), value.end(), is_digit);
    source_ += "{" + blank + (whole ? ":int}" : "}");
  }

  // Behind the last blank: what touches it and the signs after; the rest may be anything.
  void behind(std::size_t from) {
    const Tokens tokens = tokens_in(from, line_.size());
    std::size_t i = 0;
    while (i < tokens.size() && (i == 0 || !tokens[i].word)) source_ += as_literal(tokens[i++].text);
    if (i < tokens.size()) source_ += "{rest}";
  }

  // Blanks at either end are tokens here.
  Tokens tokens_in(std::size_t from, std::size_t to) const {
    const std::string gap = line_.substr(from, to - from);
    Tokens tokens = tokens_of(gap);
    if (!gap.empty() && is_white(gap.front()) && from > 0 && (tokens.empty() || tokens.front().text != " "))
      tokens.insert(tokens.begin(), {" ", false});
    if (gap.size() > 1 && is_white(gap.back()) && to < line_.size() && tokens.back().text != " ")
      tokens.push_back({" ", false});
    return tokens;
  }

  const std::string& line_;
  Taken taken_;
  std::map<std::size_t, std::pair<std::string, std::size_t>> at_;
  std::string source_;
};

std::optional<Template> made(const Pointed& example, Taken taken) {
  try {
    return Template::parse(LineMaker(example, taken).source());
  } catch (const Fault&) {
    return std::nullopt;
  }
}

std::size_t lines_read(const Template& like, const Lines& reply) {
  return static_cast<std::size_t>(std::count_if(
      reply.begin(), reply.end(), [&](const std::string& line) { return like.match(line).has_value(); }));
}

// In the order of the motors, from motor 1's, as far as the console counts.
std::vector<std::string> codes_from(const std::vector<std::string>& pointed,
                                    const std::set<std::string>& there) {
  std::vector<std::string> codes = pointed;
  for (std::size_t i = 1; i < pointed.size(); ++i) {
    if (next_code(pointed[i - 1]) != pointed[i]) return codes;
  }
  while (codes.size() < most_motors) {
    const auto next = next_code(codes.back());
    if (!next || (codes.size() >= usual_motors && !there.contains(*next))) break;
    codes.push_back(*next);
  }
  // A gap: what comes behind it, a light or a servo, is no motor.
  std::size_t dense = 0;
  while (dense < codes.size() && there.contains(codes[dense])) ++dense;
  const auto other = std::find_if(codes.begin() + static_cast<std::ptrdiff_t>(dense), codes.end(),
                                  [&](const std::string& code) { return there.contains(code); });
  codes.erase(other, codes.end());
  return codes;
}

// What stands where a pin has no motor: in several rows, a zero or a sign. A word that stands there once is a
// head.
std::string no_motor_in(const std::vector<console::Values>& rows, const std::vector<std::string>& codes) {
  std::map<std::string, int> others;
  for (const console::Values& row : rows) {
    const std::string& code = row.at("motor");
    if (std::find(codes.begin(), codes.end(), code) == codes.end()) ++others[code];
  }
  std::string found;
  for (const auto& [code, times] : others) {
    const bool sign =
        std::none_of(code.begin(), code.end(), [](char c) { return is_digit(c) || is_ascii_letter(c); });
    const bool none = code == "0" || times > 1 || sign;
    if (none && (found.empty() || times > others.at(found))) found = code;
  }
  return found;
}

}  // namespace

std::vector<Part> parts_of(std::string_view line, std::size_t most) {
  std::vector<Part> parts;
  int number = 0;
  for (std::size_t at = 0; at < line.size();) {
    if (is_white(line[at])) {
      ++at;
      continue;
    }
    Span word{at, at};
    while (word.end < line.size() && !is_white(line[word.end])) ++word.end;
    const std::string key = std::to_string(++number);
    parts.push_back({key, word});
    char letter = 'a';
    for (const Span& part : parts_of_word(line, word)) parts.push_back({key + letter++, part});
    at = word.end;
  }
  if (parts.size() > most) parts.resize(most);
  return parts;
}

std::vector<Span> numbers_touched(const std::string& line) {
  std::vector<Span> found;
  std::vector<Part> parts = parts_of(line);
  std::stable_sort(parts.begin(), parts.end(), [](const Part& a, const Part& b) {
    return a.span.begin != b.span.begin ? a.span.begin < b.span.begin : a.span.end > b.span.end;
  });
  for (const Part& part : parts) {
    if (!is_digit(line[part.span.begin]) || part.key.find_first_not_of("0123456789") == std::string::npos)
      continue;
    Span number = part.span;
    const std::string_view text = std::string_view(line).substr(number.begin, number.end - number.begin);
    if (!is_number(text) || (!found.empty() && number.begin < found.back().end)) continue;
    for (const std::string_view sign : {"-", "+", "\xE2\x88\x92"}) {
      if (std::string_view(line).substr(0, number.begin).ends_with(sign)) number.begin -= sign.size();
    }
    found.push_back(number);
  }
  return found;
}

std::vector<Template> lines_like(const std::vector<Pointed>& examples, const Lines& reply) {
  std::vector<Template> lines;
  for (const Pointed& example : examples) {
    auto like = made(example, {});
    const auto loose = made(example, {false});
    if (!like || !loose) return {};
    if (lines_read(*like, reply) < fewest_motors && lines_read(*loose, reply) > lines_read(*like, reply))
      like = loose;
    if (std::find(lines.begin(), lines.end(), *like) == lines.end()) lines.push_back(*like);
  }
  return lines;
}

std::optional<std::string> next_code(std::string_view code) {
  std::size_t digits = code.size();
  while (digits > 0 && is_digit(code[digits - 1])) --digits;
  const std::string before(code.substr(0, digits));
  if (digits < code.size()) {
    int number = 0;
    const auto [end, error] = std::from_chars(code.data() + digits, code.data() + code.size(), number);
    const bool padded = code.size() - digits > 1 && code[digits] == '0';
    if (error != std::errc{} || padded || number >= 100000) return std::nullopt;
    return before + std::to_string(number + 1);
  }
  if (code.empty() || !is_ascii_letter(code.back()) || code.back() == 'z' || code.back() == 'Z')
    return std::nullopt;
  return std::string(code.substr(0, code.size() - 1)) + static_cast<char>(code.back() + 1);
}

std::optional<MapReading> map_like(const std::vector<Pointed>& examples, const Lines& reply) {
  MapReading reading;
  reading.list.lines = lines_like(examples, reply);
  if (reading.list.lines.empty()) return std::nullopt;
  reading.rows = rows_read(reading.list, reply, false);
  std::vector<std::string> pointed, pins;
  for (const Pointed& example : examples) {
    const Span at = example.at.at("motor");
    pointed.push_back(example.line.substr(at.begin, at.end - at.begin));
  }
  std::set<std::string> there;
  for (const console::Values& row : reading.rows) {
    if (!row.contains("motor") || !row.contains("pin")) return std::nullopt;
    there.insert(row.at("motor"));
    pins.push_back(row.at("pin"));
  }
  reading.motor_codes = codes_from(pointed, there);
  reading.no_motor = no_motor_in(reading.rows, reading.motor_codes);
  reading.no_pin = reading.no_motor.empty() ? empty_word(pins).value_or("") : "";
  const bool pin_first = examples.front().at.at("pin").begin < examples.front().at.at("motor").begin;
  reading.kept_is_sure = !reading.no_motor.empty() || !reading.no_pin.empty();
  const bool by_pin = reading.kept_is_sure ? !reading.no_motor.empty() : pin_first;
  reading.kept = by_pin ? solve::MapKept::per_pin : solve::MapKept::per_motor;
  for (const std::string& line : reply) {
    const bool read = std::any_of(reading.list.lines.begin(), reading.list.lines.end(),
                                  [&](const Template& like) { return like.match(line).has_value(); });
    if (!read) reading.others.push_back(line);
  }
  return reading;
}

}  // namespace armwise::teach
