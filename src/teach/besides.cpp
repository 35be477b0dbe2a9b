// What a console says beside its answers: the stamp before each of its lines, and lines that come unasked.
#include <algorithm>
#include <utility>

#include "armwise/base/text.hpp"
#include "armwise/teach/listening.hpp"
#include "sites.hpp"
#include "words.hpp"

namespace armwise::teach {
namespace {

using console::Template;

// A line as runs of digits, of letters and of blanks, and single signs.
struct Atom {
  char kind;  // '9', 'a', ' ', or the sign
  std::string text;
};
using Atoms = std::vector<Atom>;

char kind_of(char c) {
  return is_digit(c) ? '9' : is_letter(c) ? 'a' : is_white(c) ? ' ' : c;
}

Atoms atoms_of(std::string_view line) {
  constexpr std::size_t longest_stamp = 60;
  Atoms atoms;
  for (const char c : line.substr(0, longest_stamp)) {
    const char kind = kind_of(c);
    const bool is_run = kind == '9' || kind == 'a' || kind == ' ';
    if (atoms.empty() || atoms.back().kind != kind || !is_run) atoms.push_back({kind, {}});
    atoms.back().text += c;
  }
  // A first number that is set flush right has blanks before it or none.
  const auto number =
      std::find_if(atoms.begin(), atoms.end(), [](const Atom& atom) { return atom.kind == '9'; });
  const bool padded = number != atoms.end() && number - atoms.begin() > 1 && (number - 1)->kind == ' ' &&
                      (number - 2)->kind != 'a';
  if (padded) atoms.erase(number - 1);
  return atoms;
}

bool is_sign(const Atom& atom) {
  return atom.kind != '9' && atom.kind != 'a' && atom.kind != ' ';
}

std::size_t all_alike(const std::vector<Atoms>& lines) {
  std::size_t alike = lines.front().size();
  for (const Atoms& line : lines) {
    const auto end = std::mismatch(line.begin(), line.end(), lines.front().begin(), lines.front().end(),
                                   [](const Atom& a, const Atom& b) { return a.kind == b.kind; });
    alike = std::min(alike, static_cast<std::size_t>(end.first - line.begin()));
  }
  return alike;
}

// Behind a blank, or behind a sign where a letter follows; never in a bracket.
bool may_end_at(const Atoms& line, std::size_t end) {
  int open = 0, quotes = 0;
  for (std::size_t i = 0; i < end; ++i) {
    const char kind = line[i].kind;
    open += (kind == '(' || kind == '[' || kind == '{') - (kind == ')' || kind == ']' || kind == '}');
    quotes += kind == '"';
  }
  if (open != 0 || quotes % 2 != 0) return false;
  const bool goes_on =
      end < line.size() && (line[end].kind == '9' || line[end].kind == ' ' || is_sign(line[end]));
  return line[end - 1].kind == ' ' || (is_sign(line[end - 1]) && !goes_on);
}

// What stands behind a point is a fraction.
std::vector<double> numbers_before(const Atoms& line, std::size_t end) {
  constexpr std::size_t longest_number = 15;
  std::vector<double> numbers;
  for (std::size_t i = 0; i < end; ++i) {
    if (line[i].kind != '9') continue;
    const bool fraction = i > 1 && line[i - 1].kind == '.' && line[i - 2].kind == '9';
    numbers.push_back(std::stod((fraction ? "0." : "") + line[i].text.substr(0, longest_number)));
  }
  return numbers;
}

// "12.5", "0:01:07": no count looks so.
bool holds_a_time(const Atoms& line, std::size_t end) {
  for (std::size_t i = 1; i + 1 < end; ++i) {
    if ((line[i].kind == '.' || line[i].kind == ':') && line[i - 1].kind == '9' && line[i + 1].kind == '9')
      return true;
  }
  return false;
}

std::optional<Template> template_up_to(const Atoms& line, std::size_t end) {
  std::string source;
  for (std::size_t i = 0; i < end; ++i) {
    const char kind = line[i].kind;
    source += kind == '9'   ? "{skip:digits}"
              : kind == 'a' ? "{skip:letters}"
              : kind == ' ' ? " "
                            : as_literal(line[i].text);
  }
  return template_of(source);
}

}  // namespace

std::optional<Stamp> stamp_of(const std::vector<Lines>& replies) {
  constexpr std::size_t enough_lines = 6;
  std::vector<Atoms> lines;
  bool several = false;
  for (const Lines& reply : replies) {
    several = several || reply.size() > 1;
    for (const std::string& line : reply) lines.push_back(atoms_of(line));
  }
  if (lines.size() < 2) return std::nullopt;
  const Atoms& first = lines.front();
  const std::size_t alike = all_alike(lines);
  std::optional<Stamp> found;
  for (std::size_t end = 1; end <= alike; ++end) {
    if (!std::all_of(lines.begin(), lines.end(), [&](const Atoms& line) { return may_end_at(line, end); }))
      continue;
    std::vector<std::vector<double>> numbers;
    numbers.reserve(lines.size());
    for (const Atoms& line : lines) numbers.push_back(numbers_before(line, end));
    if (numbers.front().empty() || !std::is_sorted(numbers.begin(), numbers.end())) continue;
    const bool rises = numbers.front() < numbers.back(), timed = holds_a_time(first, end);
    if (!rises && !timed) continue;
    // What rises by one from reply to reply may count the refusals alone.
    const bool by_one = std::adjacent_find(numbers.begin(), numbers.end(), [](const auto& a, const auto& b) {
                          return b.back() - a.back() != 1;
                        }) == numbers.end();
    const auto like = template_up_to(first, end);
    if (like && (rises || !found))
      found = Stamp{*like, rises && (timed || several || !by_one) && lines.size() >= enough_lines};
    if (rises) break;
  }
  return found;
}

std::vector<Template> unasked_like(const Lines& lines, const std::vector<Lines>& answers) {
  constexpr std::size_t most = 50, longest = 200;  // as many as a profile may hold
  std::vector<Template> all;
  for (const std::string& line : lines) {
    if (line.size() > longest || all.size() == most) continue;
    std::string source;
    for (const Token& token : tokens_of(line)) {
      if (token.word && is_number(token.text)) {
        source += "{skip:decimal}";
        continue;
      }
      for (const Atom& atom : atoms_of(token.text))
        source += atom.kind == '9' ? "{skip:digits}" : as_literal(atom.text);
    }
    const auto like = template_of(source);
    if (!like || like->pieces().front().blank) continue;
    const std::string& begin = like->pieces().front().text;
    const bool has_word = std::adjacent_find(begin.begin(), begin.end(), [](char a, char b) {
                            return is_letter(a) && is_letter(b);
                          }) != begin.end();
    const bool answers_something =
        !answers.empty() && std::all_of(answers.begin(), answers.end(), [&](const Lines& answer) {
          return std::any_of(answer.begin(), answer.end(),
                             [&](const std::string& each) { return like->match(each).has_value(); });
        });
    if (has_word && !answers_something && std::find(all.begin(), all.end(), *like) == all.end())
      all.push_back(*like);
  }
  return all;
}

}  // namespace armwise::teach
