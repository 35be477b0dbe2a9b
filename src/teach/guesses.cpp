#include "armwise/teach/guesses.hpp"

#include <algorithm>
#include <set>

#include "armwise/base/fault.hpp"
#include "armwise/base/text.hpp"
#include "armwise/teach/pointing.hpp"
#include "words.hpp"

namespace armwise::teach {
namespace {

using console::Values;

bool is_name_part(char c) {
  return is_letter_or_digit(c) || c == '_' || c == '-';
}
bool all_letters(std::string_view word) {
  return !word.empty() && std::all_of(word.begin(), word.end(), is_letter);
}

std::size_t found_as_word(std::string_view text, std::string_view word) {
  for (std::size_t at = text.find(word); at != std::string_view::npos; at = text.find(word, at + 1)) {
    const bool begins = at == 0 || !is_name_part(text[at - 1]);
    const std::size_t end = at + word.size();
    if (begins && (end == text.size() || !is_name_part(text[end]))) return at;
  }
  return std::string_view::npos;
}

std::string text_of(const Values& values, const std::string& blank) {
  const auto found = values.find(blank);
  return found == values.end() ? std::string() : found->second;
}

// The map's command in its parts: head, key, between, value, end.
struct Parts {
  std::string head, between, end;
};
std::optional<Parts> parts_in_speech(const MapSpeech& map) {
  const std::string source = map.put.source();
  const std::string key = map.per_pin ? "{pin}" : "{motor}", value = map.per_pin ? "{motor}" : "{pin}";
  const std::size_t at = source.find(key), then = source.find(value);
  if (at == std::string::npos || then == std::string::npos || then < at) return std::nullopt;
  return Parts{source.substr(0, at), source.substr(at + key.size(), then - at - key.size()),
               source.substr(then + value.size())};
}

std::size_t common_start(std::string_view a, std::string_view b) {
  std::size_t length = 0;
  while (length < std::min(a.size(), b.size()) && a[length] == b[length]) ++length;
  return length;
}

// The line's words up to one that holds the first value, and the one that holds the last.
std::string words_that_show(const std::string& line, const std::string& first, const std::string& last) {
  std::vector<std::string> words;
  std::size_t from = std::string::npos, to = std::string::npos;
  for (const Token& token : tokens_of(line)) {
    const bool goes_on = !words.empty() && token.text != " " && words.back() != " ";
    if (goes_on) words.back() += token.text;
    if (!goes_on) words.push_back(token.text);
  }
  for (std::size_t i = 0; i < words.size(); ++i) {
    if (from == std::string::npos && words[i].find(first) != std::string::npos) from = i;
    if (words[i].find(last) != std::string::npos) to = i;
  }
  if (from == std::string::npos || to == std::string::npos) return {};
  if (from > to) std::swap(from, to);
  std::string text;
  for (std::size_t i = 0; i <= from; ++i) text += words[i];
  return from == to ? text : text + " " + words[to];
}

// "set motor=3 pad=P4" is a verb and what "motor=3 pad=P4 limit=9" shows: so are its like, where a name
// stands in the line.
std::string verb_and_line(const MapSpeech& map, const Shown& shown) {
  const std::string order = map.row.empty() ? std::string() : map.put.format(map.now);
  const std::string motor = text_of(map.now, "motor"), pin = text_of(map.now, "pin");
  const std::string example = words_that_show(map.row, motor, pin);
  const bool named = example != motor + " " + pin && example != pin + " " + motor;
  const std::size_t at = example.empty() || !named ? std::string::npos : order.find(example);
  if (at == std::string::npos) return {};
  const std::string value = text_of(shown.now, shown.value);
  const std::string key = shown.key.empty() ? value : text_of(shown.now, shown.key);
  const std::string line = shown.value.empty() ? shown.line : words_that_show(shown.line, key, value);
  const bool is_named = shown.value.empty()
                            ? !shown.like.pieces().front().blank
                            : line.size() > value.size() + (shown.key.empty() ? 0 : key.size() + 1);
  return is_named ? order.substr(0, at) + line + order.substr(at + example.size()) : std::string();
}

// What a value is called in its line, or above it: "pad" in "pad=\"P4\"", in "pad P4", or in the head of its
// column. Empty where nothing calls it.
std::string label_of(const std::string& line, const std::string& head, const std::string& value) {
  const auto cells = [](const std::string& text) {
    const bool ruled = text.find('|') != std::string::npos;
    std::vector<std::string> all;
    std::string_view rest = trimmed(text);
    if (!ruled) {
      for (const Span& word : words_of(text, "")) all.push_back(word.of(text));
    } else {
      for (std::size_t bar = 0; bar != std::string_view::npos;
           rest = rest.substr(std::min(bar + 1, rest.size()))) {
        bar = rest.find('|');
        all.emplace_back(trimmed(rest.substr(0, bar)));
      }
    }
    return all;
  };
  const auto here = cells(line), above = cells(head);
  const auto cell = std::find(here.begin(), here.end(), value);
  const bool is_head = head.find_first_of(":=") == std::string::npos && here.size() == above.size();
  if (is_head && cell != here.end()) return above[static_cast<std::size_t>(cell - here.begin())];
  for (std::size_t at = value.empty() ? std::string::npos : line.find(value); at != std::string::npos;
       at = line.find(value, at + 1)) {
    std::size_t end = at;
    while (end > 0 && std::string_view(" =:\"'").find(line[end - 1]) != std::string_view::npos) --end;
    std::size_t begin = end;
    while (begin > 0 && is_name_part(line[begin - 1])) --begin;
    std::string label = line.substr(begin, end - begin);
    if (has_letter(label) && (end < at || !is_name_part(line[at]))) return label;
  }
  return {};
}

// The map's command calls its pin as its row does ("out n=2 pad=P4" of "<out n="2" pad="P4" rev="no"/>"): so
// it calls what this row shows beside ("out n=2 rev=no"). Of a row without a key, what names the motor goes.
std::string by_labels(const MapSpeech& map, const Parts& parts, const Shown& shown) {
  const std::string pin = label_of(map.row, map.head, text_of(map.now, map.per_pin ? "motor" : "pin"));
  const std::string motor = label_of(map.row, map.head, text_of(map.now, map.per_pin ? "pin" : "motor"));
  const std::string text = parts.head + "\n" + parts.between;
  const std::size_t at = pin.empty() ? std::string::npos : found_as_word(lower_case(text), lower_case(pin));
  if (at == std::string::npos) return {};
  const bool small = text.compare(at, pin.size(), pin) != 0;
  const auto label_in = [&](const std::string& value) {
    const std::string label = label_of(shown.line, shown.head, value);
    return small ? lower_case(label) : label;
  };
  const std::string glue = text.substr(at + pin.size());
  const bool in_between = at > parts.head.size();
  const std::string value = text_of(shown.now, shown.value);
  if (!shown.key.empty()) {
    const std::string label = label_in(value);
    std::string body = text.substr(0, at) + label + (label.empty() ? std::string() : glue);
    const std::size_t mark = body.find('\n');
    const std::string key = text_of(shown.now, shown.key);
    if (!in_between)
      return label.empty() ? std::string()
                           : text.substr(0, at) + label +
                                 text.substr(at + pin.size(), parts.head.size() - at - pin.size()) + key +
                                 parts.between + value + parts.end;
    return body.substr(0, mark) + key + body.substr(mark + 1) + value + parts.end;
  }
  const std::size_t named =
      motor.empty() ? std::string::npos : found_as_word(lower_case(parts.head), lower_case(motor));
  if (!in_between || named == std::string::npos) return {};
  std::string start = parts.head.substr(0, named);
  // The row's own name goes before: "out" of "<out n=…", "props" of "<props sweep=…".
  const auto name_of = [](const std::string& line) {
    const auto words = words_of(line);
    return words.empty() ? std::string() : words.front().of(line);
  };
  const std::string own = name_of(map.row), other = name_of(shown.line);
  const std::size_t name = own == motor ? std::string::npos : found_as_word(start, own);
  if (name != std::string::npos) start.replace(name, own.size(), other);
  std::string all;
  const auto add = [&](const std::string& each, bool labelled) {
    all += (all.empty() ? "" : " ") + (labelled ? label_in(each) + glue : std::string()) + each;
  };
  if (!shown.value.empty()) {
    if (label_in(value).empty()) return {};
    add(value, true);
    return start + all + parts.end;
  }
  const bool labelled = glue.find('=') != std::string::npos;
  if (!labelled) all = other;
  for (const console::Piece& piece : shown.like.pieces()) {
    if (piece.blank)
      all += (all.empty() ? "" : " ") + (labelled ? piece.text + glue : std::string()) +
             text_of(shown.now, piece.text);
  }
  return start + all + parts.end;
}

// The numbers as they stand there, without the words before, between and behind them.
std::string numbers_shown(const Shown& shown) {
  const std::vector<console::Piece>& pieces = shown.like.pieces();
  const auto is_words = [](const console::Piece& piece) {
    return !piece.blank && std::any_of(piece.text.begin(), piece.text.end(), is_letter);
  };
  const std::size_t front = pieces.front().blank ? 0 : pieces.front().text.size();
  const std::size_t back = pieces.back().blank ? 0 : pieces.back().text.size();
  if (pieces.size() < 3 || std::none_of(pieces.begin() + 1, pieces.end() - 1, is_words))
    return shown.line.substr(front, shown.line.size() - front - back);
  std::string all;
  for (const console::Piece& piece : pieces) {
    if (piece.blank) all += (all.empty() ? "" : " ") + text_of(shown.now, piece.text);
  }
  return all;
}

// "dir(4)" and "pin(4, "P1")": "dir(4, -1)".
std::string with_argument(const Parts& parts, const Shown& shown, const std::string& value, bool call) {
  const bool quoted = shown.line.find_first_of("\"'") != std::string::npos;
  std::string start = shown.read, between = parts.between, end = parts.end;
  if (call) start.pop_back();
  const bool is_first = call && start.ends_with('(');
  while (!between.empty() && (between[0] == ']' || (is_first && (between[0] == ',' || between[0] == ' '))))
    between.erase(0, 1);
  for (std::string* text : {&between, &end}) {
    if (!quoted) std::erase_if(*text, [](char c) { return c == '"' || c == '\''; });
  }
  return start + between + value + end;
}

// What the map's question is to the start of the map's command, this question is to the start of another:
// "show map", "set map": "show turns", "set turns"; "wires", "wire": "flips", "flip"; "WL", "WM,": "TL",
// "TM,".
std::string start_like(const std::string& list, const std::string& head, const std::string& read) {
  std::size_t front = common_start(list, read), back = 0;
  while (back < std::min(list.size(), read.size()) - front &&
         list[list.size() - 1 - back] == read[read.size() - 1 - back])
    ++back;
  const std::string own = list.substr(front, list.size() - front - back);
  const std::string other = read.substr(front, read.size() - front - back);
  const std::size_t at = own.empty() ? std::string::npos : head.find(own);
  const bool begins = at != std::string::npos && (at == 0 || !is_name_part(head[at - 1]));
  return begins ? head.substr(0, at) + other + head.substr(at + own.size()) : std::string();
}

// As the map's listing is to the map's command, so is this listing to the command that is sought.
std::string by_analogy(const MapSpeech& map, const Shown& shown) {
  const auto parts = parts_in_speech(map);
  if (!parts || shown.read.empty()) return {};
  const std::string value = shown.value.empty() ? numbers_shown(shown) : text_of(shown.now, shown.value);
  const bool call = shown.read.ends_with(')') && parts->end.find(')') != std::string::npos;
  if (shown.asked_each || call || parts->between.find(']') == 0)
    return with_argument(*parts, shown, value, call);
  std::string start = start_like(map.list, parts->head, shown.read);
  if (!shown.key.empty())
    return start.empty() ? start
                         : start + text_of(shown.now, shown.key) + parts->between + value + parts->end;
  const bool alike = shown.read != map.list && common_start(map.list, parts->head) > 0;
  if (start.empty()) return !alike ? std::string() : shown.read + parts->between + value + parts->end;
  // Without a key, its place goes too; what begins the arguments stays.
  if (start.ends_with(' ')) return start + value + parts->end;
  while (!start.empty() && is_name_part(start.back())) start.pop_back();  // the "M" of "/out/M{motor}"
  if (start.empty()) return {};
  while (!start.empty() && !is_name_part(start.back())) start.pop_back();
  return start + parts->between + value + parts->end;
}

// True where this console's orders begin with a verb, as far as is known: "wire motor {motor} to {pin}", and
// not "please wire motor {motor} to {pin}".
bool begins_with_a_verb(const std::optional<MapSpeech>& map) {
  if (!map) return true;
  const auto parts = parts_in_speech(*map);
  if (!parts) return false;
  std::size_t words = 0;
  for (const Token& token : tokens_of(parts->head)) {
    if (token.word && words == 0 && !all_letters(token.text)) return false;
    if (token.word) ++words;
  }
  return words == 1 || words == 2;
}

// "motor 4 turns clockwise": "turn motor 4 clockwise".
std::string as_order(const Shown& shown) {
  const std::string value = text_of(shown.now, shown.value);
  const std::size_t at = shown.line.rfind(value);
  if (value.empty() || at == std::string::npos || at + value.size() != shown.line.size()) return {};
  const std::string before(trimmed(std::string_view(shown.line).substr(0, at)));
  const std::size_t gap = before.rfind(' ');
  if (gap == std::string::npos) return {};
  std::string verb = before.substr(gap + 1);
  const std::string subject = before.substr(0, gap);
  const bool words =
      std::all_of(subject.begin(), subject.end(), [](char c) { return is_name_part(c) || c == ' '; });
  if (!all_letters(verb) || verb.size() < 2 || !words) return {};
  if (verb.ends_with("oes")) {
    verb.resize(verb.size() - 2);
  } else if (verb.ends_with('s') && !verb.ends_with("ss")) {
    verb.pop_back();
  }
  return lower_case(verb.substr(0, 1)) + verb.substr(1) + " " + subject + " " + value;
}

}  // namespace

Listing looked_into(const Lines& configuration, const std::string& list) {
  Listing listing;
  listing.lines = configuration;
  if (list.empty()) return listing;
  for (const std::string& line : configuration) {
    const std::size_t at = found_as_word(line, list);
    if (at == std::string::npos) continue;
    // The signs just before it; a whole line of JSON may stand further to the left.
    std::size_t start = at;
    while (start > 0 && line[start - 1] != '{' && line[start - 1] != ' ' && at - start < 16) --start;
    if (start > 0 && line[start - 1] == '{') --start;
    listing.before = line.substr(start, at - start);
    break;
  }
  if (listing.before.empty()) return listing;
  // One sign alone may stand anywhere in a line.
  if (listing.before.size() < 3) return listing;
  Lines lines;
  for (const std::string& line : configuration) {
    std::size_t start = 0;
    for (std::size_t at = line.find(listing.before, 1); at != std::string::npos;
         at = line.find(listing.before, at + 1)) {
      lines.push_back(line.substr(start, at - start));
      start = at;
    }
    if (start > 0) listing.cut = true;
    lines.push_back(line.substr(start));
  }
  // Two answers in a row are alike only without what stands between them.
  if (listing.cut) {
    for (std::string& line : lines) {
      while (!line.empty() && (line.back() == ',' || line.back() == ' ')) line.pop_back();
    }
    listing.lines = std::move(lines);
  }
  return listing;
}

std::string named_in(const Listing& listing, const std::string& line) {
  if (listing.before.empty() || !line.starts_with(listing.before)) return {};
  std::size_t end = listing.before.size();
  while (end < line.size() && is_name_part(line[end])) ++end;
  return line.substr(listing.before.size(), end - listing.before.size());
}

Lines lines_of_props(const Listing& listing) {
  static const std::set<std::string> usual{"in",      "out",      "inward",  "outward",
                                           "inwards", "outwards", "inboard", "outboard"};
  Lines named, by_word;
  for (const std::string& line : listing.lines) {
    if (line.size() > 200) continue;
    if (lower_case(line).find("prop") != std::string::npos && named.size() < 6) named.push_back(line);
    std::string last;
    for (const Token& token : tokens_of(line)) {
      if (token.word) last = token.text;
    }
    if (usual.contains(lower_case(last))) by_word.push_back(line);
  }
  if (!named.empty()) return named;
  return by_word.size() == 1 ? by_word : Lines{};
}

namespace {

// "?blades" is answered "blades in": what it is called, and its value.
std::string named_as_asked(const Shown& shown) {
  std::string_view name = shown.read;
  while (!name.empty() && !is_name_part(name.front())) name.remove_prefix(1);
  while (!name.empty() && !is_name_part(name.back())) name.remove_suffix(1);
  const bool one_word = !name.empty() && std::all_of(name.begin(), name.end(), is_name_part);
  const bool begins = one_word && shown.line.size() > name.size() && shown.line.starts_with(name) &&
                      shown.line[name.size()] == ' ';
  return begins && shown.like.match(shown.line) == shown.now ? shown.line : std::string();
}

}  // namespace

std::string set_like(const std::optional<MapSpeech>& map, const Shown& shown) {
  const auto parts = map ? parts_in_speech(*map) : std::nullopt;
  std::string found = map ? verb_and_line(*map, shown) : std::string();
  if (found.empty() && map && parts) found = by_labels(*map, *parts, shown);
  if (!found.empty()) return found;
  if (shown.line.find('=') != std::string::npos && shown.like.match(shown.line) == shown.now)
    return shown.line;
  found = named_as_asked(shown);
  if (!found.empty()) return found + (parts ? parts->end : "");
  if (map) found = by_analogy(*map, shown);
  if (found.empty() && !shown.value.empty() && begins_with_a_verb(map)) found = as_order(shown);
  // What shows it mostly sets it.
  const auto is_of_a_name = [](char c) { return is_name_part(c) || c == '.' || c == '/'; };
  const bool is_word = !shown.read.empty() && std::all_of(shown.read.begin(), shown.read.end(), is_of_a_name);
  if (found.empty() && is_word && shown.key.empty() && (!map || shown.read != map->list))
    found = shown.read + " " + (shown.value.empty() ? numbers_shown(shown) : text_of(shown.now, shown.value));
  return found;
}

namespace {

std::string start_shared_by(const Lines& lines) {
  std::string start = lines.empty() ? std::string() : lines.front();
  for (const std::string& line : lines) start.resize(common_start(start, line));
  return lines.size() > 1 ? start : start.substr(0, start.find(' '));
}

}  // namespace

std::string question_like(const std::string& list, const Lines& rows, const Lines& others) {
  std::string about = start_shared_by(rows), other = start_shared_by(others);
  if (about.empty() || other.empty()) return {};
  if (!list.ends_with(about) && !is_name_part(about.back()) &&
      list.ends_with(about.substr(0, about.size() - 1))) {
    // What stands before that sign.
    const std::size_t sign = other.rfind(about.back());
    if (sign == std::string::npos || sign == 0) return {};
    about.pop_back();
    other.resize(sign);
  }
  if (!list.ends_with(about) || about == list) return {};
  return list.substr(0, list.size() - about.size()) + other;
}

std::string free_like(const MapSpeech& map, const std::string& list_line, const std::string& nothing,
                      const Values& now) {
  const std::string value = map.per_pin ? "motor" : "pin", key = map.per_pin ? "pin" : "motor";
  Values freed = now;
  freed[value] = nothing.empty() ? "none" : nothing;
  try {
    const auto parts = parts_in_speech(map);
    if (!nothing.empty() || (parts && parts->between.find('=') != std::string::npos))
      return map.put.format(freed);
    if (!parts) return {};
    // Which of the command's words does the listing use as well?
    const std::string shown = lower_case(list_line);
    for (const Token& token : tokens_of(parts->head)) {
      const std::string word = lower_case(token.text);
      if (!token.word || !all_letters(word) || word.size() < 3 || shown.find(word) == std::string::npos)
        continue;
      const std::size_t at = found_as_word(parts->head, token.text);
      if (at == std::string::npos) continue;
      return parts->head.substr(0, at) + "un" + parts->head.substr(at) + text_of(now, key);
    }
  } catch (const Fault&) {
    // A word that is no pin's name: nothing is implied.
  }
  return {};
}

std::string with_name(const std::string& text, const std::string& from, const std::string& to) {
  std::string out = text;
  for (std::size_t at = out.find(from); at != std::string::npos; at = out.find(from, at + to.size())) {
    out.replace(at, from.size(), to);
  }
  return out;
}

std::string word_like(const std::string& word, const std::array<std::string, 2>& commands) {
  const std::string& first = commands.front();
  std::string start;
  if (!first.empty() && std::string_view("/:.!$#@\\").find(first.front()) != std::string_view::npos)
    start = first.substr(0, 1);
  for (const std::string& command : commands) {
    if (!command.starts_with(start)) return {};
    const std::string begins = command.substr(start.size(), command.find(' ') - start.size());
    const bool shouted = begins != lower_case(begins);
    if (!all_letters(begins) || begins.size() < 3 || shouted) return {};
  }
  return start + word;
}

std::string opposite_word(const std::string& word) {
  static const std::vector<std::pair<std::string, std::string>> pairs{{"in", "out"},
                                                                      {"inward", "outward"},
                                                                      {"inwards", "outwards"},
                                                                      {"inboard", "outboard"},
                                                                      {"on", "off"},
                                                                      {"yes", "no"},
                                                                      {"true", "false"},
                                                                      {"0", "1"},
                                                                      {"1", "-1"},
                                                                      {"+", "-"},
                                                                      {"->", "<-"},
                                                                      {">", "<"},
                                                                      {"\xE2\x86\xBB", "\xE2\x86\xBA"},
                                                                      {"normal", "reversed"},
                                                                      {"cw", "ccw"},
                                                                      {"clockwise", "flipped"},
                                                                      {"clockwise", "counter"},
                                                                      {"right", "left"},
                                                                      {"forward", "reverse"}};
  const std::string lower = lower_case(word);
  for (const auto& [a, b] : pairs) {
    if (lower != a && lower != b) continue;
    std::string other = lower == a ? b : a;
    if (lower != word &&
        std::none_of(word.begin(), word.end(), [](char c) { return c >= 'a' && c <= 'z'; })) {
      for (char& c : other) c = c >= 'a' && c <= 'z' ? static_cast<char>(c - 'a' + 'A') : c;
    }
    return other;
  }
  return {};
}

}  // namespace armwise::teach
