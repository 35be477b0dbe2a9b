#include "armwise/teach/pointing.hpp"

#include <algorithm>
#include <charconv>
#include <cstdlib>
#include <map>
#include <set>

#include "armwise/base/text.hpp"
#include "armwise/teach/guesses.hpp"
#include "sites.hpp"
#include "words.hpp"

namespace armwise::teach {
namespace {

using console::Query;
using console::Template;

constexpr std::size_t most_parts_of_a_word = 12, usual_motors = 8;

// The end of the atom that begins at `at`: a run of letters, a run of digits, a sign (outside ASCII: all its
// bytes).
std::size_t end_of_atom(std::string_view line, std::size_t at) {
  std::size_t end = at + 1;
  const auto run = [&](auto of) {
    while (end < line.size() && of(line[end])) ++end;
  };
  if (is_digit(line[at])) run(is_digit);
  if (is_letter(line[at])) run(is_letter);
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
  if (end_of_arrow(line, word.begin) == word.end) return {};
  const std::vector<Span> atoms = atoms_of(line, word);
  const auto is_sign = [&](const Span& atom) {
    return !is_digit(line[atom.begin]) && !is_letter(line[atom.begin]);
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

// A number, or a word that is known for a value, may be another one the next time.
bool may_vary(const std::string& word) {
  return std::any_of(word.begin(), word.end(), is_digit) || !opposite_word(word).empty();
}

// How the words are taken that nobody pointed at: as text, or as whatever stands there.
struct Taken {
  bool in_front_as_text = true, touching_as_text = true;
  Between others = Between::anything;
};

// An example as text and blanks, from left to right.
class LineMaker {
 public:
  LineMaker(const Pointed& example, Taken taken) : line_(example.line), example_(example), taken_(taken) {
    for (const auto& [blank, span] : example.at) at_[span.begin] = {blank, span.end};
  }

  // Empty where two blanks touch, and nothing tells where one ends.
  std::string line() {
    behind(blanks_from(0));
    return source();
  }

  // How much touches the first blank.
  std::size_t touching() const {
    const std::size_t first = at_.begin()->first;
    std::size_t begin = first;
    while (begin > 0 && !ends_item(line_[begin - 1])) --begin;
    return first - begin;
  }

  // The same for one of several that stand on one line: from the first blank, and so much before it, to the
  // last.
  std::string item(std::size_t before) {
    const std::size_t first = at_.begin()->first;
    std::size_t last = at_.rbegin()->second.second;
    // One sign: behind the last of them there need be no more.
    while (last < line_.size() && is_letter_or_digit(line_[last])) ++last;
    if (last < line_.size() && !ends_item(line_[last])) last = end_of_atom(line_, last);
    text(line_.substr(first - before, before));
    const std::size_t done = blanks_from(first);
    text(line_.substr(done, last - done));
    return source();
  }

 private:
  struct Bit {
    std::string text, blank, type;
  };

  static bool ends_item(char c) { return is_white(c) || c == ',' || c == ';' || c == '|'; }

  void text(std::string literal) {
    if (!literal.empty()) bits_.push_back({std::move(literal), {}, {}});
  }

  // And what stands between them. Where the last one ends.
  std::size_t blanks_from(std::size_t done) {
    for (const auto& [begin, blank] : at_) {
      between(done, begin);
      pointed_at(begin, blank);
      done = blank.second;
    }
    return done;
  }

  void pointed_at(std::size_t begin, const std::pair<std::string, std::size_t>& blank) {
    const std::string value = line_.substr(begin, blank.second - begin);
    const auto notation = example_.notations.find(blank.first);
    const bool counted = blank.first == "motor" && std::all_of(value.begin(), value.end(), is_digit);
    const std::string usual = counted ? "int" : "";
    bits_.push_back({value, blank.first, notation == example_.notations.end() ? usual : notation->second});
  }

  // What another row may have in the place of this: letters and digits in a row are one name.
  void anything_like(const std::string& word) {
    for (const Span& atom : atoms_of(word, {0, word.size()})) {
      const std::string part = atom.of(word);
      const bool goes_on =
          atom.begin > 0 && is_letter_or_digit(part.front()) && is_letter_or_digit(word[atom.begin - 1]);
      if (!goes_on) bits_.push_back({{}, "skip", {}});
      bits_.back().text += part;
      bits_.back().type = kind_of(bits_.back().text);
    }
  }

  // From one blank (or the beginning) to the next.
  void between(std::size_t from, std::size_t to) {
    const Tokens tokens = tokens_in(from, to);
    for (std::size_t i = 0; i < tokens.size(); ++i) {
      const bool touches = (i == 0 && from > 0) || i + 1 == tokens.size();
      const bool meant = from == 0 ? taken_.in_front_as_text : taken_.others != Between::anything;
      const bool as_text = meant && !may_vary(tokens[i].text);
      if (!tokens[i].word || (touches ? taken_.touching_as_text : as_text)) {
        text(tokens[i].text);
      } else if (touches) {
        anything_like(tokens[i].text);
      } else {
        bits_.push_back({tokens[i].text, "skip", {}});
      }
    }
  }

  // Behind the last blank: what touches it and the signs after; the rest may be anything.
  void behind(std::size_t from) {
    const Tokens tokens = tokens_in(from, line_.size());
    std::size_t i = 0;
    if (!tokens.empty() && tokens.front().word && !taken_.touching_as_text) anything_like(tokens[i++].text);
    while (i < tokens.size() && (i == 0 || !tokens[i].word)) text(tokens[i++].text);
    for (; taken_.others == Between::text && i < tokens.size(); ++i) {
      if (may_vary(tokens[i].text)) {
        bits_.push_back({tokens[i].text, "skip", {}});
      } else {
        text(tokens[i].text);
      }
    }
    if (i < tokens.size()) bits_.push_back({{}, "rest", {}});
  }

  // Blanks at either end are tokens here.
  Tokens tokens_in(std::size_t from, std::size_t to) const {
    const std::string gap = line_.substr(from, to - from);
    Tokens tokens = tokens_of(gap);
    if (!gap.empty() && is_white(gap.front()) && from > 0 && (tokens.empty() || tokens.front().text != " "))
      tokens.insert(tokens.begin(), {" ", false});
    if (gap.size() > 1 && is_white(gap.back()) && to < line_.size() && !tokens.empty() &&
        tokens.back().text != " ")
      tokens.push_back({" ", false});
    return tokens;
  }

  static std::string kind_of(const std::string& value) {
    if (std::all_of(value.begin(), value.end(), is_digit)) return "digits";
    if (std::all_of(value.begin(), value.end(), is_letter)) return "letters";
    if (std::all_of(value.begin(), value.end(), is_letter_or_digit)) return "name";
    return end_of_atom(value, 0) == value.size() ? "sign" : "";
  }

  std::string source() const {
    std::string source;
    for (std::size_t i = 0; i < bits_.size(); ++i) {
      const Bit& bit = bits_[i];
      if (bit.blank.empty()) {
        source += as_literal(bit.text);
        continue;
      }
      const bool blank_follows = i + 1 < bits_.size() && !bits_[i + 1].blank.empty();
      // Alone in its line, any word would do: it is known by its kind.
      const bool alone = bits_.size() == 1 && bit.type.empty() && taken_.others == Between::text;
      std::string type = blank_follows || alone ? kind_of(bit.text) : bit.type;
      if (alone && type == "digits") type = "int";  // it may be below zero
      if (blank_follows && type.empty()) return {};
      source += "{" + bit.blank + (type.empty() ? "}" : ":" + type + "}");
    }
    return source;
  }

  const std::string& line_;
  const Pointed& example_;
  Taken taken_;
  std::map<std::size_t, std::pair<std::string, std::size_t>> at_;
  std::vector<Bit> bits_;
};

// How many rows it reads; none where two are about the same motor and the same pin.
std::size_t rows_told_apart(const Query& query, const Lines& reply) {
  const std::vector<console::Values> rows = rows_read(query, reply, false);
  for (const char* key : {"motor", "pin"}) {
    std::vector<std::string> keys;
    for (const console::Values& row : rows) {
      if (row.contains(key)) keys.push_back(row.at(key));
    }
    if (keys.size() == rows.size() && all_different(keys)) return rows.size();
  }
  return 0;
}

std::size_t rows_told_apart(const Template& like, const Lines& reply) {
  return rows_told_apart(Query::reading({like}), reply);
}

// Text only where it must be: what differs from row to row is none.
std::optional<Template> line_like(const Pointed& example, const Lines& reply, Between between) {
  std::optional<Template> best;
  std::size_t most = 0;
  const auto take_where_it_reads_more = [&](const std::optional<Template>& like) {
    if (!like || like == best) return;
    const std::size_t rows = rows_told_apart(*like, reply);
    if (best && rows <= most) return;
    best = like;
    most = rows;
  };
  for (const Taken taken : {Taken{true, true, between}, Taken{true, false, between},
                            Taken{false, true, between}, Taken{false, false, between}}) {
    if (!taken.in_front_as_text && most >= fewest_motors) break;
    take_where_it_reads_more(template_of(LineMaker(example, taken).line()));
  }
  if (!best || !best->match(example.line)) return std::nullopt;
  // The last row of a reply may have its end behind it.
  take_where_it_reads_more(template_of(best->source() + " {rest}"));
  return best;
}

// Several on one line: what stands before the first of them is the line's own.
std::optional<Query> items_like(const Pointed& example, const Lines& reply, Between between) {
  Query query;
  std::vector<console::Values> items;
  // What stands before the first of them only may touch it, too.
  for (std::size_t before = LineMaker(example, {}).touching() + 1; before-- > 0;) {
    const auto item = template_of(LineMaker(example, {true, true, between}).item(before));
    auto found = item ? item->match_all(example.line) : std::vector<console::Values>();
    if (found.size() <= std::max<std::size_t>(items.size(), 1)) continue;
    query.item = item;
    items = std::move(found);
  }
  if (items.size() < 2) return std::nullopt;
  const std::string squeezed_line = squeezed(example.line);
  const std::size_t at = squeezed_line.find(query.item->format(items.front()));
  std::string before;
  const std::string as_it_stands = squeezed_line.substr(0, at == std::string::npos ? 0 : at);
  for (const Token& token : tokens_of(as_it_stands))
    before += token.word && may_vary(token.text) ? "{skip}" : as_literal(token.text);
  if (as_it_stands.ends_with(' ') && !before.ends_with(' ')) before += ' ';
  const auto line = template_of(before + "{items}");
  if (!line) return std::nullopt;
  query.lines.push_back(*line);
  // Some more on each of several lines: what stands before the first may be another one's own.
  Query anywhere = query;
  anywhere.lines = {Template::parse("{items}")};
  if (rows_told_apart(anywhere, reply) > rows_told_apart(query, reply)) query = anywhere;
  if (rows_told_apart(query, reply) < fewest_motors) return std::nullopt;
  return query;
}

// Others in the same signs end a section, too: "[servo.1]".
std::optional<Template> other_headings(const std::string& heading) {
  std::string source;
  bool signs = false;
  for (const Token& token : tokens_of(heading)) {
    source += token.word ? "{skip}" : as_literal(token.text);
    signs = signs || (!token.word && token.text != " ");
  }
  return signs ? template_of(source) : std::nullopt;
}

// A heading, and what is read below it: lines that are built alike by their order.
std::optional<Query> section_like(const Pointed& example, const Template& heading, const Template& value,
                                  const Lines& reply) {
  const Pointed& below = example.below.front();
  Query query;
  query.headings = {heading};
  const auto other = other_headings(example.line);
  if (other && !other->match(below.line)) query.headings.push_back(*other);
  bool found = false;
  const auto first = std::find(reply.begin(), reply.end(), example.line);
  for (auto line = first; line != reply.end(); ++line) {
    const auto reads = [&](const Template& like) { return like.match(*line).has_value(); };
    if (line != first && std::any_of(query.headings.begin(), query.headings.end(), reads)) break;
    if (line == first || !value.match(*line)) continue;
    const bool is_it = !found && *line == below.line;
    found = found || is_it;
    query.lines.push_back(is_it ? value : passed_over(value));
  }
  return found ? std::optional(query) : std::nullopt;
}

std::optional<Query> sections_like(const Pointed& example, const Lines& reply, Between between) {
  const auto heading = line_like({example.line, example.at, example.notations}, reply, between);
  std::optional<Query> best;
  std::size_t most = 0;
  for (const Between others : {Between::text, Between::anything}) {
    const auto value = template_of(LineMaker(example.below.front(), {true, true, others}).line());
    if (!heading || !value) continue;
    auto query = section_like(example, *heading, *value, reply);
    const std::size_t rows = query ? rows_read(*query, reply, false).size() : 0;
    if (rows > most) best = std::move(query);
    most = std::max(most, rows);
  }
  return best;
}

// In the order of the motors, from motor 1's, as far as the console counts.
std::vector<std::string> codes_from(const std::vector<std::string>& pointed,
                                    const std::set<std::string>& there) {
  std::vector<std::string> codes = pointed;
  for (std::size_t i = 1; i < pointed.size(); ++i) {
    if (!comes_next(pointed[i - 1], pointed[i])) return codes;
  }
  while (codes.size() < most_motors) {
    const std::vector<std::string> next = next_codes(codes.back());
    const auto listed =
        std::find_if(next.begin(), next.end(), [&](const std::string& each) { return there.contains(each); });
    if (next.empty() || (codes.size() >= usual_motors && listed == next.end())) break;
    codes.push_back(listed == next.end() ? next.front() : *listed);
  }
  // A gap: what comes behind it, a light or a servo, is no motor.
  std::size_t dense = 0;
  while (dense < codes.size() && there.contains(codes[dense])) ++dense;
  const auto other = std::find_if(codes.begin() + static_cast<std::ptrdiff_t>(dense), codes.end(),
                                  [&](const std::string& code) { return there.contains(code); });
  codes.erase(other, codes.end());
  return codes;
}

// What stands where a pin has no motor: in several rows, or a zero or a sign, or beside a pin that is built
// like those of motors. Any other word that stands there once is a head.
std::string no_motor_in(const std::vector<console::Values>& rows, const std::vector<std::string>& codes) {
  std::map<std::string, int> others;
  std::set<std::string> builds;
  const auto is_code = [&](const console::Values& row) {
    return std::find(codes.begin(), codes.end(), row.at("motor")) != codes.end();
  };
  for (const console::Values& row : rows) {
    if (is_code(row)) builds.insert(build_of(row.at("pin")));
  }
  for (const console::Values& row : rows) {
    const std::string& code = row.at("motor");
    const bool digit = std::any_of(code.begin(), code.end(), is_digit);
    const bool sign = std::none_of(code.begin(), code.end(), is_letter_or_digit);
    const bool like_a_motors = !digit && builds.contains(build_of(row.at("pin")));
    if (!is_code(row)) others[code] += code == "0" || sign || like_a_motors ? 2 : 1;
  }
  std::string found;
  for (const auto& [code, times] : others) {
    if (times > 1 && (found.empty() || times > others.at(found))) found = code;
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

std::vector<Span> words_of(std::string_view line, std::string_view signs) {
  const auto ends = [&](char c) { return is_white(c) || signs.find(c) != std::string_view::npos; };
  std::vector<Span> words;
  for (std::size_t at = 0; at < line.size();) {
    const std::size_t arrow = end_of_arrow(line, at).value_or(at);
    if (arrow == at && ends(line[at])) {
      ++at;
      continue;
    }
    Span word{at, arrow};
    while (arrow == at && word.end < line.size() && !ends(line[word.end])) ++word.end;
    at = word.end;
    while (word.end > word.begin + 1 && (line[word.end - 1] == '.' || line[word.end - 1] == ',')) --word.end;
    words.push_back(word);
  }
  return words;
}

bool is_pointed_at(const Pointed& line, Span at) {
  return std::any_of(line.at.begin(), line.at.end(), [&](const auto& other) {
    return at.begin < other.second.end && other.second.begin < at.end;
  });
}

void point_in(std::vector<Pointed>& lines, const std::string& line, const std::string& blank, Span at) {
  auto found =
      std::find_if(lines.begin(), lines.end(), [&](const Pointed& each) { return each.line == line; });
  if (found == lines.end()) found = lines.insert(found, Pointed{line, {}});
  found->at[blank] = at;
}

std::optional<Template> line_of_its_own(const Pointed& example) {
  return template_of(LineMaker(example, {true, true, Between::text}).line());
}

std::optional<Query> query_like(const std::vector<Pointed>& examples, const Lines& reply, Between between) {
  std::optional<Query> best;
  std::size_t most = 0;
  for (const Pointed& example : examples) {
    auto query = example.below.empty() ? std::nullopt : sections_like(example, reply, between);
    const std::size_t rows = query ? rows_read(*query, reply, false).size() : 0;
    if (rows > most) best = std::move(query);
    most = std::max(most, rows);
  }
  if (best) return best;
  Query query;
  for (const Pointed& example : examples) {
    if (!example.below.empty()) return std::nullopt;
    const auto like = line_like(example, reply, between);
    if (like && std::find(query.lines.begin(), query.lines.end(), *like) == query.lines.end())
      query.lines.push_back(*like);
  }
  for (const Pointed& example : examples) {
    if (example.at.size() < 2) break;
    auto items = items_like(example, reply, between);
    if (items && rows_told_apart(*items, reply) > std::max(examples.size(), rows_told_apart(query, reply)))
      return items;
  }
  if (query.lines.empty()) return std::nullopt;
  return query;
}

std::vector<std::string> next_codes(std::string_view code) {
  constexpr int most = 100000;
  std::size_t first = code.size();
  while (first > 0 && is_digit(code[first - 1])) --first;
  const std::string before(code.substr(0, first));
  const std::string_view digits = code.substr(first);
  if (!digits.empty()) {
    int number = 0;
    const auto [end, error] = std::from_chars(digits.data(), digits.data() + digits.size(), number);
    if (error != std::errc{} || number >= most) return {};
    std::string next = std::to_string(number + 1);
    // Noughts in front fill up the same width.
    if (digits.size() > 1 && digits.front() == '0' && next.size() < digits.size())
      next.insert(0, digits.size() - next.size(), '0');
    std::vector<std::string> codes{before + next};
    if (digits.back() == '9')
      codes.push_back(before + std::string(digits.substr(0, digits.size() - 1)) + "A");
    return codes;
  }
  if (code.empty() || !is_letter(code.back()) || code.back() == 'z' || code.back() == 'Z') return {};
  return {std::string(code.substr(0, code.size() - 1)) + static_cast<char>(code.back() + 1)};
}

bool comes_next(std::string_view code, std::string_view next) {
  const std::vector<std::string> codes = next_codes(code);
  return std::any_of(codes.begin(), codes.end(),
                     [&](const std::string& each) { return lower_case(each) == lower_case(next); });
}

namespace {

std::vector<std::string> column_of(const std::vector<console::Values>& rows, const char* blank) {
  std::vector<std::string> values;
  for (const console::Values& row : rows) {
    if (row.contains(blank)) values.push_back(row.at(blank));
  }
  return values;
}

// Where a word stands in the place of a number, a pin has no motor: its pin is built like the others'.
std::optional<Query> with_words_for_motors(std::vector<Pointed> examples, const Lines& reply,
                                           const std::vector<console::Values>& rows, Between between) {
  for (Pointed& example : examples) example.notations.emplace("motor", "");
  auto query = query_like(examples, reply, between);
  if (!query) return std::nullopt;
  std::set<std::string> builds;
  for (const std::string& pin : column_of(rows, "pin")) builds.insert(build_of(pin));
  const std::vector<console::Values> more = rows_read(*query, reply, false);
  const bool alike = std::all_of(more.begin(), more.end(), [&](const console::Values& row) {
    return row.contains("pin") && builds.contains(build_of(row.at("pin")));
  });
  if (!alike || more.size() <= rows.size()) return std::nullopt;
  return query;
}

// A head, a foot or a rule may read like one more row of a motor: it has other words or signs than the rows
// have. False where it is not told from them by its words. That a motor stands on two pins is not for us to
// hide.
bool leave_out_others(Query& query, const Lines& reply, const std::vector<std::string>& codes) {
  std::map<std::string, Lines> lines_of;
  std::map<std::string, int> shapes;
  const auto shape = [](const std::string& line) { return shape_of(tokens_of(line)); };
  for (const std::string& line : reply) {
    for (const console::Values& row : rows_read(query, {line}, false)) {
      if (std::find(codes.begin(), codes.end(), row.at("motor")) == codes.end()) continue;
      lines_of[row.at("motor")].push_back(line);
      ++shapes[shape(line)];
    }
  }
  std::set<std::string> others, rows;
  for (const auto& [motor, lines] : lines_of) {
    int most = 0;
    for (const std::string& line : lines) most = std::max(most, shapes[shape(line)]);
    for (const std::string& line : lines) (shapes[shape(line)] < most ? others : rows).insert(line);
  }
  for (const std::string& line : others) {
    const auto like = line_without_values(line);
    if (!like || std::any_of(rows.begin(), rows.end(), [&](const auto& row) { return like->match(row); }))
      return false;
    query.lines.insert(query.lines.begin(), *like);
  }
  return true;
}

}  // namespace

std::string Pointed::text(const std::string& blank) const {
  const auto found = at.find(blank);
  if (found != at.end()) return found->second.of(line);
  return below.empty() ? std::string() : below.front().text(blank);
}

Template passed_over(const Template& like) {
  std::string source = like.source();
  for (const console::Piece& piece : like.pieces()) {
    if (!piece.blank || piece.type == console::BlankType::rest) continue;
    const std::string name = "{" + piece.text;
    const std::size_t at = source.find(name);
    const bool is_typed = source.compare(at + name.size(), 1, ":") == 0;
    const bool decimal = !is_typed && piece.type == console::BlankType::decimal;
    source.replace(at, name.size(), decimal ? "{skip:decimal" : "{skip");
  }
  return Template::parse(source);
}

std::optional<Template> line_without_values(const std::string& line) {
  std::string source;
  bool any_text = false;
  for (const Token& token : tokens_of(line)) {
    const bool varies = token.word && may_vary(token.text);
    any_text = any_text || (!varies && token.text != " ");
    source += varies ? "{skip}" : as_literal(token.text);
  }
  return any_text ? template_of(source) : std::nullopt;
}

std::optional<MapReading> map_like(const std::vector<Pointed>& examples, const Lines& reply,
                                   Between between) {
  MapReading reading;
  const auto query = query_like(examples, reply, between);
  if (!query) return std::nullopt;
  reading.list = *query;
  reading.rows = rows_read(reading.list, reply, false);
  if (auto words = with_words_for_motors(examples, reply, reading.rows, between)) {
    reading.list = *words;
    reading.rows = rows_read(reading.list, reply, false);
  }
  std::vector<std::string> pointed;
  pointed.reserve(examples.size());
  for (const Pointed& example : examples) pointed.push_back(example.text("motor"));
  std::set<std::string> there;
  for (const console::Values& row : reading.rows) {
    if (!row.contains("motor") || !row.contains("pin")) return std::nullopt;
    there.insert(row.at("motor"));
  }
  reading.motor_codes = codes_from(pointed, there);
  if (there.size() < reading.rows.size() && reading.list.headings.empty()) {
    if (!leave_out_others(reading.list, reply, reading.motor_codes)) return std::nullopt;
    reading.rows = rows_read(reading.list, reply, false);
  }
  reading.no_motor = no_motor_in(reading.rows, reading.motor_codes);
  reading.no_pin = reading.no_motor.empty() ? empty_word(column_of(reading.rows, "pin")).value_or("") : "";
  const std::map<std::string, Span>& at = examples.front().at;
  const bool pin_first =
      at.contains("pin") && (!at.contains("motor") || at.at("pin").begin < at.at("motor").begin);
  reading.kept_is_sure = !reading.no_motor.empty() || !reading.no_pin.empty();
  const bool by_pin = reading.kept_is_sure ? !reading.no_motor.empty() : pin_first;
  reading.kept = by_pin ? solve::MapKept::per_pin : solve::MapKept::per_motor;
  // Counted by numbers, there may be more of them than now.
  const std::vector<std::string>& codes = reading.motor_codes;
  const auto counts = [&](const std::string& motor) {
    return !is_whole_number(motor) || motor == reading.no_motor ||
           std::find(codes.begin(), codes.end(), motor) != codes.end();
  };
  const auto first = codes.empty() ? 0 : std::strtol(codes.front().c_str(), nullptr, 10);
  // With noughts in front, each is as it is written.
  if (!codes.empty() && std::to_string(first) == codes.front() &&
      std::all_of(there.begin(), there.end(), counts)) {
    reading.first_motor = static_cast<int>(first);
    reading.motor_codes.clear();
  }
  for (const std::string& line : reply) {
    const auto reads = [&](const Template& like) { return like.match(line).has_value(); };
    const Query& list = reading.list;
    if (std::none_of(list.lines.begin(), list.lines.end(), reads) &&
        std::none_of(list.headings.begin(), list.headings.end(), reads))
      reading.others.push_back(line);
  }
  return reading;
}

}  // namespace armwise::teach
